//! Which part of a chart is shown: zoomed, moved, and never outside the whole.

/// A part of x.
pub type View = (f64, f64);

/// No closer than this share of the whole: beyond it a line has no more points.
const CLOSEST: f64 = 1.0 / 2000.0;

/// The view scaled about a value; a `factor` under one comes closer.
pub fn zoomed((from, to): View, whole: View, about: f64, factor: f64) -> View {
    let least = (whole.1 - whole.0) * CLOSEST;
    let span = ((to - from) * factor).max(least).min(whole.1 - whole.0);
    let share = if to > from { (about - from) / (to - from) } else { 0.5 };
    inside((about - share * span, about + (1.0 - share) * span), whole)
}

/// The view between two values in either order.
pub fn between(a: f64, b: f64, whole: View) -> View {
    let least = (whole.1 - whole.0) * CLOSEST;
    let (from, to) = (a.min(b), a.max(b));
    inside((from, to.max(from + least)), whole)
}

/// The view moved so that a value is in it.
pub fn showing((from, to): View, whole: View, value: f64) -> View {
    let move_by = if value < from {
        value - from
    } else if value > to {
        value - to
    } else {
        0.0
    };
    inside((from + move_by, to + move_by), whole)
}

/// Pushed back into the whole, keeping its span where that fits.
fn inside((from, to): View, whole: View) -> View {
    let span = (to - from).min(whole.1 - whole.0);
    let from = from.max(whole.0).min(whole.1 - span);
    (from, from + span)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const WHOLE: View = (0.0, 100.0);

    #[test]
    fn zooming_keeps_the_value_under_the_pointer_in_place() {
        let view = zoomed((20.0, 60.0), WHOLE, 30.0, 0.5);
        assert_eq!(view, (25.0, 45.0));
        assert_eq!(zoomed(view, WHOLE, 30.0, 2.0), (20.0, 60.0));
    }

    #[test]
    fn a_drag_to_the_left_is_a_drag_to_the_right() {
        assert_eq!(between(40.0, 30.0, WHOLE), between(30.0, 40.0, WHOLE));
    }

    proptest! {
        /// Whatever is asked for, the view lies inside the whole and has an extent.
        #[test]
        fn a_view_never_leaves_the_whole(a in -50.0..150.0, b in -50.0..150.0, about in 0.0..100.0, factor in 0.01..100.0) {
            let view = zoomed(between(a, b, WHOLE), WHOLE, about, factor);
            prop_assert!(view.0 >= -1e-9 && view.1 <= 100.0 + 1e-9 && view.0 < view.1, "{view:?}");
            let shown = showing(view, WHOLE, about);
            prop_assert!(shown.0 <= about + 1e-9 && about <= shown.1 + 1e-9);
        }
    }
}
