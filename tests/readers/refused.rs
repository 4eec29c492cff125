//! Malformed and hostile tables, and what the reader says of each, word for word.
//!
//! Every file goes through [`Work::open`], the one seam, and on to the findings. A
//! message is right when it says which file, where in it, and what to do; the rows
//! were judged by that, and by the bytes they are made of. The other forms stand in
//! `refused_mdf4` and `refused_packed`.

use std::time::{Duration, Instant};

use pullmark::work::Work;

/// One file and what must be said of it.
pub struct Case {
    name: &'static str,
    file: &'static str,
    bytes: Vec<u8>,
    says: Says,
}

enum Says {
    /// The whole error.
    Refused(&'static str),
    /// It opens; the whole texts of the problems, in order.
    Opens(&'static [&'static str]),
}

pub fn refused(
    name: &'static str,
    file: &'static str,
    bytes: impl AsRef<[u8]>,
    error: &'static str,
) -> Case {
    Case { name, file, bytes: bytes.as_ref().to_vec(), says: Says::Refused(error) }
}

pub fn opens(
    name: &'static str,
    file: &'static str,
    bytes: impl AsRef<[u8]>,
    problems: &'static [&'static str],
) -> Case {
    Case { name, file, bytes: bytes.as_ref().to_vec(), says: Says::Opens(problems) }
}

/// No file of this table may keep anyone waiting; generous, for a busy machine.
const LONGEST: Duration = Duration::from_secs(30);

/// What differs from the table, as text to read.
pub fn check(cases: &[Case]) -> Vec<String> {
    cases.iter().filter_map(differs).collect()
}

fn differs(case: &Case) -> Option<String> {
    let start = Instant::now();
    let found = opened(case.file, &case.bytes);
    let took = start.elapsed();
    if took > LONGEST {
        return Some(format!("{}: took {took:?}", case.name));
    }
    let wanted = match case.says {
        Says::Refused(error) => Err(error.to_owned()),
        Says::Opens(problems) => Ok(problems.iter().map(|&text| text.to_owned()).collect()),
    };
    (found != wanted).then(|| format!("{} ({took:?}):\n  {found:?}", case.name))
}

/// The error, or every problem of the day and its logs.
fn opened(file: &str, bytes: &[u8]) -> Result<Vec<String>, String> {
    let mut work = Work::new();
    work.open(file, bytes).map_err(|error| error.to_string())?;
    let findings = work.findings();
    let of_logs =
        findings.logs.iter().flat_map(|found| found.log.problems.iter().chain(&found.problems));
    Ok(findings.problems.iter().chain(of_logs).map(|problem| problem.text.clone()).collect())
}

