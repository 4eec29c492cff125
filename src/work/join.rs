//! A day file opened beside another: one day's driving joins the other's builds.
//!
//! In: the open [`Day`] and the newly opened one, each with its path. Out: one
//! [`Day`] whose paths all count from the first file, and what did not agree.
//!
//! A day that names a log which the open one names too is a later version of it
//! and takes its place. Otherwise builds of one name are one build, and what the
//! two files say of the car must not contradict.

use super::OpenDay;
use super::paths;
use crate::day::{Build, Day};
use crate::log::Problem;

/// The day after `next` was opened beside `open`.
pub fn join(open: OpenDay, next: OpenDay) -> OpenDay {
    let named = paths_of(&open);
    if paths_of(&next).iter().any(|path| named.contains(path)) {
        return next;
    }
    let mut problems = open.problems;
    let path = open.path;
    let moved = moved(next.day, |log| paths::named_from(&path, &paths::beside(&next.path, log)));
    let mut day = open.day;
    for build in moved.builds {
        add_build(&mut day, build);
    }
    if let (Some(ours), Some(theirs)) = (&day.vehicle, &moved.vehicle)
        && ours != theirs
    {
        let (file, first) = (paths::file_name(&next.path), paths::file_name(&path));
        let text = format!(
            "{file} states other facts of the car than {first}; those of {first} are used. \
             Open the two apart if they are not of one car."
        );
        problems.push(Problem { code: "cars_differ", text });
    }
    day.vehicle = day.vehicle.or(moved.vehicle);
    day.start_wanted_c = day.start_wanted_c.or(moved.start_wanted_c);
    day.limits = day.limits.or(moved.limits);
    day.tolerances = day.tolerances.or(moved.tolerances);
    day.title = day.title.or(moved.title);
    add_new(&mut day.speed_marks_mps, moved.speed_marks_mps);
    add_new(&mut day.channel_corrections, moved.channel_corrections);
    add_new(&mut day.pull_corrections, moved.pull_corrections);
    add_new(&mut day.drive_corrections, moved.drive_corrections);
    for (field, value) in moved.unknown {
        day.unknown.entry(field).or_insert(value);
    }
    OpenDay { path, day, problems }
}

/// Every log a day names, as parts of where it lies.
fn paths_of(open: &OpenDay) -> Vec<Vec<String>> {
    let outings = open.day.builds.iter().flat_map(|build| &build.outings);
    let logs = outings.flat_map(|outing| &outing.logs);
    logs.map(|log| paths::beside(&open.path, log))
        .map(|path| paths::parts(&path).into_iter().map(str::to_owned).collect())
        .collect()
}

/// The day with every log named anew.
fn moved(mut day: Day, name: impl Fn(&str) -> String) -> Day {
    let outings = day.builds.iter_mut().flat_map(|build| &mut build.outings);
    for log in outings.flat_map(|outing| &mut outing.logs) {
        *log = name(log);
    }
    for correction in &mut day.pull_corrections {
        correction.log = name(&correction.log);
    }
    day
}

fn add_build(day: &mut Day, build: Build) {
    match day.builds.iter_mut().find(|ours| ours.name == build.name) {
        Some(ours) => ours.outings.extend(build.outings),
        None => day.builds.push(build),
    }
}

fn add_new<T: PartialEq>(ours: &mut Vec<T>, theirs: Vec<T>) {
    for one in theirs {
        if !ours.contains(&one) {
            ours.push(one);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn open(path: &str, text: &str) -> OpenDay {
        let day = Day::from_json(path, text).expect("the test's own day");
        OpenDay { path: path.to_owned(), day, problems: Vec::new() }
    }

    const MAY: &str = r#"{"format":"pullmark-day","version":1,"vehicle":{"mass_kg":1500.0},
        "builds":[{"name":"stock","outings":[{"logs":["a.csv"]}]}]}"#;
    const JUNE: &str = r#"{"format":"pullmark-day","version":1,"vehicle":{"mass_kg":1520.0},
        "pull_corrections":[{"log":"a.csv","start_s":3.0,"change":"set_aside","why":"rain"}],
        "builds":[{"name":"stock","outings":[{"logs":["a.csv"]}]},
                  {"name":"cooler","outings":[{"logs":["b.csv"]}]}]}"#;

    #[test]
    fn builds_of_one_name_are_one_and_paths_count_from_the_first_file() {
        let joined = join(open("may/day.json", MAY), open("june/day.json", JUNE));
        let logs: Vec<_> =
            joined.day.builds.iter().map(|b| (b.name.as_str(), &b.outings)).collect();
        assert_eq!(logs.len(), 2);
        assert_eq!(logs[0].0, "stock");
        assert_eq!(logs[0].1[0].logs, ["a.csv"]);
        assert_eq!(logs[0].1[1].logs, ["../june/a.csv"]);
        assert_eq!(joined.day.pull_corrections[0].log, "../june/a.csv");
        assert_eq!(joined.problems[0].code, "cars_differ");
    }

    #[test]
    fn a_later_version_of_the_same_day_takes_its_place() {
        let later = JUNE.replace("june", "may");
        let joined = join(open("may/day.json", MAY), open("may/day (2).json", &later));
        assert_eq!(joined.path, "may/day (2).json");
        assert_eq!(joined.day.builds.len(), 2);
        assert_eq!(joined.day.builds[0].outings.len(), 1);
    }
}
