//! Where this program reads otherwise on purpose: file and column by name, and why.

use crate::found::Found;

/// Columns of a peer that are no channel of ours.
const NO_CHANNEL: [(&str, &str, &str); 1] = [(
    "gps_1hz_4115985_1_2007-04-23.csv",
    "cycle_sec",
    "a second clock beside the time stamps; a clock is no channel",
)];

/// Whether a column is left out on purpose.
pub fn is_no_channel(found: &Found, column: &str) -> bool {
    NO_CHANNEL.iter().any(|(file, name, _)| (*file, *name) == (found.name(), column))
}

/// Exceptions that no file needs any more.
pub fn idle(all: &[Found]) -> Vec<&'static str> {
    let is_met =
        |file: &str, name: &str| all.iter().any(|f| f.name() == file && f.column(name).is_some());
    NO_CHANNEL.iter().filter(|(file, name, _)| !is_met(file, name)).map(|(.., why)| *why).collect()
}