fn nothing_to_read() -> Vec<Case> {
    let wide: Vec<u8> =
        "Zeit;rpm\n0;800\n1;900\n2;950\n".encode_utf16().flat_map(u16::to_le_bytes).collect();
    let noise: Vec<u8> =
        (0..4000u32).map(|n| (n.wrapping_mul(2_654_435_761) >> 13) as u8).collect();
    vec![
        refused("empty", "a.csv", "", "a.csv is empty. Save the log again and open the new file."),
        refused(
            "header only",
            "a.csv",
            "time,rpm\n",
            "a.csv, line 1: there is one line and no record below it. Save the log as CSV with a header line and one record a line, and open that.",
        ),
        refused(
            "one row",
            "a.csv",
            "time,rpm\n0,800\n",
            "a.csv, line 2: there is only one record; a drive needs at least two. Open a longer log.",
        ),
        refused(
            "a single word",
            "a.csv",
            "hello",
            "a.csv, line 1: there is one line and no record below it. Save the log as CSV with a header line and one record a line, and open that.",
        ),
        refused(
            "blanks and line breaks",
            "a.csv",
            " \n\n \t \r\n",
            "a.csv, line 1: the file holds only blanks. Save the log as CSV with a header line and one record a line, and open that.",
        ),
        refused(
            "all cells blank",
            "a.csv",
            "time,rpm\n,\n,\n,\n",
            "a.csv, lines 1 to 4: no table of readings was found. Save the log as CSV with a header line and one record a line, and open that.",
        ),
        refused(
            "all cells dashes",
            "a.csv",
            "time,rpm\n-,-\n-,-\n-,-\n",
            "a.csv, lines 1 to 4: no table of readings was found. Save the log as CSV with a header line and one record a line, and open that.",
        ),
        refused(
            "only zero bytes",
            "a.csv",
            [0; 4096],
            "a.csv, start: the file holds 4096 zero bytes and nothing else. It was never written, or the card is failing: copy it again from the logger.",
        ),
        opens("zero bytes between cells", "a.csv", "time (s),rpm\n0,800\n1,\0\0900\n2,1000\n", &[]),
        refused(
            "noise",
            "a.csv",
            noise,
            "a.csv, start: this is not text and no known form of log. Open the log as CSV, MDF 4, NMEA or GPX; if it is one of these, copy it again.",
        ),
        refused(
            "a picture named as a log",
            "a.csv",
            b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x01\0\0\0\x01",
            "a.csv, start: this is a picture, not a log. Open the log itself: CSV, MDF 4, NMEA or GPX.",
        ),
        refused(
            "a photo",
            "a.csv",
            b"\xff\xd8\xff\xe0\0\x10JFIF\0\x01",
            "a.csv, start: this is a picture, not a log. Open the log itself: CSV, MDF 4, NMEA or GPX.",
        ),
        refused(
            "a document",
            "a.csv",
            b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n1 0 obj\n",
            "a.csv, start: this is a PDF document, not a log. Open the log itself: CSV, MDF 4, NMEA or GPX.",
        ),
        refused(
            "an old spreadsheet",
            "a.xls",
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1\0\0\0\0\0\0\0\0",
            "a.xls, start: this is a spreadsheet or document of an office program, not a log. Open it in its own program, save the table as CSV, and open that.",
        ),
        refused(
            "a web page",
            "a.csv",
            "<!DOCTYPE html>\n<html><body><p>Sign in, 1, 2</p></body></html>\n",
            "a.csv, start: this is a web page, not a log. Download the log itself: the page may be asking you to sign in.",
        ),
        refused(
            "a table of the web by the name of a spreadsheet",
            "a.xls",
            "<html><body><TABLE><tr><td>Time (s)</td><td>RPM</td></tr></TABLE></body></html>\n",
            "a.xls, start: this is a table as a web page has it, and not as a log has it. Open it in a spreadsheet, save that as CSV, and open the CSV.",
        ),
        refused(
            "other XML",
            "a.gpx",
            "<?xml version=\"1.0\"?>\n<kml><Document/></kml>\n",
            "a.gpx, start: this is XML that is no GPX track, not a log. Export the track as GPX, or the table as CSV.",
        ),
        refused(
            "other archives",
            "a.7z",
            b"7z\xbc\xaf\x27\x1c\0\x04\x01\x02\x03\x04\x05\x06\x07\x08",
            "a.7z, start: this is a 7z archive, not a log. Unpack it and open the logs themselves.",
        ),
        refused(
            "a list in JSON",
            "a.json",
            "[{\"time\":0,\"rpm\":800},{\"time\":1,\"rpm\":900}]\n",
            "a.json, start: this is a list in JSON, not a log. Export the table as CSV, and open that.",
        ),
        refused(
            "prose",
            "a.txt",
            "Dear all,\n\nthe log of today is 3 files, see below.\nBest, 7 of 9\n",
            "a.txt, lines 1 to 4: no table of readings was found. Save the log as CSV with a header line and one record a line, and open that.",
        ),
        opens("a table by another name", "a.gpx", "time (s),rpm\n0,800\n1,900\n", &[]),
        opens(
            "UTF-16 cut in half",
            "a.csv",
            &wide[..wide.len() - 3],
            &[
                "The file ends in half a letter, as when it was not copied to its end; its last line was left out.",
                "\"Zeit\" names no unit; it was taken as s because it steps by 1 from record to record.",
            ],
        ),
        opens(
            "bytes that are no UTF-8",
            "a.csv",
            b"time (s),\xd6l \xb0C\n0,80\n1,81\n",
            &[
                "The text is not Unicode; it was read as Windows-1252 (Latin-1). Check letters with accents and the degree sign in names and units.",
            ],
        ),
    ]
}

