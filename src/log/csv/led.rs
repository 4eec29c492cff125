//! Lines that all begin with something that is not theirs: the mark of a mail that quotes
//! them, the clock of a terminal that showed them, the number of a pager.
//!
//! In: a text, before it is taken for a table. Out: the same without what leads its lines,
//! and what to say of that. The clock of a terminal is tried without, as the records' own
//! is the better one, and then as a column of its own. Common practice, no source.

use super::remade::Remade;
use super::split::DELIMITERS;
use crate::log::limits::HEAD_LINES_LIMIT;
use crate::log::{Problem, clock};

/// Longest clock of a terminal, with its date.
const LONGEST: usize = 32;

/// Whether most lines of a text begin so.
pub fn is_led(text: &str) -> bool {
    lead_of(text).is_some()
}

/// The texts without their leads, the likeliest first.
pub fn without_leads(text: &str) -> Vec<Remade> {
    let bare = |lead: fn(&str) -> Option<(&str, &str)>| {
        let bare = |line: &str| lead(line).map_or(line, |(_, rest)| rest).to_owned() + "\n";
        text.lines().map(bare).collect()
    };
    match lead_of(text) {
        None => Vec::new(),
        Some(Lead::Mail) => {
            vec![said(bare(mail), "Every line is quoted with \">\", as in a mail")]
        }
        Some(Lead::Number) => vec![said(bare(number), "Every line begins with its number")],
        Some(Lead::Clock) => {
            let own = said(bare(terminal), "A terminal's clock leads every line");
            let late =
                "The only clock is that of the terminal that showed the lines: it tells when they \
                        arrived, which may be late and uneven."
                    .to_owned();
            let problem = Some(Problem { code: "clock_of_terminal", text: late });
            vec![own, (with_clocks(text), problem)]
        }
    }
}

#[derive(Clone, Copy)]
enum Lead {
    Mail,
    Clock,
    Number,
}

fn lead_of(text: &str) -> Option<Lead> {
    let head = || text.lines().filter(|line| !line.trim().is_empty()).take(HEAD_LINES_LIMIT);
    let most = |lead: fn(&str) -> Option<(&str, &str)>| {
        let led = head().filter(|line| lead(line).is_some()).count();
        led > 2 && (led + 2) * 10 >= head().count() * 9
    };
    let numbers = || head().filter_map(|line| number(line)?.0.parse::<u64>().ok());
    // A table may count its rows: the names have no number there.
    let counted = || numbers().zip(1..).all(|(number, line)| number == line);
    [
        (Lead::Mail, most(mail)),
        (Lead::Clock, most(terminal)),
        (Lead::Number, most(number) && counted()),
    ]
    .into_iter()
    .find_map(|(lead, is_it)| is_it.then_some(lead))
}

/// `> Time,rpm`.
fn mail(line: &str) -> Option<(&str, &str)> {
    let rest = line.strip_prefix('>')?;
    Some((">", rest.strip_prefix(' ').unwrap_or(rest)))
}

/// `14:02:11.254 -> 100,850`, `[14:02:11] 100,850`.
fn terminal(line: &str) -> Option<(&str, &str)> {
    let in_brackets = || line.strip_prefix('[')?.split_once(']');
    let (stamp, rest) = line.split_once("->").or_else(in_brackets)?;
    let is_clock = || clock::parse(stamp.as_bytes()).is_some_and(|stamp| stamp.time.is_some());
    // What parts the stamp from the rest is no cell's end.
    let is_lead = !rest
        .trim_start()
        .starts_with(|c: char| u8::try_from(c).is_ok_and(|c| DELIMITERS.contains(&c)));
    (stamp.len() <= LONGEST && is_lead && is_clock()).then(|| (stamp.trim(), rest.trim_start()))
}

/// `12<tab>1.1,850`, where the cells are parted otherwise.
fn number(line: &str) -> Option<(&str, &str)> {
    let (number, rest) = line.split_once('\t')?;
    let number = number.trim();
    let fits = !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit());
    (fits && !rest.contains('\t') && rest.contains([',', ';', '|'])).then_some((number, rest))
}

fn said(text: String, what: &str) -> Remade {
    let text_said = format!("{what}; that was left out.");
    (text, Some(Problem { code: "lines_led", text: text_said }))
}

/// The terminal's clock as the first cell, named where the names stand.
fn with_clocks(text: &str) -> String {
    let count = |delimiter: &u8| {
        let cells = |line: &str| line.bytes().filter(|b| b == delimiter).count();
        text.lines().take(HEAD_LINES_LIMIT).map(cells).sum::<usize>()
    };
    let most = DELIMITERS.into_iter().max_by_key(count).filter(|most| count(most) > 0);
    // Cells may be parted by blanks, too.
    let delimiter = most.map_or(' ', char::from);
    let is_names = |rest: &str| rest.split(delimiter).all(|cell| !super::sniff::is_reading(cell));
    let line = |line: &str| match terminal(line) {
        Some((_, rest)) if is_names(rest) => format!("time{delimiter}{rest}\n"),
        Some((stamp, rest)) => format!("{stamp}{delimiter}{rest}\n"),
        None => format!("{line}\n"),
    };
    text.lines().map(line).collect()
}
