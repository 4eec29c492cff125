//! Malformed and hostile archives, tracks, receiver logs and day files.

use std::io::{Cursor, Write};

use pullmark::work::Work;

use crate::refused::{Case, check, opens, refused};

const TABLE: &str = "time (s),rpm\n0,800\n1,900\n2,1000\n";

pub fn gzip(inside: &[u8]) -> Vec<u8> {
    let mut writer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
    writer.write_all(inside).unwrap();
    writer.finish().unwrap()
}

pub fn zipped<'a>(files: impl IntoIterator<Item = (&'a str, &'a [u8])>) -> Vec<u8> {
    let mut writer = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, inside) in files {
        let plain = zip::write::SimpleFileOptions::default();
        if name.ends_with('/') {
            writer.add_directory(name, plain).unwrap();
        } else {
            writer.start_file(name, plain).unwrap();
            writer.write_all(inside).unwrap();
        }
    }
    writer.finish().unwrap().into_inner()
}

/// The archive with some bytes put behind every mark of an entry.
fn patched(mut zip: Vec<u8>, (local, central): (usize, usize), bytes: &[u8]) -> Vec<u8> {
    for at in 0..zip.len() - 4 {
        let place = match &zip[at..at + 4] {
            b"PK\x03\x04" => at + local,
            b"PK\x01\x02" => at + central,
            _ => continue,
        };
        zip[place..place + bytes.len()].copy_from_slice(bytes);
    }
    zip
}

/// Places of fields in the two records of a zip entry. Source: APPNOTE 4.3.7, 4.3.12.
const FLAGS: (usize, usize) = (6, 8);
const SIZE: (usize, usize) = (22, 24);

