//! How each column is to be read: as numbers with which decimal sign, as clock, as gear.
//!
//! In: headings and a sample of records. Out: a [`Kind`] a column. Decided over whole
//! columns of the sample, and over the whole sample where a column leaves it open.

use std::collections::BTreeSet;

use super::arcs;
use super::cells::{self, Cell, Decimal};
use super::header::{Heading, is_time};
use super::positions;
use super::table::{Column, Kind};
use crate::log::{Role, clock, roles};

/// How each column is to be read, from the sample.
pub fn kinds(sample: &[Vec<String>], headings: &[Heading]) -> Vec<Kind> {
    let column = |at: usize| sample.iter().filter_map(move |row| row.get(at)).map(String::as_str);
    let seen: Vec<Seen> = (0..headings.len()).map(|at| Seen::of(column(at))).collect();
    let elsewhere = Signs {
        points: seen.iter().any(|seen| seen.point_decimals > 0),
        commas: seen.iter().any(|seen| seen.comma_decimals > 0),
        mixed: seen.iter().any(|seen| seen.last_of_both.is_none() && seen.is_mixed()),
    };
    seen.iter()
        .enumerate()
        .map(|(at, seen)| {
            let decimal = seen.decimal_sign(elsewhere);
            let number = |cell: &&str| {
                !matches!(cells::parse(cell.as_bytes(), decimal), Cell::Text | Cell::Blank)
            };
            let numbers = column(at).filter(number).count();
            // A length of time is a clock only where nothing else is.
            let is_only =
                (0..headings.len()).all(|other| is_time(&headings[other].words) == (other == at));
            let read = if is_only { clock::parse_length } else { clock::parse };
            let stamps = column(at).filter(|cell| read(cell.as_bytes()).is_some()).count();
            let is_date = stamps >= numbers && headings[at].words.has("date|datum|fecha");
            let is_compact =
                stamps == numbers && column(at).any(|cell| clock::is_compact(cell.trim()));
            let named = roles::named(&headings[at].words, None);
            let gear = named.is_some_and(|named| named.role == Role::Gear);
            let position =
                named.is_some_and(|n| matches!(n.role, Role::Latitude | Role::Longitude));
            let in_words = |cell: &str| {
                !matches!(cells::parse(cell.as_bytes(), decimal), Cell::Number(_))
                    && positions::degrees(cell.as_bytes()).is_some()
            };
            let hemisphere = arcs::hemisphere_of(headings, at, column(at)).filter(|_| !gear);
            match (stamps > numbers || ((is_date || is_compact) && stamps > 0), gear) {
                _ if position && column(at).any(in_words) => Kind::Position(decimal),
                _ if let Some(role) = hemisphere => Kind::Hemisphere(role),
                _ if is_dotted_clock(&headings[at], column(at)) => Kind::DottedClock,
                (true, _) => Kind::Clock,
                (_, true) => Kind::Gear(decimal),
                _ => Kind::Number(decimal),
            }
        })
        .collect()
}

/// Whether a column named like a clock, and not like a date, holds times of day with points
/// between their parts. A date does not change from record to record.
fn is_dotted_clock<'a>(heading: &Heading, cells: impl Iterator<Item = &'a str> + Clone) -> bool {
    const DATES: &str = "date|datum|fecha|=data|=jour|=tag|=dag|=dato";
    let changes = || cells.clone().collect::<BTreeSet<_>>().len() > 2;
    is_time(&heading.words)
        && !heading.words.has(DATES)
        && changes()
        && cells.clone().all(|cell| cell.is_empty() || clock::dotted(cell.as_bytes()).is_some())
}

/// Decimal signs that are certain somewhere in the file.
#[derive(Clone, Copy)]
struct Signs {
    points: bool,
    commas: bool,
    /// Both in one column.
    mixed: bool,
}

/// Commas and points in the cells of one column.
#[derive(Default)]
struct Seen {
    commas: usize,
    points: usize,
    comma_decimals: usize,
    point_decimals: usize,
    /// Cells without either: whole numbers of three digits, and such beyond.
    hundreds: usize,
    thousands: usize,
    /// One sign with three digits behind it, and of these with one digit before it.
    groups: usize,
    units: usize,
    /// Cells with one comma or one point and nothing else but three digits behind it, or
    /// what can only be decimals.
    lone_commas: usize,
    lone_points: usize,
    /// Of the first cell with both, the one further right.
    last_of_both: Option<Decimal>,
}

