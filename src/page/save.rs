//! Saving: a text or blob becomes a file of the reader's, by a link that is clicked.

use js_sys::Array;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Blob, BlobPropertyBag, HtmlAnchorElement, Url};

/// Offers text as a file.
pub fn text(name: &str, kind: &str, text: &str) {
    let parts = Array::of1(&JsValue::from_str(text));
    offer(name, blob(&parts, kind));
}

fn blob(parts: &Array, kind: &str) -> Option<Blob> {
    let options = BlobPropertyBag::new();
    options.set_type(kind);
    Blob::new_with_u8_array_sequence_and_options(parts, &options).ok()
}

/// Clicks a link to the blob; the address is freed once the browser has taken it.
pub fn offer(name: &str, blob: Option<Blob>) {
    let Some(url) = blob.and_then(|blob| Url::create_object_url_with_blob(&blob).ok()) else {
        return;
    };
    let link = gloo::utils::document().create_element("a").ok();
    if let Some(link) = link.and_then(|link| link.dyn_into::<HtmlAnchorElement>().ok()) {
        link.set_href(&url);
        link.set_download(name);
        link.click();
    }
    let free = move || drop(Url::revoke_object_url(&url));
    gloo::timers::callback::Timeout::new(10_000, free).forget();
}
