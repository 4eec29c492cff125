//! The verdict on one pull in words that a customer believes: what the log shows, what it was
//! over the ground and how well that is known, by which witness, what to log next time.
//!
//! In: a pull of the sheet. Out: one short text. Never: a time without its ±, or a void time
//! that reads like one that counts.

use super::labels;
use crate::sheet::{MarkRow, PullRow};
use crate::unit::reader::{number, seconds_text};

/// The mark that carries the pull's verdict: 0-60 mph, or the longest below it.
pub fn deciding(pull: &PullRow) -> Option<&MarkRow> {
    let find = |code: &str| pull.marks.iter().find(|mark| mark.mark == code);
    find("0-60mph").or_else(|| find("0-30mph")).or_else(|| find("60ft")).or(pull.marks.first())
}

pub fn spun(pull: &PullRow) -> bool {
    pull.spin.iter().any(|spin| spin.kind == "tyre")
}

/// The logged time of the deciding mark where it cannot be the car's: further from
/// the ground's than both its ± and what people compare by (a quarter of a second).
pub fn unbelievable(pull: &PullRow) -> Option<(&MarkRow, f64)> {
    let mark = deciding(pull)?;
    let (time_s, logged_s) = (mark.time_s?, mark.logged_time_s?);
    let apart = (time_s - logged_s).abs() > mark.plus_minus_s.unwrap_or(0.0) + 0.25;
    apart.then_some((mark, logged_s))
}

/// The whole verdict on one pull.
pub fn case(pull: &PullRow) -> String {
    let (word, _) = labels::verdict(&pull.verdict);
    let Some(mark) = deciding(pull) else { return format!("This launch is {word}.") };
    if pull.kind == "rolling" {
        return rolling(mark);
    }
    if pull.verdict == "stands" {
        return stands(pull, mark);
    }
    let (what, next) = (labels::mark(&mark.mark), next_time(pull));
    format!("{what} is {word}. The log alone shows {} Next time {next}.", shown(pull, mark, ""))
}

/// What the log shows, and what is known of the time over the ground: the rest of a
/// sentence. `what` names the mark where the words before do not.
pub fn shown(pull: &PullRow, mark: &MarkRow, what: &str) -> String {
    let log = match mark.logged_time_s {
        Some(logged_s) => format!("{what}{} s", number(logged_s, 2)),
        None => "no time".to_owned(),
    };
    if mark.time_s.is_none() {
        let why = if spun(pull) { ", for the tyres spun" } else { "" };
        return format!("{log}, and nothing in it tells what it was over the ground{why}.");
    }
    let (time, who) = (seconds_text(mark.time_s, mark.plus_minus_s), carriers(pull));
    match (pull.verdict.as_str(), unbelievable(pull).is_some() && spun(pull)) {
        ("void", _) => {
            format!("{log}; over the ground it is known no better than {time}, by {who}.")
        }
        (_, true) => {
            format!("{log}, but the tyres slipped: over the ground it was {time}, by {who}.")
        }
        _ => format!("{log}; over the ground it was {time}, by {who}."),
    }
}

fn stands(pull: &PullRow, mark: &MarkRow) -> String {
    let (what, time) = (labels::mark(&mark.mark), seconds_text(mark.time_s, mark.plus_minus_s));
    let said =
        format!("{what} stands: {time} over the ground, from first motion, by {}.", carriers(pull));
    let Some((_, logged_s)) = unbelievable(pull) else { return said };
    let why = if spun(pull) { ": the tyres slipped" } else { "" };
    format!("{said} Do not believe the {} s that the log alone shows{why}.", number(logged_s, 2))
}

/// A pull from a roll has no time from rest; its time between two speeds has its own verdict.
fn rolling(mark: &MarkRow) -> String {
    let (word, _) = labels::verdict(&mark.verdict);
    let (what, time) = (labels::mark(&mark.mark), seconds_text(mark.time_s, mark.plus_minus_s));
    let between = match mark.verdict.as_str() {
        "void" => format!("{what} is void."),
        "stands" => format!("{what} stands: {time}."),
        _ => format!("{what} is {word}: {time}."),
    };
    format!("The car was rolling, so there is no time from rest. {between}")
}

