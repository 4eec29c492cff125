//! A handmade sheet of two builds, for the tests of this room and those below. The
//! figures are invented; they stand for shapes of results, not for results.

use super::*;
use crate::day::{Build, Day, Outing};

/// One standing pull, one void one, in two builds with known and unknown air.
pub fn sheet() -> Sheet {
    Sheet {
        title: Some("Invented day".to_owned()),
        logs: vec![log("stock.csv", 0), log("cooler.csv", 1)],
        pulls: vec![pull(0, "stands"), pull(1, "void")],
        builds: vec![build("Stock", Some(22.0)), build("Cooler", None)],
        times: vec![times(Some(0)), times(None)],
        ladders: vec![ladder()],
        comparisons: vec![comparison("real", Some(-6.7)), comparison("cannot_compare", None)],
        ..crate::sheet::make::sheet(&Day::empty(), &nothing())
    }
}

pub fn log(name: &str, build: usize) -> LogRow {
    LogRow {
        name: name.to_owned(),
        path: name.to_owned(),
        form: "csv".to_owned(),
        form_found: "comma, decimal point, header in line 1".to_owned(),
        header_key: "k1".to_owned(),
        span_s: 412.5,
        rows: 4126,
        began: None,
        build: Some(build),
        outing: Some(0),
        drive: None,
        channels: vec![channel("Speed", Some("vehicle_speed")), channel("T2", None)],
        problems: Vec::new(),
    }
}

pub fn channel(name: &str, role: Option<&str>) -> ChannelRow {
    ChannelRow {
        name: name.to_owned(),
        role: role.map(str::to_owned),
        unit: Some("km/h".to_owned()),
        rate_hz: Some(10.0),
        samples: 4126,
        how: "named so".to_owned(),
        derived: false,
        corrected: false,
        resolution: Some(1.0),
        least: Some(0.0),
        most: Some(161.0),
    }
}

pub fn pull(log: usize, verdict: &str) -> PullRow {
    let void = verdict == "void";
    let text = "The logged speed needs a mean of 1.24 g; its peak accelerometer reading is 0.83 g.";
    PullRow {
        log,
        build: Some(log),
        outing: Some(0),
        number: 1,
        number_in_outing: Some(1),
        kind: "standing".to_owned(),
        start_s: 60.0,
        end_s: 68.4,
        found_start_s: 60.0,
        effort: "full".to_owned(),
        opening_percent: None,
        set_aside: None,
        how: "throttle above 90 % of its travel for 8.4 s".to_owned(),
        verdict: verdict.to_owned(),
        reasons: if void { vec![reason("wheelspin", text)] } else { Vec::new() },
        marks: vec![mark("0-60mph", 3.914, if void { 0.31 } else { 0.04 }, verdict)],
        spin: if void { vec![spin()] } else { Vec::new() },
        witnesses: vec!["logged_speed".to_owned(), "accelerometer".to_owned()],
        top_speed_mps: Some(39.0),
        peak_accel_mps2: Some(8.1),
        mean_accel_mps2: None,
        peak_accel_raw_mps2: Some(9.2),
        peak_accel_raw_window_mps2: Some(8.8),
        wheel_power: Vec::new(),
        quarter_mile_rules: Vec::new(),
        heat: Some(heat()),
    }
}

pub fn reason(code: &str, text: &str) -> ReasonRow {
    ReasonRow { code: code.to_owned(), text: text.to_owned() }
}

pub fn mark(code: &str, time_s: f64, plus_minus_s: f64, verdict: &str) -> MarkRow {
    MarkRow {
        mark: code.to_owned(),
        time_s: Some(time_s),
        plus_minus_s: Some(plus_minus_s),
        rollout_time_s: None,
        logged_time_s: Some(2.21),
        speed_mps: Some(26.8224),
        verdict: verdict.to_owned(),
    }
}

