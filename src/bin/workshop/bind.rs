//! From the compiled library to what a browser loads: `pullmark.js` and
//! `pullmark_bg.wasm`, by the bindings generator that Cargo.lock pins.

use std::fmt::Display;
use std::fs;
use std::path::{Path, PathBuf};

use wasm_bindgen_cli_support::Bindgen;

use crate::step::{Trouble, say};

/// The files it makes.
pub const MADE: [&str; 2] = ["pullmark.js", "pullmark_bg.wasm"];

/// Makes the bindings beside the `.wasm` and gives their folder. What is newer than
/// its source stays as it is.
///
/// # Errors
/// [`Trouble`] when the generator refuses the module.
pub fn bindings(wasm: &Path) -> Result<PathBuf, Trouble> {
    let folder = wasm.with_file_name("bindings");
    if MADE.iter().all(|name| is_newer(&folder.join(name), wasm)) {
        return Ok(folder);
    }
    say("Making the bindings between the page and its program");
    generate(wasm, &folder).map_err(|error| {
        Trouble::new(
            format!("the bindings generator failed: {error}"),
            "Its version and that of wasm-bindgen must be equal in Cargo.toml.",
        )
    })?;
    Ok(folder)
}

fn generate(wasm: &Path, folder: &Path) -> Result<(), String> {
    let mut bindgen = Bindgen::new();
    bindgen.input_path(wasm).out_name("pullmark").typescript(false);
    bindgen.remove_name_section(true).remove_producers_section(true);
    let web = bindgen.web(true).map_err(in_full)?;
    web.generate(folder).map_err(in_full)
}

/// With its causes.
fn in_full(error: impl Display) -> String {
    format!("{error:#}")
}

fn is_newer(made: &Path, source: &Path) -> bool {
    let time = |path: &Path| fs::metadata(path).and_then(|data| data.modified()).ok();
    time(made).zip(time(source)).is_some_and(|(made, source)| made > source)
}