fn archives() -> Vec<Case> {
    let zip = zipped([("run.csv", TABLE.as_bytes())]);
    let gz = gzip(TABLE.as_bytes());
    let names: Vec<String> = (0..1001).map(|n| format!("{n}.csv")).collect();
    let many = zipped(names.iter().map(|name| (name.as_str(), TABLE.as_bytes())));
    let mut bad_sum = gz.clone();
    let sum = bad_sum.len() - 8;
    bad_sum[sum] ^= 1;
    let mut claims = gz.clone();
    let size = claims.len() - 4;
    claims[size..].fill(0xff);
    // The mark of POSIX 1003.1 in the head of 512 bytes, and a table longer than is looked at.
    let mut tar = vec![0; 512];
    tar[..7].copy_from_slice(b"run.csv");
    tar[257..262].copy_from_slice(b"ustar");
    tar.extend(TABLE.as_bytes().iter().cycle().take(9000));
    let mut bad_zip = zip.clone();
    let inside = bad_zip.windows(7).position(|name| name == b"run.csv").unwrap() + 9;
    bad_zip[inside] ^= 0x55;
    vec![
        opens("gzip", "a.csv.gz", &gz, &[]),
        refused(
            "gzip, cut",
            "a.csv.gz",
            &gz[..gz.len() / 2],
            "a.csv.gz, archive: the archive is damaged or cut short here. Copy it again from the logger, or unpack it and open the logs themselves.",
        ),
        refused(
            "gzip, a wrong check sum",
            "a.csv.gz",
            bad_sum,
            "a.csv.gz, archive: the archive is damaged or cut short here. Copy it again from the logger, or unpack it and open the logs themselves.",
        ),
        refused(
            "gzip that says it is enormous",
            "a.csv.gz",
            claims,
            "a.csv.gz, archive: the archive is damaged or cut short here. Copy it again from the logger, or unpack it and open the logs themselves.",
        ),
        refused(
            "gzip of nothing",
            "a.csv.gz",
            gzip(b""),
            "a.csv.gz is empty. Save the log again and open the new file.",
        ),
        refused(
            "gzip, only its mark",
            "a.csv.gz",
            b"\x1f\x8b\x08",
            "a.csv.gz, archive: the archive is damaged or cut short here. Copy it again from the logger, or unpack it and open the logs themselves.",
        ),
        opens("gzip in gzip", "a.csv.gz.gz", gzip(&gz), &[]),
        refused(
            "gzip in gzip in gzip",
            "a.gz",
            gzip(&gzip(&gz)),
            "a.gz, start: this is an archive within an archive, not a log. Unpack it and open the logs themselves.",
        ),
        refused(
            "tar in gzip",
            "a.tar.gz",
            gzip(&tar),
            "a.tar.gz, start: this is a tar archive, not a log. Unpack it and open the logs themselves.",
        ),
        refused(
            "zip in gzip",
            "a.zip.gz",
            gzip(&zip),
            "a.zip.gz, start: this is an archive within an archive, not a log. Unpack it and open the logs themselves.",
        ),
        opens("zip", "a.zip", &zip, &[]),
        refused(
            "zip, cut in its first lines",
            "a.zip",
            &zip[..50],
            "a.zip, archive: the archive is damaged or cut short here. Copy it again from the logger, or unpack it and open the logs themselves.",
        ),
        refused(
            "zip, only its mark",
            "a.zip",
            b"PK\x03\x04",
            "a.zip, archive: the archive is damaged or cut short here. Copy it again from the logger, or unpack it and open the logs themselves.",
        ),
        refused(
            "zip, a damaged file in it",
            "a.zip",
            bad_zip,
            "a.zip, run.csv: the archive is damaged or cut short here. Copy it again from the logger, or unpack it and open the logs themselves.",
        ),
        refused(
            "zip that says it is enormous",
            "a.zip",
            patched(zip.clone(), SIZE, &[0xf0, 0xff, 0xff, 0xff]),
            "a.zip, archive: what the archive holds is larger than 1024 MB. Unpack it and open the logs one by one.",
        ),
        refused(
            "zip with a password",
            "a.zip",
            patched(zip.clone(), FLAGS, &[1]),
            "a.zip, archive: the archive is locked with a password. Unpack it and open the logs themselves.",
        ),
        opens("zip in zip", "a.zip", zipped([("b.zip", zip.as_slice())]), &[]),
        refused(
            "zip in zip in zip",
            "a.zip",
            zipped([("b.zip", zipped([("c.zip", zip.as_slice())]).as_slice())]),
            "a.zip/b.zip/c.zip, start: this is an archive within an archive, not a log. Unpack it and open the logs themselves.",
        ),
        refused(
            "zip with nothing in it",
            "a.zip",
            zipped([]),
            "a.zip, archive: there is no file in it. Pack the logs again, or open them themselves.",
        ),
        refused(
            "zip with a folder only",
            "a.zip",
            zipped([("logs/", &b""[..])]),
            "a.zip, archive: there is no file in it. Pack the logs again, or open them themselves.",
        ),
        refused(
            "zip with hidden files only",
            "a.zip",
            zipped([("__MACOSX/a.csv", TABLE.as_bytes()), (".a.csv", b"1")]),
            "a.zip, archive: there is no file in it. Pack the logs again, or open them themselves.",
        ),
        refused(
            "zip of 1001 files",
            "a.zip",
            many,
            "a.zip, archive: the archive holds 1001 files; 1000 is the most. Unpack it and open the logs themselves.",
        ),
        opens(
            "zip with names that climb",
            "a.zip",
            zipped([("../../../etc/run.csv", TABLE.as_bytes())]),
            &[],
        ),
        opens(
            "zip with a note beside the log",
            "a.zip",
            zipped([("run.csv", TABLE.as_bytes()), ("note.txt", b"warm day")]),
            &[
                "Not everything in a.zip could be read. a.zip/note.txt, line 1: there is one line and no record below it. Save the log as CSV with a header line and one record a line, and open that.",
            ],
        ),
        refused(
            "zip of notes",
            "a.zip",
            zipped([("note.txt", &b"warm day"[..]), ("more.txt", b"cold night")]),
            "a.zip/note.txt, line 1: there is one line and no record below it. Save the log as CSV with a header line and one record a line, and open that.",
        ),
        refused(
            "a spreadsheet",
            "a.xlsx",
            zipped([
                ("[Content_Types].xml", &b"<Types/>"[..]),
                ("xl/workbook.xml", b"<workbook/>"),
            ]),
            "a.xlsx, start: this is a spreadsheet or document of an office program, not a log. Open it in its own program, save the table as CSV, and open that.",
        ),
    ]
}

