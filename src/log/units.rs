//! Spellings of units: how files write them, and which unit each means.
//!
//! In: a unit as found in a header, a unit row, a bracket, or glued to a name.
//! Out: a [`Unit`], or `None` when the spelling is not one we know. Never a guess
//! from values: that is the business of `infer`.
//!
//! Sources: UCUM codes (`Cel`, `[degF]`, `[mi_i]/h`, …); the everyday spellings
//! are common practice, no source.

mod signs;
mod spellings;

use std::collections::BTreeMap;
use std::sync::LazyLock;

use self::signs::tidy;
use self::spellings::SPELLINGS;
use super::names::Words;
use super::roles;
use crate::unit::{Quantity, Unit, by_symbol, counted};

/// The unit a spelling means, taken alone (brackets off).
pub fn spelled(text: &str) -> Option<Unit> {
    let tidy = tidy(text);
    if tidy.is_empty() {
        return None;
    }
    in_signs(&tidy).or_else(|| in_signs(&self::tidy(&in_figures(text)?)))
}

fn in_signs(tidy: &str) -> Option<Unit> {
    KNOWN.get(tidy).copied().or_else(|| pressure(tidy)).or_else(|| counted_in(tidy))
}

/// `in m/s`, `tenths of °C`, `scale=0.01, km/h`: a unit and what is said about it in words.
fn in_figures(text: &str) -> Option<String> {
    const PARTS: [(&str, &str); 3] =
        [("tenths of ", "0.1 "), ("hundredths of ", "0.01 "), ("thousandths of ", "0.001 ")];
    let text = text.trim();
    // No unit takes longer; a header may.
    if text.len() > 40 {
        return None;
    }
    let of_part =
        |(words, part): &(&str, &str)| Some(format!("{part}{}", text.strip_prefix(words)?));
    let scaled = || {
        let (scale, unit) = text.strip_prefix("scale=")?.split_once([',', ' ', ';'])?;
        Some(format!("{scale} {}", unit.trim()))
    };
    let plain = || text.strip_prefix("in ").map(str::to_owned);
    PARTS.iter().find_map(of_part).or_else(scaled).or_else(plain)
}

/// A pressure with a word for what it stands on: `mmHg abs`, `bar relative`, `barü`.
fn pressure(tidy: &str) -> Option<Unit> {
    let cut = |words: &[&'static str]| words.iter().find_map(|word| tidy.strip_suffix(word));
    let known = |base: &str| {
        let unit = KNOWN.get(base.trim_end_matches(['.', ',', '_', '-'])).copied()?;
        (unit.quantity == Quantity::Pressure).then_some(unit)
    };
    const ABSOLUTE: &[&str] = &["absolute", "absolut", "absolu", "assoluta", "abs", "a"];
    const GAUGE: &[&str] =
        &["relative", "relativ", "relatif", "rel", "gauge", "uberdruck", "überdruck", "ü", "g"];
    if let Some(base) = cut(ABSOLUTE) {
        return known(base);
    }
    let symbol = match known(cut(GAUGE)?)?.symbol {
        "hPa" => "mbar",
        symbol => symbol,
    };
    by_symbol(&format!("{symbol} gauge"))
}

/// Counts of a part of a unit: `10 ms`, `x100 ms`, `1/100 s`, `0.1 °C`, `0.25 rpm`.
fn counted_in(tidy: &str) -> Option<Unit> {
    let digits = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '/');
    let counted = tidy.trim_start_matches(['x', '×', '.']);
    let end = counted.find(|c| !digits(c)).filter(|end| *end > 0)?;
    let (count, base) = counted.split_at(end);
    let base = *KNOWN.get(base)?;
    let number = |text: &str| text.replace(',', ".").parse::<f64>().ok();
    let count = match count.split_once('/') {
        Some((over, under)) => number(over)? / number(under)?,
        None => number(count)?,
    };
    if base.quantity != Quantity::Time {
        return counted::counted(count, base);
    }
    let factor = count * base.factor;
    crate::unit::of_quantity(Quantity::Time).find(|unit| (unit.factor / factor - 1.0).abs() < 1e-9)
}

/// Whether a cell is no reading but says of what part of a unit readings are counts.
pub fn is_counted(cell: &str) -> bool {
    spelled(cell).is_some_and(|unit| counted::base(unit).is_some())
}

/// Whether a bracket holds a unit, though none that is known: `km/h x10`, `psi(d)`. What
/// is written there is then no other, whatever the values look like.
fn holds_unit(inside: &str) -> bool {
    let parts = inside.split(|c: char| !c.is_alphanumeric() && !matches!(c, '°' | '²' | '%'));
    let unit = |part: &str| spelled(part).filter(|unit| unit.quantity != Quantity::Number);
    parts.filter(|part| !part.is_empty()).any(|part| unit(part).is_some())
}

