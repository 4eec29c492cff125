//! Gauge or absolute: manifold pressure is made absolute, and said so.
//!
//! In: drafts with units. Out: the same, with a gauge unit where the name or the
//! values say that the air's own pressure is missing from a reading. What is added
//! is the log's own barometer, or the standard atmosphere where there is none.
//! Nothing is added silently.

use super::Role;
use super::assemble::Draft;
use super::infer::{Spread, short};
use super::labels;
use crate::unit::{Quantity, STANDARD_ATMOSPHERE_PA, Unit, by_symbol};

pub fn settle(drafts: &mut [Draft]) {
    let barometer = barometer_pa(drafts);
    for draft in drafts.iter_mut().filter(|draft| draft.role() == Some(Role::ManifoldPressure)) {
        let Some(unit) = draft.unit.filter(|unit| unit.quantity == Quantity::Pressure) else {
            continue;
        };
        let Some((gauge, why)) = gauge_unit(draft, unit) else { continue };
        let (air, source) = match barometer {
            Some(air) => (air, "the log's own barometer"),
            None => (STANDARD_ATMOSPHERE_PA, "the standard atmosphere, as no barometer was logged"),
        };
        let doubt = labels::doubt_of_gauge(draft);
        draft.unit = Some(Unit { offset: air, ..gauge });
        let added = format!("{:.1} kPa were added ({source})", air / 1e3);
        draft.how.push(format!("gauge pressure because {why}; {added}"));
        let text = format!("\"{}\" is gauge pressure because {why}; {added}.", draft.raw.name);
        draft.problem("gauge_pressure", text);
        if let Some(doubt) = doubt {
            draft.problem("gauge_doubt", doubt);
        }
    }
}

/// The middle reading of a barometer that reads like one.
fn barometer_pa(drafts: &[Draft]) -> Option<f64> {
    let draft = drafts.iter().find(|draft| draft.role() == Some(Role::BarometricPressure))?;
    draft.unit.filter(|unit| unit.quantity == Quantity::Pressure)?;
    let values: Vec<f64> = draft.inside().collect();
    Spread::of(&values).map(|spread| spread.middle).filter(|pa| (4.5e4..1.1e5).contains(pa))
}

/// The gauge unit a reading is really in, and why; `None` when it is absolute.
fn gauge_unit(draft: &Draft, unit: Unit) -> Option<(Unit, String)> {
    let values: Vec<f64> = draft.raw.series.value.clone();
    let spread = Spread::of(&values)?;
    if unit.symbol.ends_with("gauge") {
        return Some((unit, format!("its unit is {}", unit.symbol)));
    }
    let gauge =
        by_symbol(&format!("{} gauge", if unit.symbol == "hPa" { "mbar" } else { unit.symbol }))?;
    let words = &draft.raw.words;
    if words.has("abs|absolute|absolut|absolu|absoluta|assoluta") {
        return None;
    }
    if words.has("gauge|rel|relative|relativ|relatif|uberdruck|vacuum|=ゲージ|ゲージ圧|wzgl|=表压")
    {
        return Some((gauge, "its name says so".to_owned()));
    }
    // No engine pulls its manifold below this, and a gauge at rest reads about zero.
    const LEAST_ABSOLUTE_PA: f64 = 1.2e4;
    let lowest = unit.inside(spread.low);
    (lowest < LEAST_ABSOLUTE_PA).then(|| {
        let why = format!(
            "it goes down to {} {}, too low for an absolute pressure",
            short(spread.low),
            unit.symbol
        );
        (gauge, why)
    })
}
