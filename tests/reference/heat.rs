//! Sensor lag and the soak ladder against their closed forms.

use crate::support::near;
use pullmark::heat::ladder::{Cooling, gaps_to_within, limit_start_c, next_start_c};
use pullmark::heat::lag;

/// Source: first-order system, recomputed with numpy 2.4.6.
#[test]
fn a_lagging_sensor_answers_as_a_first_order_system() {
    for (step_s, tau_s, published) in [
        (0.1, 1.0, 0.904_837_42),
        (0.1, 10.0, 0.990_049_83),
        (1.0, 10.0, 0.904_837_42),
        (0.5, 5.0, 0.904_837_42),
    ] {
        near("share left", lag::left_after(step_s, tau_s), published, 1e-8);
    }
    for (since_s, published) in [(5.0, 48.9636), (10.0, 55.9399), (15.0, 58.5064)] {
        near("after a step", lag::after_step_c(30.0, 60.0, since_s, 5.0), published, 1e-4);
    }
    near("behind a ramp", lag::behind_ramp_c(4.0, 10.0, 5.0), 17.2933, 1e-4);
}

/// Source: propagation of white noise through the exact inverse, recomputed.
#[test]
fn undoing_a_lag_costs_the_noise_it_should() {
    for (step_s, tau_s, published) in
        [(0.1, 10.0, 141.424), (0.1, 1.0, 14.172), (1.0, 10.0, 14.172), (1.0, 5.0, 7.130)]
    {
        near("gain", lag::undo_step_gain(step_s, tau_s), published, 1e-3);
    }
    near("undone", lag::undo_step_c(40.0, 42.0, 0.5, 5.0), 61.0167, 1e-4);
}

/// Level 25 °C, rise 18 K, tau 120 s, as in the recomputed ladder.
fn cooling() -> Cooling {
    Cooling {
        tau_s: 120.0,
        tau_sd_s: 0.0,
        level_c: 25.0,
        level_sd_c: 0.0,
        rise_c: 18.0,
        rise_sd_c: 0.0,
        peak_c: 43.0,
        offset_c: 0.0,
        miss_sd_c: 0.0,
    }
}

/// Source: the recurrence and its fixed point, recomputed with numpy 2.4.6.
#[test]
fn starts_climb_to_the_fixed_point() {
    let cooling = cooling();
    let mut start_c = 25.0;
    for published in [35.9176, 42.5394, 46.5557, 48.9918] {
        start_c = next_start_c(&cooling, start_c, 60.0);
        near("start", start_c, published, 1e-4);
    }
    near("limit", limit_start_c(&cooling, 60.0), 52.7469, 1e-4);
    near("limit's peak", limit_start_c(&cooling, 60.0) + 18.0, 70.7469, 1e-4);
    near("share left", (35.9176 - 25.0) / 18.0, 0.606_531, 1e-5);
}

/// Source: n = (tau/d) ln 20, recomputed.
#[test]
fn the_climb_takes_as_many_gaps_as_it_should() {
    for (tau_s, published) in [(30.0, 2), (60.0, 3), (120.0, 6), (240.0, 12)] {
        assert_eq!(gaps_to_within(tau_s, 60.0, 0.05), published, "tau {tau_s}");
    }
}

/// Source: the wait is the recurrence turned round: from a peak of 43 °C to 35.9176 °C
/// takes the gap of 60 s that led there.
#[test]
fn a_wait_is_the_gap_that_would_lead_there() {
    let wait = cooling().wait(35.9176).expect("above the level");
    near("wait", wait.wait_s, 60.0, 0.01);
}