impl Seen {
    fn of<'a>(cells: impl Iterator<Item = &'a str>) -> Self {
        let mut seen = Seen::default();
        for cell in cells {
            if is_plain(cell.as_bytes()) {
                seen.points += 1;
                seen.point_decimals += 1;
                seen.lone_points += 1;
                continue;
            }
            let last = |sign| cell.bytes().rposition(|b| b == sign);
            let (comma, point) = (last(b','), last(b'.'));
            if comma.is_some() {
                seen.commas += 1;
                seen.comma_decimals += usize::from(is_decimal(cell, ','));
            }
            if point.is_some() {
                seen.points += 1;
                seen.point_decimals += usize::from(is_decimal(cell, '.'));
            }
            if let (None, None, Ok(whole)) = (comma, point, cell.trim().parse::<u64>()) {
                seen.hundreds += usize::from((100..1000).contains(&whole));
                seen.thousands += usize::from(whole >= 1000);
            }
            if comma.is_none() && point.is_none() {
                continue;
            }
            if let Some(sign) = [',', '.'].into_iter().find(|sign| could_be_group(cell, *sign)) {
                seen.groups += 1;
                seen.units += usize::from(bare(cell).find(sign) == Some(1));
            }
            seen.lone_commas += usize::from(is_lone(cell, ',') && point.is_none());
            seen.lone_points += usize::from(is_lone(cell, '.') && comma.is_none());
            if comma.is_some() && point.is_some() {
                let last = if comma > point { Decimal::Comma } else { Decimal::Point };
                seen.last_of_both.get_or_insert(last);
            }
        }
        seen
    }

    /// Decimal commas in some cells and points in others, as where two halves of a file were
    /// written by two machines. Who parts thousands writes 1.250,5 and 850,5: there a sign
    /// with other than three digits behind it is always the same one.
    fn is_mixed(&self) -> bool {
        let by_decimals = self.comma_decimals > 0 && self.point_decimals > 0;
        // 13,512 and 13.512: three digits behind every sign, and no thousand without a sign.
        let all_of_three = self.groups == self.lone_commas + self.lone_points;
        self.has_lone_of_both()
            && (by_decimals || all_of_three && self.hundreds == 0 && self.thousands == 0)
    }

    fn has_lone_of_both(&self) -> bool {
        self.lone_commas > 0 && self.lone_points > 0
    }

    /// A column's decimal sign: comma where commas are written as decimals, or could
    /// be and nothing in the file is written with a point.
    fn decimal_sign(&self, elsewhere: Signs) -> Decimal {
        let grouped = self.points > 0 && self.point_decimals == 0 && self.commas == 0;
        // 900 and then 1,000: the sign parts thousands. With a decimal sign there would be
        // 900,000 before it, and without one 1000 behind it.
        let parts = self.hundreds > 0 && self.thousands == 0 && self.units > 0;
        match self.last_of_both {
            Some(last) => last,
            None if self.is_mixed() || elsewhere.mixed && self.has_lone_of_both() => {
                Decimal::Either
            }
            None if parts && self.commas == self.groups && self.points == 0 => Decimal::Point,
            None if parts && self.points == self.groups && self.commas == 0 => Decimal::Comma,
            None if self.comma_decimals > 0 && self.point_decimals == 0 => Decimal::Comma,
            None if self.commas > 0 && self.points == 0 && !elsewhere.points => Decimal::Comma,
            // 1.250 beside 0,5 in the next column: points part thousands in this file.
            None if grouped && elsewhere.commas && !elsewhere.points => Decimal::Comma,
            None => Decimal::Point,
        }
    }
}

/// Digits, a point, and one or two digits more: as most cells of most logs, and in one look.
fn is_plain(cell: &[u8]) -> bool {
    let unsigned = cell.strip_prefix(b"-").unwrap_or(cell);
    let (whole, fraction) = match unsigned {
        [whole @ .., b'.', tenths] => (whole, [b'0', *tenths]),
        [whole @ .., b'.', tenths, hundredths] => (whole, [*tenths, *hundredths]),
        _ => return false,
    };
    let digits = |text: &[u8]| text.iter().all(u8::is_ascii_digit);
    !whole.is_empty() && digits(whole) && digits(&fraction)
}

/// One sign with digits on both sides of it.
fn is_lone(cell: &str, sign: char) -> bool {
    let Some((whole, fraction)) = bare(cell).split_once(sign) else { return false };
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    digits(whole) && digits(fraction)
}

fn bare(cell: &str) -> &str {
    cell.trim().trim_start_matches(['-', '+'])
}

/// One to three digits, a sign, three digits: `1.250`, never `0.250`.
fn could_be_group(cell: &str, sign: char) -> bool {
    let Some((whole, fraction)) = bare(cell).split_once(sign) else { return false };
    let digits = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
    fraction.len() == 3
        && (1..=3).contains(&whole.len())
        && digits(whole)
        && digits(fraction)
        && !whole.starts_with('0')
}

/// Digits, one sign, digits, and not a group of three behind a leading digit.
fn is_decimal(cell: &str, sign: char) -> bool {
    let Some((whole, fraction)) = bare(cell).split_once(sign) else { return false };
    let digits = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
    digits(whole) && digits(fraction) && !fraction.is_empty() && !could_be_group(cell, sign)
}

/// Kinds to begin reading with, from the first records alone. Where these are written
/// with decimal commas, a column that shows no sign yet will have commas too.
pub fn likely(sample: &[Vec<String>], headings: &[Heading]) -> Vec<Kind> {
    let mut kinds = kinds(sample, headings);
    if kinds.contains(&Kind::Number(Decimal::Comma)) {
        for (at, kind) in kinds.iter_mut().enumerate() {
            let bare =
                |row: &Vec<String>| row.get(at).is_none_or(|cell| !cell.contains(['.', ',']));
            if *kind == Kind::Number(Decimal::Point) && sample.iter().all(bare) {
                *kind = Kind::Number(Decimal::Comma);
            }
        }
    }
    kinds
}

/// Whether a column read as one kind holds what the other would have given.
pub fn same(read: Kind, wanted: Kind, column: &Column) -> bool {
    match (read, wanted) {
        (Kind::Number(_), Kind::Number(_)) | (Kind::Gear(_), Kind::Gear(_)) => {
            read == wanted || !column.has_sign
        }
        _ => read == wanted,
    }
}
