//! The same data through general reference readers gives the same columns.
//!
//! `main.py` writes files in many variants through pandas, asammdf, pynmea2 and gpxpy,
//! reads them and the open recordings back with the same, and puts down what these saw.
//! Here every column of numbers is held against our own reading, cell by cell: the same
//! names, times, values and holes. `cargo proof` sets the readers up (`requirements.txt`
//! has their versions); no expectation is written by hand, and what differs by intent
//! stands in `intent.rs`, file and column by name.

mod found;
mod intent;
mod ours;

use std::path::{Path, PathBuf};
use std::process::Command;

use found::{Column, Found};
use ours::Ours;
use pullmark::log::Channel;

/// Files and cells that were compared.
#[derive(Debug, Default)]
struct Counts {
    files: usize,
    columns: usize,
    cells: usize,
    /// Columns of which the log leaves repeats out.
    thinned: usize,
}

#[test]
fn general_readers_see_the_same_columns() {
    let all = found::all(&seen_by_the_peers());
    let (mut counts, mut differences) = (Counts::default(), Vec::new());
    for found in &all {
        let apart = differences.len();
        hold(found, &mut counts, &mut differences);
        differences[apart..]
            .iter_mut()
            .for_each(|text| *text = format!("{} ({}): {text}", found.name(), found.reader));
    }

    println!("{counts:?}");
    assert!(differences.is_empty(), "{} differ:\n{}", differences.len(), differences.join("\n"));
    assert!(counts.files > 240 && counts.cells > 800_000, "too little was compared: {counts:?}");
    assert_eq!(intent::idle(&all), [""; 0], "exceptions without a use");
    for name in recordings() {
        assert!(all.iter().any(|found| found.name() == name), "no peer has read {name}");
    }
}

/// Runs the reference readers; out comes the folder with what they found.
fn seen_by_the_peers() -> PathBuf {
    let target = Path::new(env!("CARGO_TARGET_TMPDIR")).parent().expect("inside target");
    let python = target.join("peers-venv/bin/python");
    assert!(python.is_file(), "no {}: `cargo proof` sets it up", python.display());
    let folder = target.join("peers");
    let output = Command::new(python)
        .arg("-B")
        .arg(root().join("tests/peers/main.py"))
        .args([&folder, &root().join("tests/data/open")])
        .output()
        .expect("Python runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    folder.join("found")
}

/// Names of the open recordings.
fn recordings() -> Vec<String> {
    let files =
        std::fs::read_dir(root().join("tests/data/open")).expect("the recordings are there");
    let names = files.map(|file| file.expect("is read").file_name().to_string_lossy().into_owned());
    names.filter(|name| !name.ends_with(".md") && !name.ends_with(".txt")).collect()
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Holds all of a file against what a peer saw in it.
fn hold(found: &Found, counts: &mut Counts, differences: &mut Vec<String>) {
    let ours = match Ours::of(&found.file) {
        Ok(ours) => ours,
        Err(error) => return differences.push(format!("refused: {error}")),
    };
    counts.files += 1;
    differences.extend(started(found, &ours));
    let recorded = |ours: &&Channel| !ours.derived;
    for channel in ours.all.channels.iter().filter(recorded) {
        if found.column(&channel.name).is_none() {
            differences.push(format!("\"{}\" is ours alone", channel.name));
        }
    }
    for column in &found.columns {
        let Some(channel) = ours.all.channels.iter().find(|c| c.name == column.name) else {
            if !intent::is_no_channel(found, &column.name) {
                let (name, ours) = (&column.name, ours.names());
                differences.push(format!("\"{name}\" is not among {ours:?}"));
            }
            continue;
        };
        counts.columns += 1;
        counts.cells += column.value.len();
        differences.extend(same(found, column, channel));
        let Some(fresh) = ours.fresh(&column.name) else {
            differences.push(format!("\"{}\" is lost when read in pieces", column.name));
            continue;
        };
        counts.thinned += usize::from(is_thinned(fresh));
        differences.extend(within(found, column, fresh));
    }
}

/// The first record's instant, where the file tells one.
fn started(found: &Found, ours: &Ours) -> Option<String> {
    let theirs = found.unix.then_some(found.start_s)?;
    let own = ours.all.began_unix_s;
    let is_same = own.is_some_and(|own| (own - theirs).abs() <= found.time_slack_s);
    (!is_same).then(|| format!("begins at {own:?}, theirs at {theirs}"))
}

/// The first difference between a column and all readings of our channel.
fn same(found: &Found, column: &Column, channel: &Channel) -> Option<String> {
    let (ours, theirs) = (&channel.series, column);
    let differs = (0..ours.len().min(theirs.value.len()))
        .find(|&at| !cell_is_same(found, column, channel, at, at));
    let at = match differs {
        None if ours.len() == theirs.value.len() => return None,
        None => ours.len().min(theirs.value.len()),
        Some(at) => at,
    };
    let own = ours.time_s.get(at).zip(ours.value.get(at));
    let other = theirs.time_s.get(at).zip(theirs.value.get(at));
    Some(format!(
        "\"{}\" in {:?}: reading {at} of {} is {own:?} (s, SI), theirs of {} is {other:?} (s, as written)",
        column.name,
        channel.unit.map(|unit| unit.symbol),
        ours.len(),
        theirs.value.len(),
    ))
}

/// The first reading of a log, repeats left out, that no cell of the column is.
fn within(found: &Found, column: &Column, fresh: &Channel) -> Option<String> {
    let name = &column.name;
    let mut next = 0;
    for at in 0..fresh.series.len() {
        let from = next;
        while next < column.value.len() && !cell_is_same(found, column, fresh, at, next) {
            next += 1;
        }
        if next == column.value.len() {
            let time_s = fresh.series.time_s[at];
            return Some(format!(
                "\"{name}\": the reading at {time_s} s is no cell from {from} on"
            ));
        }
        next += 1;
    }
    (!is_thinned(fresh) && fresh.series.len() != column.value.len())
        .then(|| format!("\"{name}\": {} of {} cells", fresh.series.len(), column.value.len()))
}

fn is_thinned(fresh: &Channel) -> bool {
    fresh.how.contains("repeats left out")
}

/// Whether a reading of ours is a cell of theirs, for rounding.
fn cell_is_same(
    found: &Found,
    column: &Column,
    channel: &Channel,
    own: usize,
    other: usize,
) -> bool {
    let written = column.value[other];
    let expected = channel.unit.map_or(written, |unit| unit.inside(written));
    // A unit that stands on another zero adds a rounding of that zero.
    let rounding = column.slack * (expected.abs() + channel.unit.map_or(0.0, |u| u.offset.abs()));
    (channel.series.value[own] - expected).abs() <= rounding
        && (channel.series.time_s[own] - column.time_s[other]).abs() <= found.time_slack_s
}
