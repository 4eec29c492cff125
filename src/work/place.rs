//! Which opened log is which of the logs that the day names.
//!
//! In: the paths of the opened logs and the day. Out: for each opened log its
//! [`Place`] in the day, for each log the day names whether it was found.
//!
//! A log is known by its whole path first, then by as much of its path's end as
//! agrees, at least the file name: a browser tells no folders. Two logs of one
//! name are told apart by their folders, and where there are none by the order
//! they were opened in; a choice that was not certain is a [`Problem`].

use super::paths;
use crate::day::Day;
use crate::log::Problem;

/// Where in the day a log stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    pub build: usize,
    pub outing: usize,
    /// Order within the outing, as the day file lists its logs.
    pub order: usize,
}

/// A log that the day names.
#[derive(Debug, Clone, PartialEq)]
pub struct Named {
    pub place: Place,
    /// As the day file writes it.
    pub written: String,
    /// Where it lies, seen from where the day file lies.
    pub path: String,
    /// Index of the opened log, if it is open.
    pub open: Option<usize>,
}

/// Every log the day names, in the day's order, matched to the opened ones.
pub fn named(day_file: &str, day: &Day, opened: &[&str]) -> Vec<Named> {
    let mut named = listed(day_file, day);
    match_where(&mut named, opened, same_path);
    for least in (1..=deepest(&named)).rev() {
        match_where(&mut named, opened, |a, b| paths::shared_end(a, b) >= least);
    }
    named
}

/// What is not certain about the log at `index` among the opened ones.
pub fn doubt(named: &[Named], opened: &[&str], index: usize) -> Option<Problem> {
    let path = *opened.get(index)?;
    let own = named.iter().find(|row| row.open == Some(index))?;
    if same_path(&own.path, path) {
        return None;
    }
    let shared = paths::shared_end(&own.path, path);
    let fits = |other: &str, path: &str| paths::shared_end(other, path) >= shared;
    let other_name = named.iter().any(|row| row.place != own.place && fits(&row.path, path));
    let other_log = (0..opened.len()).any(|i| i != index && fits(&own.path, opened[i]));
    let why = match (other_name, other_log) {
        (false, false) => return None,
        (true, _) => "its name also fits another log that the day names",
        (false, true) => "another open file fits that name too",
    };
    let text = format!(
        "Taken for {} of the day by its name and the order of opening, but {why}. \
         Put it to another build if that is wrong.",
        own.written
    );
    Some(Problem { code: "name_fits_two", text })
}

fn same_path(a: &str, b: &str) -> bool {
    paths::parts(a) == paths::parts(b)
}

fn listed(day_file: &str, day: &Day) -> Vec<Named> {
    let mut named = Vec::new();
    for (build, row) in day.builds.iter().enumerate() {
        for (outing, row) in row.outings.iter().enumerate() {
            for (order, written) in row.logs.iter().enumerate() {
                let path = paths::beside(day_file, written);
                let place = Place { build, outing, order };
                named.push(Named { place, written: written.clone(), path, open: None });
            }
        }
    }
    named
}

fn deepest(named: &[Named]) -> usize {
    named.iter().map(|row| paths::parts(&row.path).len()).max().unwrap_or(0)
}

/// Gives each still unmatched name the first free log that fits it.
fn match_where(named: &mut [Named], opened: &[&str], fits: impl Fn(&str, &str) -> bool) {
    let mut free: Vec<usize> =
        (0..opened.len()).filter(|&i| named.iter().all(|row| row.open != Some(i))).collect();
    for row in named.iter_mut().filter(|row| row.open.is_none()) {
        if let Some(at) = free.iter().position(|&i| fits(&row.path, opened[i])) {
            row.open = Some(free.remove(at));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::day::{Build, Outing};

    fn day_of(builds: &[&[&str]]) -> Day {
        let build = |logs: &&[&str]| {
            let logs = logs.iter().map(|log| (*log).to_owned()).collect();
            let outings = vec![Outing { logs, ..Outing::default() }];
            Build { name: "any".to_owned(), outings, ..Build::default() }
        };
        Day { builds: builds.iter().map(build).collect(), ..Day::empty() }
    }

    fn opened_in_order(day_file: &str, builds: &[&[&str]], opened: &[&str]) -> Vec<Option<usize>> {
        named(day_file, &day_of(builds), opened).iter().map(|row| row.open).collect()
    }

    #[test]
    fn a_log_is_known_by_its_whole_path_before_its_name() {
        let builds: [&[&str]; 2] = [&["one/a.csv"], &["two/a.csv"]];
        let opened = ["may/two/a.csv", "may/one/a.csv"];
        assert_eq!(opened_in_order("may/day.json", &builds, &opened), [Some(1), Some(0)]);
        let opened = ["x/a.csv", "a.csv"];
        assert_eq!(opened_in_order("day.json", &[&["a.csv"]], &opened), [Some(1)]);
    }

    #[test]
    fn without_folders_the_name_is_enough_and_what_is_not_open_is_not_matched() {
        let builds: [&[&str]; 2] = [&["logs/a.csv", "logs/b.csv"], &["logs/c.csv"]];
        let opened = ["c.csv", "b.csv"];
        assert_eq!(opened_in_order("day.json", &builds, &opened), [None, Some(1), Some(0)]);
    }

    #[test]
    fn one_name_twice_is_told_apart_by_the_order_of_opening_and_said() {
        let builds: [&[&str]; 2] = [&["one/a.csv"], &["two/a.csv"]];
        let opened = ["a.csv", "a.csv"];
        let named = named("day.json", &day_of(&builds), &opened);
        assert_eq!(named.iter().map(|row| row.open).collect::<Vec<_>>(), [Some(0), Some(1)]);
        let doubt = doubt(&named, &opened, 1).expect("the name fits both");
        assert_eq!(doubt.code, "name_fits_two");
        assert!(doubt.text.contains("two/a.csv"), "{}", doubt.text);
    }

    #[test]
    fn a_whole_path_is_never_in_doubt() {
        let builds: [&[&str]; 2] = [&["one/a.csv"], &["two/a.csv"]];
        let opened = ["one/a.csv", "two/a.csv"];
        let named = named("day.json", &day_of(&builds), &opened);
        assert_eq!(doubt(&named, &opened, 0), None);
        assert_eq!(doubt(&named, &opened, 1), None);
    }
}