fn tables() -> Vec<Case> {
    vec![
        opens(
            "an open quotation mark",
            "a.csv",
            "time (s),rpm,note\n0,800,\"go\n1,900,\n2,1000,\n",
            &[
                "Line 2 opens a quotation mark that is never closed; what follows was read line by line.",
                "One column has no numbers and is no channel: \"note\" (\"go\").",
            ],
        ),
        opens(
            "an open quotation mark in the header",
            "a.csv",
            "time (s),\"rpm\n0,800\n1,900\n2,1000\n",
            &[],
        ),
        opens(
            "ragged rows",
            "a.csv",
            "time (s),rpm,speed (km/h)\n0,800,0\n1\n2,1000,20,7\n3,1100,30\n",
            &[
                "Line 3 has fewer cells than the header; what is there was read.",
                "Line 4 has more cells than the header; the cells beyond it were left out.",
            ],
        ),
        opens(
            "last line cut",
            "a.csv",
            "time (s),rpm,speed (km/h)\n0,800,0\n1,900,10\n2,9",
            &["Line 4, the last, was cut short and was left out."],
        ),
        opens(
            "header repeated",
            "a.csv",
            "time (s),rpm\n0,800\ntime (s),rpm\n1,900\ntime (s),rpm\n2,950\n",
            &["2 lines, the first being line 3, repeat the header; the table was read on below."],
        ),
        opens(
            "time repeating",
            "a.csv",
            "time (s),rpm\n0,800\n1,900\n1,950\n2,1000\n",
            &[
                "The record in line 4 has the time of the record before it; the first of two readings at one time was kept.",
            ],
        ),
        refused(
            "time standing still",
            "a.csv",
            "time (s),rpm\n5,800\n5,900\n5,950\n5,1000\n",
            "a.csv, column 1: \"time\" does not rise from record to record. Log a running time with every record, and open the new log.",
        ),
        opens(
            "time running backwards",
            "a.csv",
            "time (s),rpm\n90,800\n91,810\n92,820\n93,820\n94,830\n5,900\n6,910\n7,950\n8,950\n9,960\n",
            &[
                "At line 7 the time jumps back from 94.000 s to 5.000 s; the file holds 2 recordings, the longest of 5 records. They were laid one after another with 600 s between; how long the pause really was is not known. Split the file there if they do not belong together.",
                "\"rpm\" has one hole of more than 5.0 s: 600.0 s at 4.0 s.",
            ],
        ),
        refused(
            "only text",
            "a.csv",
            "time,mood\nmorning,good\nnoon,bad\n",
            "a.csv, lines 1 to 3: no table of readings was found. Save the log as CSV with a header line and one record a line, and open that.",
        ),
        refused(
            "text columns beside a note",
            "a.csv",
            "a,b\nx,1\ny,z\nw,q\n",
            "a.csv, lines 1 to 4: no table of readings was found. Save the log as CSV with a header line and one record a line, and open that.",
        ),
        refused(
            "only a time column",
            "a.csv",
            "time (s)\n0\n1\n2\n",
            "a.csv, lines 1 to 4: no table of readings was found. Save the log as CSV with a header line and one record a line, and open that.",
        ),
        refused(
            "a time and texts",
            "a.csv",
            "time (s),note\n0,go\n1,stop\n2,go\n",
            "a.csv, lines 1 to 4: no table of readings was found. Save the log as CSV with a header line and one record a line, and open that.",
        ),
        refused(
            "no time",
            "a.csv",
            "rpm,speed\n800,5\n700,9\n900,3\n650,7\n",
            "a.csv, header: no column is a rising time (columns: rpm, speed). Log the time with every record, or name its column \"time\" with its unit, and open it again.",
        ),
        opens(
            "no finite readings",
            "a.csv",
            "time (s),rpm\n0,inf\n1,nan\n2,1e999\n3,-1e999\n4,800\n",
            &[
                "\"rpm\": 2 cells are no numbers (\"1e999\", \"-1e999\") and were left blank, the first in line 4.",
            ],
        ),
        refused(
            "no finite times",
            "a.csv",
            "time (s),rpm\ninf,800\nnan,900\n1e999,950\n",
            "a.csv, column 1: \"time\" holds no time that can be read. Log a running time with every record, and open the new log.",
        ),
        opens(
            "times at the ends of what can be written",
            "a.csv",
            "time (s),rpm\n-1.7e308,800\n0,900\n1.7e308,950\n",
            &["2 records have no time and were left out, the first in line 2."],
        ),
        opens(
            "readings at the ends of what can be written",
            "a.csv",
            "time (s),rpm\n0,-1.7e308\n1,1.7e308\n2,-1.7e308\n3,1.7e308\n",
            &[
                "\"rpm\" is named like engine speed, but it reads -1.7e308 to 1.7e308 rpm, outside -50 to 17000; it was given no role.",
            ],
        ),
        refused(
            "header over no digits",
            "a.csv",
            "time,rpm,speed\na,b,c\nd,e,f\ng,h,i\n",
            "a.csv, lines 1 to 4: no table of readings was found. Save the log as CSV with a header line and one record a line, and open that.",
        ),
        refused(
            "commas for both",
            "a.csv",
            "time,rpm,speed\n0,0,800,0,1,5\n0,1,900,0,2,5\n0,2,950,0,3,5\n",
            "a.csv, line 1: the header names 3 columns but the lines below hold 6 cells: the comma is both decimal sign and separator. Save the log again with semicolons or tabs between the cells.",
        ),
        opens(
            "no header",
            "a.csv",
            "0.0,800\n0.1,900\n0.2,1000\n",
            &[
                "No line names the columns; they are numbered. Give each its role by hand.",
                "\"column 1\" names no unit; it was taken as s because it steps by 0.1 from record to record.",
            ],
        ),
        opens(
            "a name twice",
            "a.csv",
            "time (s),rpm,rpm\n0,800,801\n1,900,901\n",
            &[
                "Two columns are named \"rpm\"; column 3 is shown as \"rpm (2)\".",
                "2 columns are named like engine speed: \"rpm\" is used, as it stands first, and not \"rpm (2)\".",
            ],
        ),
        refused(
            "dates that do not exist",
            "a.csv",
            "time,rpm\n2024-02-30 10:00:00,800\n2024-02-30 10:00:01,900\n2024-13-45 10:00:02,950\n",
            "a.csv, lines 1 to 4: no table of readings was found. Save the log as CSV with a header line and one record a line, and open that.",
        ),
        refused(
            "a clock beyond the day",
            "a.csv",
            "time,rpm\n25:61:61,800\n25:61:62,900\n25:61:63,950\n",
            "a.csv, lines 1 to 4: no table of readings was found. Save the log as CSV with a header line and one record a line, and open that.",
        ),
        opens(
            "script in the names",
            "a.csv",
            "time (s),<script>alert(1)</script>\n0,1\n1,2\n",
            &[],
        ),
        opens(
            "formulas in the names",
            "a.csv",
            "time (s),\"=HYPERLINK(\"\"http://a.example\"\",\"\"x\"\")\"\n0,1\n1,2\n",
            &[],
        ),
        opens(
            "formulas in the cells",
            "a.csv",
            "time (s),rpm\n0,=1+1\n1,@SUM(A1)\n2,900\n3,910\n",
            &[
                "\"rpm\": 2 cells are no numbers (\"=1+1\", \"@SUM(A1)\") and were left blank, the first in line 2.",
            ],
        ),
        opens(
            "a name of thousands of letters",
            "a.csv",
            format!("time (s),{}\n0,1\n1,2\n", "n".repeat(5000)),
            &[],
        ),
    ]
}