/// A unit in the name's brackets that is not known, as written.
pub fn unknown_in(written: &str) -> Option<&str> {
    let strange = |inside: &&str| {
        spelled(inside).is_none() && first_of(inside).is_none() && holds_unit(inside)
    };
    brackets(written.trim()).into_iter().map(|(_, inside, _)| inside).find(strange)
}

/// A word at the end of a name that says how its numbers were made of the thing itself:
/// `speed_x10`, `coolant_plus40`. In which direction is not said.
pub fn scaling_in(words: &Words) -> Option<&str> {
    const FACTORS: [&str; 9] = ["4", "8", "10", "16", "32", "64", "100", "128", "1000"];
    let last = words.words.last().filter(|_| words.words.len() > 1)?;
    let before = words.words.iter().rev().nth(1).filter(|before| {
        let unit = spelled(last).map(|unit| unit.quantity);
        let is_speed = matches!(unit, Some(Quantity::Speed | Quantity::EngineSpeed));
        // "Engine speed 10 rpm": tens, or ten of them.
        is_speed && matches!(before.as_str(), "10" | "100" | "1000")
    });
    if let Some(before) = before {
        return Some(before);
    }
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let factor = last.strip_prefix('x').is_some_and(|factor| FACTORS.contains(&factor));
    let offset =
        last.strip_prefix("plus").or_else(|| last.strip_prefix("minus")).is_some_and(digits);
    (factor || offset).then_some(last.as_str())
}

/// What stands in the place of a unit and is none, nor a word for having none.
pub fn unknown(written: &str) -> Option<&str> {
    const NONE: [&str; 12] =
        ["-", "--", "none", "n/a", "na", "1", "#", "unitless", "raw", "bool", "enum", "text"];
    let tidy = tidy(written);
    (!tidy.is_empty() && !NONE.contains(&tidy.as_str()) && spelled(written).is_none())
        .then(|| written.trim())
}

/// The unit before a remark: `°C, filtered`.
fn first_of(inside: &str) -> Option<Unit> {
    spelled(inside.split_once([',', ';'])?.0)
}

/// Every spelling with its unit. Headers ask for it some thousand times a file.
static KNOWN: LazyLock<BTreeMap<&str, Unit>> = LazyLock::new(|| {
    let mut known = BTreeMap::new();
    for (symbol, spellings) in SPELLINGS {
        let Some(unit) = by_symbol(symbol) else { continue };
        for spelling in spellings.split(' ') {
            known.entry(spelling).or_insert(unit);
        }
    }
    known
});

/// A name with its unit in brackets or after a separator: `("Speed", "km/h")`.
///
/// Brackets whose content is no unit stay in the name, and so do units that
/// are glued on (`speed_mph`): these are part of the name as the file has it.
pub fn split_name(written: &str) -> (String, Option<Unit>) {
    let name = written.trim();
    if let Some((head, unit)) = with_its_base(name).or_else(|| behind_part(name)) {
        return (head.to_owned(), Some(unit));
    }
    for (head, inside, tail) in brackets(name) {
        // A receiver is written in capitals, grams a second are not.
        let Some(unit) = spelled(inside).or_else(|| first_of(inside)).filter(|_| inside != "GPS")
        else {
            continue;
        };
        let rest = format!("{} {}", head.trim(), tail.trim());
        // "v_x/(m/s²)": a quantity over its unit, as DIN 1313 writes it.
        let rest = rest.trim().trim_end_matches(['/', ' ']);
        // A bare "[km/h]" names nothing else: keep it as the name.
        let kept = if rest.is_empty() { name } else { rest };
        return (kept.to_owned(), Some(unit));
    }
    for separator in [" - ", " / ", ", ", ": ", " in ", " en ", "|"] {
        if let Some((head, unit)) = name.rsplit_once(separator)
            && is_whole(unit)
            && let Some(unit) = spelled(unit)
        {
            return (head.trim().to_owned(), Some(unit));
        }
    }
    // A sign that no name has tells a unit behind a blank: `Motordrehzahl 1/min`, `Temp ℃`.
    if let Some((head, last)) = name.rsplit_once(' ')
        && last.contains(['/', '°', '℃', '℉', '%'])
        && is_whole(last)
        && let Some(unit) = spelled(last)
    {
        return (head.trim().to_owned(), Some(unit));
    }
    over_unit(name)
        .or_else(|| behind_unit(name))
        .map_or_else(|| (name.to_owned(), None), |(name, unit)| (name.to_owned(), Some(unit)))
}

