//! The whole log on one strip: road speed over time, the pulls as bands.

use super::Site;
use crate::chart::{Axis, Band, Chart, ChartId, Ink, Line, Panel, Stroke, thin};
use crate::log::{Log, Role, Series};

/// A pause of more than this many usual intervals is a gap in the line.
const PAUSE_INTERVALS: f64 = 5.0;

pub fn strip(site: &Site, log: usize) -> Option<Chart> {
    let found = site.findings.logs.get(log)?;
    let whole = (0.0, found.log.span_s);
    let (role, series) = speed(&found.log)?;
    let rate = found.log.channel(role).and_then(|channel| channel.rate_hz);
    let pause_s = rate.map_or(2.0, |hz| (PAUSE_INTERVALS / hz).max(1.0));
    let points = thin::with_gaps(&series.time_s, &series.value, pause_s);
    let line = Line {
        label: String::new(),
        ink: Ink::Plain,
        stroke: Stroke::Line(1),
        points: thin::columns(&points, site.shown(whole), site.width_px),
    };
    let bands = found.pulls.iter().enumerate().map(|(at, pull)| Band {
        from: pull.start_s,
        to: pull.end_s,
        label: match found.set_aside.get(at) {
            Some(Some(_)) => format!("{} aside", pull.number),
            _ => pull.number.to_string(),
        },
        warns: false,
    });
    let panel = Panel { bands: bands.collect(), lines: vec![line], ..Panel::default() };
    Some(site.chart(ChartId::Strip { log }, (Axis::SecondsOfLog, Axis::Speed), whole, vec![panel]))
}

/// The speed that a reader would look for first.
fn speed(log: &Log) -> Option<(Role, &Series)> {
    [Role::VehicleSpeed, Role::SatelliteSpeed, Role::UndrivenWheelSpeed]
        .into_iter()
        .find_map(|role| Some((role, log.series(role)?)))
}