fn tracks() -> Vec<Case> {
    let point = |n: u32| {
        format!(
            "<trkpt lat=\"48.{n:04}\" lon=\"11.5\"><time>2024-05-01T10:00:{n:02}Z</time></trkpt>\n"
        )
    };
    let track = |inside: &str| {
        format!(
            "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\">\n<trk><trkseg>\n{inside}</trkseg></trk></gpx>\n"
        )
    };
    let points: String = (0..5).map(point).collect();
    let laughs = format!(
        "<?xml version=\"1.0\"?>\n<!DOCTYPE gpx [\n<!ENTITY a \"ha\">\n<!ENTITY b \"{}\">\n<!ENTITY c \"{}\">\n]>\n<gpx>\n<trk><name>&c;</name><trkseg>\n{points}</trkseg></trk></gpx>\n",
        "&a;".repeat(50),
        "&b;".repeat(50)
    );
    let outside = "<!DOCTYPE gpx [<!ENTITY x SYSTEM \"file:///etc/passwd\">]>\n<gpx>&x;</gpx>\n";
    let deep = format!("<gpx>{}{}", "<a>".repeat(500_000), points);
    let attributes: String = (0..100_000).map(|n| format!(" a{n}=\"1\"")).collect();
    let wide = format!(
        "<gpx><trk><trkseg><trkpt lat=\"48\" lon=\"11\"{attributes}/>{points}</trkseg></trk></gpx>"
    );
    let latin = [
        b"<gpx><trk><name>H\xf6he</name><trkseg>\n".as_slice(),
        points.as_bytes(),
        b"</trkseg></trk></gpx>\n",
    ]
    .concat();
    vec![
        opens("entities within entities", "a.gpx", laughs, &[]),
        refused(
            "an entity from outside",
            "a.gpx",
            outside,
            "a.gpx, track: there is no track point in it. Export the track as it was recorded.",
        ),
        refused(
            "no track",
            "a.gpx",
            "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\"></gpx>\n",
            "a.gpx, track: there is no track point in it. Export the track as it was recorded.",
        ),
        refused(
            "one point",
            "a.gpx",
            track(&point(1)),
            "a.gpx, track: the track points number 1 and the times among them 1; a drive needs at least two of each. Export the track as recorded, with its times; a planned route has none.",
        ),
        refused(
            "a route without times",
            "a.gpx",
            track(&"<trkpt lat=\"48\" lon=\"11\"/>\n".repeat(3)),
            "a.gpx, track: the track points number 3 and the times among them 0; a drive needs at least two of each. Export the track as recorded, with its times; a planned route has none.",
        ),
        refused(
            "one time over and over",
            "a.gpx",
            track(&point(1).repeat(4)),
            "a.gpx, track: the track points number 4 and the times among them 1; a drive needs at least two of each. Export the track as recorded, with its times; a planned route has none.",
        ),
        opens(
            "deep nesting",
            "a.gpx",
            deep,
            &["Line 6: the file is cut short or damaged; what came before was read."],
        ),
        opens(
            "a hundred thousand attributes",
            "a.gpx",
            wide,
            &["The record in line 1 has no time and was left out."],
        ),
        opens(
            "a wrong encoding",
            "a.gpx",
            latin,
            &[
                "The text is not Unicode; it was read as Windows-1252 (Latin-1). Check letters with accents and the degree sign in names and units.",
            ],
        ),
        opens(
            "cut in a point",
            "a.gpx",
            &track(&points)[..260],
            &[
                "Line 6: the file is cut short or damaged; what came before was read.",
                "The record in line 6 has no time and was left out.",
            ],
        ),
        opens(
            "tags that do not close",
            "a.gpx",
            track(&points).replace("</trkseg>", "</trk>"),
            &["Line 9: the file is cut short or damaged; what came before was read."],
        ),
        refused(
            "positions off the globe",
            "a.gpx",
            track(&points.replace("lat=\"48.", "lat=\"4800.")),
            "a.gpx, line 4: a latitude of 4800° is beyond the pole, as are most. Latitude and longitude may be exchanged: export the track again.",
        ),
        refused(
            "positions that are no numbers",
            "a.gpx",
            track(&points.replace("lat=\"48.", "lat=\"x").replace("11.5", "1e999")),
            "a.gpx, track: none of 5 track points has a position or a speed. Export the track as it was recorded.",
        ),
        refused(
            "times that are none",
            "a.gpx",
            track(&points.replace("2024-05-01", "yesterday")),
            "a.gpx, track: the track points number 5 and the times among them 0; a drive needs at least two of each. Export the track as recorded, with its times; a planned route has none.",
        ),
    ]
}

