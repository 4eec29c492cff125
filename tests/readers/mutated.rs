//! Real files, damaged at random: whatever comes of it, nobody panics or waits.
//!
//! Seeds are the open recordings and the sample logs, cut to about 20 kB, in every
//! form and packed. Each is damaged by flipped bytes, cuts, doubled stretches and
//! insertions, and goes through the one seam; every tenth goes on to its sheet, which
//! takes far longer than the reading.
//!
//! The ordinary run takes a few hundred. For long:
//! `MUTATE_SECONDS=600 cargo test --test readers -- --ignored mutated`.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::time::{Duration, Instant};

use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, TestRunner};
use pullmark::work::Work;

use crate::refused_packed::{gzip, zipped};

/// Bytes kept of a seed: enough for every part of a form, small enough for many.
const SEED_BYTES: usize = 20_000;
/// No damaged file of this size may take longer, on a busy machine and unoptimised.
const LONGEST: Duration = Duration::from_secs(20);

#[derive(Clone)]
pub struct Seed {
    pub name: String,
    pub bytes: Vec<u8>,
}

/// One kind of damage at a place, given as a share of the file.
#[derive(Debug, Clone)]
pub enum Damage {
    Flip {
        at: f64,
        bit: u8,
    },
    Set {
        at: f64,
        byte: u8,
    },
    Cut {
        at: f64,
    },
    Remove {
        at: f64,
        length: usize,
    },
    Double {
        at: f64,
        length: usize,
        to: f64,
    },
    Insert {
        at: f64,
        bytes: Vec<u8>,
    },
    /// A number of eight bytes, as lengths and links are.
    Number {
        at: f64,
        value: u64,
    },
}

pub fn damage() -> impl Strategy<Value = Damage> {
    let at = || 0.0..1.0f64;
    let telling: Vec<&'static [u8]> = vec![
        b"\n",
        b"\r",
        b"\"",
        b",",
        b";",
        b"\t",
        b"\0",
        b"-",
        b"e",
        b".",
        b"nan",
        b"1e999",
        b"<",
        b">",
        b"&",
        b"$",
        b"*",
        b"##",
        b"\xff\xfe",
        b"\xef\xbb\xbf",
        b"PK\x03\x04",
        b"\x1f\x8b\x08",
        b"{",
        b"99999999999999999999",
        b"Time",
        b"\xf0\x9f\x8f\x81",
        b"--:--",
    ];
    let bytes = prop_oneof![
        prop::sample::select(telling).prop_map(<[u8]>::to_vec),
        prop::collection::vec(any::<u8>(), 1..20),
    ];
    let values = prop_oneof![
        Just(0),
        Just(1),
        Just(u64::MAX),
        Just(u64::MAX / 8),
        Just(1 << 31),
        Just(1 << 62),
        (0..20_000u64).prop_map(|value| value & !7),
        any::<u64>(),
    ];
    prop_oneof![
        4 => (at(), 0..8u8).prop_map(|(at, bit)| Damage::Flip { at, bit }),
        4 => (at(), any::<u8>()).prop_map(|(at, byte)| Damage::Set { at, byte }),
        1 => at().prop_map(|at| Damage::Cut { at }),
        2 => (at(), 1..2000usize).prop_map(|(at, length)| Damage::Remove { at, length }),
        2 => (at(), 1..2000usize, at()).prop_map(|(at, length, to)| Damage::Double { at, length, to }),
        3 => (at(), bytes).prop_map(|(at, bytes)| Damage::Insert { at, bytes }),
        3 => (at(), values).prop_map(|(at, value)| Damage::Number { at, value }),
    ]
}

impl Damage {
    pub fn to(&self, bytes: &mut Vec<u8>) {
        let place = |share: f64| ((share * bytes.len() as f64) as usize).min(bytes.len());
        match self {
            Damage::Flip { at, bit } => {
                let at = place(*at);
                bytes.get_mut(at).into_iter().for_each(|byte| *byte ^= 1 << bit);
            }
            Damage::Set { at, byte } => {
                let at = place(*at);
                bytes.get_mut(at).into_iter().for_each(|old| *old = *byte);
            }
            Damage::Cut { at } => {
                let at = place(*at);
                bytes.truncate(at);
            }
            Damage::Remove { at, length } => {
                let at = place(*at);
                bytes.drain(at..(at + length).min(bytes.len()));
            }
            Damage::Double { at, length, to } => {
                let (at, to) = (place(*at), place(*to));
                let piece = bytes[at..(at + length).min(bytes.len())].to_vec();
                bytes.splice(to..to, piece);
            }
            Damage::Insert { at, bytes: new } => {
                let at = place(*at);
                bytes.splice(at..at, new.iter().copied());
            }
            Damage::Number { at, value } => {
                let at = place(*at) & !7;
                if let Some(eight) = bytes.get_mut(at..at + 8) {
                    eight.copy_from_slice(&value.to_le_bytes());
                }
            }
        }
    }
}

