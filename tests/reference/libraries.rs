//! The same numbers by general libraries, other people's code: a variable-projection fit
//! and a library of moist air.
//!
//! Where the two differ by design the bound says by how much: the moist-air library follows
//! ASHRAE Handbook Fundamentals 2017 (Hyland and Wexler), ours the forms named in
//! `src/air/`; both stand within a tenth of a per cent of the steam tables.

use nalgebra::DVector;
use psychrometry::psychrolib::{get_sat_vap_pres, get_vap_pres_from_rel_hum};
use psychrometry::quantities::{Pressure, Temperature};
use psychrometry::units::{Celcius, Pascal};
use varpro::prelude::SeparableModelBuilder;
use varpro::problem::SeparableProblemBuilder;
use varpro::solvers::levmar::LevMarSolver;
use varpro::statistics::FitStatistics;

use crate::support::near_share;
use pullmark::air::{density, vapour};
use pullmark::math::decay::{Level, fit_decay};

/// What the library finds: tau and its deviation, level, amplitude, residual deviation.
struct Theirs {
    tau: f64,
    tau_se: f64,
    level: f64,
    amplitude: f64,
    residual_sd: f64,
}

fn theirs(t: &[f64], y: &[f64], tau_guess: f64) -> Theirs {
    let model = SeparableModelBuilder::<f64>::new(["tau"])
        .function(["tau"], |t: &DVector<f64>, tau: f64| t.map(|t| libm::exp(-t / tau)))
        .partial_deriv("tau", |t: &DVector<f64>, tau: f64| {
            t.map(|t| libm::exp(-t / tau) * t / (tau * tau))
        })
        .invariant_function(|t| DVector::from_element(t.len(), 1.0))
        .independent_variable(DVector::from_row_slice(t))
        .initial_parameters(vec![tau_guess])
        .build()
        .expect("a model of one exponential and a level");
    let problem = SeparableProblemBuilder::new(model)
        .observations(DVector::from_row_slice(y))
        .build()
        .expect("a problem");
    let fit = LevMarSolver::default().solve(problem).expect("the library's fit converges");
    let statistics = FitStatistics::try_from(&fit).expect("statistics of the fit");
    let linear = fit.linear_coefficients().expect("linear coefficients");
    Theirs {
        tau: fit.nonlinear_parameters()[0],
        tau_se: statistics.nonlinear_parameters_variance()[0].sqrt(),
        amplitude: linear[0],
        level: linear[1],
        residual_sd: statistics.regression_standard_error(),
    }
}

/// A cooler coming back, read once a second to a tenth, with an error that is even and known
/// (a small irrational turn, no chance).
fn cooling(tau_s: f64, level_c: f64, amplitude_k: f64, seconds: u32) -> (Vec<f64>, Vec<f64>) {
    let t: Vec<f64> = (0..seconds).map(f64::from).collect();
    let error = |k: f64| 0.6 * ((k * 0.618_034).fract() - 0.5);
    let y = t
        .iter()
        .map(|&s| level_c + amplitude_k * libm::exp(-s / tau_s) + error(s))
        .map(|c| (c * 10.0).round() / 10.0)
        .collect();
    (t, y)
}

/// Source: varpro 0.14 (variable projection, O'Leary and Rust 2013). Both minimise the same
/// sum of squares: parameters agree to 1e-5. Its standard errors take residuals as
/// independent; ours hold them up by their correlation, which is taken out again.
#[test]
fn recoveries_are_those_of_a_variable_projection_library() {
    for (tau_s, level_c, amplitude_k, seconds) in
        [(25.0, 31.0, 18.0, 90), (60.0, 28.5, 12.0, 120), (14.0, 40.0, 25.0, 60)]
    {
        let (t, y) = cooling(tau_s, level_c, amplitude_k, seconds);
        let ours = fit_decay(&t, &y, Level::Free, 0.0).expect("our fit");
        let theirs = theirs(&t, &y, 0.5 * tau_s);
        near_share("tau", ours.tau, theirs.tau, 1e-5);
        near_share("level", ours.level, theirs.level, 1e-5);
        near_share("amplitude", ours.amplitude, theirs.amplitude, 1e-5);
        let independent = (ours.effective_n / ours.n as f64).sqrt();
        let (se, spread) = (ours.tau_se * independent, ours.rss / (f64::from(seconds) - 3.0));
        near_share("residual deviation", spread.sqrt(), theirs.residual_sd, 1e-5);
        near_share("deviation of tau", se, theirs.tau_se, 0.02);
    }
}

fn library_pa(c: f64) -> f64 {
    let pressure: Pressure<Pascal> =
        get_sat_vap_pres(Temperature::<Celcius>::from(c)).expect("inside the library's range");
    f64::from(pressure)
}

/// Source: psychrometry 0.3 (ASHRAE 2017, eq. 6). CIPM-2007 states its saturation pressure
/// for 15 to 27 °C and departs slowly outside.
#[test]
fn saturation_is_that_of_a_moist_air_library() {
    for c in [0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0] {
        near_share(&format!("{c} °C"), vapour::saturation_pa(c), library_pa(c), 2e-3);
    }
}

/// Source: vapour pressure by psychrometry 0.3, then the ideal-gas mixture with M = 28.966
/// and 18.015 kg/kmol (ASHRAE 2017, chapter 1, eq. 12 and 26). A real gas is denser by about
/// 0.05 %, and humid air holds 0.4 % more vapour than the pure phase would: 2e-3 holds both.
#[test]
fn density_is_that_of_a_moist_air_library() {
    const R: f64 = 8_314.472;
    for (c, pa, humidity) in [
        (20.0, 101_325.0, 0.5),
        (35.0, 98_000.0, 0.8),
        (5.0, 102_500.0, 0.9),
        (30.0, 84_000.0, 0.2),
        (15.0, 101_325.0, 0.0),
    ] {
        let vapour: Pressure<Pascal> =
            get_vap_pres_from_rel_hum(Temperature::<Celcius>::from(c), humidity)
                .expect("inside the library's range");
        let vapour_pa = f64::from(vapour);
        let kelvin = c + 273.15;
        let mixture = ((pa - vapour_pa) * 28.966 + vapour_pa * 18.015) / (R * kelvin);
        near_share(&format!("{c} °C"), density::cipm_2007(c, pa, humidity), mixture, 2e-3);
    }
}
