//! Groups of channels as a whole: those that go on in another, and what their names add.
//!
//! In: all groups as read. Out: one group where two of the same channels lie behind one
//! another in time, as where a recorder was triggered twice; and for a channel whose own
//! name means nothing (`Value`), that of its group.

use crate::log::names::Words;
use crate::log::roles;
use crate::unit::Unit;

/// One group of channels with its own clock, as written.
pub struct Group {
    /// Of the acquisition.
    pub name: String,
    /// Seconds a record, NaN where invalid.
    pub time: Vec<f64>,
    pub channels: Vec<Written>,
}

pub struct Written {
    pub name: String,
    pub unit: Option<Unit>,
    pub unknown_unit: Option<String>,
    pub value: Vec<f64>,
}

/// Joins groups of the same channels whose times do not overlap, in order of time.
pub fn join(groups: &mut Vec<Group>) {
    let mut at = 0;
    while at < groups.len() {
        let goes_on = |next: &usize| *next != at && is_continued(&groups[at], &groups[*next]);
        let first_s = |next: &usize| groups[*next].time.iter().copied().fold(f64::MAX, f64::min);
        let soonest = |a: &usize, b: &usize| first_s(a).total_cmp(&first_s(b));
        match (0..groups.len()).filter(goes_on).min_by(soonest) {
            Some(next) => {
                let behind = groups.remove(next);
                // What was removed may have stood before.
                at -= usize::from(next < at);
                append(&mut groups[at], behind);
            }
            None => at += 1,
        }
    }
}

fn is_continued(first: &Group, next: &Group) -> bool {
    let same = |(a, b): (&Written, &Written)| (&a.name, a.unit) == (&b.name, b.unit);
    let alike = first.channels.len() == next.channels.len()
        && !first.channels.is_empty()
        && first.channels.iter().zip(&next.channels).all(same);
    let finite = |group: &Group| group.time.iter().copied().filter(|t| t.is_finite()).collect();
    let (before, behind): (Vec<f64>, Vec<f64>) = (finite(first), finite(next));
    let last = before.iter().copied().fold(f64::MIN, f64::max);
    alike && !before.is_empty() && !behind.is_empty() && behind.iter().all(|t| *t > last)
}

fn append(first: &mut Group, next: Group) {
    first.time.extend(next.time);
    for (own, more) in first.channels.iter_mut().zip(next.channels) {
        own.value.extend(more.value);
    }
}

/// Puts its group's name before that of a channel that means nothing without it.
pub fn name(groups: &mut [Group]) {
    for group in groups.iter_mut().filter(|group| !group.name.is_empty()) {
        for channel in &mut group.channels {
            let quantity = channel.unit.map(|unit| unit.quantity);
            let full = format!("{} {}", group.name, channel.name);
            let has_role = |name: &str| roles::named(&Words::of(name), quantity).is_some();
            if !has_role(&channel.name) && has_role(&full) {
                channel.name = full;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::unit::by_symbol;

    fn group(name: &str, channel: &str, time: &[f64]) -> Group {
        let unit = by_symbol("rpm");
        let value = time.iter().map(|t| 1000.0 + t).collect();
        let channel = Written { name: channel.to_owned(), unit, unknown_unit: None, value };
        Group { name: name.to_owned(), time: time.to_vec(), channels: vec![channel] }
    }

    #[test]
    fn groups_behind_one_another_are_one_in_order_of_time() {
        let mut groups = vec![
            group("", "n", &[20.0, 21.0]),
            group("", "other", &[0.0, 1.0]),
            group("", "n", &[0.0, 1.0]),
            group("", "n", &[10.0, 11.0]),
            group("", "n", &[10.5, 12.0]),
        ];
        join(&mut groups);
        let times: Vec<&[f64]> = groups.iter().map(|group| group.time.as_slice()).collect();
        assert_eq!(groups.len(), 3, "{times:?}");
        assert!(times.contains(&&[0.0, 1.0, 10.0, 11.0, 20.0, 21.0][..]), "{times:?}");
        let joined = groups.iter().find(|group| group.time.len() == 6).unwrap();
        assert_eq!(joined.channels[0].value[5], 1021.0);
    }

    #[test]
    fn a_name_that_means_nothing_takes_that_of_its_group() {
        let mut groups = vec![
            group("Engine speed", "Value", &[0.0]),
            group("Engine", "Motordrehzahl", &[0.0]),
            group("Channel group 3", "Value", &[0.0]),
        ];
        name(&mut groups);
        let names: Vec<&str> = groups.iter().map(|g| g.channels[0].name.as_str()).collect();
        assert_eq!(names, ["Engine speed Value", "Motordrehzahl", "Value"]);
    }
}
