//! Level and spread that a few wild readings cannot move.
//!
//! In: finite slices, in any order unless said. Out: medians, scaled deviations,
//! series with single spikes taken out. Nothing here sorts its input in place.

/// Scales the median absolute deviation to a normal standard deviation: 1/Φ⁻¹(0.75).
pub const MAD_TO_SD: f64 = 1.482_602_218_505_602;

/// The middle value, or the mean of the two in the middle. `None` for no values.
pub fn median(values: &[f64]) -> Option<f64> {
    quantile(values, 0.5)
}

/// The value below which a share of the values lies, linear between neighbours.
///
/// `share` is 0 to 1. `None` for no values or a share outside.
/// Source: Hyndman & Fan 1996, definition 7.
pub fn quantile(values: &[f64], share: f64) -> Option<f64> {
    if values.is_empty() || !(0.0..=1.0).contains(&share) {
        return None;
    }
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let place = share * (sorted.len() - 1) as f64;
    let below = place.floor() as usize;
    let above = (below + 1).min(sorted.len() - 1);
    Some(sorted[below] + (sorted[above] - sorted[below]) * (place - below as f64))
}

/// A robust standard deviation: 1.4826 times the median distance from the median.
///
/// Zero when more than half the values are equal, as stepped readings often are:
/// give such data a floor of step/√12 before dividing by it.
pub fn spread(values: &[f64]) -> Option<f64> {
    let middle = median(values)?;
    let distances: Vec<f64> = values.iter().map(|value| (value - middle).abs()).collect();
    Some(MAD_TO_SD * median(&distances)?)
}

/// Replaces readings that stand out from their neighbours by the neighbours' median.
///
/// `values` in order of time; each is held against itself and `reach` neighbours on
/// both sides. It goes when it is farther from their median than `limit` robust
/// standard deviations, but never less than `limit` times `floor`: on stepped data
/// the deviation is often zero, and a floor of half a step keeps honest steps.
/// Source: Hampel 1974; Davies & Gather 1993.
pub fn hampel(values: &[f64], reach: usize, limit: f64, floor: f64) -> Vec<f64> {
    let clean = |at: usize| {
        let window = &values[at.saturating_sub(reach)..(at + reach + 1).min(values.len())];
        let (Some(middle), Some(sd)) = (median(window), spread(window)) else { return values[at] };
        let wild = (values[at] - middle).abs() > limit * sd.max(floor);
        if wild { middle } else { values[at] }
    };
    (0..values.len()).map(clean).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_has_no_middle_and_no_spread() {
        assert_eq!(median(&[]), None);
        assert_eq!(spread(&[]), None);
        assert_eq!(quantile(&[1.0], 1.5), None);
    }

    #[test]
    fn an_even_count_has_its_middle_between_two() {
        assert_eq!(median(&[4.0, 1.0, 3.0, 2.0]), Some(2.5));
    }

    #[test]
    fn a_single_spike_goes_and_an_honest_step_stays() {
        let spike = hampel(&[20.0, 20.0, 20.0, 99.0, 20.0, 20.0, 20.0], 2, 3.0, 0.5);
        assert_eq!(spike, [20.0; 7]);
        let step = [20.0, 20.0, 20.0, 21.0, 21.0, 21.0];
        assert_eq!(hampel(&step, 2, 3.0, 0.5), step);
    }
}
