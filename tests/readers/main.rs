//! Readers against files as they are met: dialects, open recordings, broken input.
//!
//! Every expectation is worked out from the file by hand or stands in the README
//! beside the recordings; none is copied from what the reader printed.

mod again;
mod axes;
mod coarse_clocks;
mod cut_archives;
mod decoys;
mod dialect_clocks;
mod dialect_counted;
mod dialect_headers;
mod dialect_orders;
mod dialect_padding;
mod dialect_printed;
mod dialect_scripts;
mod dialect_ugly;
mod dialects;
mod doubts;
mod exported;
mod fed;
mod health;
mod holes;
mod leaps;
mod lost_columns;
mod lost_mdf4;
mod mutated;
mod noise;
mod open_data;
mod pieces;
mod placed;
mod refused;
mod refused_mdf4;
mod refused_mixed;
mod refused_packed;
mod refuted;
mod slid_rows;
mod standards;
mod strays;
mod ugly_forms;
