//! Everything is reached by the keyboard alone, and the focus is seen.

use std::collections::BTreeSet;
use std::time::Duration;

use serde_json::Value;

use crate::visit::Visit;

const TAB: char = '\u{e004}';
const ENTER: char = '\u{e007}';

/// Gives every element that a mouse could use a number, and the numbers.
const MARK_ALL: &str = "
    const useful = 'a[href], button, input, select, textarea, summary, [tabindex=\"0\"]';
    const all = [...document.querySelectorAll(useful)].filter((element) =>
      element.checkVisibility({ visibilityProperty: true }) || element.id === 'pick');
    all.forEach((element, at) => { element.dataset.stop = at });
    return all.map((element) => element.outerHTML.slice(0, 90))";

/// Where the focus is: its number, and whether it can be seen.
const FOCUS: &str = "
    const here = document.activeElement;
    const shown = [here, here.closest('label')].filter(Boolean).map((e) => getComputedStyle(e));
    const seen = shown.some((s) => (s.outlineStyle !== 'none' && s.outlineWidth !== '0px')
      || s.boxShadow !== 'none');
    return here.dataset.stop === undefined ? null : [Number(here.dataset.stop), seen]";

#[test]
fn the_sample_day_opens_by_keyboard_and_every_control_is_reached() {
    let visit = Visit::begin();
    let browser = &visit.browser;
    for _ in 0..20 {
        browser.press(TAB);
        if browser.run("return document.activeElement.id", Value::Null) == "open-sample" {
            break;
        }
    }
    browser.press(ENTER);
    visit.shown();

    let all = settled(&visit);
    assert!(all.len() > 20, "a sheet has controls: {all:#?}");
    let reached = walk(&visit, all.len());

    let missed: Vec<_> =
        (0..all.len()).filter(|at| !reached.contains(at)).map(|at| &all[at]).collect();
    assert!(missed.is_empty(), "not reached: {missed:#?}");
    visit.end();
}

/// Every control, once no more come: a chart brings its own when it is drawn.
fn settled(visit: &Visit) -> Vec<Value> {
    let mut before = 0;
    loop {
        let all = visit.browser.run(MARK_ALL, Value::Null);
        let all = all.as_array().expect("a list").clone();
        if all.len() == before {
            return all;
        }
        before = all.len();
        std::thread::sleep(Duration::from_millis(700));
    }
}

/// Goes once round the page, and gives the numbers of what had the focus.
fn walk(visit: &Visit, count: usize) -> BTreeSet<usize> {
    let mut reached = BTreeSet::new();
    visit.browser.run("document.activeElement.blur(); window.scrollTo(0, 0)", Value::Null);
    for _ in 0..count + 5 {
        visit.browser.press(TAB);
        let focus = visit.browser.run(FOCUS, Value::Null);
        if let Some(at) = focus[0].as_u64() {
            assert!(focus[1] == true, "the focus cannot be seen on stop {at}");
            reached.insert(at as usize);
        }
    }
    reached
}
