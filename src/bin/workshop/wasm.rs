//! Compiling the page to WebAssembly, with rustup's standard library or Debian's.
//!
//! rustup's is the normal way. Where its `wasm32-unknown-unknown` library cannot
//! be fetched, Debian's packages hold a Rust and its source, and the library is
//! compiled along. The two give different bytes, so each has a folder of its own.

use std::path::PathBuf;
use std::process::Command;
use std::time::Duration;

use crate::debian;
use crate::step::{Trouble, asked, cargo, command, found, run, run_within, say, target};
use crate::words::Wasm;

const TRIPLE: &str = "wasm32-unknown-unknown";
/// The oldest minor version of Rust that compiles the project; `rust-version` in Cargo.toml.
const OLDEST_MINOR: u32 = 95;
const DEBIAN_RUST: [&str; 3] = ["rustc-web", "cargo-web", "rust-web-src"];
/// A download of 20 MB that has not ended by then will not.
const PATIENCE: Duration = Duration::from_secs(300);

/// A compiler that can make the page.
#[derive(Debug, PartialEq, Eq)]
pub enum Compiler {
    Rustup,
    Debian { linker: PathBuf },
}

/// Sets up a compiler, installing what is missing.
///
/// # Errors
/// [`Trouble`] when neither way is to be had.
pub fn compiler(wanted: Wasm) -> Result<Compiler, Trouble> {
    if wanted == Wasm::Debian {
        return debian_there().map_or_else(debian_installed, Ok);
    }
    if rustup_there() {
        return Ok(Compiler::Rustup);
    }
    if let Some(debian) = debian_there() {
        return Ok(debian);
    }
    rustup_installed().or_else(|trouble| {
        say(format!("{trouble}\n   Taking Debian's Rust for the page instead."));
        debian_installed()
    })
}

impl Compiler {
    /// Compiles the library and gives the path of the `.wasm`.
    ///
    /// # Errors
    /// [`Trouble`] when it does not compile.
    pub fn build(&self) -> Result<PathBuf, Trouble> {
        let mut build = self.cargo("build");
        build.args(["--release", "--lib"]);
        run(build, "Mend what the compiler names above.")?;
        Ok(self.folder().join(TRIPLE).join("release/pullmark.wasm"))
    }

    /// Lints the browser's half, which a native build never sees.
    ///
    /// # Errors
    /// [`Trouble`] when a lint or the compiler finds fault.
    pub fn lint(&self) -> Result<(), Trouble> {
        let remedy = "Mend what is named above.";
        match self {
            Compiler::Rustup => {
                let mut clippy = self.cargo("clippy");
                clippy.args(["--lib", "--", "-D", "warnings"]);
                run(clippy, remedy)
            }
            // Debian packages no clippy of this version; rustc's own lints remain,
            // and the release build that the site needs anyway shows them.
            Compiler::Debian { .. } => {
                let mut build = self.cargo("rustc");
                build.args([
                    "--release",
                    "--lib",
                    "--crate-type",
                    "cdylib",
                    "--",
                    "-D",
                    "warnings",
                ]);
                run(build, remedy)
            }
        }
    }

    fn cargo(&self, verb: &str) -> Command {
        let folder = self.folder();
        let place = ["--target", TRIPLE, "--target-dir"];
        // Every browser since 2023 has them; logs are read faster by them.
        let simd = ("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUSTFLAGS", "-C target-feature=+simd128");
        match self {
            Compiler::Rustup => {
                let mut cargo = cargo([verb]);
                cargo.args(place).arg(folder).env(simd.0, simd.1);
                cargo
            }
            Compiler::Debian { linker } => {
                let mut cargo = command("/usr/bin/cargo", [verb]);
                cargo.args(place).arg(folder).arg("-Zbuild-std=std,panic_abort");
                cargo.env(simd.0, simd.1);
                // The library's source opens unstable doors, by design of Rust.
                cargo.env("RUSTC_BOOTSTRAP", "1").env("RUSTC", "/usr/bin/rustc");
                cargo.env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER", linker);
                // `cargo run` points this at rustup's libraries.
                cargo.env_remove("LD_LIBRARY_PATH");
                cargo
            }
        }
    }