pub fn seeds() -> Vec<Seed> {
    let mut seeds = Vec::new();
    for folder in ["tests/data/open", "sample-logs"] {
        let folder = format!("{}/{folder}", env!("CARGO_MANIFEST_DIR"));
        for file in std::fs::read_dir(folder).unwrap() {
            let path = file.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            if [".csv", ".mf4", ".nmea", ".gpx", ".json"].iter().any(|end| name.ends_with(end)) {
                let mut bytes = std::fs::read(path).unwrap();
                if !name.ends_with(".mf4") {
                    bytes.truncate(SEED_BYTES);
                }
                seeds.push(Seed { name, bytes });
            }
        }
    }
    seeds.sort_by(|a, b| a.name.cmp(&b.name));
    seeds.push(Seed { name: "made.mf4".into(), bytes: crate::refused_mdf4::sound() });
    seeds.push(Seed { name: "packed.mf4".into(), bytes: crate::refused_mdf4::sound_packed() });
    let small: Vec<Seed> =
        seeds.iter().filter(|seed| seed.bytes.len() <= SEED_BYTES).cloned().collect();
    for seed in &small {
        let name = format!("{}.gz", seed.name);
        seeds.push(Seed { name, bytes: gzip(&seed.bytes) });
    }
    for pair in small.chunks(2) {
        let files = pair.iter().map(|seed| (seed.name.as_str(), seed.bytes.as_slice()));
        seeds.push(Seed { name: format!("{}.zip", pair[0].name), bytes: zipped(files) });
    }
    seeds
}

/// Opens the damaged file; what is wrong with how that went, if anything.
fn misbehaves(name: &str, bytes: &[u8], to_the_sheet: bool) -> Option<String> {
    let start = Instant::now();
    let opened = catch_unwind(AssertUnwindSafe(|| {
        let mut work = Work::new();
        let opened = work.open(name, bytes);
        if opened.is_ok() && to_the_sheet {
            let sheet = work.sheet();
            return (sheet.to_json().len() > 2).then_some(Ok(()));
        }
        Some(opened)
    }));
    let took = start.elapsed();
    match opened {
        Err(_) => Some("panicked".into()),
        Ok(None) => Some("gave no sheet".into()),
        Ok(Some(Err(error))) if !error.to_string().contains(name) => {
            Some(format!("the error does not name the file: {error}"))
        }
        Ok(_) if took > LONGEST => Some(format!("took {took:?}")),
        Ok(_) => None,
    }
}

/// Draws damaged files until told to stop; the first that misbehaves, kept in the
/// folder for temporary files.
fn hunt(runner: &mut TestRunner, mut goes_on: impl FnMut(u32) -> bool) {
    let seeds = seeds();
    let drawn = (0..seeds.len(), prop::collection::vec(damage(), 1..8));
    let mut count = 0;
    while goes_on(count) {
        count += 1;
        let (which, damages) = drawn.new_tree(runner).unwrap().current();
        let Seed { name, mut bytes } = seeds[which].clone();
        damages.iter().for_each(|damage| damage.to(&mut bytes));
        if let Some(why) = misbehaves(&name, &bytes, count % 10 == 0) {
            let kept = std::env::temp_dir().join(format!("mutated-{count}-{name}"));
            std::fs::write(&kept, &bytes).unwrap();
            panic!("{name} after {damages:?}: {why}; kept as {}", kept.display());
        }
    }
    println!("{count} damaged files");
}

#[test]
fn a_damaged_file_never_panics_and_its_error_names_it() {
    let mut runner = TestRunner::deterministic();
    hunt(&mut runner, |count| count < 300);
}

/// Every draw is another; the seconds stand in `MUTATE_SECONDS`.
#[test]
#[ignore = "runs for as long as MUTATE_SECONDS says"]
fn mutated_for_long() {
    let seconds = std::env::var("MUTATE_SECONDS").ok().and_then(|text| text.parse().ok());
    let until = Instant::now() + Duration::from_secs(seconds.unwrap_or(60));
    hunt(&mut TestRunner::new(Config::default()), |_| Instant::now() < until);
}
