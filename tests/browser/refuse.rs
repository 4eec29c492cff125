//! What cannot be read is refused with one sentence, and the page lives on.

use serde_json::Value;

use crate::files;
use crate::native;
use crate::visit::Visit;

#[test]
fn the_page_refuses_a_file_in_the_command_s_words() {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"));
    let file = folder.join("nothing-in-it.csv");
    std::fs::write(&file, "").expect("a place for the file");
    let visit = Visit::begin();

    visit.drop(&file);
    visit.browser.wait("document.querySelector('[data-refused]')");

    let said =
        visit.browser.run("return document.querySelector('[data-refused]').innerText", Value::Null);
    let said = said.as_str().unwrap_or_default().to_owned();
    let words = native::refusal(&file);
    assert!(words.contains("nothing-in-it.csv"), "{words}");
    assert!(said.contains(&words), "the page: {said}\nthe command: {words}");
    visit.choose(&files::recording("gps_1hz_4115985_1_2007-04-23.csv"));
    visit.end();
}
