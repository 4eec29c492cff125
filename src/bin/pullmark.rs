//! The native command: `pullmark sheet FILE… [--json]`.
//!
//! In: the command line and the files it names. Out: one sheet on standard output;
//! what is wrong goes to standard error, in one line for a file. Exit code 0 when a
//! sheet was made, 2 when the words are wrong, 1 when a file could not be read.
//! Everything is worked out by [`Work`]; here are only words, files and streams.

use std::ffi::OsString;
use std::fs::File;
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use lexopt::Arg;
use pullmark::screen::{self, Units};
use pullmark::work::{OpenError, Opened, Opening, Outcome, Work};

const USAGE: &str = "usage: pullmark sheet FILE… [--json]";
const HELP: &str = "\
Pullmark reads the logs of a car's test day and says what they prove.

usage: pullmark sheet FILE… [--json]

  FILE       a log, or a day file, whose logs are read from beside it;
             several files make one sheet
  --json     print the sheet as JSON
  --help     print this
  --version  print the version

Without --json the sheet is plain text, in the units of your system's language
(LC_MEASUREMENT=en_US for °F, mph and feet).

Exits 0 when a sheet was made, 2 when these words are wrong, 1 when a file
could not be read. The files are only read; nothing leaves this machine.
";

/// What the words ask for.
enum Ask {
    Help,
    Version,
    Sheet { files: Vec<PathBuf>, json: bool },
}

fn main() -> ExitCode {
    let ask = match asked(lexopt::Parser::from_env()) {
        Ok(ask) => ask,
        Err(wrong) => {
            complain(&format!("pullmark: {wrong}\n{USAGE}\nTry pullmark --help."));
            return ExitCode::from(2);
        }
    };
    let answer = match ask {
        Ask::Help => Ok(HELP.to_owned()),
        Ask::Version => Ok(format!("pullmark {}\n", env!("CARGO_PKG_VERSION"))),
        Ask::Sheet { files, json } => sheet(&files, json),
    };
    match answer.and_then(|text| say(&text)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(wrong) => {
            complain(&wrong.split_whitespace().collect::<Vec<_>>().join(" "));
            ExitCode::from(1)
        }
    }
}

fn asked(mut words: lexopt::Parser) -> Result<Ask, lexopt::Error> {
    let (mut files, mut json, mut verb): (Vec<PathBuf>, bool, Option<OsString>) =
        (Vec::new(), false, None);
    while let Some(word) = words.next()? {
        match word {
            Arg::Long("help") | Arg::Short('h') => return Ok(Ask::Help),
            Arg::Long("version") | Arg::Short('V') => return Ok(Ask::Version),
            Arg::Long("json") => json = true,
            Arg::Value(value) if verb.is_none() => verb = Some(value),
            Arg::Value(value) => files.push(value.into()),
            _ => return Err(word.unexpected()),
        }
    }
    match verb {
        None => Err("say what to do".into()),
        Some(verb) if verb != "sheet" => {
            Err(format!("there is no {}, only sheet", verb.to_string_lossy()).into())
        }
        Some(_) if files.is_empty() => Err("sheet needs at least one FILE".into()),
        Some(_) => Ok(Ask::Sheet { files, json }),
    }
}

/// Opens the files and the logs that their day files name, and makes the sheet.
fn sheet(files: &[PathBuf], json: bool) -> Result<String, String> {
    let mut work = Work::new();
    for file in files {
        let opened = read(file, &file.to_string_lossy())?;
        work.keep_all(opened.map_err(|error| error.to_string())?);
    }
    for missing in work.missing_logs() {
        let opened = read(Path::new(&missing.path), &missing.path)
            .map_err(|wrong| format!("{}, \"{}\": {wrong}", missing.day_file, missing.written))?;
        work.keep_all(opened.map_err(|error| format!("{}: {error}", missing.day_file))?);
    }
    let sheet = work.sheet();
    if json {
        return Ok(sheet.to_json());
    }
    let report = screen::report(&sheet, &work.day(), &units());
    Ok(screen::text::text(&report))
}

/// What the reader's system measures in, as far as it says.
fn units() -> Units {
    let said = ["LC_ALL", "LC_MEASUREMENT", "LANG"]
        .iter()
        .find_map(|name| std::env::var(name).ok().filter(|value| !value.is_empty()));
    let tag = said.unwrap_or_default().replace('_', "-");
    Units::for_locale(tag.split('.').next().unwrap_or_default())
}

/// Reads a file piece by piece: first whether its bytes can be had, then what is in them.
fn read(file: &Path, path: &str) -> Result<Result<Opened, OpenError>, String> {
    let wrong = |error: io::Error| unreadable(file, &error);
    let size = std::fs::metadata(file).map_err(wrong)?.len();
    let mut opening = Opening::new(path, Some(size));
    loop {
        feed(&mut opening, file).map_err(wrong)?;
        match opening.finish() {
            Ok(Outcome::Opened(opened)) => return Ok(Ok(opened)),
            Ok(Outcome::Again(knowing)) => opening = knowing,
            Err(error) => return Ok(Err(error)),
        }
    }
}

fn feed(opening: &mut Opening, file: &Path) -> io::Result<()> {
    let mut bytes = File::open(file)?;
    let mut piece = vec![0; 1 << 18];
    while !opening.is_settled() {
        match bytes.read(&mut piece) {
            Ok(0) => break,
            Ok(count) => opening.feed(&piece[..count]),
            Err(error) if error.kind() == ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
    Ok(())
}

fn unreadable(file: &Path, error: &io::Error) -> String {
    let file = file.display();
    match error.kind() {
        ErrorKind::NotFound => format!("{file} is not there. Check the name and the folder."),
        ErrorKind::PermissionDenied => {
            format!("{file} may not be read by you. Change its permissions, or copy it.")
        }
        ErrorKind::IsADirectory => format!("{file} is a folder. Name the files in it."),
        _ => format!("{file} could not be read: {error}. Copy it to another disk and try that."),
    }
}

/// Prints to standard output. A reader who closes the pipe early has what they want.
fn say(text: &str) -> Result<(), String> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            Err(format!("standard output could not be written: {error}. Make room and try again."))
        }
        _ => Ok(()),
    }
}

/// Prints to standard error, and lets it go when nobody listens.
fn complain(text: &str) {
    let _ = writeln!(io::stderr(), "{text}");
}
