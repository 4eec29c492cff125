//! The project's own tool behind `cargo site`, `cargo proof`, `cargo peers` and
//! `cargo look`.
//!
//! In: the words of the command line. Out: `dist/`, a running server, or the
//! proofs' verdict; exit code 0 only when all of it went well.
//!
//! Invariants: nothing is installed without first saying what and why; a failed
//! step ends the run and says what to do; nothing outside the project's folder is
//! written except by the installers it names. It knows nothing of logs or pulls:
//! of the library it uses the day file's shape and no more.

mod bind;
mod browser;
mod debian;
mod peers;
mod proof;
mod sample;
mod serve;
mod site;
mod step;
mod wasm;
mod words;

use std::process::ExitCode;

use step::Trouble;
use words::Words;

fn main() -> ExitCode {
    let asked = words::read(std::env::args().skip(1));
    match asked.and_then(|words| obey(&words)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(trouble) => {
            eprintln!("\nworkshop: {trouble}");
            ExitCode::FAILURE
        }
    }
}

fn obey(words: &Words) -> Result<(), Trouble> {
    match words.job {
        words::Job::Help => {
            print!("{}", words::HELP);
            Ok(())
        }
        words::Job::Build => site::build(words.wasm).map(|_| ()),
        words::Job::Site => serve::serve(&site::build(words.wasm)?, &words.serving),
        words::Job::Serve => serve::serve(&site::built()?, &words.serving),
        words::Job::Proof => proof::all(words.wasm),
        words::Job::Peers => proof::peers(),
        words::Job::Look => proof::look(words.wasm),
    }
}
