//! Limits: how much of a file is taken, in one place.
//!
//! No recording of a car comes near any of these; each keeps a broken or hostile
//! file from asking for hours or gigabytes. What lies beyond is refused in words or
//! left out and said, never cut off in silence.

/// Largest file of a form that has to be there as a whole while it is read.
pub const WHOLE_LIMIT: u64 = 512 << 20;
/// Most memory that the columns of one table may take, by an estimate from its first
/// lines: beside it, a tab of a browser stays below 1.5 GB.
pub const LOG_MEMORY_LIMIT: u64 = 900_000_000;

/// Largest content taken out of an archive: a long day at a high rate is well below.
pub const UNPACKED_LIMIT: u64 = 1 << 30;
/// Most files taken out of one zip archive.
pub const ENTRIES_LIMIT: usize = 1000;
/// A gzip may stand in a gzip, and a zip in a zip, and that is all.
pub const PACKED_DEPTH_LIMIT: usize = 2;

/// Most columns of a table, and most channels of a measurement file: the richest
/// recorders have some thousand.
pub const COLUMNS_LIMIT: usize = 20_000;
/// Longest line at the head of a table, bytes: room for all the columns, 50 letters each.
pub const LINE_LIMIT: usize = 1 << 20;
/// Letters of a channel's name that are read and shown; what is longer is no name.
pub const NAME_LIMIT: usize = 200;
/// Lines looked at to find the table: long preambles fit.
pub const HEAD_LINES_LIMIT: usize = 300;
/// Most tables of other columns, one below the other, in one file.
pub const TABLES_LIMIT: usize = 50;

/// Most blocks of a kind in one chain of a measurement file.
pub const BLOCKS_LIMIT: usize = 100_000;
/// Most bytes of records gathered from one measurement file, or its own size if that is more.
pub const DATA_LIMIT: usize = 1 << 30;
/// Most readings taken from one measurement file: about 2 GB on their way through.
pub const READINGS_LIMIT: usize = 1 << 26;
/// Structures of channels, and conversions, within one another.
pub const NESTED_LIMIT: usize = 8;

/// A later time is none: Unix time passes this in the year 5138. Beside it a double
/// still tells 20 µs apart.
pub const TIME_LIMIT_S: f64 = 1e11;
