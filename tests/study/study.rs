//! Runs the launch study and prints its table: `cargo study`.
//!
//! In: how many logs to draw, 260 by default, which hold over 500 launches. Out: the table,
//! and below it every time that stands and is wrong. To look closer: `each COUNT` prints a
//! line a launch, `only SEED` all of one log, `log SEED` that log itself.

mod launches;
#[path = "../simulation/mod.rs"]
mod simulation;
mod table;

use simulation::varied;

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let number = |at: usize| words.get(at).and_then(|word| word.parse::<u64>().ok());
    match words.first().map(String::as_str) {
        Some("each") => each(number(1).unwrap_or(260)),
        Some("only") => only(number(1).expect("only what seed?")),
        Some("log") => print!("{}", varied::launch(number(1).expect("the log of what seed?")).log),
        _ => whole(number(0).unwrap_or(260)),
    }
}

fn whole(count: u64) {
    let tried = launches::run(0..count);
    println!("{}", table::table(&tried));
    for launch in &tried {
        for mark in launch.marks.iter().filter(|mark| mark.stands_wrong()) {
            println!("seed {} pull {}: {mark:?}", launch.seed, launch.number);
        }
    }
}

fn each(count: u64) {
    launches::run(0..count).iter().for_each(|launch| println!("{}", table::launch(launch)));
}

fn only(seed: u64) {
    let case = varied::launch(seed);
    println!("{:#?}\nslope {}\n{:#?}", case.logger, case.slope, case.pulls);
    println!("{:#?}", launches::one(seed));
}
