//! How the site looks, at every width and in both themes: a picture of each is left
//! in `target/look/` for people, and what a machine can judge is judged.

use std::fs;
use std::path::PathBuf;

use serde_json::{Value, json};

use crate::driver::bytes;
use crate::files;
use crate::visit::Visit;

const WIDTHS: [u32; 3] = [360, 768, 1440];
const THEMES: [&str; 2] = ["light", "dark"];

#[test]
fn look_at_the_empty_page() {
    let visit = Visit::begin();
    at_every_width(&visit, "empty");
    visit.end();
}

#[test]
fn look_at_the_sample_day() {
    let visit = Visit::begin();
    visit.open_sample();
    at_every_width(&visit, "sample-day");
    visit.end();
}

/// ISO 216 A4 and ANSI Letter, in centimetres.
#[test]
fn look_at_the_printed_sheet() {
    let visit = Visit::begin();
    visit.open_sample();
    for (paper, width_cm, height_cm) in [("a4", 21.0, 29.7), ("letter", 21.59, 27.94)] {
        let pdf = visit.browser.printed(width_cm, height_cm);
        assert!(pdf.starts_with(b"%PDF-") && pdf.len() > 10_000, "{paper}: {} bytes", pdf.len());
        keep(&format!("sample-day-{paper}.pdf"), &pdf);
    }
    visit.end();
}

/// Words are larger and lines longer than the narrowest phone: nothing may stick out.
fn at_every_width(visit: &Visit, name: &str) {
    for width in WIDTHS {
        for theme in THEMES {
            let browser = &visit.browser;
            let features = json!([{ "name": "prefers-color-scheme", "value": theme }]);
            browser.chromium("Emulation.setEmulatedMedia", &json!({ "features": features }));
            size(visit, width, 900);
            let out = browser.run(
                "const wide = document.documentElement.clientWidth;
                 return [wide, document.documentElement.scrollWidth,
                   [...document.querySelectorAll('body *')].filter((e) => !e.closest('.scroll')
                     && e.checkVisibility() && e.getBoundingClientRect().right > wide + 1)
                     .map((e) => e.outerHTML.slice(0, 120)).slice(0, 5)]",
                Value::Null,
            );
            picture(visit, width, &format!("{name}-{width}-{theme}.png"));
            assert_eq!(out[0], width, "{name}");
            assert!(out[1].as_u64() <= out[0].as_u64(), "{name} {theme} scrolls sideways: {out:#}");
        }
    }
}

fn size(visit: &Visit, width: u32, height: u64) {
    let screen =
        json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 700 });
    visit.browser.chromium("Emulation.setDeviceMetricsOverride", &screen);
}

/// The whole length of the page, drawn on a screen as long, so that charts that wait
/// to be seen are drawn too.
fn picture(visit: &Visit, width: u32, name: &str) {
    let long = visit.browser.run("return document.documentElement.scrollHeight", Value::Null);
    size(visit, width, long.as_u64().unwrap_or(900).min(16_000));
    visit.browser.run_async(
        "await new Promise((next) => requestAnimationFrame(() => requestAnimationFrame(next)));
         await new Promise((next) => setTimeout(next, 400))",
        Value::Null,
    );
    let taken = visit.browser.chromium("Page.captureScreenshot", &json!({ "format": "png" }));
    keep(name, &bytes(&taken["data"]));
}

fn keep(name: &str, bytes: &[u8]) {
    let folder: PathBuf = files::root().join("target/look");
    fs::create_dir_all(&folder).expect("a folder for the pictures");
    fs::write(folder.join(name), bytes).expect("room for a picture");
}
