//! A visit to the site: what a person does there, and what they then see.

use std::path::Path;
use std::time::{Duration, Instant};

use serde_json::json;

use crate::driver::{Browser, as_text};
use crate::served::Served;

/// The page in a browser, loaded.
pub struct Visit {
    pub site: Served,
    pub browser: Browser,
}

impl Visit {
    /// Loads the page and waits until it has loaded all it ever will.
    pub fn begin() -> Visit {
        let visit = Visit { site: Served::start(), browser: Browser::start() };
        visit.load();
        visit
    }

    pub fn load(&self) {
        self.browser.open(&self.site.address);
        self.browser.wait("document.querySelector('#open-sample')");
        let until = Instant::now() + Duration::from_secs(20);
        let all = |asked: &[String]| {
            let has = |end: &str| asked.iter().any(|line| line.contains(end));
            has("/sample-day.zip") && has("/worker.js")
        };
        while !all(&self.site.asked()) {
            assert!(Instant::now() < until, "not all loaded: {:#?}", self.site.asked());
            std::thread::sleep(Duration::from_millis(20));
        }
        self.browser.wait("document.readyState === 'complete'");
    }

    pub fn open_sample(&self) {
        self.browser.click("#open-sample");
        self.shown();
    }

    /// Chooses a file by the page's file field.
    pub fn choose(&self, file: &Path) {
        self.browser.choose("#pick", file);
        self.shown();
    }

    /// Lets a file fall onto the page.
    pub fn drop(&self, file: &Path) {
        let bytes = std::fs::read(file).expect("the file is there");
        let name = file.file_name().and_then(|name| name.to_str()).expect("it has a name");
        self.browser.run(
            "const { name, text } = arguments[0];
             const bytes = Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
             const dataTransfer = new DataTransfer();
             dataTransfer.items.add(new File([bytes], name));
             const onto = document.querySelector('main');
             for (const kind of ['dragenter', 'dragover', 'drop'])
               onto.dispatchEvent(new DragEvent(kind, { dataTransfer, bubbles: true, cancelable: true }));",
            json!({ "name": name, "text": as_text(&bytes) }),
        );
    }

    /// Waits for the sheet, all seven parts of it, with nothing under way.
    pub fn shown(&self) {
        self.browser.wait(
            "document.querySelector('[data-part=handover]') && !document.querySelector('#cancel')",
        );
    }

    /// Saves the sheet as a person does, and gives the saved text.
    pub fn saved_sheet(&self) -> String {
        self.browser.click("#save-json");
        let until = Instant::now() + Duration::from_secs(20);
        loop {
            if let Some(file) = self.saved_file() {
                let text = std::fs::read_to_string(&file).expect("the saved sheet is text");
                std::fs::remove_file(&file).expect("it can be put away");
                return text;
            }
            assert!(Instant::now() < until, "nothing was saved");
            std::thread::sleep(Duration::from_millis(50));
        }
    }

    /// A finished file among the saved; Chromium names unfinished ones `.crdownload`.
    fn saved_file(&self) -> Option<std::path::PathBuf> {
        let entries = std::fs::read_dir(&self.browser.saves).ok()?;
        let mut files = entries.filter_map(|entry| Some(entry.ok()?.path()));
        files.find(|file| file.extension().is_some_and(|e| e == "json"))
    }

    /// Ends the visit: the console must have stayed clean.
    pub fn end(self) {
        let said = self.browser.console();
        assert!(said.is_empty(), "the console is not clean: {said:#?}");
    }
}