    fn folder(&self) -> PathBuf {
        match self {
            Compiler::Rustup => target(),
            Compiler::Debian { .. } => target().join("debian-rust"),
        }
    }
}

fn rustup_there() -> bool {
    let question = ["--print", "target-libdir", "--target", TRIPLE];
    asked(command("rustc", question)).is_some_and(|folder| PathBuf::from(folder.trim()).is_dir())
}

fn rustup_installed() -> Result<Compiler, Trouble> {
    say(format!("Installing Rust's {TRIPLE} library, to compile the page (about 20 MB)"));
    let remedy = "rustup could not give it.";
    if found("rustup").is_none() {
        return Err(Trouble::new("there is no rustup here", remedy));
    }
    run_within(PATIENCE, command("rustup", ["target", "add", TRIPLE]), remedy)?;
    if rustup_there() {
        return Ok(Compiler::Rustup);
    }
    Err(Trouble::new(format!("rustup gave no {TRIPLE} library for the rustc in use"), remedy))
}

fn debian_there() -> Option<Compiler> {
    let new_enough = |package: &str| debian::installed(package).and_then(|v| minor(&v));
    let all = DEBIAN_RUST.iter().all(|p| new_enough(p).is_some_and(|m| m >= OLDEST_MINOR));
    all.then(linker).flatten().map(|linker| Compiler::Debian { linker })
}

fn debian_installed() -> Result<Compiler, Trouble> {
    debian::update()?;
    let version = newest(&debian::offered(DEBIAN_RUST[0]));
    let (Some(version), Some(lld)) = (version, newest_lld(&debian::names("lld-"))) else {
        return Err(Trouble::new(
            format!("Debian offers no Rust 1.{OLDEST_MINOR} or newer with a WebAssembly linker"),
            format!("Run: rustup target add {TRIPLE}, then this again."),
        ));
    };
    let mut packages: Vec<String> = DEBIAN_RUST.iter().map(|p| format!("{p}={version}")).collect();
    packages.push(lld);
    debian::install(&packages, "to compile the page without rustup's WebAssembly library")?;
    debian_there().ok_or_else(|| {
        Trouble::new("Debian's Rust is installed but not complete", "Look at what apt-get said.")
    })
}

/// The newest version that compiles the project. Debian offers an old one beside it,
/// and asking for none in particular can give that.
fn newest(versions: &[String]) -> Option<String> {
    let fit = versions.iter().filter_map(|version| Some((minor(version)?, version)));
    fit.filter(|(minor, _)| *minor >= OLDEST_MINOR).max().map(|(_, version)| version.clone())
}

fn newest_lld(names: &[String]) -> Option<String> {
    let number = |name: &String| name.strip_prefix("lld-")?.parse::<u32>().ok();
    names.iter().filter_map(|name| Some((number(name)?, name))).max().map(|(_, name)| name.clone())
}

/// `96` of `1.96.0+dfsg1-1`.
fn minor(version: &str) -> Option<u32> {
    version.strip_prefix("1.")?.split('.').next()?.parse().ok()
}

/// The newest `wasm-ld` among Debian's.
fn linker() -> Option<PathBuf> {
    let there = |number: u32| PathBuf::from(format!("/usr/lib/llvm-{number}/bin/wasm-ld"));
    (14..40).rev().map(there).find(|file| file.is_file())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// As `apt-cache madison` and `apt-cache pkgnames` list them on Debian 12.
    #[test]
    fn the_newest_fit_rust_and_linker_are_taken() {
        let offered = ["1.85.0+dfsg3-1~deb12u3", "1.96.0+dfsg1-1~deb12u2"].map(str::to_owned);
        assert_eq!(newest(&offered).as_deref(), Some("1.96.0+dfsg1-1~deb12u2"));
        assert_eq!(newest(&offered[..1]), None);

        let names = ["lld-9", "lld-22", "lld-19", "lld-dev"].map(str::to_owned);
        assert_eq!(newest_lld(&names).as_deref(), Some("lld-22"));
    }
}
