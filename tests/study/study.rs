//! Runs the launch study and prints its table: `cargo study`.
//!
//! In: how many logs to draw, 300 by default, which hold over 600 launches. Out: the
//! table, which also goes into `tests/README.md`, and below it every time that stands and is wrong. To look closer: `each COUNT FROM` prints
//! a line a launch, `only SEED` all of one log, `log SEED` that log itself. `heat COUNT` runs
//! the heat study instead, over 150 test days by default; `heat each COUNT FROM` looks closer.
//!
//! The table is drawn from seeds of its own, [`HELD_OUT`] and on: constants of the program
//! that had to be tried out were tried on smaller seeds, which `each` starts with.

mod heat;
mod kept;
mod launches;
#[path = "../simulation/mod.rs"]
mod simulation;
mod table;

use simulation::varied;

/// Seeds from here on have tuned nothing.
const HELD_OUT: u64 = 10_000;
/// So many logs hold about 600 launches; only this many are written to `tests/README.md`.
const FULL: u64 = 300;
/// Test days of the heat study.
const FULL_HEAT: u64 = 150;

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let number = |at: usize| words.get(at).and_then(|word| word.parse::<u64>().ok());
    match words.first().map(String::as_str) {
        Some("each") => each(number(1).unwrap_or(300), number(2).unwrap_or(0)),
        Some("only") => only(number(1).expect("only what seed?")),
        Some("heat") if words.get(1).is_some_and(|word| word == "each") => {
            let from = number(3).unwrap_or(0);
            let tried = heat::run(from..from + number(2).unwrap_or(60));
            tried.iter().for_each(|day| println!("{}", heat::day(day)));
            println!("{}", heat::table(&tried));
        }
        Some("heat") => heat(number(1).unwrap_or(FULL_HEAT)),
        Some("log") => print!("{}", varied::launch(number(1).expect("the log of what seed?")).log),
        _ => whole(number(0).unwrap_or(FULL)),
    }
}

fn whole(count: u64) {
    let tried = launches::run(HELD_OUT..HELD_OUT + count);
    let table = table::table(&tried);
    println!("{table}");
    if count == FULL {
        kept::keep("launches", &table);
    }
    for launch in &tried {
        for mark in launch.marks.iter().filter(|mark| mark.stands_wrong()) {
            println!("seed {} pull {}: {mark:?}", launch.seed, launch.number);
        }
    }
}

fn heat(count: u64) {
    let table = heat::table(&heat::run(HELD_OUT..HELD_OUT + count));
    println!("{table}");
    if count == FULL_HEAT {
        kept::keep("heat", &table);
    }
}

fn each(count: u64, from: u64) {
    launches::run(from..from + count)
        .iter()
        .for_each(|launch| println!("{}", table::launch(launch)));
}

fn only(seed: u64) {
    let case = varied::launch(seed);
    println!("{:#?}\nslope {}\n{:#?}", case.logger, case.slope, case.pulls);
    println!("{:#?}", launches::one(seed));
}
