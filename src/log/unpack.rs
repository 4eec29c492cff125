//! Archives: gzip around one file, zip around several.
//!
//! In: bytes. Out: the files inside, of one that was cut short those before the cut.
//! Never more than [`UNPACKED_LIMIT`] bytes, whatever the archive claims about itself; a
//! zip that claims more is not begun.

mod cut;

use std::io::{self, Cursor, Read};

use zip::result::ZipError;

pub use self::cut::WholeLines;

use super::limits::{ENTRIES_LIMIT, UNPACKED_LIMIT};
use super::{LogError, Problem};

pub fn is_gzip(bytes: &[u8]) -> bool {
    bytes.starts_with(&[0x1f, 0x8b, 0x08])
}

pub fn is_zip(bytes: &[u8]) -> bool {
    bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"PK\x05\x06")
}

/// Gives the file inside a gzip, piece by piece, and says so where it was cut short.
///
/// # Errors
/// When the archive is damaged, or holds more than [`UNPACKED_LIMIT`].
pub fn gunzip(
    file: &str,
    bytes: &[u8],
    give: impl FnMut(&[u8]),
) -> Result<Option<Problem>, LogError> {
    gunzip_up_to(file, bytes, UNPACKED_LIMIT, give)
}

fn gunzip_up_to(
    file: &str,
    bytes: &[u8],
    limit: u64,
    mut give: impl FnMut(&[u8]),
) -> Result<Option<Problem>, LogError> {
    let bytes = without_hole(bytes);
    let (mut rest, mut left) = (bytes, limit);
    let mut piece = vec![0; 1 << 17];
    // Zeros behind the end are what cards and tapes leave; gzip itself passes over them.
    while rest.iter().any(|&b| b != 0) {
        let mut part = flate2::bufread::GzDecoder::new(rest);
        loop {
            let count = match part.read(&mut piece) {
                Ok(0) => break,
                Ok(count) => count,
                Err(error) if error.kind() == io::ErrorKind::UnexpectedEof && left < limit => {
                    return Ok(Some(cut::gzip(bytes.len(), limit - left)));
                }
                Err(_) => return Err(damaged(file, "archive")),
            };
            left = left.checked_sub(count as u64).ok_or_else(|| too_big(file, limit))?;
            give(&piece[..count]);
        }
        rest = part.into_inner();
    }
    Ok(None)
}

/// A file whose room was set aside and never filled ends in zeros: without them it is
/// plainly cut. Zeros behind a whole archive stay.
fn without_hole(bytes: &[u8]) -> &[u8] {
    const LEAST: usize = 512;
    let kept = bytes.iter().rposition(|&b| b != 0).map_or(0, |last| last + 1);
    if bytes.len() - kept < LEAST {
        return bytes;
    }
    let mut whole = flate2::bufread::GzDecoder::new(bytes);
    let is_whole = io::copy(&mut whole.by_ref().take(UNPACKED_LIMIT), &mut io::sink()).is_ok();
    if is_whole { bytes } else { &bytes[..kept] }
}

/// The files of an archive.
#[derive(Debug)]
pub struct Entries {
    /// Each with its name.
    pub files: Vec<(String, Vec<u8>)>,
    /// Where the archive was cut short.
    pub cut: Option<Problem>,
}

/// The files inside a zip archive, by name, folders and hidden files left out, of `limit`
/// bytes at the most.
///
/// # Errors
/// When the archive is damaged, locked, or holds more than the limits.
pub fn entries(file: &str, bytes: &[u8], limit: u64) -> Result<Entries, LogError> {
    let Ok(mut archive) = zip::ZipArchive::new(Cursor::new(bytes)) else {
        let cut::Salvaged { files, problem } = cut::zip(file, bytes, limit)?;
        return Ok(Entries { files, cut: Some(problem) });
    };
    if archive.len() > ENTRIES_LIMIT {
        let what =
            format!("the archive holds {} files; {ENTRIES_LIMIT} is the most.", archive.len());
        return Err(LogError::at(file, "archive", what, "Unpack it and open the logs themselves."));
    }
    let has = |name: &str| archive.index_for_name(name).is_some();
    if has("[Content_Types].xml") || has("mimetype") && has("content.xml") {
        return Err(LogError::at(
            file,
            "start",
            "this is a spreadsheet or document of an office program, not a log.",
            "Open it in its own program, save the table as CSV, and open that.",
        ));
    }
    if archive.decompressed_size().is_some_and(|claimed| claimed > u128::from(limit)) {
        return Err(too_big(file, limit));
    }
    let mut files = Vec::new();
    let mut left = limit;
    for index in 0..archive.len() {
        let entry = archive.by_index(index).map_err(|error| closed(file, &error))?;
        let name = entry.name().map_err(|_| damaged(file, "archive"))?.into_owned();
        if entry.is_dir() || is_hidden(&name) {
            continue;
        }
        let mut inside = Vec::new();
        entry.take(left + 1).read_to_end(&mut inside).map_err(|_| damaged(file, &name))?;
        left = left.checked_sub(inside.len() as u64).ok_or_else(|| too_big(file, limit))?;
        files.push((name, inside));
    }
    Ok(Entries { files, cut: None })
}

