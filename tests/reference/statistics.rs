//! Fits and tests of significance against certified and published results.

use crate::support::{near, near_share};
use pullmark::math::fit::{fit_line, least_squares};
use pullmark::math::student::{detectable_shift, f_quantile, t_quantile, two_sided_p};

/// (y, x). Source: NIST StRD, linear regression, Norris.
pub const NORRIS: [(f64, f64); 36] = [
    (0.1, 0.2),
    (338.8, 337.4),
    (118.1, 118.2),
    (888.0, 884.6),
    (9.2, 10.1),
    (228.1, 226.5),
    (668.5, 666.3),
    (998.5, 996.3),
    (449.1, 448.6),
    (778.9, 777.0),
    (559.2, 558.2),
    (0.3, 0.4),
    (0.1, 0.6),
    (778.1, 775.5),
    (668.8, 666.9),
    (339.3, 338.0),
    (448.9, 447.5),
    (10.8, 11.6),
    (557.7, 556.0),
    (228.3, 228.1),
    (998.0, 995.8),
    (888.8, 887.6),
    (119.6, 120.2),
    (0.3, 0.3),
    (0.6, 0.3),
    (557.6, 556.8),
    (339.3, 339.1),
    (888.0, 887.2),
    (998.5, 999.0),
    (778.9, 779.0),
    (10.2, 11.1),
    (117.6, 118.3),
    (228.9, 229.2),
    (668.4, 669.1),
    (449.2, 448.9),
    (0.2, 0.5),
];

/// Source: NIST StRD Norris, certified to 15 digits; 1e-10 is what double arithmetic
/// about the means must keep of them.
#[test]
fn a_line_agrees_with_the_certified_norris_fit() {
    let (y, x): (Vec<f64>, Vec<f64>) = NORRIS.into_iter().unzip();
    let line = fit_line(&x, &y).expect("36 points");
    near_share("slope", line.slope, 1.002_116_818_020_45, 1e-10);
    near_share("intercept", line.intercept, -0.262_323_073_774_029, 1e-10);
    near_share("residual sd", line.residual_sd, 0.884_796_396_144_373, 1e-10);
    near_share("slope sd", line.slope_se, 0.429_796_848_199_937e-3, 1e-10);
}

/// Source: scipy 1.17.1 `t.ppf`; six digits printed.
#[test]
fn student_quantiles_agree_with_the_table() {
    let rows =
        [(2.0, 4.302_653), (3.0, 3.182_446), (4.0, 2.776_445), (5.0, 2.570_582), (6.0, 2.446_912)];
    for (df, published) in rows {
        near("t", t_quantile(0.975, df).expect("df > 0"), published, 1e-6);
        near("-t", t_quantile(0.025, df).expect("df > 0"), -published, 1e-6);
    }
}

/// An independent implementation of the same functions, over degrees of freedom that
/// Welch gives too. Tolerance: both claim about ten digits.
#[test]
fn student_and_f_agree_with_statrs() {
    use statrs::distribution::{ContinuousCDF, FisherSnedecor, StudentsT};
    for df in [1.0, 2.0, 3.4, 17.776, 120.0] {
        let theirs = StudentsT::new(0.0, 1.0, df).expect("df > 0");
        for t in [0.1, 1.0, 2.5, 8.0] {
            near_share("p", two_sided_p(t, df), 2.0 * theirs.sf(t), 1e-9);
        }
        let theirs = FisherSnedecor::new(1.0, df).expect("df > 0");
        let ours = f_quantile(0.95, 1.0, df).expect("df > 0");
        near("F", theirs.cdf(ours), 0.95, 1e-9);
    }
}

/// Source: statsmodels 0.15.0 `TTestIndPower` and `TTestPower`, two-sided 5 %, power
/// 80 %; four digits printed, 1e-3 asked.
#[test]
fn detectable_differences_agree_with_the_power_tables() {
    for (n, published) in [(3.0_f64, 3.0709), (4.0, 2.3808), (6.0, 1.7955)] {
        let shift = detectable_shift(2.0 * n - 2.0, 0.8).expect("df > 0");
        near("two groups", shift * (2.0 / n).sqrt(), published, 1e-3);
    }
    for (n, published) in [(3.0_f64, 3.2640), (4.0, 2.1279)] {
        let shift = detectable_shift(n - 1.0, 0.8).expect("df > 0");
        near("pairs", shift / n.sqrt(), published, 1e-3);
    }
}

/// Source: half-width of the difference of two means in units of the pooled standard
/// deviation, t sqrt(2/n), recomputed with scipy 1.17.1.
#[test]
fn half_widths_of_two_means_are_as_tabulated() {
    for (n, published) in [(3.0_f64, 2.266_96), (4.0, 1.730_23)] {
        let t = t_quantile(0.975, 2.0 * n - 2.0).expect("df > 0");
        near("half-width", t * (2.0 / n).sqrt(), published, 1e-5);
    }
}

/// Source: NIST StRD SiRstv, one-way analysis of variance, five instruments of five
/// replicates; done here as two least-squares problems. 1e-9: the readings share
/// four leading digits.
#[test]
fn instruments_differ_as_little_as_nist_certifies() {
    let rows: [[f64; 5]; 5] = [
        [196.3052, 196.1240, 196.1890, 196.2569, 196.3403],
        [196.3042, 196.3825, 196.1669, 196.3257, 196.0422],
        [196.1303, 196.2005, 196.2889, 196.0343, 196.1811],
        [196.2795, 196.1748, 196.1494, 196.1485, 195.9885],
        [196.2119, 196.1051, 196.1850, 196.0052, 196.2090],
    ];
    let y: Vec<f64> = rows.iter().flatten().copied().collect();
    let apart: Vec<f64> =
        (0..25).flat_map(|i| (0..5).map(move |j| f64::from(u8::from(i / 5 == j)))).collect();
    let within = least_squares(&apart, 5, &y).expect("five instruments").rss;
    let whole = least_squares(&[1.0; 25], 1, &y).expect("a mean").rss;
    near_share("between", whole - within, 5.114_626_16e-2, 1e-9);
    near_share("within", within, 2.166_365_6e-1, 1e-9);
    near_share("F", (whole - within) / 4.0 / (within / 20.0), 1.180_462_374_402_55, 1e-9);
}
