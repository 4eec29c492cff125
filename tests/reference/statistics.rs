//! Fits and tests of significance against certified and published results.

use crate::support::near_share;
use pullmark::math::fit::fit_line;

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
