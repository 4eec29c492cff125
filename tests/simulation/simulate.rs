//! Makes the sample day anew: `cargo run --example simulate [FOLDER]`.
//!
//! In: nothing but a folder to write to, `sample-logs` by default. Out: its logs, day file
//! and truth, the same bytes every time. The README there is written by hand.

#[path = "mod.rs"]
mod simulation;

use std::fs;
use std::path::PathBuf;

fn main() -> std::io::Result<()> {
    let folder =
        std::env::args().nth(1).map_or_else(|| PathBuf::from("sample-logs"), PathBuf::from);
    fs::create_dir_all(folder.join("truth"))?;
    for (name, text) in simulation::day::files() {
        fs::write(folder.join(&name), &text)?;
        println!("{:>7} bytes  {name}", text.len());
    }
    Ok(())
}
