//! The promise of privacy, counted: once the page has loaded nothing goes out.

use serde_json::Value;

use crate::files;
use crate::visit::Visit;

#[test]
fn nothing_is_requested_once_the_page_has_loaded() {
    let visit = Visit::begin();
    let loaded = visit.site.asked();
    let loading = visit.browser.addresses();
    assert!(loading.iter().any(|address| address.ends_with("pullmark_bg.wasm")), "{loading:#?}");

    visit.open_sample();
    visit.choose(&files::recording("gps_1hz_4115985_1_2007-04-23.csv"));
    visit.saved_sheet();

    assert_eq!(visit.site.asked(), loaded, "the server was asked for more");
    let later = visit.browser.addresses();
    let out: Vec<_> = later.iter().filter(|address| !address.starts_with("blob:")).collect();
    assert!(out.is_empty(), "the browser sent {out:#?}");
    visit.end();
}

#[test]
fn everything_comes_from_the_site_s_own_folder() {
    let visit = Visit::begin();

    let own = [visit.site.address.as_str(), "blob:"];
    let asked = visit.browser.addresses().into_iter();
    let strangers: Vec<_> =
        asked.filter(|address| !own.iter().any(|start| address.starts_with(start))).collect();

    assert!(strangers.is_empty(), "{strangers:#?}");
    for line in visit.site.asked() {
        assert!(line.starts_with("200 GET "), "{line}");
    }
    visit.end();
}

/// The policy is checked by what it forbids, not by its words.
#[test]
fn the_page_s_policy_stops_what_would_go_out() {
    let visit = Visit::begin();

    let stopped = visit.browser.run_async(
        "const elsewhere = new URL(location.href); elsewhere.hostname = 'localhost';
         const seen = new Promise((told) => document.addEventListener(
           'securitypolicyviolation', (event) => told(event.effectiveDirective), { once: true }));
         const went = await fetch(elsewhere, { mode: 'no-cors' }).then(() => 'went', () => 'stopped');
         return [went, await seen]",
        Value::Null,
    );

    assert_eq!(stopped, serde_json::json!(["stopped", "connect-src"]));
    // The browser rightly complains of this one on the console.
    assert!(!visit.browser.console().is_empty());
}
