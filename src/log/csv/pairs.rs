//! Lines of names and values, as scripts print them: `t=0.1 rpm=900`, `T: 0.1 s; rpm: 900`,
//! or an object of JSON a line.
//!
//! In: a text that is no table otherwise. Out: the same as a table with tabs, every name
//! once above its values, or `None` where lines do not name what they hold. A line that
//! lacks a name leaves its cell blank. Common practice, no source, but for JSON (RFC 8259).

use std::collections::BTreeMap;

use serde_json::Value;

use crate::log::clock;
use crate::log::limits::HEAD_LINES_LIMIT;

/// More names than that are no log's.
const MOST_NAMES: usize = 500;

/// Whether most lines name what they hold.
pub fn are_pairs(text: &str) -> bool {
    let head = || lines(text).take(HEAD_LINES_LIMIT);
    let named = head().filter(|line| fields(line).is_some()).count();
    named > 1 && named * 10 >= head().count() * 9
}

/// The table.
pub fn to_table(text: &str) -> Option<String> {
    if !are_pairs(text) {
        return None;
    }
    let (mut names, mut rows): (Vec<String>, Vec<Vec<String>>) = (Vec::new(), Vec::new());
    let mut places: BTreeMap<String, usize> = BTreeMap::new();
    for line in lines(text) {
        let mut row = vec![String::new(); names.len()];
        for (name, value) in fields(line).unwrap_or_default() {
            let (name, value) = (one_cell(&name), one_cell(&value));
            let place = *places.entry(name.clone()).or_insert(names.len());
            if place == names.len() {
                names.push(name);
                row.push(String::new());
            }
            row[place] = value;
        }
        if names.len() > MOST_NAMES {
            return None;
        }
        rows.push(row);
    }
    let mut table = names.join("\t");
    for row in rows {
        table.push('\n');
        table.push_str(&row.join("\t"));
    }
    table.push('\n');
    Some(table)
}

/// A text that ends neither its cell nor its line, nor quotes the next.
fn one_cell(text: &str) -> String {
    text.replace(|c: char| c.is_control() || c == '"', " ")
}

fn lines(text: &str) -> impl Iterator<Item = &str> {
    // The brackets of a list of objects may stand in lines of their own.
    text.lines().map(str::trim).filter(|line| !matches!(*line, "" | "[" | "]"))
}

type Fields = Vec<(String, String)>;

/// Two names with their values, or more.
fn fields(line: &str) -> Option<Fields> {
    if !line.contains(['=', ':']) {
        return None;
    }
    let fields = match line.starts_with('{') {
        true => of_object(line),
        false => of_signs(line).or_else(|| of_labels(line)),
    };
    fields.filter(|fields| fields.len() > 1)
}

fn of_object(line: &str) -> Option<Fields> {
    let object = line.trim_end_matches(',');
    let parsed = serde_json::from_str(object).ok();
    // A dictionary as Python prints it.
    let plainly = || {
        let plain = object.replace('\'', "\"").replace("None", "null");
        serde_json::from_str(&plain.replace("True", "true").replace("False", "false")).ok()
    };
    let mut fields = Vec::new();
    flatten("", &parsed.or_else(plainly)?, &mut fields);
    Some(fields)
}

fn flatten(name: &str, value: &Value, fields: &mut Fields) {
    match value {
        Value::Object(parts) => {
            for (part, value) in parts {
                flatten(format!("{name} {part}").trim_start(), value, fields);
            }
        }
        Value::Array(_) => {}
        Value::Null => fields.push((name.to_owned(), String::new())),
        Value::String(text) => fields.push((name.to_owned(), text.clone())),
        other => fields.push((name.to_owned(), other.to_string())),
    }
}

