//! How much room a table will take, told from its head before it is read.
//!
//! In: the shape, the head, and how long the text is. Out: the records to come and
//! how full each column is. An estimate: room is made by it, and what cannot fit is
//! refused by it before it is begun.

use super::sniff::Shape;
use crate::log::LogError;
use crate::log::limits::LOG_MEMORY_LIMIT;

/// Records to come, and the share of them in which each column has a reading.
pub struct Room {
    /// Of the text.
    size: u64,
    pub records: usize,
    pub filled: Vec<f64>,
}

/// Tables smaller than this grow as they come.
const SMALL_BYTES: u64 = 1 << 20;
/// Records are seldom all as long as the first: so much is added.
const SPARE: f64 = 1.1;

/// `None` where it does not matter or cannot be told.
pub fn of(shape: &Shape, head: &[u8], size: Option<u64>) -> Option<Room> {
    let size = size.filter(|size| *size > SMALL_BYTES)?;
    let data = head.get(shape.data_at..)?;
    let data = &data[..data.iter().rposition(|&b| b == b'\n')?];
    let lines = data.iter().filter(|&&b| b == b'\n').count() + 1;
    let record_bytes = (data.len() + 1) as f64 / lines as f64;
    let records = (size as f64 / record_bytes * SPARE) as usize + 16;
    let rows = shape.sample.len().max(1) as f64;
    let filled = |at: usize| {
        let written = |row: &&Vec<String>| row.get(at).is_some_and(|cell| !cell.trim().is_empty());
        shape.sample.iter().filter(written).count() as f64 / rows
    };
    Some(Room { size, records, filled: (0..shape.header.len()).map(filled).collect() })
}

impl Room {
    pub fn is_enough(&self) -> bool {
        self.bytes() <= LOG_MEMORY_LIMIT as f64
    }

    /// Says how big the file is, how much fits, and what to do.
    pub fn refusal(&self, file: &str) -> LogError {
        let mb = |bytes: f64| (bytes / 1e6).round();
        let fits = self.size as f64 * LOG_MEMORY_LIMIT as f64 / self.bytes();
        let what = format!(
            "the file is {} MB, and its columns would take about {} MB of memory; about {} MB of \
             such a file fit.",
            mb(self.size as f64),
            mb(self.bytes()),
            mb(fits)
        );
        let remedy = "Split it, or export a shorter stretch, fewer channels or a lower rate.";
        LogError::at(file, "start", what, remedy)
    }

    /// Bytes that the columns and their times will take.
    fn bytes(&self) -> f64 {
        /// A double; beside it the number of its record where not every record has one.
        const DENSE: f64 = 8.0;
        const SPARSE: f64 = 12.0;
        /// The clock, its line, and what is worked out from them on the way.
        const RECORD: f64 = 40.0;
        let each =
            self.filled.iter().map(|&filled| if filled > 0.99 { DENSE } else { SPARSE * filled });
        self.records as f64 / SPARE * (RECORD + each.sum::<f64>())
    }
}
