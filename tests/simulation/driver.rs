//! The driver: what the foot does, act by act.
//!
//! In: the acts of a drive and the car's speed. Out: the [`Foot`] of each moment. The
//! driver sees the true speed over the ground, not a display.

/// One thing after the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Act {
    /// Stand on the brake with the engine idling.
    Wait {
        lasts_s: f64,
    },
    /// Wide open from rest (or rolling) until this speed.
    Pull {
        to_mps: f64,
    },
    Coast {
        lasts_s: f64,
    },
    Brake {
        mps2: f64,
        to_mps: f64,
    },
    /// Drive at about this speed.
    Cruise {
        mps: f64,
        lasts_s: f64,
    },
}

/// How this driver and this car start a pull.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Manner {
    /// Wide open against the brake before the car is let go; 0 is a plain start.
    pub hold_s: f64,
    /// From shut to open.
    pub opens_s: f64,
    /// From open to shut.
    pub lifts_s: f64,
}

/// What the driver does at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Foot {
    /// 0 to 1; `None` leaves it to the speed wanted.
    pub pedal: Option<f64>,
    pub wanted_mps: f64,
    pub brake_mps2: f64,
    /// The brake holds the car, whatever pushes.
    pub held: bool,
    /// Since the car was let go, in a pull.
    pub released_s: Option<f64>,
}

/// A car that is no quicker than this is let off.
const LONGEST_PULL_S: f64 = 40.0;

/// The driver on the way through the acts.
#[derive(Debug, Clone)]
pub struct Driver {
    acts: Vec<Act>,
    manner: Manner,
    at: usize,
    since_s: f64,
    pedal: f64,
}

/// What the driver's progress means to the truth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    Released,
    Lifted,
}

impl Driver {
    pub fn new(acts: Vec<Act>, manner: Manner) -> Self {
        Self { acts, manner, at: 0, since_s: 0.0, pedal: 0.0 }
    }

    /// The next moment's foot, `None` when all acts are done.
    pub fn step(&mut self, speed_mps: f64, dt: f64) -> Option<(Foot, Option<Turn>)> {
        let act = *self.acts.get(self.at)?;
        let before = self.since_s;
        self.since_s += dt;
        let foot = self.foot(act, dt);
        let let_go = before < self.manner.hold_s && self.since_s >= self.manner.hold_s;
        let pulling = matches!(act, Act::Pull { .. });
        let starts = pulling && (let_go || (self.manner.hold_s <= 0.0 && before == 0.0));
        let done = self.is_done(act, speed_mps);
        if done {
            self.at += 1;
            self.since_s = 0.0;
        }
        let turn = match (starts, pulling && done) {
            (true, _) => Some(Turn::Released),
            (_, true) => Some(Turn::Lifted),
            _ => None,
        };
        Some((foot, turn))
    }

    fn foot(&mut self, act: Act, dt: f64) -> Foot {
        let none = Foot {
            pedal: Some(0.0),
            wanted_mps: 0.0,
            brake_mps2: 0.0,
            held: false,
            released_s: None,
        };
        match act {
            Act::Wait { .. } => {
                Foot { pedal: Some(self.lift(dt)), brake_mps2: 2.5, held: true, ..none }
            }
            Act::Coast { .. } => Foot { pedal: Some(self.lift(dt)), ..none },
            Act::Brake { mps2, .. } => {
                Foot { pedal: Some(self.lift(dt)), brake_mps2: mps2, ..none }
            }
            Act::Cruise { mps, .. } => Foot { pedal: None, wanted_mps: mps, ..none },
            Act::Pull { .. } => {
                self.pedal = (self.pedal + dt / self.manner.opens_s).min(1.0);
                let released_s = self.since_s - self.manner.hold_s;
                let held = released_s < 0.0;
                Foot {
                    pedal: Some(self.pedal),
                    held,
                    released_s: (!held).then_some(released_s),
                    ..none
                }
            }
        }
    }

    fn lift(&mut self, dt: f64) -> f64 {
        self.pedal = (self.pedal - dt / self.manner.lifts_s).max(0.0);
        self.pedal
    }

    fn is_done(&self, act: Act, speed_mps: f64) -> bool {
        match act {
            Act::Wait { lasts_s } | Act::Coast { lasts_s } | Act::Cruise { lasts_s, .. } => {
                self.since_s >= lasts_s
            }
            Act::Pull { to_mps } => speed_mps >= to_mps || self.since_s >= LONGEST_PULL_S,
            Act::Brake { to_mps, .. } => speed_mps <= to_mps,
        }
    }
}

/// Pulls a minute apart, one like the other.
pub fn even_drive(pulls: usize, to_mps: f64) -> Vec<Act> {
    let stop = Act::Brake { mps2: 2.2, to_mps: 0.01 };
    let mut acts = vec![Act::Cruise { mps: 13.0, lasts_s: 14.0 }, stop];
    for _ in 0..pulls {
        acts.extend([
            Act::Wait { lasts_s: 10.5 },
            Act::Pull { to_mps },
            Act::Coast { lasts_s: 1.6 },
            Act::Brake { mps2: 3.1, to_mps: 13.5 },
            Act::Cruise { mps: 12.5, lasts_s: 27.5 },
            stop,
        ]);
    }
    acts.push(Act::Wait { lasts_s: 8.0 });
    acts
}
