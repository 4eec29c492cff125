//! Files that a logger, or a program that cuts files, went on in without the names.
//!
//! In: the open logs. Out: the same, where a table without names goes on from one that has
//! them with its names and units, which is said. The clock shows that it goes on; of two
//! files that it could go on from, neither names it.

use std::sync::Arc;

use super::OpenLog;
use crate::log::{self, Log, align};

/// Names what can be named, each of which may name the next.
pub fn name(logs: &mut [OpenLog]) {
    while let Some((at, named)) = next(logs) {
        logs[at].log = Arc::new(named);
    }
}

fn next(logs: &[OpenLog]) -> Option<(usize, Log)> {
    logs.iter().enumerate().filter(|(_, open)| open.log.is_headless()).find_map(|(at, open)| {
        let mut before = logs.iter().filter(|other| {
            !other.log.is_headless() && align::goes_on(&other.log, &open.log).is_some()
        });
        let first = before.next().filter(|_| before.next().is_none())?;
        Some((at, log::named_like(&open.log, &first.log)?))
    })
}

#[cfg(test)]
mod tests {
    use crate::log::Role;
    use crate::work::Work;

    fn rows(from: usize, to: usize) -> String {
        (from..to).map(|n| format!("{:.1},{},{}\n", n as f64 / 10.0, 900 + n, n % 90)).collect()
    }

    #[test]
    fn a_file_without_names_that_goes_on_takes_those_of_the_one_before() {
        let mut work = Work::new();
        let first = format!("Time (s),RPM,Speed (mph)\n{}", rows(0, 300));
        // In the order in which nobody drives.
        for (path, text) in [("c.csv", rows(600, 800)), ("b.csv", rows(300, 600)), ("a.csv", first)]
        {
            work.open(path, text.as_bytes()).expect("it opens");
        }
        for open in work.logs() {
            assert!(open.log.channel(Role::EngineSpeed).is_some(), "{}", open.path);
        }
        let last = &work.logs()[0].log;
        let speed = last.channel(Role::VehicleSpeed).expect("named");
        assert_eq!(speed.unit.map(|unit| unit.symbol), Some("mph"));
        assert!(last.problems.iter().any(|problem| problem.text
            == "No line names the columns; the names of b.csv were taken, from which the clock goes on."));
        assert_eq!(work.day().builds.len(), 1, "one drive");
        // One that begins at another time stays without.
        work.open("d.csv", rows(1000, 1200).as_bytes()).expect("it opens");
        assert!(work.logs()[3].log.channel(Role::EngineSpeed).is_none());
    }
}
