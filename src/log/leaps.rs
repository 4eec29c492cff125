//! Lone false readings: those that leap away and back as the quantity cannot.
//!
//! In: a channel with a role and a unit. Out: the channel without the leaps, which are
//! counted and said with their place. Where they are many the channel is no better than
//! its leaps: that is said, and nothing left out.
//!
//! Method: up to three readings between two that agree with each other are false when
//! the way out *and* the way back are each more than the quantity can do in that time.
//! Both are asked for, as one alone may be the onset of something true: a shift, a wheel
//! that spins up, a sensor that comes alive. How large the reading is does not matter;
//! what no car can have at all is left to `strays`.

use super::assemble::{Draft, words};
use super::infer::short;
use super::{Role, plausible, roles};

/// Longest run of readings that is taken for a leap and not for the quantity itself.
const LONGEST: usize = 3;
/// One reading in so many may be a leap.
const ONE_IN: usize = 20;
/// Neighbours agree when they differ by no more than this share of the way out.
const AGREE: f64 = 0.5;
/// So many steps of its resolution a sound reading may be off its place.
const STEPS: f64 = 2.0;
/// So many times the distance from the middle of its neighbours that three of four keep,
/// which leaps of one in 20 do not reach: eight deviations of plain noise.
const NOISE: f64 = 7.0;
const NOISE_SHARE: f64 = 0.75;

/// What a quantity can do and undo, in its role's unit: at once, and for each second that
/// it has, to above where it was and to below.
struct Can {
    at_once: f64,
    above: f64,
    below: f64,
}

/// The limits of a role; `None` where a reading may truly leap and come back (a pedal,
/// a gear, a brake, a push over a bump). Common practice, no source, from the physics
/// that each line tells.
fn can(role: Role) -> Option<Can> {
    let alike = |at_once, rate| Some(Can { at_once, above: rate, below: rate });
    match role {
        // 3 g: a car; and the noise of a fix.
        Role::SatelliteSpeed => alike(2.0, 30.0),
        // The speed of driven wheels: an engine that gains 10 000 rpm a second turns them
        // up by some 50 m/s² in third. Downwards they follow the car, but for what `is_slip`
        // tells. Below 5 km/h a sensor may read 0.
        Role::VehicleSpeed => Some(Can { at_once: 2.0, above: 60.0, below: 30.0 }),
        // One wheel alone takes the other's share too; a brake stops it, and the road
        // turns it on, within a twentieth of a second.
        Role::UndrivenWheelSpeed
        | Role::WheelSpeedFrontLeft
        | Role::WheelSpeedFrontRight
        | Role::WheelSpeedRearLeft
        | Role::WheelSpeedRearRight => Some(Can { at_once: 2.0, above: 120.0, below: 1000.0 }),
        // A clutch can pull an engine faster, but one way only: the other is the engine's own.
        Role::EngineSpeed => alike(200.0, 30_000.0),
        // The air at a sensor over the sensor's own lag, a second at least.
        Role::InletAir | Role::AmbientAir => alike(3.0, 20.0),
        Role::ChargeAir => alike(3.0, 60.0),
        Role::CompressorOutletAir => alike(3.0, 150.0),
        Role::Coolant | Role::ChargeCoolant => alike(3.0, 10.0),
        _ => None,
    }
}

/// A foot needs longer to lock the wheels and let them go; anti-lock brakes do not, but
/// never let them slip by more than this share.
const LOCKED_S: f64 = 0.25;
const SLIP: f64 = 1.0 / 3.0;
/// An engine below this stands; one above that other runs, and needs its starter between.
const STANDS_RPM: f64 = 100.0;
const RUNS_RPM: f64 = 500.0;
const STARTS_S: f64 = 0.5;

/// A channel that is looked through.
struct Look<'a> {
    role: Role,
    can: Can,
    time_s: &'a [f64],
    value: &'a [f64],
}