/// `Boost kPa(g)`: a pressure and what it stands on, without brackets of their own.
fn with_its_base(name: &str) -> Option<(&str, Unit)> {
    let (head, last) = name.rsplit_once(' ')?;
    let unit = spelled(last).filter(|unit| unit.quantity == Quantity::Pressure)?;
    (last.ends_with(')') && !last.starts_with('(')).then(|| (head.trim(), unit))
}

/// `Charge air 0.1 °C`: what one count is, without brackets.
fn behind_part(name: &str) -> Option<(&str, Unit)> {
    let (rest, last) = name.rsplit_once(' ')?;
    let (head, part) = rest.rsplit_once(' ')?;
    let is_part = |part: &str| part.starts_with("0.") || matches!(part, "10" | "100" | "1000");
    let unit = spelled(&format!("{part} {last}")).filter(|_| is_part(part) && is_whole(last))?;
    Some((head.trim(), unit))
}

/// `T_LL/°C`, a quantity over its unit (DIN 1313), but not `Speed km/h`, whose unit holds the
/// sign itself. One letter may be no unit: A/C is an air conditioning.
fn over_unit(name: &str) -> Option<(&str, Unit)> {
    let (head, tail) = name.split_once('/')?;
    let is_composed = |word: &str| spelled(&format!("{word}/{tail}")).is_some();
    let fits = tail.chars().count() > 1 && !head.trim().is_empty() && is_whole(tail);
    let last = head.rsplit(|c: char| !c.is_alphanumeric()).next().unwrap_or(head);
    let unit = spelled(tail).filter(|_| fits && !is_composed(last) && spelled(name).is_none())?;
    Some((head.trim(), unit))
}

/// `U/min n`: a unit that no name looks like, before the name.
fn behind_unit(name: &str) -> Option<(&str, Unit)> {
    let (first, rest) = name.split_once(' ')?;
    let fits = first.contains(['/', '°', '℃', '℉', '%']) && is_whole(first);
    Some((rest.trim(), spelled(first).filter(|_| fits)?))
}

/// Whether every bracket that ends in it began in it: `km/h)` is half of `(0.1 km/h)`.
fn is_whole(text: &str) -> bool {
    let count = |signs: &[char]| text.chars().filter(|c| signs.contains(c)).count();
    count(&['(', '[', '{', '（', '［']) == count(&[')', ']', '}', '）', '］'])
}

/// The bracketed parts, the last first: text before, inside, after. Of brackets within
/// one another, as in `[kPa(a)]`, only the outermost.
fn brackets(name: &str) -> Vec<(&str, &str, &str)> {
    const PAIRS: [(char, char); 7] =
        [('[', ']'), ('(', ')'), ('{', '}'), ('<', '>'), ('［', '］'), ('（', '）'), ('【', '】')];
    let mut open: Vec<(usize, char)> = Vec::new();
    let mut found: Vec<(usize, usize)> = Vec::new();
    for (at, sign) in name.char_indices() {
        if let Some((_, close)) = PAIRS.iter().find(|pair| pair.0 == sign) {
            open.push((at, *close));
        } else if let Some(depth) = open.iter().rposition(|(_, close)| *close == sign) {
            let start = open[depth].0;
            open.truncate(depth);
            found.retain(|(inner, _)| *inner < start);
            found.push((start, at));
        }
    }
    let after = |at: usize| name[at..].chars().next().map_or(at, |c| at + c.len_utf8());
    let parts = found.into_iter().rev().filter_map(|(start, end)| {
        Some((&name[..start], name.get(after(start)..end)?, &name[after(end)..]))
    });
    parts.collect()
}

/// A unit glued to a name, read with the quantity that the rest of the name asks for.
pub fn in_name(words: &Words) -> Option<Unit> {
    let wanted = roles::named(words, None).map(|named| roles::quantity_of(named.role));
    glued(&words.words, wanted.or_else(|| degrees(words)))
}

/// `charge_air_c`: what is warm, and behind it the letter of its degrees.
fn degrees(words: &Words) -> Option<Quantity> {
    let (last, rest) = words.words.split_last()?;
    let warm = Words::of(&rest.join(" "));
    let is_degrees = matches!(last.as_str(), "c" | "f")
        && warm.has("=air|=luft|=lucht|chargeair|intake|inlet|ambient|intercooler|coolant|water")
        && roles::named(&warm, Some(Quantity::Temperature)).is_some();
    is_degrees.then_some(Quantity::Temperature)
}