fn receivers() -> Vec<Case> {
    const RMC: &str = "$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A\n";
    vec![
        refused(
            "every checksum wrong",
            "a.nmea",
            RMC.replace("*6A", "*00").repeat(3),
            "a.nmea, sentences: none of 3 sentences gives a position or a speed (no fix: 0, wrong checksum: 3). The file was damaged on its way: copy it again from the receiver.",
        ),
        refused(
            "only what the satellites are",
            "a.nmea",
            "$GPGSV,3,1,11,03,03,111,00,04,15,270,00,06,01,010,00,13,06,292,00*74\n".repeat(3),
            "a.nmea, sentences: none of 3 sentences gives a position or a speed (no fix: 0, wrong checksum: 0). Log RMC sentences, or GGA and VTG.",
        ),
        refused(
            "only void fixes",
            "a.nmea",
            "$GPRMC,123519,V,,,,,,,230394,,*33\n".repeat(3),
            "a.nmea, sentences: none of 3 sentences gives a position or a speed (no fix: 3, wrong checksum: 0). Wait until the receiver has a fix, then log.",
        ),
        refused(
            "one fix over and over",
            "a.nmea",
            RMC.repeat(3),
            "a.nmea, sentences: the 3 sentences are all of one instant. Open a longer log.",
        ),
        opens(
            "a sentence without an end",
            "a.nmea",
            format!("{RMC}{}$GPRMC,12\n", RMC.replace("123519", "123520").replace("*6A", "*60")),
            &["Sentences that cannot be read, which were not used: 1, the first in line 3."],
        ),
        refused(
            "sentences of nothing",
            "a.nmea",
            "$GPRMC,\n$GPRMC,*00\n$GPRMC,,,,,,,,,,,\n",
            "a.nmea, sentences: none of 3 sentences gives a position or a speed (no fix: 0, wrong checksum: 1). The file was damaged on its way: copy it again from the receiver.",
        ),
    ]
}

