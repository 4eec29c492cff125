//! Sentences of several receivers in one file: one receiver's are kept.
//!
//! In: all epochs in the order of the file. Out: those of one track, where positions jump
//! to and fro as no car does, and what was left out. Never two tracks laid into one.
//!
//! Method: an epoch belongs to the track whose last position a car could have come from.
//! Talkers tell nothing: one receiver may write GP, GL and GN, and two may write GP alike.
//! A receiver that jumps once, as after a wrong first fix, makes no second track.

use super::{Epoch, LATITUDE, LONGITUDE, SPEED};
use crate::log::Problem;
use crate::log::clock::DAY_S;
use crate::log::positions::distance_m;

/// Latitude and longitude, degrees.
pub type Place = (f64, f64);

/// Receivers that are told apart.
pub const MOST: usize = 4;
/// Two positions this near may be of one receiver, whatever its noise.
const NEAR_M: f64 = 2000.0;
/// Faster than any car, m/s.
const FASTEST_MPS: f64 = 150.0;
/// Changes from track to track from which on they are mixed, and as a share of the epochs.
const FEWEST_CHANGES: usize = 5;
const LEAST_SHARE: f64 = 0.1;
/// So many times as many fixes decide alone.
const MANY: f64 = 1.5;

/// Whether an epoch has a position, and it is another receiver's than this.
pub fn is_elsewhere(epoch: &Epoch, place: Option<Place>) -> bool {
    place_of(epoch).zip(place).is_some_and(|(a, b)| distance_m(a, b) > NEAR_M)
}

fn place_of(epoch: &Epoch) -> Option<Place> {
    epoch.values[LATITUDE].zip(epoch.values[LONGITUDE])
}

/// Whether the sentence that an epoch was asked for last is of a kind that another talker
/// told before: the first one is kept.
pub fn is_of_another(epoch: &Epoch) -> bool {
    let Some((last, before)) = epoch.heads.split_last() else { return false };
    let (talker, kind) = last.split_at(2);
    before.iter().any(|head| head.ends_with(kind) && !head.starts_with(talker))
}

/// Whether a sentence tells otherwise than the epoch that has one already.
pub fn tells_other(epoch: &Epoch, speed: Option<f64>, place: Option<Place>) -> bool {
    epoch.values[SPEED].zip(speed).is_some_and(|(own, other)| own != other)
        || place_of(epoch).zip(place).is_some_and(|(own, other)| own != other)
}

/// What to say of so many sentences that do, the first in that line: one receiver may
/// speak under several names, but tells the same.
pub fn contradiction((count, line): (u64, u32)) -> Option<Problem> {
    let text = format!(
        "{count} RMC sentences tell another speed or position of an instant than another talker's before \
         them, the first in line {line}, as when two receivers write into one file; the first of each \
         instant were used."
    );
    (count >= FEWEST_CHANGES as u64).then_some(Problem { code: "receivers_mixed", text })
}

/// What one receiver wrote.
struct Track {
    fixes: usize,
    first: Place,
    last: Place,
    last_of_day_s: f64,
    /// The furthest from its first position.
    went_m: f64,
}

impl Track {
    fn reaches(&self, epoch: &Epoch, place: Place) -> bool {
        let apart_s = (epoch.of_day_s - self.last_of_day_s).rem_euclid(DAY_S);
        let lasts_s = apart_s.min(DAY_S - apart_s);
        distance_m(self.last, place) <= NEAR_M + FASTEST_MPS * lasts_s
    }
}

/// Leaves the epochs of one receiver, where there are several in turns.
pub fn keep_one(epochs: &mut Vec<Epoch>) -> Option<Problem> {
    let mut tracks: Vec<Track> = Vec::new();
    let of: Vec<usize> = epochs
        .iter()
        .scan(0, |current, epoch| {
            *current = place_of(epoch).map_or(*current, |place| track(&mut tracks, epoch, place));
            Some(*current)
        })
        .collect();
    let changes = of.windows(2).filter(|pair| pair[0] != pair[1]).count();
    if changes < FEWEST_CHANGES || (changes as f64) < LEAST_SHARE * of.len() as f64 {
        return None;
    }
    let (best, why) = best(&tracks)?;
    let (all, fixes) = (epochs.len(), tracks[best].fixes);
    let mut of = of.into_iter();
    epochs.retain(|_| of.next() == Some(best));
    let text = format!(
        "Positions jump more than 2 km to and fro, {changes} times in all, as when several receivers \
         write into one file: {fixes} of {all} fixes are of one that {why}; these were read and the \
         others left out."
    );
    Some(Problem { code: "receivers_mixed", text })
}

/// The track that a position belongs to, a new one where no other reaches it.
fn track(tracks: &mut Vec<Track>, epoch: &Epoch, place: Place) -> usize {
    let reached = |track: &Track| track.reaches(epoch, place);
    // The nearest, as after a pause more than one may reach it.
    let near = |at: &usize| distance_m(tracks[*at].last, place);
    let found = (0..tracks.len())
        .filter(|at| reached(&tracks[*at]))
        .min_by(|a, b| near(a).total_cmp(&near(b)));
    let at = found.unwrap_or(tracks.len());
    if at == tracks.len() {
        // Whatever comes after so many is noise, and goes to the last.
        if tracks.len() >= MOST {
            return MOST - 1;
        }
        tracks.push(Track { fixes: 0, first: place, last: place, last_of_day_s: 0.0, went_m: 0.0 });
    }
    let track = &mut tracks[at];
    track.fixes += 1;
    (track.last, track.last_of_day_s) = (place, epoch.of_day_s);
    track.went_m = track.went_m.max(distance_m(track.first, place));
    at
}

/// The track with clearly most fixes, else of those with about as many the one that moved.
fn best(tracks: &[Track]) -> Option<(usize, &'static str)> {
    let most = tracks.iter().map(|track| track.fixes).max()?;
    let rivals: Vec<usize> =
        (0..tracks.len()).filter(|&at| tracks[at].fixes as f64 * MANY > most as f64).collect();
    if let [only] = rivals[..] {
        return Some((only, "has the most"));
    }
    let furthest = |a: &&usize, b: &&usize| tracks[**a].went_m.total_cmp(&tracks[**b].went_m);
    rivals.iter().max_by(furthest).map(|at| (*at, "moved the furthest"))
}