pub fn spin() -> SpinRow {
    SpinRow {
        from_s: 60.2,
        to_s: 62.1,
        peak_slip: 0.41,
        kind: "tyre".to_owned(),
        mean_slip: Some(0.27),
        slip_distance_m: Some(5.2),
        time_lost_s: Some(0.21),
        time_lost_plus_minus_s: Some(0.09),
        evidence: vec!["logged 12.1 m/s² against 6.9 m/s² by the accelerometer".to_owned()],
    }
}

pub fn heat() -> HeatRow {
    HeatRow {
        start_c: 60.0,
        end_c: 66.1,
        peak_c: 67.0,
        peak_after_s: 1.2,
        rise_c: 6.1,
        inlet_start_c: None,
        inlet_end_c: None,
        at: vec![AtRow { speed_mps: 26.8224, charge_c: 64.0, plus_minus_c: 0.6 }],
        recovery: None,
        no_recovery: Some("The log stops 4 s after the lift.".to_owned()),
        ..HeatRow::default()
    }
}

/// The one time that stands, for its build or for all.
pub fn times(build: Option<usize>) -> TimesRow {
    TimesRow {
        build,
        mark: "0-60mph".to_owned(),
        stand: 1,
        do_not_stand: if build.is_some() { 0 } else { 1 },
        best_s: 3.914,
        median_s: 3.914,
        best_plus_minus_s: Some(0.04),
        median_plus_minus_s: Some(0.04),
        ..TimesRow::default()
    }
}

pub fn ladder() -> LadderRow {
    LadderRow {
        log: 0,
        starts_c: vec![60.0, 61.5],
        ends_c: vec![66.1, 67.9],
        carry_over_c: Some(1.5),
        tends_to_c: Some(64.0),
        forecast_c: vec![62.5],
        gap_s: Some(58.0),
        ..LadderRow::default()
    }
}

pub fn build(name: &str, ambient_c: Option<f64>) -> BuildRow {
    let outing = OutingRow {
        date: None,
        logs: Vec::new(),
        missing_logs: Vec::new(),
        ambient_c,
        relative_humidity_percent: None,
        pressure_kpa: Some(100.1),
        air_density_kgpm3: None,
        density_altitude_m: None,
        dew_point_c: None,
        ambient_from: ambient_c.map(|_| "typed".to_owned()),
        relative_humidity_from: None,
        pressure_from: Some("log".to_owned()),
        correction_factors: Vec::new(),
    };
    BuildRow { name: name.to_owned(), outings: vec![outing] }
}

pub fn comparison(verdict: &str, difference: Option<f64>) -> ComparisonRow {
    ComparisonRow {
        from: 0,
        to: 1,
        quantity: if difference.is_some() { "charge_rise" } else { "time_to_mark" }.to_owned(),
        mark_speed_mps: None,
        mark: difference.is_none().then(|| "0-60mph".to_owned()),
        difference,
        low: difference.map(|d| d - 2.0),
        high: difference.map(|d| d + 2.0),
        unit: if difference.is_some() { "K" } else { "s" }.to_owned(),
        adjusted: difference.is_some(),
        raw_difference: difference,
        pairs: 3,
        smallest_shown: Some(3.0),
        verdict: verdict.to_owned(),
        reasons: match difference {
            Some(_) => Vec::new(),
            None => vec![reason("launches_void", "No launch of Cooler stands.")],
        },
        ..ComparisonRow::default()
    }
}

fn nothing() -> crate::work::Findings {
    crate::work::Work::new().findings()
}

pub fn day() -> Day {
    let build = |name: &str, log: &str| {
        let outings = vec![Outing { logs: vec![log.to_owned()], ..Outing::default() }];
        Build { name: name.to_owned(), outings, ..Build::default() }
    };
    let builds = vec![build("Stock", "stock.csv"), build("Cooler", "cooler.csv")];
    Day { builds, ..Day::empty() }
}
