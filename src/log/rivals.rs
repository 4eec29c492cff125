//! Several columns of one role: which is used, and why, is said.
//!
//! In: the drafts of a log. Out: the best of each role before the others of that role, and
//! a line for every role that more than one column claims. Best is: recorded, named beyond
//! doubt, read most often, named most plainly; of what is alike the first in the file.

use std::collections::BTreeSet;

use super::assemble::{Draft, rate, words};
use super::{Problem, Role};

/// Words that a name may have more than another of the same thing, and be no other thing.
const CONFIRMING: &[&str] = &[
    "vehicle",
    "veh",
    "car",
    "engine",
    "eng",
    "motor",
    "fahrzeug",
    "actual",
    "ist",
    "current",
    "measured",
    "sensor",
    "position",
    "pos",
    "signal",
    "value",
    "temp",
    "temperature",
    "temperatur",
    "pressure",
];
/// Others of a role that are named in its line.
const MOST_NAMED: usize = 3;

/// What one draft has over another, from the weightiest on.
#[derive(Clone, Copy, PartialEq)]
enum Reason {
    Recorded,
    Surer,
    MoreOften,
    Plainer,
    First,
}

impl Reason {
    fn words(self) -> &'static str {
        match self {
            Reason::Recorded => "it was recorded and not computed",
            Reason::Surer => "its name leaves less doubt",
            Reason::MoreOften => "it is read more often",
            Reason::Plainer => "its name is the plainer one",
            Reason::First => "it stands first",
        }
    }
}

/// A draft as one of several of its role.
struct Claim<'a> {
    draft: &'a Draft,
    is_certain: bool,
    rate_hz: f64,
    /// The words of its name that say what it is, where its name is asked for.
    telling: BTreeSet<&'a str>,
}

impl<'a> Claim<'a> {
    fn of(draft: &'a Draft) -> Self {
        let words = draft.raw.words.words.iter().map(String::as_str);
        Claim {
            draft,
            is_certain: draft.named.is_some_and(|named| !named.loose),
            rate_hz: rate(&draft.raw.series.time_s).unwrap_or(0.0),
            telling: words.filter(|word| !CONFIRMING.contains(word)).collect(),
        }
    }

    /// Why this is better than another; `None` where it is not.
    fn over(&self, other: &Claim) -> Option<Reason> {
        let decide = |a: bool, b: bool, reason| (a != b).then(|| a.then_some(reason));
        // A rate that differs by less than half is the same.
        let oftener = |a: &Claim, b: &Claim| a.rate_hz > 1.5 * b.rate_hz;
        decide(!self.draft.raw.derived, !other.draft.raw.derived, Reason::Recorded)
            .or_else(|| decide(self.is_certain, other.is_certain, Reason::Surer))
            .or_else(|| decide(oftener(self, other), oftener(other, self), Reason::MoreOften))
            .or_else(|| decide(self.is_plainer(other), other.is_plainer(self), Reason::Plainer))
            .flatten()
    }

    /// Whether the other name is this one and something more: `Gear` beside `Gear of lever`.
    fn is_plainer(&self, other: &Claim) -> bool {
        !self.telling.is_empty()
            && self.telling.len() < other.telling.len()
            && self.telling.is_subset(&other.telling)
    }
}

/// Sorts and tells. The order of the file stays but for the best of each role.
pub fn best_first(drafts: &mut [Draft]) -> Vec<Problem> {
    let mut problems = Vec::new();
    for (role, _) in Role::ALL {
        let places: Vec<usize> =
            (0..drafts.len()).filter(|&at| drafts[at].role() == Some(role)).collect();
        let [first, _, ..] = places[..] else { continue };
        let claims: Vec<Claim> = places.iter().map(|&at| Claim::of(&drafts[at])).collect();
        let better = |best: usize, other: usize| match claims[other].over(&claims[best]) {
            Some(_) => other,
            None => best,
        };
        let best = (1..claims.len()).fold(0, better);
        problems.push(told(role, &claims, best));
        drafts[first..=places[best]].rotate_right(1.min(best));
    }
    problems
}

/// The line of a role that several columns claim.
fn told(role: Role, claims: &[Claim], best: usize) -> Problem {
    let others = || claims.iter().enumerate().filter(|(at, _)| *at != best).map(|(_, claim)| claim);
    let why = others().next().and_then(|nearest| claims[best].over(nearest));
    let named: Vec<String> =
        others().take(MOST_NAMED).map(|claim| format!("\"{}\"", claim.draft.raw.name)).collect();
    let more = match (claims.len() - 1).saturating_sub(MOST_NAMED) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    let text = format!(
        "{} columns are named like {}: \"{}\" is used, as {}, and not {}{more}.",
        claims.len(),
        words(role),
        claims[best].draft.raw.name,
        why.unwrap_or(Reason::First).words(),
        named.join(", ")
    );
    Problem { code: "role_twice", text }
}
