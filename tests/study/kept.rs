//! Where the studies' tables are kept: between two marks in `tests/README.md`.
//!
//! In: the name of a table, and its text. Out: the file with that table put anew.

use std::path::Path;

/// # Panics
/// When the file or its marks are missing: then there is no place for the table.
pub fn keep(name: &str, table: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/README.md");
    let whole = std::fs::read_to_string(&path).expect("tests/README.md is there");
    let (from, to) = (format!("<!-- {name}: -->\n"), format!("<!-- :{name} -->"));
    let (head, rest) = whole.split_once(&from).expect("the table has its first mark");
    let (_, tail) = rest.split_once(&to).expect("the table has its last mark");
    let text = format!("{head}{from}\n{}\n\n{to}{tail}", table.trim_end());
    std::fs::write(&path, text).expect("tests/README.md can be written");
}