fn days() -> Vec<Case> {
    vec![
        refused(
            "broken JSON",
            "day.json",
            "{\"format\":\"pullmark-day\",\n\"version\":1,",
            "day.json, line 2, column 12: EOF while parsing a value. Mend the day file there, or save the day again.",
        ),
        refused(
            "not a day",
            "day.json",
            "{\"hello\":1}",
            "day.json, \"format\": this is JSON, and neither a log nor a day file, which says \"format\": \"pullmark-day\" and \"version\": 1. Export the log as CSV and open that, or open a day file saved here.",
        ),
        refused(
            "a later version",
            "day.json",
            "{\"format\":\"pullmark-day\",\"version\":7,\"builds\":[]}",
            "day.json, \"version\": the day file is of version 7 and this program opens up to version 1. Open it with a newer Pullmark.",
        ),
        refused(
            "a version of nothing",
            "day.json",
            "{\"format\":\"pullmark-day\",\"version\":0,\"builds\":[]}",
            "day.json, \"format\": this is JSON, and neither a log nor a day file, which says \"format\": \"pullmark-day\" and \"version\": 1. Export the log as CSV and open that, or open a day file saved here.",
        ),
        refused(
            "a version in words",
            "day.json",
            "{\"format\":\"pullmark-day\",\"version\":\"one\",\"builds\":[]}",
            "day.json, line 1, column 40: invalid type: string \"one\", expected u32. Mend the day file there, or save the day again.",
        ),
        refused(
            "a saved sheet",
            "sheet.json",
            "{\"format\":\"pullmark-sheet\",\"version\":1}",
            "sheet.json, \"format\": this is a saved sheet, which has results and no readings. Open the logs, or the day file, that it was made from.",
        ),
        refused(
            "no builds",
            "day.json",
            "{\"format\":\"pullmark-day\",\"version\":1}",
            "day.json, line 1, column 37: missing field `builds`. Mend the day file there, or save the day again.",
        ),
        refused(
            "builds that are none",
            "day.json",
            "{\"format\":\"pullmark-day\",\"version\":1,\"builds\":7}",
            "day.json, line 1, column 47: invalid type: integer `7`, expected a sequence. Mend the day file there, or save the day again.",
        ),
        refused(
            "deep nesting",
            "day.json",
            format!(
                "{{\"format\":\"pullmark-day\",\"version\":1,\"builds\":{}",
                "[".repeat(100_000)
            ),
            "day.json, line 1, column 100046: EOF while parsing a list. Mend the day file there, or save the day again.",
        ),
        opens(
            "logs that are not there",
            "day.json",
            "{\"format\":\"pullmark-day\",\"version\":1,\"builds\":[{\"name\":\"a\",\"outings\":[{\"logs\":[\"gone.csv\"]}]}]}",
            &[],
        ),
        opens(
            "air that is none",
            "day.json",
            "{\"format\":\"pullmark-day\",\"version\":1,\"builds\":[{\"name\":\"a\",\"outings\":[{\"logs\":[],\"ambient_c\":-400,\"pressure_kpa\":0,\"relative_humidity_percent\":900}]}]}",
            &[
                "ambient_c -400 cannot be right (-90 to 60 is possible) and is not used. Mend it in the day.",
                "relative_humidity_percent 900 cannot be right (0 to 100 is possible) and is not used. Mend it in the day.",
                "pressure_kpa 0 cannot be right (45 to 110 is possible) and is not used. Pressure is that of the place itself in kPa, not reduced to sea level.",
            ],
        ),
    ]
}

#[test]
fn a_broken_archive_says_what_is_wrong_with_it() {
    let wrong = check(&archives());
    assert!(wrong.is_empty(), "{} differ:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn a_broken_track_is_read_as_far_as_it_goes() {
    let wrong = check(&tracks());
    assert!(wrong.is_empty(), "{} differ:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn a_receiver_that_saw_nothing_says_so() {
    let wrong = check(&receivers());
    assert!(wrong.is_empty(), "{} differ:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn a_broken_day_file_says_where() {
    let wrong = check(&days());
    assert!(wrong.is_empty(), "{} differ:\n{}", wrong.len(), wrong.join("\n"));
}

/// A log that a day names and that is not there is asked for, and stops nothing.
#[test]
fn missing_logs_are_named() {
    let day = "{\"format\":\"pullmark-day\",\"version\":1,\"builds\":[{\"name\":\"a\",\"outings\":[{\"logs\":[\"gone.csv\"]}]}]}";
    let mut work = Work::new();
    work.open("day.json", day.as_bytes()).unwrap();
    let missing: Vec<String> = work.missing_logs().into_iter().map(|log| log.written).collect();
    assert_eq!(missing, ["gone.csv"]);
    assert_eq!(work.findings().builds[0].outings[0].missing_logs, ["gone.csv"]);
}
