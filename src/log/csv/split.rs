//! A line cut into cells under one delimiter.
//!
//! In: a line. Out: its cells, quotation marks off. The csv crate decides what is quoted;
//! where nothing can be, its reader is not worth building anew for every line.

use std::borrow::Cow;

pub const DELIMITERS: [u8; 4] = [b',', b';', b'\t', b'|'];

/// The cells of one line.
pub fn split(line: &str, delimiter: u8) -> Vec<Cow<'_, str>> {
    let plain = line.trim_end_matches(['\r', '\n']);
    if !plain.is_empty() && !plain.contains(['"', '\r', '\n']) {
        return plain.split(char::from(delimiter)).map(Cow::from).collect();
    }
    quoted(line, delimiter).into_iter().map(Cow::from).collect()
}

fn quoted(line: &str, delimiter: u8) -> Vec<String> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .from_reader(line.as_bytes());
    let mut record = csv::StringRecord::new();
    match reader.read_record(&mut record) {
        Ok(true) => record.iter().map(str::to_owned).collect(),
        _ => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// The csv crate is the judge of both ways.
        #[test]
        fn a_line_is_split_as_the_csv_crate_splits_it(line in "[a-z0-9 .,;\"\t|°-]{0,40}(\n|\r\n|)") {
            for delimiter in DELIMITERS {
                prop_assert_eq!(split(&line, delimiter), quoted(&line, delimiter));
            }
        }
    }
}
