//! A file that comes in pieces becomes a log without ever being held as a whole.
//!
//! In: the bytes of a file in order, cut anywhere. Out: the [`Log`] that
//! [`super::read`] makes of the same bytes, or the same error. A table goes into its
//! columns as it comes; what cannot (measurement files, tracks, UTF-16, archives) is
//! gathered and read at the end. What will not fit is refused before it is begun.
//!
//! What the first bytes speak for is taken for granted, and given up where a later
//! byte contradicts it: the file then has to be fed anew, from its start, to a
//! [`Reading`] that knows. That is rare, and happens twice at the most.

use encoding_rs::Encoding;

use super::decoder::Decoder;
use super::limits::WHOLE_LIMIT;
use super::{Log, LogError, csv, foreign, mdf4, nmea, read_packed, text, unpack};

/// What became of the bytes fed.
pub enum Ended {
    Log(Box<Log>),
    /// The same bytes once more, to this one.
    Again(Box<Reading>),
}

/// A file on its way to a log.
pub struct Reading {
    name: String,
    size: Option<u64>,
    depth: usize,
    stage: Stage,
    /// What an earlier reading of the same bytes found.
    known: csv::Known,
}

enum Stage {
    /// The first bytes, until they tell what this is.
    Start(Vec<u8>),
    /// All bytes so far of a file that has to be there as a whole.
    Whole(Vec<u8>),
    Table(Box<Table>),
    Refused(LogError),
}

struct Table {
    decoder: Decoder,
    reader: csv::Reader,
    /// Text of the piece at hand.
    text: Vec<u8>,
    /// For the words of a refusal.
    start: Vec<u8>,
}

/// Bytes from which the form is told, as far as it can be.
const START: usize = 4096;

impl Reading {
    /// A file with its name and, where it is known, its size in bytes.
    pub fn new(name: &str, size: Option<u64>) -> Reading {
        Self::within(name, size, 0)
    }

    /// The same for what lies `depth` archives deep.
    pub(super) fn within(name: &str, size: Option<u64>, depth: usize) -> Reading {
        let (stage, known) = (Stage::Start(Vec::new()), csv::Known::default());
        Reading { name: name.to_owned(), size, depth, stage, known }
    }

    /// The same with every record of a table cut by the csv crate, which is several times
    /// slower: for holding the quick way against it.
    #[must_use]
    pub fn by_the_crate(mut self) -> Reading {
        self.known.by_the_crate = true;
        self
    }

    /// Takes the next bytes.
    pub fn feed(&mut self, piece: &[u8]) {
        match &mut self.stage {
            Stage::Start(start) => {
                let looked_at = start.len();
                start.extend_from_slice(piece);
                // With one long line it is not searched anew for every piece.
                let doubled = 1usize << start.len().checked_ilog2().unwrap_or(0);
                if start.len() >= START && looked_at < doubled.max(START) {
                    self.begin();
                }
            }
            Stage::Whole(bytes) => bytes.extend_from_slice(piece),
            Stage::Table(table) => table.feed(piece),
            Stage::Refused(_) => {}
        }
    }

    /// Whether no further bytes are wanted: the end can be asked for at once.
    pub fn is_settled(&self) -> bool {
        match &self.stage {
            Stage::Refused(_) => true,
            Stage::Table(table) => {
                table.decoder.has_failed()
                    || table.reader.is_refused() && table.decoder.is_certain()
            }
            _ => false,
        }
    }

    /// Tells the form from the first bytes.
    fn begin(&mut self) {
        let Stage::Start(start) = &mut self.stage else { return };
        if self.known.whole {
            self.stage = Stage::Whole(std::mem::take(start));
            return;
        }
        let form = form(start, self.known.encoding);
        if form == Form::Unclear {
            return;
        }
        let start = std::mem::take(start);
        let decoder = Decoder::of(&start, self.known.encoding);
        self.stage = match (form, decoder) {
            (Form::Table, Some(decoder)) => {
                let mut reader = csv::Reader::new(&self.name, self.size);
                reader.known(self.known.kinds.take());
                if self.known.by_the_crate {
                    reader.by_the_crate();
                }
                let (head, text) = (start[..START].to_vec(), Vec::new());
                let mut table = Table { decoder, reader, text, start: head };
                table.feed(&start);
                Stage::Table(Box::new(table))
            }
            _ => match self.size.filter(|size| *size > WHOLE_LIMIT) {
                Some(size) => Stage::Refused(too_big(&self.name, size)),
                None => Stage::Whole(start),
            },
        };
    }