/// `2024-05-01 12:00:00,123 INFO rpm=850 speed=12.5`: what stands before the first name may
/// be a clock.
fn of_signs(line: &str) -> Option<Fields> {
    let first = line.find('=')?;
    let begin = line[..first].rfind([' ', '\t', ',', ';', '|']).map_or(0, |at| at + 1);
    let mut fields: Fields = clock_of(&line[..begin]).into_iter().collect();
    for pair in line[begin..].split_whitespace() {
        let (name, value) = pair.trim_end_matches([',', ';', '|']).split_once('=')?;
        // One comma may be a decimal sign; more part the cells of a table.
        if value.matches([',', ';', '|']).count() > 1 {
            return None;
        }
        fields.push((is_name(name)?.to_owned(), value.to_owned()));
    }
    Some(fields)
}

/// `T: 12300 ms; rpm: 785 rpm`.
fn of_labels(line: &str) -> Option<Fields> {
    let parted = |delimiter: char| {
        let parts = line.split(delimiter).map(str::trim).filter(|part| !part.is_empty());
        let pair = |part: &str| {
            let (name, value) = part.split_once(':')?;
            Some((is_name(name.trim())?.to_owned(), value.trim().to_owned()))
        };
        parts.map(pair).collect::<Option<Fields>>().filter(|fields| fields.len() > 1)
    };
    [';', ',', '|', '\t', ' '].into_iter().find_map(parted)
}

fn is_name(text: &str) -> Option<&str> {
    text.starts_with(|c: char| c.is_alphabetic() || c == '_').then_some(text)
}

/// The clock in the first words of a line.
fn clock_of(lead: &str) -> Option<(String, String)> {
    let lead = lead.trim();
    let second = lead.match_indices(' ').map(|(at, _)| at).nth(1).unwrap_or(lead.len());
    let first = lead.find(' ').unwrap_or(lead.len());
    let is_clock =
        |text: &&str| clock::parse(text.as_bytes()).is_some_and(|stamp| stamp.time.is_some());
    let found = [&lead[..second], &lead[..first]].into_iter().find(is_clock)?;
    Some(("time".to_owned(), found.to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_values_become_a_table_and_other_lines_do_not() {
        let rows = [
            ("t=0.1 rpm=900, kmh=1\nt=0.2 rpm=910\n", "t\trpm\tkmh\n0.1\t900\t1\n0.2\t910\t\n"),
            (
                "{\"t\":1,\"d\":{\"rpm\":900.5}}\n{\"t\":2,\"x\":null,\"d\":{\"rpm\":1}}\n",
                "d rpm\tt\tx\n900.5\t1\n1\t2\t\n",
            ),
            // What a text holds ends neither its cell nor its line.
            (
                "{\"t\":1,\"a\\tb\":\"x\\n9\\t9\"}\n{\"t\":2,\"a\\tb\":\"\\\"\"}\n",
                "a b\tt\nx 9 9\t1\n \t2\n",
            ),
            ("{'t': 1, 'ok': True}\n{'t': 2, 'ok': False}\n", "ok\tt\ntrue\t1\nfalse\t2\n"),
            (
                "2024-05-01 12:00:00,123 INFO log: rpm=850 v=1\n2024-05-01 12:00:00,223 INFO log: rpm=851 v=2\n",
                "time\trpm\tv\n2024-05-01 12:00:00,123\t850\t1\n2024-05-01 12:00:00,223\t851\t2\n",
            ),
            ("t:0 v:1.5 rpm:836\nt:100 rpm:846 v:1.6\n", "t\tv\trpm\n0\t1.5\t836\n100\t1.6\t846\n"),
            (
                "T: 10 ms; rpm: 785 rpm\nT: 20 ms; rpm: 790 rpm\n",
                "T\trpm\n10 ms\t785 rpm\n20 ms\t790 rpm\n",
            ),
        ];
        for (text, table) in rows {
            assert_eq!(to_table(text).as_deref(), Some(table), "{text}");
        }
        for text in [
            "ts,v\n2024-05-01 12:00:00 m=+3.0,1,2\n2024-05-01 12:00:01 m=+4.0,1,2\n",
            "time,rpm\n1,2\n",
            "12:00:01,5\n12:00:02,6\n",
            "Name: Car\n1,2\n2,3\n",
            "{}\n{}\n",
        ] {
            assert_eq!(to_table(text), None, "{text}");
        }
    }
}
