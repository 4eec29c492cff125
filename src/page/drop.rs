//! Files in: the whole page is a drop area, and pasting works anywhere but in a field.

use gloo::events::{EventListener, EventListenerOptions};
use js_sys::Array;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Blob, ClipboardEvent, DataTransfer, DragEvent, FileList, HtmlInputElement};
use yew::prelude::*;

pub type OnFiles = Callback<Vec<(String, Blob)>>;

#[derive(PartialEq, Properties)]
pub struct DropProps {
    pub onfiles: OnFiles,
    pub children: Html,
}

/// Takes dropped and pasted files for all that it holds.
#[component]
pub fn DropArea(props: &DropProps) -> Html {
    let over = use_state(|| false);
    use_effect_with(props.onfiles.clone(), |onfiles| {
        let onfiles = onfiles.clone();
        let document = gloo::utils::document();
        let listener = EventListener::new(&document, "paste", move |event| paste(event, &onfiles));
        move || drop(listener)
    });
    use_effect_with(props.onfiles.clone(), {
        let over = over.clone();
        move |onfiles| {
            let listeners = drag_listeners(onfiles.clone(), over);
            move || drop(listeners)
        }
    });
    html! {
        <div class={classes!("sheet", over.then_some("over"))}>
            { props.children.clone() }
            if *over {
                <div class="drop-veil" aria-hidden="true"><p>{ "Drop the logs anywhere" }</p></div>
            }
        </div>
    }
}

/// On the window, so that a near miss does not make the browser leave the page.
fn drag_listeners(onfiles: OnFiles, over: UseStateHandle<bool>) -> Vec<EventListener> {
    let window = gloo::utils::window();
    let active = EventListenerOptions::enable_prevent_default();
    let entered = over.clone();
    let dragover = EventListener::new_with_options(&window, "dragover", active, move |event| {
        event.prevent_default();
        entered.set(true);
    });
    let left = over.clone();
    let dragleave = EventListener::new(&window, "dragleave", move |event| {
        let outside = event.dyn_ref::<DragEvent>().is_some_and(|e| e.related_target().is_none());
        if outside {
            left.set(false);
        }
    });
    let dropped = EventListener::new_with_options(&window, "drop", active, move |event| {
        event.prevent_default();
        over.set(false);
        let transfer = event.dyn_ref::<DragEvent>().and_then(DragEvent::data_transfer);
        onfiles.emit(transfer.map(|transfer| of_transfer(&transfer)).unwrap_or_default());
    });
    vec![dragover, dragleave, dropped]
}

fn paste(event: &web_sys::Event, onfiles: &OnFiles) {
    let in_field = event.target().and_then(|t| t.dyn_into::<web_sys::Element>().ok());
    let fields = "input:not([type=file]), textarea, select";
    if in_field.is_some_and(|element| element.closest(fields).ok().flatten().is_some()) {
        return;
    }
    let transfer = event.dyn_ref::<ClipboardEvent>().and_then(ClipboardEvent::clipboard_data);
    let Some(transfer) = transfer else { return };
    let mut files = of_transfer(&transfer);
    if files.is_empty() {
        files.extend(pasted_text(&transfer));
    }
    onfiles.emit(files);
}

/// Pasted text becomes a log of its own.
fn pasted_text(transfer: &DataTransfer) -> Option<(String, Blob)> {
    let text = transfer.get_data("text/plain").ok().filter(|text| !text.trim().is_empty())?;
    let blob = Blob::new_with_str_sequence(&Array::of1(&JsValue::from_str(&text))).ok()?;
    Some(("pasted.csv".to_owned(), blob))
}

fn of_transfer(transfer: &DataTransfer) -> Vec<(String, Blob)> {
    transfer.files().map(|list| of_list(&list)).unwrap_or_default()
}

fn of_list(list: &FileList) -> Vec<(String, Blob)> {
    (0..list.length())
        .filter_map(|at| list.get(at))
        .map(|file| (file.name(), file.into()))
        .collect()
}

#[derive(PartialEq, Properties)]
pub struct PickProps {
    pub onfiles: OnFiles,
    pub label: AttrValue,
}

/// The file chooser. There is one on the page at a time.
#[component]
pub fn Pick(props: &PickProps) -> Html {
    let onchange = props.onfiles.reform(|event: web_sys::Event| {
        let input: HtmlInputElement = event.target_unchecked_into();
        let files = input.files().map(|list| of_list(&list)).unwrap_or_default();
        // So that the same file can be picked again after it was changed.
        input.set_value("");
        files
    });
    html! {
        <label class="button primary pick">
            <input id="pick" type="file" multiple={true} {onchange} />
            <span>{ props.label.clone() }</span>
        </label>
    }
}
