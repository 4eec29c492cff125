//! A few of the launch study's logs, in the ordinary run; `cargo study` runs them all.
//!
//! The seeds are fixed, so the outcome is too: what is held here are floors well below what
//! the whole study finds, so that a change for the worse shows in minutes.

mod launches;
#[path = "../simulation/mod.rs"]
mod simulation;
#[allow(dead_code, reason = "the study's own program uses the rest")]
mod table;

use std::sync::LazyLock;

use launches::{Class, Tried};
use table::Sum;

static TRIED: LazyLock<Vec<Tried>> = LazyLock::new(|| launches::run(20_000..20_024));

#[test]
fn no_wrong_time_stands() {
    let wrong: Vec<String> = TRIED
        .iter()
        .flat_map(|t| t.marks.iter().filter(|m| m.stands_wrong()).map(move |m| (t, m)))
        .map(|(t, mark)| format!("seed {} pull {}: {mark:?}", t.seed, t.number))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Two deviations of a binomial below 95 in 100 for as many launches as there are logs.
#[test]
fn the_intervals_cover_the_truth() {
    let sum = Sum::of(TRIED.iter().filter_map(|t| t.mark("0-60mph")));
    assert!(sum.timed > 30, "{} timed", sum.timed);
    assert!(sum.coverage() > 0.86, "0-60 mph covered in {:.2}", sum.coverage());
}

#[test]
fn every_pull_is_found_and_no_grip_called_spin() {
    assert!(TRIED.iter().all(|t| t.verdict.is_some()), "a pull was not found");
    let wrong = TRIED.iter().map(|t| t.spins_false).sum::<usize>();
    assert!(wrong <= 1, "{wrong} stretches of spin in {} launches that were none", TRIED.len());
}

#[test]
fn a_lone_logged_speed_never_stands() {
    let lone = TRIED.iter().filter(|t| matches!(t.class, Class::LoggedFree | Class::LoggedDriven));
    for tried in lone {
        assert_ne!(tried.verdict.as_deref(), Some("stands"), "seed {}", tried.seed);
    }
}
