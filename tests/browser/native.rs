//! The native command, whose word the page is held against.

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

/// The sheet as the command prints it. Names are as the page sees them, without folders.
pub fn sheet_text(file: &Path) -> String {
    let output = command(file);
    let error = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{}: {error}", file.display());
    String::from_utf8(output.stdout).expect("the sheet is UTF-8")
}

pub fn sheet(file: &Path) -> Value {
    serde_json::from_str(&sheet_text(file)).expect("the sheet is JSON")
}

/// The one line with which the command refuses a file.
pub fn refusal(file: &Path) -> String {
    let output = command(file);
    assert_eq!(output.status.code(), Some(1), "{}", file.display());
    String::from_utf8_lossy(&output.stderr).trim().to_owned()
}

fn command(file: &Path) -> Output {
    let (folder, name) = (file.parent().expect("in a folder"), file.file_name().expect("named"));
    Command::new(env!("CARGO_BIN_EXE_pullmark"))
        .arg("sheet")
        .arg(name)
        .arg("--json")
        .current_dir(folder)
        .output()
        .expect("the native command runs")
}