    /// The log, once all bytes were fed.
    ///
    /// # Errors
    /// [`LogError`] when they cannot be read as a log.
    pub fn finish(self) -> Result<Ended, LogError> {
        let Reading { name, size, depth, stage, known } = self;
        let ended = match stage {
            Stage::Start(bytes) | Stage::Whole(bytes) => {
                return Ok(Ended::Log(Box::new(read_packed(&name, &bytes, depth)?)));
            }
            Stage::Refused(error) => return Err(error),
            Stage::Table(table) => table.finish(&name)?,
        };
        let known = match ended {
            csv::Ended::Log(log) => return Ok(Ended::Log(log)),
            csv::Ended::Again(again) => csv::Known {
                encoding: again.encoding.or(known.encoding),
                kinds: again.kinds.or(known.kinds),
                whole: again.whole || known.whole,
                by_the_crate: known.by_the_crate,
            },
        };
        let again = Reading { name, size, depth, stage: Stage::Start(Vec::new()), known };
        Ok(Ended::Again(Box::new(again)))
    }

    /// Stops at the columns: how many numbers they hold, and their sum. For measuring
    /// how long the way to there is; `None` where the file is no table.
    pub fn cells(self) -> Option<(u64, f64)> {
        match self.stage {
            Stage::Table(table) => table.reader.cells(),
            _ => None,
        }
    }
}

#[derive(PartialEq)]
enum Form {
    Table,
    /// Anything that has to be there as a whole.
    Other,
    /// Too few lines yet.
    Unclear,
}

/// The form that the first bytes tell; tables alone are told from all others.
fn form(start: &[u8], known: Option<&'static Encoding>) -> Form {
    let text = start.strip_prefix(b"\xef\xbb\xbf").unwrap_or(start).trim_ascii_start();
    let packed = unpack::is_gzip(start)
        || unpack::is_zip(start)
        || mdf4::is_mdf(start)
        || foreign::is_tar(start);
    if packed
        || text.is_empty()
        || text.starts_with(b"<")
        || text.starts_with(b"{\\rtf")
        || Decoder::of(start, known).is_none()
    {
        return Form::Other;
    }
    let whole = start.iter().rposition(|&b| b == b'\n').map_or(0, |last| last + 1);
    match nmea::told(&text::lossy(&start[..whole])) {
        Some(true) => Form::Other,
        Some(false) => Form::Table,
        None => Form::Unclear,
    }
}

impl Table {
    fn feed(&mut self, piece: &[u8]) {
        if self.decoder.takes_as_it_is(piece) {
            return self.reader.feed(piece);
        }
        self.decoder.feed(piece, &mut self.text);
        if !self.decoder.has_failed() {
            self.reader.feed(&self.text);
        }
        self.text.clear();
    }

    fn finish(mut self, name: &str) -> Result<csv::Ended, LogError> {
        let odd = self.decoder.finish(&mut self.text);
        let encoding = self.decoder.encoding();
        if self.decoder.has_failed() {
            let known = csv::Known { encoding: Some(encoding), ..csv::Known::default() };
            return Ok(csv::Ended::Again(known));
        }
        self.reader.feed(&self.text);
        let ended = self.reader.finish(encoding.name());
        let mut ended =
            ended.map_err(|error| foreign::refusal(name, &self.start).unwrap_or(error))?;
        if let csv::Ended::Log(log) = &mut ended {
            log.problems.splice(0..0, odd);
        }
        Ok(ended)
    }
}

fn too_big(file: &str, size: u64) -> LogError {
    let mb = |bytes: u64| bytes.div_ceil(1_000_000);
    let what = format!(
        "the file is {} MB, and a file of this form has to fit in memory as a whole; {} MB is the most.",
        mb(size),
        mb(WHOLE_LIMIT)
    );
    let remedy = "Split it, or export a shorter stretch or fewer channels, and open the parts.";
    LogError::at(file, "start", what, remedy)
}
