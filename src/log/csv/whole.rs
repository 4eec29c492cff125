//! A text that is there as a whole: several tables below one another, a reading a line,
//! cells parted by blanks, lines quoted as one cell.
//!
//! In: all of the text. Out: a [`Log`]. A further table is read with its own times and
//! laid beside the first; where it cannot be, it is named, with the reason.

use super::remade::remade;
use super::{Known, Reader, Told, further};
use crate::log::assemble::{self, Parts};
use crate::log::fresh::Repeated;
use crate::log::limits::TABLES_LIMIT;
use crate::log::raw::Raw;
use crate::log::thousand;
use crate::log::{Form, HEADLESS, Log, LogError, Problem};

/// One table on its way to a log.
pub struct Part {
    pub raws: Vec<Raw>,
    /// Written seconds that the times count from.
    pub first_s: f64,
    pub unix_base_s: Option<f64>,
    pub is_wall_clock: bool,
    pub span_s: f64,
    pub rows: u64,
    pub names: Vec<String>,
    pub form_found: String,
    /// How the time of every record was found.
    pub clock_found: String,
    pub problems: Vec<Problem>,
    /// The line where a further table begins, and its names.
    pub next: Option<(u64, Vec<String>)>,
}

impl Part {
    /// The log of it. A further table that is still there was not read.
    ///
    /// # Errors
    /// [`LogError`] when its times are a thousand times a car's.
    pub fn log(mut self, file: &str) -> Result<Log, LogError> {
        if let Some((line, names)) = &self.next {
            let why = Err("the file is too large to be held as a whole");
            self.problems.push(second_table(*line, names, why));
        }
        let log = assemble::log(Parts {
            file,
            form: Form::Csv,
            raws: self.raws,
            span_s: self.span_s,
            rows: self.rows,
            began_unix_s: self.unix_base_s.map(|base| base + self.first_s),
            clock_began_s: Some(self.first_s),
            header_key: crate::log::header_key(self.names.iter().map(String::as_str)),
            form_found: self.form_found,
            problems: self.problems,
        });
        thousand::refusal(file, &log, &self.clock_found).map_or(Ok(log), Err)
    }
}

/// Reads all of a text, with all that stands in it.
///
/// # Errors
/// [`LogError`] when its first table is none, or has no time.
pub fn read(file: &str, text: &str, encoding: &str, repeated: Repeated) -> Result<Log, LogError> {
    let mut first = part(file, text, 0, encoding, repeated)?;
    if let Some(turned) = names_last(&first, text)
        && let Ok(mut named) = part(file, &turned, 0, encoding, repeated)
    {
        let text =
            "The names stand in the last line, below all records; they were read from there.";
        named.problems.push(Problem { code: "header_last", text: text.to_owned() });
        return named.log(file);
    }
    let (mut rest, mut lines_before, mut tables) = (text, 0, 1);
    while let Some((line, names)) = first.next.take() {
        rest = from_line(rest, line - lines_before);
        lines_before = line - 1;
        tables += 1;
        let joined = match part(file, rest, lines_before, encoding, repeated) {
            _ if tables > TABLES_LIMIT => Err("a file is read up to its 50th table"),
            Ok(mut further) => {
                first.next = further.next.take();
                further::join(&mut first, further)
            }
            Err(_) => Err("it cannot be read as a table"),
        };
        first.problems.push(second_table(line, &names, joined));
    }
    first.log(file)
}

/// One table, up to where the next begins.
fn part(
    file: &str,
    text: &str,
    lines_before: u64,
    encoding: &str,
    repeated: Repeated,
) -> Result<Part, LogError> {
    let mut known = Known::default();
    loop {
        let mut reader = Reader::new(file, Some(text.len() as u64));
        reader.lines_before = lines_before;
        reader.known(known.kinds.take());
        // No larger than the cache of a processor holds.
        text.as_bytes().chunks(1 << 18).for_each(|piece| reader.feed(piece));
        match reader.told()? {
            Told::Read(read) => return read.part(file, encoding, Some(text), repeated),
            Told::Kinds(kinds) => known.kinds = Some(kinds),
            Told::Remade(error) => {
                let mut why = None;
                for (remade, said) in remade(text) {
                    match part(file, &remade, lines_before, encoding, repeated) {
                        Ok(mut part) => {
                            part.problems.splice(0..0, said);
                            return Ok(part);
                        }
                        Err(error) => why = why.or(Some(error)),
                    }
                }
                return Err(why.unwrap_or(error));
            }
        }
    }
}

/// The text with its last line first, where that names the columns of a table without
/// names: a script that wrote them when it closed the file.
fn names_last(part: &Part, text: &str) -> Option<String> {
    let (line, _) = part.next.as_ref()?;
    let is_nameless = part.problems.iter().any(|problem| problem.code == HEADLESS);
    let last = from_line(text, *line).trim();
    let records = text.trim_end().strip_suffix(last)?;
    (is_nameless && !last.contains('\n')).then(|| format!("{last}\n{records}"))
}

/// The text from a line on, the first being 1.
fn from_line(text: &str, line: u64) -> &str {
    let before = usize::try_from(line.saturating_sub(1)).unwrap_or(usize::MAX);
    let skipped: usize = text.split_inclusive('\n').take(before).map(str::len).sum();
    &text[skipped..]
}

fn second_table(line: u64, names: &[String], joined: Result<(), &str>) -> Problem {
    let begins =
        format!("Line {line} begins a second table with other columns ({})", names.join(", "));
    let text = match joined {
        Ok(()) => format!("{begins}; it was read with its own times."),
        Err(why) => format!(
            "{begins}; it was not read, as {why}. Save it as a file of its own, and open both."
        ),
    };
    Problem { code: "second_table", text }
}
