//! A few logs of the launch study and days of the heat study, in the ordinary run; `cargo study` runs them all.
//!
//! The seeds are fixed, so the outcome is too: what is held here are floors well below what
//! the whole study finds, so that a change for the worse shows in minutes.

#[allow(dead_code, reason = "the study's own program uses the rest")]
mod heat;
mod launches;
#[path = "../simulation/mod.rs"]
mod simulation;
#[allow(dead_code, reason = "the study's own program uses the rest")]
mod table;

use std::sync::LazyLock;

use heat::What;
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

/// Two days with a change and two without; a debug build takes 5 s for each.
static DAYS: LazyLock<Vec<heat::Tried>> = LazyLock::new(|| heat::run(20_004..20_008));

/// Pulls of one day share a sensor, so a day's values lie out together: floors are some ten
/// in 100 below what the whole study finds.
#[test]
fn intervals_of_charge_air_cover_the_truth() {
    for what in [What::Start, What::End, What::Rise, What::AtMark, What::Tau] {
        let (count, share) = heat::coverage(&DAYS, what);
        assert!(count >= 8, "only {count} values of {what:?}");
        assert!(share > 0.87, "{what:?}: {count} values, covered {share:.2}");
    }
    assert!(DAYS.iter().all(|day| day.missed == 0), "a pull was not found");
}

#[test]
fn no_change_is_called_real_where_nothing_was_changed() {
    for what in [What::RiseDifference, What::StartDifference] {
        let (real, all) = heat::called_real(&DAYS, what, false);
        assert!(all >= 2, "only {all} days without a change");
        assert_eq!(real, 0, "{what:?} of {all} days");
    }
}