/// What an operating system adds of its own to an archive.
fn is_hidden(name: &str) -> bool {
    let hidden = |part: &str| part.starts_with('.') && part != "." && part != "..";
    name.split(['/', '\\']).any(|part| hidden(part) || part == "__MACOSX")
}

pub fn damaged(file: &str, place: &str) -> LogError {
    LogError::at(
        file,
        place,
        "the archive is damaged or cut short here.",
        "Copy it again from the logger, or unpack it and open the logs themselves.",
    )
}

/// A file in the archive that cannot be begun.
fn closed(file: &str, error: &ZipError) -> LogError {
    let what = match error {
        ZipError::UnsupportedArchive(ZipError::PASSWORD_REQUIRED) | ZipError::InvalidPassword => {
            "the archive is locked with a password."
        }
        ZipError::UnsupportedArchive(_) | ZipError::CompressionMethodNotSupported(_) => {
            "the archive is packed by another method than deflate."
        }
        _ => return damaged(file, "archive"),
    };
    LogError::at(file, "archive", what, "Unpack it and open the logs themselves.")
}

fn too_big(file: &str, limit: u64) -> LogError {
    let what = format!("what the archive holds is larger than {} MB.", limit >> 20);
    LogError::at(file, "archive", what, "Unpack it and open the logs one by one.")
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Write;

    fn gzip(inside: &[u8]) -> Vec<u8> {
        let mut writer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
        writer.write_all(inside).unwrap();
        writer.finish().unwrap()
    }

    fn zipped(files: &[(&str, &[u8])]) -> Vec<u8> {
        let mut writer = zip::ZipWriter::new(Cursor::new(Vec::new()));
        for (name, inside) in files {
            writer.start_file(*name, zip::write::SimpleFileOptions::default()).unwrap();
            writer.write_all(inside).unwrap();
        }
        writer.finish().unwrap().into_inner()
    }

    #[test]
    fn an_archive_gives_back_what_went_in() {
        let whole = |bytes: &[u8]| {
            let mut inside = Vec::new();
            gunzip("a.gz", bytes, |piece| inside.extend_from_slice(piece)).map(|_| inside)
        };
        assert_eq!(whole(&gzip(b"time,rpm\n")).unwrap(), b"time,rpm\n");
        let parts = [gzip(b"time,"), gzip(b"rpm\n"), vec![0; 300]].concat();
        assert_eq!(whole(&parts).unwrap(), b"time,rpm\n");
        let zip = zipped(&[("day/a.csv", b"1"), ("__MACOSX/a.csv", b"x"), ("b.csv", b"22")]);
        let files = entries("a.zip", &zip, UNPACKED_LIMIT).unwrap().files;
        assert_eq!(files, [("day/a.csv".into(), b"1".to_vec()), ("b.csv".into(), b"22".to_vec())]);
    }

    #[test]
    fn more_than_the_limit_is_refused_and_not_unpacked() {
        let bomb = gzip(&vec![0; 5 << 20]);
        let refused = gunzip_up_to("bomb.gz", &bomb, 1 << 20, |_| {}).unwrap_err().to_string();
        assert_eq!(
            refused,
            "bomb.gz, archive: what the archive holds is larger than 1 MB. \
             Unpack it and open the logs one by one."
        );
        let zip = zipped(&[("a", &vec![0; 700_000]), ("b", &vec![0; 700_000])]);
        assert!(entries("bomb.zip", &zip, 1 << 20).is_err());
    }

    #[test]
    fn a_cut_archive_says_so() {
        let zip = zipped(&[("a.csv", b"time,rpm\n1,2\n")]);
        for cut in [&gzip(b"time")[..10], &zip[..30]] {
            let refused = if is_gzip(cut) {
                gunzip("x", cut, |_| {}).err()
            } else {
                entries("x", cut, UNPACKED_LIMIT).err()
            };
            assert_eq!(refused, Some(damaged("x", "archive")));
        }
    }
}