fn large() -> Vec<Case> {
    let header: Vec<String> = (0..100_000).map(|n| format!("c{n}")).collect();
    let row = vec!["1"; 100_000].join(",");
    let names: Vec<String> = (1..2000).map(|n| format!("sensor {n}")).collect();
    let ones = vec!["1"; 1999].join(",");
    let most = format!("time (s),{}\n0,{ones}\n1,{ones}\n", names.join(","));
    let alike = format!(
        "time (s){}\n0{}\n1{}\n",
        ",rpm".repeat(3000),
        ",800".repeat(3000),
        ",900".repeat(3000)
    );
    let columns = format!("{}\n{row}\n{row}\n", header.join(","));
    let many = format!("time (s),rpm\n0,800\n1,900{}\n2,1000\n", ",".repeat(100_000));
    let line = "0,1,".repeat(12_500_000);
    let later = format!("time (s),rpm\n0,800\n1,900\n{}\n2,1000\n", "7".repeat(50_000_000));
    let lines = format!("time (s),rpm\n0,800\n{}1,900\n", "\n".repeat(2_000_000));
    vec![
        opens("two thousand columns", "a.csv", most, &[]),
        opens(
            "three thousand columns of one name",
            "a.csv",
            alike,
            &[
                "Two columns are named \"rpm\"; column 3 is shown as \"rpm (2)\".",
                "Two columns are named \"rpm\"; column 4 is shown as \"rpm (3)\".",
                "Two columns are named \"rpm\"; column 5 is shown as \"rpm (4)\".",
                "Two columns are named \"rpm\"; column 6 is shown as \"rpm (5)\".",
                "Two columns are named \"rpm\"; column 7 is shown as \"rpm (6)\".",
                "2994 further columns have the name of another, from column 8 on; they are numbered in the same way.",
                "3000 columns are named like engine speed: \"rpm\" is used, as it stands first, and not \"rpm (2)\", \"rpm (3)\", \"rpm (4)\" and 2996 more.",
            ],
        ),
        refused(
            "a hundred thousand columns",
            "a.csv",
            &columns,
            "a.csv, line 1: there are 100000 cells in one line; 20000 columns are the most. Save the log with one record a line, or with fewer channels.",
        ),
        refused(
            "a hundred thousand names over two columns",
            "a.csv",
            format!("{}\n0,1\n1,2\n2,3\n", header.join(",")),
            "a.csv, line 1: there are 100000 cells in one line; 20000 columns are the most. Save the log with one record a line, or with fewer channels.",
        ),
        opens("a hundred thousand cells in one row", "a.csv", many, &[]),
        refused(
            "one line of 50 MB",
            "a.csv",
            line,
            "a.csv, line 1: the line is 50000000 bytes long; 1048576 are the most. Save the log as a table with one record a line.",
        ),
        opens(
            "a cell of 50 MB",
            "a.csv",
            later,
            &["Line 4 holds no reading; nothing of it was used."],
        ),
        opens("two million blank lines", "a.csv", lines, &[]),
        refused(
            "a hundred thousand quotation marks",
            "a.csv",
            "\"".repeat(100_001),
            "a.csv, line 1: there is one line and no record below it. Save the log as CSV with a header line and one record a line, and open that.",
        ),
        refused(
            "a hundred thousand open quotation marks",
            "a.csv",
            format!("time (s),rpm\n{}", "0,\"1\n".repeat(100_000)),
            "a.csv, column 1: \"time\" does not rise from record to record. Log a running time with every record, and open the new log.",
        ),
    ]
}

#[test]
fn a_file_with_nothing_to_read_says_why() {
    let wrong = check(&nothing_to_read());
    assert!(wrong.is_empty(), "{} differ:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn a_malformed_table_is_read_or_refused_in_words() {
    let wrong = check(&tables());
    assert!(wrong.is_empty(), "{} differ:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn a_table_beyond_all_measure_is_refused_at_once() {
    let wrong = check(&large());
    assert!(wrong.is_empty(), "{} differ:\n{}", wrong.len(), wrong.join("\n"));
}