/// The words of a name without those at its end that spell its unit.
pub fn without(words: &[String], unit: Unit) -> Option<&[String]> {
    (1..=3).rev().filter(|take| words.len() > *take).find_map(|take| {
        let (rest, tail) = words.split_at(words.len() - take);
        let spells = |text: String| spelled(&text).is_some_and(|tail| tail.symbol == unit.symbol);
        (spells(tail.concat()) || spells(tail.join("/"))).then_some(rest)
    })
}

/// A unit glued to a name, from its last words: `speed_mph`, `accel_mps2`, `Temp C`.
///
/// Single letters only count for the quantity the name itself asks for: the `c`
/// of `temp_c` is a unit, that of `bank c` is not.
pub fn glued(words: &[String], wanted: Option<Quantity>) -> Option<Unit> {
    for take in [3, 2, 1] {
        if words.len() < take || (words.len() == take && take > 1) {
            continue;
        }
        let tail = &words[words.len() - take..];
        let fits =
            |text: &String| spelled(text).filter(|unit| allowed(&tail.concat(), *unit, wanted));
        if let Some(unit) = [tail.join("/"), tail.concat()].iter().find_map(fits) {
            return Some(unit);
        }
    }
    None
}

fn allowed(text: &str, unit: Unit, wanted: Option<Quantity>) -> bool {
    let short = text.chars().count() <= 2;
    let asked = wanted == Some(unit.quantity);
    // "gps" is a receiver before it is grams per second; "in" is a word.
    let word = matches!(
        text,
        "gps" | "in" | "min" | "grad" | "lambda" | "afr" | "mile" | "ps" | "ch" | "revs" | "deg"
    );
    asked || (!short && !word && (wanted.is_none() || unit.quantity == Quantity::Number))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn everyday_and_broken_spellings_mean_what_people_mean() {
        let rows = [
            ("°F", "°F"),
            ("degF", "°F"),
            ("[degF]", "°F"),
            ("F", "°F"),
            ("Â°C", "°C"),
            ("deg C", "°C"),
            ("º C", "°C"),
            ("Cel", "°C"),
            ("km/h", "km/h"),
            ("KPH", "km/h"),
            ("[mi_i]/h", "mph"),
            ("mi/h", "mph"),
            ("kts", "kn"),
            ("m/s^2", "m/s²"),
            ("m/s²", "m/s²"),
            ("m·s⁻²", "m/s²"),
            ("G", "g"),
            ("psig", "psi gauge"),
            ("inHg", "inHg"),
            ("[in_i'Hg]", "inHg"),
            ("1/min", "rpm"),
            ("U/min", "rpm"),
            ("tr/min", "rpm"),
            ("min⁻¹", "rpm"),
            ("kPa (abs)", "kPa"),
            ("bar(a)", "bar"),
            ("ｋｍ／ｈ", "km/h"),
            ("bar (g)", "bar gauge"),
            ("PSI-A", "psi"),
            ("rpm/1000", "1000 rpm"),
            ("g's", "g"),
            ("hPa rel.", "mbar gauge"),
            ("hPa", "hPa"),
            ("mbar", "mbar"),
            ("%", "%"),
            ("µs", "µs"),
        ];
        for (written, symbol) in rows {
            assert_eq!(spelled(written).map(|unit| unit.symbol), Some(symbol), "{written}");
        }
        for strange in ["bank 1", "", "raw", "x"] {
            assert_eq!(spelled(strange), None, "{strange}");
        }
    }

    #[test]
    fn brackets_that_hold_no_unit_stay_in_the_name() {
        assert_eq!(split_name("Vehicle Speed Sensor [km/h]").0, "Vehicle Speed Sensor");
        assert_eq!(split_name("Lambda (bank 1)"), ("Lambda (bank 1)".to_owned(), None));
        assert_eq!(split_name("speed_mph"), ("speed_mph".to_owned(), None));
        let unit = |name: &str| split_name(name).1.map(|unit| unit.symbol);
        assert_eq!(unit("Boost (bank 1) [psi]"), Some("psi"));
        assert_eq!(unit("Manifold pressure (bar(a))"), Some("bar"));
        assert_eq!(unit("水温［℃］"), Some("°C"));
        assert_eq!(unit("MAP [kPa(a)]"), Some("kPa"));
        assert_eq!(unit("Boost [psi(g)]"), Some("psi gauge"));
        assert_eq!(unit("Speed [km/h] (GPS)"), Some("km/h"));
        assert_eq!(unit("Water ℃"), Some("°C"));
        assert_eq!(split_name("Speed m/s"), ("Speed".to_owned(), spelled("m/s")));
        assert_eq!(split_name("a ) b ( c").0, "a ) b ( c");
    }
}
