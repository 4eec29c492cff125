//! Exponential fits against certified results and the closed form.

use crate::support::{near, near_share};
use pullmark::math::decay::{Decay, Level, fit_decay};
use pullmark::math::fit::fit_line;

/// (x, y). Source: NIST StRD, nonlinear regression, Misra1a (dental research,
/// monomolecular adsorption).
const MISRA1A: [(f64, f64); 14] = [
    (77.6, 10.07),
    (114.9, 14.73),
    (141.1, 17.94),
    (190.8, 23.93),
    (239.9, 29.61),
    (289.0, 35.18),
    (332.8, 40.02),
    (378.4, 44.82),
    (434.8, 50.76),
    (477.3, 55.05),
    (536.8, 61.01),
    (593.1, 66.40),
    (689.1, 75.47),
    (760.0, 81.78),
];

/// (x, y). Source: NIST StRD, nonlinear regression, BoxBOD (Box, Hunter & Hunter
/// 1978, biochemical oxygen demand); plain Gauss-Newton fails from its first start.
const BOXBOD: [(f64, f64); 6] =
    [(1.0, 109.0), (2.0, 149.0), (3.0, 149.0), (5.0, 191.0), (7.0, 213.0), (10.0, 224.0)];

fn rise(points: &[(f64, f64)]) -> Decay {
    let (x, y): (Vec<f64>, Vec<f64>) = points.iter().copied().unzip();
    fit_decay(&x, &y, Level::RiseFromZero, 0.0).expect("a rise")
}

/// The certified standard errors take residuals as independent; ours hold them up by
/// their correlation, so that is taken out again before the comparison.
fn independent_share(fit: &Decay) -> f64 {
    (fit.effective_n / fit.n as f64).sqrt()
}

/// Source: NIST StRD certified values, 11 digits; 1e-6 and 1e-8 are what the
/// certified sets ask of a double-precision fit.
#[test]
fn saturating_rises_agree_with_nist() {
    let rows = [
        ("Misra1a", rise(&MISRA1A), [2.389_421_291_8e2, 5.501_564_318_1e-4, 1.245_513_889_4e-1]),
        ("BoxBOD", rise(&BOXBOD), [2.138_094_088_9e2, 5.472_374_854_2e-1, 1.168_008_876_6e3]),
    ];
    for (name, fit, [b1, b2, rss]) in rows {
        near_share(&format!("{name} b1"), fit.level, b1, 1e-6);
        near_share(&format!("{name} b2"), 1.0 / fit.tau, b2, 1e-6);
        near_share(&format!("{name} rss"), fit.rss, rss, 1e-8);
    }
    near_share("Misra1a tau", rise(&MISRA1A).tau, 1_817.664_835, 1e-5);
    near_share("BoxBOD tau", rise(&BOXBOD).tau, 1.827_360, 1e-5);
}

/// Source: the certified standard deviations of the same files. sd(tau) follows from
/// sd(b2) by tau = 1/b2.
#[test]
fn their_standard_errors_agree_with_nist() {
    let rows = [
        ("Misra1a", rise(&MISRA1A), 2.707_007_524_1, 7.266_868_843_6e-6, 5.501_564_318_1e-4),
        ("BoxBOD", rise(&BOXBOD), 1.235_451_517_6e1, 1.045_599_323_7e-1, 5.472_374_854_2e-1),
    ];
    for (name, fit, b1_sd, b2_sd, b2) in rows {
        let alone = independent_share(&fit);
        near_share(&format!("{name} sd b1"), fit.level_se * alone, b1_sd, 1e-5);
        near_share(&format!("{name} sd tau"), fit.tau_se * alone, b2_sd / (b2 * b2), 1e-5);
    }
}

/// Newton cooling to 30 from 60 with 45 s.
fn cooling(t: f64) -> f64 {
    30.0 + 30.0 * libm::exp(-t / 45.0)
}

/// Source: closed form, recomputed with numpy 2.4.6; four digits printed.
#[test]
fn the_fitted_curve_gives_the_closed_form_back() {
    let t: Vec<f64> = (0..=60).step_by(10).map(f64::from).collect();
    let y: Vec<f64> = t.iter().map(|&t| cooling(t)).collect();
    let fit = fit_decay(&t, &y, Level::Free, 0.0).expect("a decay");
    near("tau", fit.tau, 45.0, 1e-6);
    let rows = [
        (0.0, 60.0),
        (15.0, 51.4959),
        (30.0, 45.4025),
        (45.0, 41.0364),
        (90.0, 34.0601),
        (180.0, 30.5495),
    ];
    for (t, published) in rows {
        near("cooling", fit.at(t), published, 1e-4);
    }
}

/// Source: recomputed with numpy 2.4.6: the straight fit of the logarithm, weighted
/// evenly, and what a level 5 K too low does to it.
#[test]
fn a_wrong_level_bends_the_logarithm_but_a_known_right_one_does_not() {
    let t: Vec<f64> = (0..=60).step_by(10).map(f64::from).collect();
    for (level, published, within) in [(30.0, 45.0, 1e-6), (25.0, 60.030, 0.005)] {
        let ln: Vec<f64> = t.iter().map(|&t| libm::log(cooling(t) - level)).collect();
        let line = fit_line(&t, &ln).expect("seven points");
        near("tau of the logarithm", -1.0 / line.slope, published, within);
    }
    let y: Vec<f64> = t.iter().map(|&t| cooling(t)).collect();
    let known = fit_decay(&t, &y, Level::Known(30.0), 0.0).expect("a decay");
    near("tau with the level known", known.tau, 45.0, 1e-6);
}

/// Source: Cramér-Rao bound for 4000 even readings, recomputed with numpy 2.4.6:
/// sd(tau)/tau = K (sigma/A)/sqrt(N). Tolerance 1 %, as printed.
#[test]
fn short_records_know_the_time_constant_as_badly_as_theory_says() {
    let rows = [
        (0.5, 137.42, 8.93),
        (1.0, 43.79, 5.79),
        (2.0, 17.50, 4.84),
        (3.0, 12.12, 5.14),
        (5.0, 9.66, 6.34),
    ];
    for (spans, free, known) in rows {
        let step = spans * 45.0 / 4000.0;
        let t: Vec<f64> = (0..4000).map(|i| step * f64::from(i)).collect();
        let y: Vec<f64> = t.iter().map(|&t| cooling(t)).collect();
        for (level, published) in [(Level::Free, free), (Level::Known(30.0), known)] {
            // A floor of 1e-3 stands in for noise: the readings themselves are exact.
            let fit = fit_decay(&t, &y, level, 1e-3).expect("a decay");
            let k = fit.tau_se / fit.tau * (30.0 / 1e-3) * fit.effective_n.sqrt();
            near_share(&format!("K at {spans} tau"), k, published, 0.01);
        }
    }
}
