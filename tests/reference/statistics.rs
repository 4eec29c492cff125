//! Fits and tests of significance against certified and published results.

use crate::support::{near, near_share};
use pullmark::math::fit::{fit_line, least_squares};
use pullmark::math::samples::{self, Difference, ancova, holm, paired, welch};
use pullmark::math::student::{detectable_shift, f_quantile, normal_cdf, t_quantile, two_sided_p};

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

/// Student 1908, extra hours of sleep under two drugs, ten patients.
const SLEEP: [[f64; 10]; 2] = [
    [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0],
    [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4],
];

/// Published as first minus second; ours is second minus first.
#[track_caller]
fn agrees(ours: Difference, [t, df, p, low, high]: [f64; 5], within: f64) {
    near("t", -ours.t(), t, within);
    near("df", ours.df, df, within);
    near("p", ours.p(), p, within);
    let half = ours.half_width().expect("df > 0");
    near("low", -ours.value - half, low, within);
    near("high", -ours.value + half, high, within);
}

/// Source: Student 1908 with the results of the R documentation of `t.test`, a public
/// worked example of Welch's test, and launch times by scipy 1.17.1.
#[test]
fn tests_of_two_means_agree_with_published_results() {
    let [one, two] = SLEEP;
    let published = [-1.860_813, 17.776_47, 0.079_394, -3.365_483, 0.205_483];
    agrees(welch(&one, &two).expect("ten each"), published, 1e-5);
    let published = [-4.062_128, 9.0, 0.002_832_9, -2.459_886, -0.700_114];
    agrees(paired(&one, &two).expect("ten pairs"), published, 1e-5);

    let a = [11., 9., 10., 11., 10., 12., 9., 11., 12., 9.];
    let b = [11., 13., 10., 13., 12., 9., 11., 12., 12., 11.];
    let published = [-1.832_54, 17.9003, 0.083_560, -2.146_910, 0.146_910];
    // Half a unit in the last place of df as printed; the same below.
    agrees(welch(&a, &b).expect("ten each"), published, 5e-5);

    let (a, b) = ([3.70, 3.64, 3.72], [3.52, 3.55, 3.47]);
    let published = [5.174_19, 3.9965, 0.006_649, 0.080_29, 0.266_38];
    agrees(welch(&a, &b).expect("three each"), published, 5e-5);
    let published = [3.743_04, 2.0, 0.064_542, -0.025_91, 0.372_58];
    agrees(paired(&a, &b).expect("three pairs"), published, 1e-5);
    near("regrouped", samples::regroup_p(&a, &b).expect("six values"), 0.1, 1e-12);
}

/// Source: 2/2ⁿ and 2/C(a+b, a); scipy 1.17.1 `permutation_test` for the value at 3 + 3.
#[test]
fn exact_tests_cannot_fall_below_their_floors() {
    for (n, published) in [(3, 0.25), (4, 0.125), (5, 0.0625), (6, 0.031_25)] {
        near("sign flips", samples::sign_flip_floor(n), published, 1e-15);
    }
    for (a, b, published) in [(3, 3, 0.1), (3, 4, 0.057_143), (4, 4, 0.028_571), (5, 5, 0.007_937)]
    {
        near("regrouping", samples::regroup_floor(a, b), published, 5e-7);
    }
}

/// Source: statsmodels 0.15.0 `multipletests`.
#[test]
fn holm_adjusts_as_published() {
    let ours = holm(&[0.01, 0.04, 0.03, 0.005]);
    for (ours, published) in ours.iter().zip([0.03, 0.06, 0.06, 0.02]) {
        near("adjusted p", *ours, published, 1e-15);
    }
}

/// Source: statsmodels 0.15.0 OLS on the same eight launches.
#[test]
fn an_effect_at_equal_start_temperature_agrees_with_statsmodels() {
    let a = [(30.0, 3.62), (36.0, 3.68), (40.0, 3.71), (43.0, 3.75)];
    let b = [(32.0, 3.50), (37.0, 3.54), (42.0, 3.60), (46.0, 3.63)];
    let found = ancova(&a, &b).expect("eight launches");
    near("effect", found.effect.value, -0.141_794, 1e-6);
    near("its se", found.effect.se, 0.003_940, 1e-6);
    near("df", found.effect.df, 5.0, 0.0);
    let half = found.effect.half_width().expect("five");
    near("low", found.effect.value - half, -0.151_923, 1e-6);
    near("high", found.effect.value + half, -0.131_666, 1e-6);
    near("slope", found.slope, 0.009_647_2, 1e-7);
    near("slope se", found.slope_se, 0.000_381_3, 1e-7);
    let times = |group: [(f64, f64); 4]| group.map(|(_, time)| time);
    let plain = welch(&times(a), &times(b)).expect("four each").value;
    near("plain", plain, -0.1225, 1e-6);
}

/// Source: conjugate normal and pooled variance, recomputed with numpy 2.4.6.
#[test]
fn shrinking_and_pooling_are_as_recomputed() {
    let (mean, sd) = samples::shrink((-0.15, 0.06), (0.0, 0.10));
    near("mean", mean, -0.110_294, 1e-5);
    near("sd", sd, 0.051_450, 1e-5);
    near("P(effect < 0)", normal_cdf(-mean / sd), 0.983_97, 1e-5);
    let (sd, df) = samples::pooled_sd(&[(0.042, 3), (0.040, 3), (0.035, 4)]).expect("ten");
    near("pooled", sd, 0.038_551, 1e-6);
    assert_eq!(df, 7);
}

/// Source: NIST StRD NumAcc1: mean and standard deviation of numbers that differ in
/// their last digit only.
#[test]
fn a_mean_keeps_the_last_digit() {
    let values = [10_000_001.0, 10_000_003.0, 10_000_002.0];
    assert_eq!(samples::mean(&values), Some(10_000_002.0));
    assert_eq!(samples::variance(&values), Some(1.0));
}
