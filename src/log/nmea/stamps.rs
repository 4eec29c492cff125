//! Several readings to a second from a receiver that stamps whole seconds only.
//!
//! In: epochs on their way, and all of a file. Out: whether a sentence begins the next
//! reading of the same stamp; and the epochs without those that only say again what the
//! one before said. What is left is laid over the second by `timeline`, which says so.

use super::Epoch;

/// Whether a sentence of this talker and kind tells of the reading after an epoch: the
/// epoch has one of the kind, and its stamp has no room for a fraction.
pub fn is_next(epoch: &Epoch, head: &str) -> bool {
    epoch.of_day_s.fract() == 0.0 && epoch.heads.iter().any(|known| known == head)
}

/// Where readings of one stamp never differ, they are one that was written several times;
/// where some differ, those that do not are of a car at rest.
pub fn merge_repeats(epochs: &mut Vec<Epoch>) {
    let is_same_stamp =
        |a: &Epoch, b: &Epoch| a.of_day_s == b.of_day_s && a.midnight_s == b.midnight_s;
    let differs = |a: &Epoch, b: &Epoch| {
        a.values.iter().zip(&b.values).any(|pair| matches!(pair, (Some(a), Some(b)) if a != b))
    };
    if epochs
        .windows(2)
        .any(|pair| is_same_stamp(&pair[0], &pair[1]) && differs(&pair[0], &pair[1]))
    {
        return;
    }
    epochs.dedup_by(|later, first| {
        let is_repeat = is_same_stamp(later, first);
        if is_repeat {
            first
                .values
                .iter_mut()
                .zip(&later.values)
                .for_each(|(own, other)| *own = own.or(*other));
        }
        is_repeat
    });
}
