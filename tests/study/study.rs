//! Runs the launch study and prints its table: `cargo study [LAUNCHES' SEEDS]`.
//!
//! In: how many logs to draw, 260 by default, which hold over 500 launches; or `only SEED`
//! for one log in full; or `each COUNT` for a line a launch. Out: the table, and below it every launch that went wrong.

mod launches;
#[path = "../simulation/mod.rs"]
mod simulation;
mod table;

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    if let [only, seed] = words.as_slice()
        && only == "only"
    {
        let seed = seed.parse().expect("a seed is a number");
        println!("{:#?}\n{:#?}", simulation::varied::launch(seed).logger, launches::one(seed));
        return;
    }
    if let [each, count] = words.as_slice()
        && each == "each"
    {
        let count = count.parse().expect("how many logs");
        launches::run(0..count).iter().for_each(|launch| println!("{}", table::launch(launch)));
        return;
    }
    let count = words.first().map_or(260, |word| word.parse().expect("how many logs"));
    let tried = launches::run(0..count);
    println!("{}", table::table(&tried));
    for launch in &tried {
        for mark in launch.marks.iter().filter(|mark| mark.stands_wrong()) {
            println!("seed {} pull {}: {mark:?}", launch.seed, launch.number);
        }
    }
}
