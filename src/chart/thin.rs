//! Thinning: no more points than a width can show, and none that would be missed.

use super::axis::has_extent;

/// Thins points with rising x to the pixel columns of a range.
///
/// Keeps the first, last, least and most of every column, in their order, every gap
/// (a NaN in y) as one, and one neighbour on either side so that lines run to the
/// edge. At most five points a column.
pub fn columns(points: &[(f64, f64)], (from, to): (f64, f64), width_px: u32) -> Vec<(f64, f64)> {
    let first = points.partition_point(|p| p.0 < from).saturating_sub(1);
    let last = (points.partition_point(|p| p.0 <= to) + 1).min(points.len());
    let seen = points.get(first..last).unwrap_or_default();
    if seen.len() <= 4 * width_px as usize || !has_extent(from, to) {
        return seen.to_vec();
    }
    let column = |x: f64| ((x - from) / (to - from) * f64::from(width_px)).floor();
    let mut thinned = Vec::new();
    for group in seen.chunk_by(|a, b| column(a.0) == column(b.0) && a.1.is_nan() == b.1.is_nan()) {
        keep(group, &mut thinned);
    }
    thinned
}

/// The four corners of one column's points, in order and each once.
fn keep(group: &[(f64, f64)], thinned: &mut Vec<(f64, f64)>) {
    let by = |a: &usize, b: &usize| group[*a].1.total_cmp(&group[*b].1);
    let least = (0..group.len()).min_by(by).unwrap_or(0);
    let most = (0..group.len()).max_by(by).unwrap_or(0);
    let mut corners = [0, least, most, group.len() - 1];
    corners.sort_unstable();
    for (n, at) in corners.into_iter().enumerate() {
        if n == 0 || corners[n - 1] != at {
            thinned.push(group[at]);
        }
    }
}

/// Puts a gap wherever the record pauses for longer than `pause_s`.
pub fn with_gaps(time_s: &[f64], value: &[f64], pause_s: f64) -> Vec<(f64, f64)> {
    let mut points: Vec<(f64, f64)> = Vec::with_capacity(time_s.len());
    for (&t, &v) in time_s.iter().zip(value) {
        match points.last() {
            Some(&(before, _)) if t - before > pause_s => points.push((before, f64::NAN)),
            _ => {}
        }
        points.push((t, v));
    }
    points
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn series(n: usize) -> Vec<(f64, f64)> {
        (0..n).map(|i| (i as f64, ((i * 7919) % 1009) as f64)).collect()
    }

    #[test]
    fn a_single_spike_survives_any_thinning() {
        let mut points = series(50_000);
        points[31_234].1 = 1e6;
        let thinned = columns(&points, (0.0, 49_999.0), 300);
        assert!(thinned.len() <= 5 * 301, "{} points", thinned.len());
        assert!(thinned.contains(&points[31_234]));
        assert_eq!((thinned.first(), thinned.last()), (points.first(), points.last()));
    }

    #[test]
    fn a_gap_stays_a_gap() {
        let mut points = series(50_000);
        points[20_000].1 = f64::NAN;
        assert!(columns(&points, (0.0, 49_999.0), 300).iter().any(|p| p.1.is_nan()));
    }

    #[test]
    fn a_pause_becomes_a_gap() {
        let points = with_gaps(&[0.0, 0.1, 5.0, 5.1], &[1.0; 4], 1.0);
        assert_eq!(points.len(), 5);
        assert!(points[2].1.is_nan());
    }

    proptest! {
        /// Whatever the record, what is kept was there, in order, with its extremes.
        #[test]
        fn thinning_invents_nothing(n in 2_000usize..9_000, width in 1u32..200) {
            let points = series(n);
            let thinned = columns(&points, (0.0, n as f64), width);
            prop_assert!(thinned.windows(2).all(|pair| pair[0].0 < pair[1].0));
            prop_assert!(thinned.iter().all(|p| points.contains(p)));
            let most = |points: &[(f64, f64)]| points.iter().map(|p| p.1).fold(0.0, f64::max);
            prop_assert_eq!(most(&thinned), most(&points));
        }
    }
}
