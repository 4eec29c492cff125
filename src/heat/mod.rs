//! Heat carried: charge air over a pull, its recovery, the ladder of starts.
//!
//! In: a [`Log`], its pulls and their ground motion. Out: one [`Heat`] a pull
//! that has charge air, and the [`Ladder`] of the log.

use crate::launch::Motion;
use crate::log::Log;
use crate::pull::Pull;

/// Charge air over one pull, degrees Celsius.
#[derive(Debug, Clone, PartialEq)]
pub struct Heat {
    /// Robust level just before the start.
    pub start_c: f64,
    /// At the lift.
    pub end_c: f64,
    /// The highest reading up to the next pull or until it falls for good.
    pub peak_c: f64,
    /// How long after the lift the peak was read: a sign of sensor lag.
    pub peak_after_s: f64,
    /// `end_c` minus `start_c`.
    pub rise_c: f64,
    pub inlet_start_c: Option<f64>,
    pub inlet_end_c: Option<f64>,
    /// Charge air where the ground speed first passed each mark.
    pub at: Vec<SpeedReading>,
    pub recovery: Option<Recovery>,
    /// Why there is no recovery, in one sentence, when there is none.
    pub no_recovery: Option<String>,
    /// Charge air against ground speed, for the chart: (m/s, °C) in time order.
    pub trace: Vec<(f64, f64)>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpeedReading {
    pub speed_mps: f64,
    pub charge_c: f64,
}

/// Newton cooling after a pull: T(t) = settles_at + a exp(-t/tau).
#[derive(Debug, Clone, PartialEq)]
pub struct Recovery {
    pub from_s: f64,
    pub to_s: f64,
    /// `None` when the log stops too early for a time constant.
    pub tau_s: Option<f64>,
    pub tau_low_s: Option<f64>,
    /// `None` when the interval is open upwards ("at least").
    pub tau_high_s: Option<f64>,
    pub settles_at_c: Option<f64>,
    /// Charge air 60 s after the lift: read, or from the fit where the log is shorter.
    pub after_60s_c: Option<f64>,
    /// Time to come back to within 2 °F of the pull's start; `None` if never.
    pub back_after_s: Option<f64>,
    /// Amplitude of the fit, °C above `settles_at_c` at `from_s`.
    pub amplitude_c: Option<f64>,
}

/// The climb of starts from pull to pull and where it tends.
#[derive(Debug, Clone, PartialEq)]
pub struct Ladder {
    pub starts_c: Vec<f64>,
    pub ends_c: Vec<f64>,
    /// Mean carry-over: how much hotter each pull starts than the one before.
    pub carry_over_c: Option<f64>,
    /// Starts tend to this level at the log's own gaps.
    pub tends_to_c: Option<f64>,
    /// Forecast start temperatures of the next pulls at the mean gap.
    pub forecast_c: Vec<f64>,
    pub gap_s: Option<f64>,
}

/// One entry a pull, `None` where the log has no charge air over it.
///
/// `motions[i]` belongs to `pulls[i]`; a pull without believable motion has no
/// readings at speeds. `marks_mps` are read in addition to the fixed set.
pub fn over_pulls(
    log: &Log,
    pulls: &[Pull],
    motions: &[Option<&Motion>],
    marks_mps: &[f64],
) -> Vec<Option<Heat>> {
    let _ = (log, motions, marks_mps);
    pulls.iter().map(|_| None).collect()
}

/// The ladder of one log; `None` below two pulls with charge air.
pub fn ladder(pulls: &[Pull], heats: &[Option<Heat>]) -> Option<Ladder> {
    let _ = (pulls, heats);
    None
}
