//! The words of the command line, read into one value.

use crate::step::Trouble;

pub const HELP: &str = "\
cargo site           build the site into dist/ and serve it on this machine
cargo site build     build the site into dist/
cargo site serve     serve dist/ as it is
cargo proof          check form and lints, build everything, pass every test
cargo peers          hold our reading against other readers'
cargo look           picture the site at every width and theme into target/look/

  --port N           serve on this port (4160, or a free one when it is taken)
  --under PATH       serve as a host would that keeps the site under PATH
  --tell             print every request that is served
  --debian-rust      compile the page by Debian's Rust even if rustup's could;
                     PULLMARK_WASM=debian in the environment does the same
";

/// What to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Job {
    Help,
    Site,
    Build,
    Serve,
    Proof,
    Peers,
    Look,
}

/// Whose standard library the page is compiled with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wasm {
    /// rustup's; Debian's where that is not to be had.
    Any,
    Debian,
}

/// How the site is served.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Serving {
    pub port: u16,
    /// Begins and ends with `/`.
    pub under: String,
    pub tell: bool,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Words {
    pub job: Job,
    pub wasm: Wasm,
    pub serving: Serving,
}

/// Reads the words after the program's name.
///
/// # Errors
/// [`Trouble`] that names the first word it cannot use.
pub fn read(given: impl Iterator<Item = String>) -> Result<Words, Trouble> {
    let mut words = Words {
        job: Job::Help,
        wasm: wasm_by_environment(),
        serving: Serving { port: 4160, under: "/".to_owned(), tell: false },
    };
    let mut given = given;
    while let Some(word) = given.next() {
        match (words.job, word.as_str()) {
            (Job::Help, "site") => words.job = Job::Site,
            (Job::Help, "proof") => words.job = Job::Proof,
            (Job::Help, "peers") => words.job = Job::Peers,
            (Job::Help, "look") => words.job = Job::Look,
            (Job::Site, "build") => words.job = Job::Build,
            (Job::Site, "serve") => words.job = Job::Serve,
            (_, "--debian-rust") => words.wasm = Wasm::Debian,
            (_, "--tell") => words.serving.tell = true,
            (_, "--port") => words.serving.port = port(given.next())?,
            (_, "--under") => words.serving.under = folder(given.next())?,
            (_, "--help" | "-h" | "help") => return Ok(Words { job: Job::Help, ..words }),
            (_, other) => return Err(not_understood(other)),
        }
    }
    Ok(words)
}

fn wasm_by_environment() -> Wasm {
    match std::env::var("PULLMARK_WASM").as_deref() {
        Ok("debian") => Wasm::Debian,
        _ => Wasm::Any,
    }
}

fn port(word: Option<String>) -> Result<u16, Trouble> {
    let word = word.unwrap_or_default();
    word.parse().map_err(|_| {
        Trouble::new(format!("--port {word} is no port"), "Give a number from 0 (any) to 65535.")
    })
}

fn folder(word: Option<String>) -> Result<String, Trouble> {
    let word = word.unwrap_or_default();
    let inner = word.trim_matches('/');
    if inner.is_empty() {
        return Err(Trouble::new("--under has no path", "Give one, as in --under /cars/pullmark."));
    }
    Ok(format!("/{inner}/"))
}

fn not_understood(word: &str) -> Trouble {
    Trouble::new(format!("\"{word}\" is not understood here"), format!("Say one of:\n{HELP}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(line: &str) -> Result<Words, Trouble> {
        read(line.split_whitespace().map(str::to_owned))
    }

    #[test]
    fn words_become_one_job_with_its_settings() {
        let words = of("site serve --port 0 --under cars/pullmark --tell").unwrap();

        assert_eq!(words.job, Job::Serve);
        let under = "/cars/pullmark/".to_owned();
        assert_eq!(words.serving, Serving { port: 0, under, tell: true });
    }

    #[test]
    fn a_word_that_means_nothing_is_named() {
        for (line, named) in
            [("site bulid", "bulid"), ("proof build", "build"), ("site --port x", "x")]
        {
            let trouble = of(line).unwrap_err().to_string();
            assert!(trouble.contains(named), "{line}: {trouble}");
        }
    }
}