/// The witnesses that carry the time: those of the ground, or the logged speed alone.
fn carriers(pull: &PullRow) -> String {
    let own = ["accelerometer", "satellite_speed", "undriven_wheel"];
    let of_ground: Vec<String> = pull
        .witnesses
        .iter()
        .filter(|code| own.contains(&code.as_str()))
        .map(|code| format!("the {}", labels::witness(code)))
        .collect();
    match (of_ground.as_slice(), spun(pull)) {
        ([], _) => "the logged speed alone".to_owned(),
        (some, true) => super::listed(some),
        (some, false) => format!("{} beside the logged speed", super::listed(some)),
    }
}

/// What would settle it, in one imperative; the gravest want first.
fn next_time(pull: &PullRow) -> &'static str {
    let for_code = |code: &str| match code {
        "too_few_samples" | "gap_inside" | "speed_stuck" => Some(
            "log fewer channels, so that each is read more often, or add a satellite receiver of \
             10 Hz",
        ),
        "log_starts_in_motion" => {
            Some("start the recording before the launch and stand still for two seconds")
        }
        "clock_coarse" => Some("log the time with its fractions of a second"),
        "slope" => Some("drive in both directions, or find a level stretch"),
        _ => None,
    };
    let by_reason = pull.reasons.iter().find_map(|reason| for_code(&reason.code));
    by_reason.unwrap_or_else(|| missing(pull))
}

fn missing(pull: &PullRow) -> &'static str {
    let has = |code: &str| pull.witnesses.iter().any(|witness| witness == code);
    let ground = has("satellite_speed") || has("undriven_wheel");
    match (ground, has("accelerometer")) {
        (false, false) => {
            "log an accelerometer, a satellite speed of 10 Hz or an undriven wheel beside it"
        }
        (false, true) => "log a satellite speed of 10 Hz or an undriven wheel beside it",
        (true, false) => "log an accelerometer, read 20 times a second, beside it",
        (true, true) => "read speed and accelerometer more often: 20 times a second or more",
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::pull;
    use super::*;

    fn with(change: impl FnOnce(&mut PullRow), verdict: &str) -> String {
        let mut row = pull(0, verdict);
        change(&mut row);
        case(&row)
    }

    /// Customers read these: read every changed character of the diff.
    #[test]
    fn a_void_time_says_what_the_log_shows_what_it_was_and_what_to_log() {
        let known = with(|_| (), "void");
        let untold = with(
            |row| {
                (row.marks[0].time_s, row.marks[0].plus_minus_s) = (None, None);
                row.witnesses = vec!["logged_speed".to_owned()];
            },
            "void",
        );
        let doubted = with(|row| row.spin = vec![super::super::tests::spin()], "in_doubt");
        let rolling = with(|row| row.kind = "rolling".to_owned(), "void");
        insta::assert_snapshot!([known, untold, doubted, rolling].join("\n"), @r"
        0-60 mph is void. The log alone shows 2.21 s; over the ground it is known no better than 3.9 ± 0.4 s, by the accelerometer. Next time log a satellite speed of 10 Hz or an undriven wheel beside it.
        0-60 mph is void. The log alone shows 2.21 s, and nothing in it tells what it was over the ground, for the tyres spun. Next time log an accelerometer, a satellite speed of 10 Hz or an undriven wheel beside it.
        0-60 mph is in doubt. The log alone shows 2.21 s, but the tyres slipped: over the ground it was 3.91 ± 0.04 s, by the accelerometer. Next time log a satellite speed of 10 Hz or an undriven wheel beside it.
        The car was rolling, so there is no time from rest. 0-60 mph is void.
        ");
    }
}
