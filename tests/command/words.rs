//! The words of the command, its exit codes, and its complaints.

use std::fs::write;
use std::io::Read;
use std::process::{Command, Stdio};

use tempfile::tempdir;

use super::invent::Car;
use super::run::{complaint, open_data, pullmark, sheet};

#[test]
fn wrong_words_are_answered_with_usage_and_code_2() {
    let folder = tempdir().unwrap();
    write(folder.path().join("a.csv"), Car::default().log()).unwrap();
    let rows: [&[&str]; 7] = [
        &[],
        &["sheet"],
        &["sheet", "--json"],
        &["print", "a.csv"],
        &["sheet", "a.csv", "--xml"],
        &["sheet", "-j", "a.csv"],
        &["sheet", "a.csv", "--json=yes"],
    ];
    for words in rows {
        let said = pullmark(folder.path(), words);
        assert_eq!(said.code, 2, "{words:?}: {}", said.err);
        assert_eq!(said.out, "", "{words:?}");
        assert!(said.err.contains("usage: pullmark sheet FILE… [--json]"), "{}", said.err);
    }
}

#[test]
fn help_and_version_go_to_standard_output() {
    let folder = tempdir().unwrap();
    let help = pullmark(folder.path(), &["--help"]);
    assert_eq!((help.code, help.err.as_str()), (0, ""));
    assert!(help.out.contains("usage: pullmark sheet FILE… [--json]"));
    let version = pullmark(folder.path(), &["--version"]);
    assert_eq!(version.out, format!("pullmark {}\n", env!("CARGO_PKG_VERSION")));
}

#[test]
fn a_log_without_a_pull_is_a_sheet_all_the_same() {
    let folder = tempdir().unwrap();
    write(folder.path().join("idle.csv"), "time (s),speed (km/h)\n0,0\n1,0\n2,0\n3,0\n").unwrap();
    let found = sheet(folder.path(), &["idle.csv"]);
    assert_eq!(found["pulls"].as_array().unwrap().len(), 0);
    assert_eq!(found["logs"][0]["rows"], 4);
}

/// Which file, where in it, what to do: the three in every complaint.
#[test]
fn a_file_that_cannot_be_read_is_named_with_the_place_and_the_remedy() {
    let folder = tempdir().unwrap();
    write(folder.path().join("good.csv"), Car::default().log()).unwrap();
    write(folder.path().join("empty.csv"), "").unwrap();
    write(folder.path().join("junk.bin"), [0u8, 159, 146, 150, 0, 1, 2, 3]).unwrap();
    write(folder.path().join("broken.json"), "{\n  \"format\": \"pullmark-day\",\n  nonsense\n}")
        .unwrap();
    let rows = [
        ("lost.csv", "is not there", "Check the name"),
        (".", "is a folder", "Name the files in it"),
        ("empty.csv", "is empty", "Save the log again"),
        ("junk.bin", "start", "Open the log as CSV"),
        ("broken.json", "line 3, column 3", "Mend the day file there"),
    ];
    for (file, place, remedy) in rows {
        let said = complaint(folder.path(), &["good.csv", file]);
        for part in [file, place, remedy] {
            assert!(said.contains(part), "{file}: no \"{part}\" in: {said}");
        }
    }
}

#[test]
fn several_files_make_one_sheet() {
    let folder = open_data();
    let found = sheet(folder, &["nds_drive06.csv", "nds_drive25.csv"]);
    let names: Vec<_> = found["logs"].as_array().unwrap().iter().map(|log| &log["name"]).collect();
    assert_eq!(names, ["nds_drive06.csv", "nds_drive25.csv"]);
}

/// A reader such as `head` closes the pipe when it has enough.
#[test]
fn a_closed_pipe_is_no_failure() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_pullmark"))
        .args(["sheet", "--json", "obd_city_drive_20min.csv", "nds_drive06.csv"])
        .current_dir(open_data())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let mut err = String::new();
    child.stderr.take().unwrap().read_to_string(&mut err).unwrap();
    assert_eq!(err, "");
    assert_eq!(child.wait().unwrap().code(), Some(0));
}

#[test]
fn the_plain_sheet_asks_seven_questions_in_order() {
    let folder = tempdir().unwrap();
    write(folder.path().join("a.csv"), Car::default().log()).unwrap();
    let said = pullmark(folder.path(), &["sheet", "a.csv"]);
    assert_eq!((said.code, said.err.as_str()), (0, ""));
    let questions: Vec<&str> =
        said.out.lines().filter(|line| line.starts_with(|c: char| c.is_ascii_digit())).collect();
    assert_eq!(
        questions,
        [
            "1. What was read?",
            "2. What was the air that day?",
            "3. Where are the pulls?",
            "4. Can the clock be believed?",
            "5. How much heat is carried?",
            "6. What was the change worth?",
            "7. What can be handed over?",
        ]
    );
    assert!(said.out.contains("km/h") && said.out.contains("°C"), "{}", said.out);
}

#[test]
fn the_plain_sheet_speaks_the_units_of_the_readers_country() {
    let folder = tempdir().unwrap();
    write(folder.path().join("a.csv"), Car::default().log()).unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_pullmark"))
        .args(["sheet", "a.csv"])
        .current_dir(folder.path())
        .env("LC_ALL", "en_US.UTF-8")
        .output()
        .unwrap();
    let out = String::from_utf8(output.stdout).unwrap();
    assert!(out.contains("°F") && !out.contains("°C at"), "{out}");
}
