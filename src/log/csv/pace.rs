//! How often records were written, as the lines above a table say it.
//!
//! In: the lines above the header. Out: a [`Pace`], or `None` where they say none, or
//! several that differ. Read are a rate (`Sample rate: 50 Hz`) and the time from one
//! record to the next (`dt = 0.02 s`); a bare number counts only where it can be
//! nothing else. The rate of a bus, a receiver or a filter is not the table's.

use super::cells::{self, Cell, Decimal};
use crate::log::names::Words;
use crate::log::units;

/// The time from one record to the next, and the line that says it.
#[derive(Debug, Clone, PartialEq)]
pub struct Pace {
    pub interval_s: f64,
    pub line: String,
}

const RATE: &str = "rate|raten|abtastrate|frequency|=freq|frequenz|frequence|frecuencia|frequenza|frequentie|=fs|周波数|频率|頻率|采样率|=taxa|samplesper|=hz";
const INTERVAL: &str = "=cada|=alle|toutes|=ogni|=elke|=every|interval|intervall|intervalle|intervalo|intervallo|period|periode|periodo|=dt|=deltat|timestep|zeitschritt|schrittweite|=step|abtastzeit|sampletime|samplingtime|=ts|周期|间隔|間隔";
/// What makes a rate or an interval that of the records.
const OF_RECORDS: &str = "muestra|punkt|=messwert|=point|mesure|campione|meting|=row|=zeile|=ligne|=fila|=riga|sample|sampling|samples|abtast|echantillonnage|muestreo|campionamento|bemonsterings|amostragem|サンプリング|采样|取樣|logging|=log|logged|logger|recording|record|recorded|aufzeichnung|mess|=daq|acquisition|acquisizione|enregistrement|registro|=data|=update|記録|记录|=scan";
const OF_ANOTHER: &str = "baud|=bit|bits|=bus|=can|=gps|gnss|satellit|filter|cutoff|grenz|=video|camera|=frame|=heart|=idle|=pwm|=clock|=spi|=i2c|=serial|burst|maximum|=max|minimum|=min|=flow|=gyro|=imu|oversampl";

/// A car is logged from once in a minute to a hundred thousand times a second.
const SLOWEST_S: f64 = 60.0;
const QUICKEST_S: f64 = 1e-5;
/// Two that differ by more than this share are two.
const SAME_SHARE: f64 = 0.01;
/// A longer line is no setting.
const LONGEST: usize = 300;

/// The pace that the lines say, if they say one.
pub fn said(lines: &[String]) -> Option<Pace> {
    let mut said = lines.iter().filter_map(|line| of_line(line));
    let first = said.next()?;
    let same = |other: Pace| (other.interval_s / first.interval_s - 1.0).abs() < SAME_SHARE;
    said.all(same).then_some(first)
}

/// What a number says of the records.
#[derive(Clone, Copy, PartialEq)]
enum Kind {
    Rate,
    Interval,
}

fn of_line(line: &str) -> Option<Pace> {
    let line = line.trim().trim_start_matches(['#', '%', ';', '!', '/', '"', '*', ' ']);
    if line.len() > LONGEST {
        return None;
    }
    let parts = parts(line);
    let first = parts.iter().position(|part| number(part).is_some())?;
    let key = parts[..first].join(" ");
    let mut numbers = parts.iter().filter_map(|part| number(part));
    let value = numbers.next().filter(|value| *value > 0.0)?;
    // One a channel: only where all are alike.
    if numbers.any(|other| other != value) {
        return None;
    }
    let behind = parts.get(first + 1).map_or("", String::as_str);
    let interval_s = interval_s(&key, value, behind)?;
    let line: String = line.trim_end_matches(['"', ',', ';', '\t', ' ']).replace(['\t', '"'], " ");
    (QUICKEST_S..=SLOWEST_S).contains(&interval_s).then_some(Pace { interval_s, line })
}

/// Words, numbers and units of a line: `Rate [Hz],50` is `Rate`, `Hz`, `50`.
fn parts(line: &str) -> Vec<String> {
    let mut parts: Vec<String> = Vec::new();
    let gap = |c: char| {
        c.is_whitespace() || matches!(c, ',' | ';' | ':' | '=' | '|' | '"' | '[' | ']' | '(' | ')')
    };
    let decimal_commas = line.contains([';', '\t']) || line.matches(',').count() == 1;
    let chars: Vec<char> = line.chars().collect();
    let mut part = String::new();
    for (at, &c) in chars.iter().enumerate() {
        let digit =
            |at: Option<usize>| at.and_then(|at| chars.get(at)).is_some_and(char::is_ascii_digit);
        let inside = c == ',' && decimal_commas && digit(at.checked_sub(1)) && digit(Some(at + 1));
        // 50Hz is a number and its unit; sample2 is a name.
        let numeric = part.starts_with(|c: char| c.is_ascii_digit() || c == '.');
        let unit_begins =
            numeric && !c.is_ascii_digit() && !matches!(c, '.' | ',' | 'e' | 'E' | '-' | '+');
        if (gap(c) && !inside) || unit_begins {
            parts.extend((!part.is_empty()).then(|| std::mem::take(&mut part)));
        }
        if !gap(c) || inside {
            part.push(c);
        }
    }
    parts.extend((!part.is_empty()).then_some(part));
    parts
}