pub fn settle(draft: &mut Draft) {
    let (Some(role), Some(unit)) = (draft.role(), draft.unit) else { return };
    let Some(mut can) = can(role).filter(|_| unit.quantity == roles::quantity_of(role)) else {
        return;
    };
    let value: Vec<f64> = draft.inside().collect();
    can.at_once += STEPS * resolution(&value) + NOISE * noise(&value);
    let time_s = &draft.raw.series.time_s;
    let leaps = Look { role, can, time_s, value: &value }.leaps();
    let Some(&first) = leaps.first() else { return };
    let written = format!("{} {}", short(draft.raw.series.value[first]), unit.symbol);
    let place = format!("{} at {:.2} s", written.trim(), time_s[first]);
    let (name, is) = (&draft.raw.name, words(role));
    if leaps.len() > (value.len() / ONE_IN).max(1) {
        let text = format!(
            "\"{name}\" leaps {} times in {} readings as no {is} can, first to {place}: its readings \
             are not to be believed.",
            leaps.len(),
            value.len()
        );
        return draft.problem("leaps", text);
    }
    let text = match leaps.len() {
        1 => format!(
            "\"{name}\": one lone reading, {place}, leaps away from those beside it and back as no \
             {is} can; it was left out."
        ),
        all => format!(
            "\"{name}\": {all} lone readings leap away from those beside them and back as no {is} \
             can, the first {place}; they were left out."
        ),
    };
    draft.problem("leaps", text);
    draft.raw.series.leave_out(&leaps);
}

impl Look<'_> {
    /// Places of the readings that leap, in order.
    fn leaps(&self) -> Vec<usize> {
        let (lowest, highest) = plausible::limits(self.role);
        let inside = |at: &usize| (lowest..=highest).contains(&self.value[*at]);
        let places: Vec<usize> = (0..self.value.len()).filter(inside).collect();
        let mut leaps = Vec::new();
        let mut at = 1;
        while at < places.len() {
            let ends = (at + 1..=at + LONGEST).take_while(|end| *end < places.len());
            let mut ends = ends.filter(|&end| self.is_leap(&places[at - 1..=end]));
            match ends.next() {
                Some(end) => {
                    leaps.extend(&places[at..end]);
                    at = end + 1;
                }
                None => at += 1,
            }
        }
        leaps
    }

    /// Whether all readings between the first and the last place are out of reach of both.
    fn is_leap(&self, places: &[usize]) -> bool {
        let [before, run @ .., behind] = places else { return false };
        let (a, b) = (self.value[*before], self.value[*behind]);
        let lasts_s = self.time_s[*behind] - self.time_s[*before];
        let out = |at: &usize| {
            let v = self.value[*at];
            let least = (v - a).abs().min((v - b).abs());
            let same_side = (v > a) == (v > b);
            same_side
                && (b - a).abs() <= AGREE * least
                && self.is_out_of_reach(*before, *at, *behind)
        };
        self.engine_stood(a.min(b), run, lasts_s)
            || run.iter().all(out) && !self.is_slip(a.min(b), run, lasts_s)
    }

    /// An engine that stands among readings of one that runs.
    fn engine_stood(&self, beside: f64, run: &[usize], lasts_s: f64) -> bool {
        self.role == Role::EngineSpeed
            && beside > RUNS_RPM
            && lasts_s <= STARTS_S
            && run.iter().all(|&at| self.value[at] < STANDS_RPM)
    }

    /// Wheels that were braked below the speed of the car and let go again.
    fn is_slip(&self, beside: f64, run: &[usize], lasts_s: f64) -> bool {
        let has_time = lasts_s > LOCKED_S;
        let slips = |&at: &usize| {
            let slip = 1.0 - self.value[at] / beside;
            slip > 0.0 && (has_time || slip <= SLIP)
        };
        self.is_wheel() && run.iter().any(slips)
    }

    fn is_wheel(&self) -> bool {
        roles::quantity_of(self.role) == crate::unit::Quantity::Speed
            && self.role != Role::SatelliteSpeed
    }

    fn is_out_of_reach(&self, before: usize, at: usize, behind: usize) -> bool {
        let is_above = self.value[at] > self.value[before];
        let rate = if is_above { self.can.above } else { self.can.below };
        [before, behind].into_iter().all(|beside| {
            let lasts_s = (self.time_s[at] - self.time_s[beside]).abs();
            (self.value[at] - self.value[beside]).abs() > self.can.at_once + rate * lasts_s
        })
    }
}

/// The smallest step, if the readings move in whole ones.
fn resolution(value: &[f64]) -> f64 {
    super::assemble::resolution(value).unwrap_or(0.0)
}

/// How far a reading usually lies from the middle of its neighbours.
fn noise(value: &[f64]) -> f64 {
    let off = |triple: &[f64]| (triple[1] - (triple[0] + triple[2]) / 2.0).abs();
    let mut off: Vec<f64> = value.windows(3).map(off).collect();
    let Some(last) = off.len().checked_sub(1) else { return 0.0 };
    let place = (NOISE_SHARE * last as f64).round() as usize;
    *off.select_nth_unstable_by(place, f64::total_cmp).1
}
