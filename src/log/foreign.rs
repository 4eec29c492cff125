//! Files that are no log: what they are, told from their first bytes.
//!
//! In: the bytes of a file no reader here understands. Out: what it is, in words,
//! and what to do. Sources of the marks: the specification of each form.

use super::LogError;

const SAVE_AS_CSV: &str = "Open it in its own program, save the table as CSV, and open that.";
const WEB_PAGE: &str = "a web page";
const UNPACK: &str = "Unpack it and open the logs themselves.";
const NO_PICTURE: &str = "Open the log itself: CSV, MDF 4, NMEA or GPX.";

/// First bytes, what they begin, and what to do. The longer of two alike stands first.
const MARKS: [(&[u8], &str, &str); 23] = [
    (
        b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1",
        "a spreadsheet or document of an office program",
        SAVE_AS_CSV,
    ),
    (b"%PDF", "a PDF document", NO_PICTURE),
    (b"{\\rtf", "a document in rich text", "Save the table as plain text or CSV, and open that."),
    (b"\x89PNG", "a picture", NO_PICTURE),
    (b"\xff\xd8\xff", "a picture", NO_PICTURE),
    (b"GIF8", "a picture", NO_PICTURE),
    (b"PK\x03\x04", "an archive within an archive", UNPACK),
    (b"PK\x05\x06", "an archive within an archive", UNPACK),
    (b"\x1f\x8b\x08", "an archive within an archive", UNPACK),
    (b"7z\xbc\xaf\x27\x1c", "a 7z archive", UNPACK),
    (b"Rar!\x1a\x07", "a RAR archive", UNPACK),
    (b"\xfd7zXZ\0", "an xz archive", UNPACK),
    (b"BZh", "a bzip2 archive", UNPACK),
    (b"\x28\xb5\x2f\xfd", "a Zstandard archive", UNPACK),
    (b"SQLite format 3\0", "a database", "Export its table as CSV, and open that."),
    (b"\x89HDF\r\n\x1a\n", "an HDF5 file", "Export its table as CSV, and open that."),
    (b"PAR1", "a Parquet file", "Export its table as CSV, and open that."),
    (
        b"<!doctype html",
        WEB_PAGE,
        "Download the log itself: the page may be asking you to sign in.",
    ),
    (b"<html", WEB_PAGE, "Download the log itself: the page may be asking you to sign in."),
    (b"<?xml", "XML that is no GPX track", "Export the track as GPX, or the table as CSV."),
    (b"<", "XML that is no GPX track", "Export the track as GPX, or the table as CSV."),
    (b"[{", "a list in JSON", "Export the table as CSV, and open that."),
    (b"[[", "a list in JSON", "Export the table as CSV, and open that."),
];

/// A tar archive says so behind the name of its first file (POSIX.1, ustar).
pub fn is_tar(bytes: &[u8]) -> bool {
    bytes.get(257..262).is_some_and(|mark| mark == b"ustar")
}

/// Whether a web page shows a table soon, as those do that go by the name of a spreadsheet.
fn holds_table(page: &[u8]) -> bool {
    const LOOKED_AT: usize = 4096;
    let head = &page[..page.len().min(LOOKED_AT)];
    head.windows(6).any(|tag| tag.eq_ignore_ascii_case(b"<table"))
}

/// The refusal of a file that is plainly something else. `None` for what could be a log.
pub fn refusal(file: &str, bytes: &[u8]) -> Option<LogError> {
    if is_tar(bytes) {
        return Some(LogError::at(file, "start", "this is a tar archive, not a log.", UNPACK));
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes).trim_ascii_start();
    let begins =
        |mark: &[u8]| bytes.get(..mark.len()).is_some_and(|head| head.eq_ignore_ascii_case(mark));
    let (_, what, remedy) = MARKS.iter().find(|(mark, ..)| begins(mark))?;
    if *what == WEB_PAGE && holds_table(bytes) {
        let what = "this is a table as a web page has it, and not as a log has it.";
        let remedy = "Open it in a spreadsheet, save that as CSV, and open the CSV.";
        return Some(LogError::at(file, "start", what, remedy));
    }
    Some(LogError::at(file, "start", format!("this is {what}, not a log."), *remedy))
}