fn number(part: &str) -> Option<f64> {
    let sign = if part.contains('.') { Decimal::Point } else { Decimal::Comma };
    match cells::parse(part.as_bytes(), sign) {
        Cell::Number(value) if part.starts_with(|c: char| c.is_ascii_digit() || c == '.') => {
            Some(value)
        }
        _ => None,
    }
}

/// Seconds from one record to the next.
fn interval_s(key: &str, value: f64, behind: &str) -> Option<f64> {
    let words = Words::of(key);
    let is_dt = words.has("=dt|=fs|Δt") || key.trim().eq_ignore_ascii_case("Δt");
    if words.has(OF_ANOTHER) || words.words.len() > 6 {
        return None;
    }
    let (rate, interval) = (words.has(RATE), words.has(INTERVAL) || is_dt && !words.has("=fs"));
    let in_key = match words.has("persecond|prosekunde|parseconde") {
        true => Some((Kind::Rate, 1.0)),
        false => words.words.last().and_then(|word| unit(word)),
    };
    match unit(behind).or(in_key) {
        Some((kind, factor)) => {
            let of_records = words.has(OF_RECORDS) || is_dt || rate || interval;
            let seconds = if kind == Kind::Rate { 1.0 / (value * factor) } else { value * factor };
            of_records.then_some(seconds)
        }
        None if !(words.has(OF_RECORDS) || is_dt) || !behind_is_no_unit(behind) => None,
        // 0.02 could be seconds or once in 50.
        None if rate && !interval => (value >= 1.0).then_some(1.0 / value),
        // 10 could be seconds or milliseconds.
        None => (interval && value < 1.0).then_some(value),
    }
}

fn behind_is_no_unit(behind: &str) -> bool {
    behind.is_empty() || number(behind).is_some() || matches!(behind, "#" | "//" | "-")
}

/// Whether a unit is of a rate or of a time, and what one of it is in Hz or s.
fn unit(text: &str) -> Option<(Kind, f64)> {
    let lower = text.trim_matches(['.', ',', '/', '*', '#']).to_lowercase();
    let rate = match lower.as_str() {
        "hz" | "hertz" | "1/s" | "sps" | "s/s" | "samples/s" | "samples/sec" | "samples"
        | "sample/s" | "records/s" | "per" | "ヘルツ" | "赫兹" | "s-1" | "werte/s" | "points"
        | "punkte" | "puntos" | "punti" | "punten" | "werte" | "messwerte" | "muestras"
        | "campioni" | "échantillons" | "mesures" | "metingen" => Some(1.0),
        "khz" | "ksps" => Some(1e3),
        _ => None,
    };
    let time = || units::spelled(text).filter(|unit| unit.quantity == crate::unit::Quantity::Time);
    match rate {
        Some(factor) => Some((Kind::Rate, factor)),
        None => time().map(|unit| (Kind::Interval, unit.inside(1.0))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rate_is_read_in_many_hands() {
        let rows = [
            ("Sample rate: 50 Hz", 0.02),
            ("Rate [Hz],50", 0.02),
            ("Abtastrate 20 ms", 0.02),
            ("# dt = 0.02 s", 0.02),
            ("Sampling interval: 10 ms", 0.01),
            ("\"Sample Rate\",\"50\",\"Hz\"", 0.02),
            ("Sample rate;20", 0.05),
            ("sample_rate_hz=100", 0.01),
            ("Abtastfrequenz;12,5 Hz", 0.08),
            ("Fréquence d'échantillonnage : 25Hz", 0.04),
            ("sampling period (ms): 5", 0.005),
            ("サンプリング周期,10,ms", 0.01),
            ("采样频率: 100 Hz", 0.01),
            ("Logged at 100 Hz", 0.01),
            ("# Fréquence d'acquisition : 20 points par seconde", 0.05),
            ("# Una muestra cada 100 ms", 0.1),
            ("Alle 50 ms ein Messwert", 0.05),
            ("Sample Rate,50,Hz,,,,", 0.02),
            ("Rate (Hz),50,50,50", 0.02),
            ("dt: 0.01", 0.01),
            ("fs = 1 kHz", 0.001),
            ("Samples per second: 20", 0.05),
        ];
        for (line, wanted) in rows {
            let read = said(&[line.to_owned()]).map(|pace| pace.interval_s);
            assert!(read.is_some_and(|read| (read - wanted).abs() < 1e-12), "{line}: {read:?}");
        }
    }

    #[test]
    fn what_is_no_pace_of_the_records_is_not_read_as_one() {
        for line in [
            "Baud rate: 500000",
            "CAN rate: 500 kHz",
            "GPS rate: 10 Hz",
            "Heart rate: 80",
            "Sample rate: 0.02",
            "Sampling interval: 10",
            "Rate [Hz],50,10",
            "Date: 2024-05-01",
            "Idle speed 850",
            "Filter frequency 10 Hz",
            "Duration: 20 s",
            "Lap time: 62 s",
            "Tyre pressure: 2.2 bar",
            "",
        ] {
            assert_eq!(said(&[line.to_owned()]), None, "{line}");
        }
        let two = ["Sample rate: 50 Hz", "Logging rate: 10 Hz"].map(str::to_owned);
        assert_eq!(said(&two), None);
    }
}
