//! The slices of a file on their way here, fetched by a worker of their own.
//!
//! In: a file's handle. Out: promises of its bytes, slice by slice. A `Blob` gives its
//! bytes to the thread that asks for them, a little at a time, and only while that thread
//! does nothing else; so one that has nothing else to do asks (`loader.js`). Where a
//! browser cannot start it, this thread asks itself.

use std::cell::{Cell, RefCell};
use std::collections::VecDeque;
use std::rc::Rc;

use js_sys::{Array, ArrayBuffer, Function, Promise};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Blob, Event, MessageEvent, Worker};

/// What one slice takes is how long a cancel may wait: some milliseconds.
const SLICE_BYTES: f64 = 1e6;
/// The first is to be here soon: it has the head, which takes its time.
const FIRST_BYTES: f64 = 2.6e5;

thread_local! {
    /// `None` until [`start`], and where it failed.
    static LOADER: RefCell<Option<Rc<Loader>>> = const { RefCell::new(None) };
}

struct Loader {
    worker: Worker,
    asked: RefCell<VecDeque<Asked>>,
    files: Cell<u32>,
    /// It answers no more.
    has_failed: Cell<bool>,
}

/// A slice that has been asked for.
struct Asked {
    slice: Slice,
    resolve: Function,
    reject: Function,
}

#[derive(Clone)]
struct Slice {
    file: Blob,
    from: f64,
    to: f64,
}

/// A file's slices in order: a promise of the bytes of each, and where it ends.
pub struct Slices {
    next: Slice,
    /// With the file's key there.
    loader: Option<(Rc<Loader>, u32)>,
}

/// Starts the loader of this thread, once, from the address of its script.
pub fn start(script: &str) {
    let Ok(worker) = Worker::new(script) else { return };
    let loader = Rc::new(Loader {
        worker,
        asked: RefCell::default(),
        files: Cell::new(0),
        has_failed: Cell::new(false),
    });
    let asking = loader.clone();
    let heard = Closure::<dyn FnMut(_)>::new(move |event: MessageEvent| {
        asking.answer(&event.data());
    });
    let asking = loader.clone();
    let failed = Closure::<dyn FnMut(_)>::new(move |event: Event| {
        // Else it is taken for this worker's own end.
        event.prevent_default();
        LOADER.take();
        asking.give_up();
    });
    loader.worker.set_onmessage(Some(heard.into_js_value().unchecked_ref()));
    loader.worker.set_onerror(Some(failed.into_js_value().unchecked_ref()));
    LOADER.set(Some(loader));
}

impl Loader {
    fn ask(&self, key: u32, slice: &Slice) -> Result<Promise, JsValue> {
        // The handle goes over once: that takes longer than all else here.
        let file = if slice.from == 0.0 { slice.file.as_ref() } else { &JsValue::UNDEFINED };
        let question = [&JsValue::from(key), &slice.from.into(), &slice.to.into(), file];
        self.worker.post_message(&question.into_iter().collect::<Array>())?;
        Ok(Promise::new(&mut |resolve, reject| {
            self.asked.borrow_mut().push_back(Asked { slice: slice.clone(), resolve, reject });
        }))
    }

    fn answer(&self, data: &JsValue) {
        let Some(asked) = self.asked.borrow_mut().pop_front() else { return };
        let answer =
            if data.is_instance_of::<ArrayBuffer>() { asked.resolve } else { asked.reject };
        // A promise's own functions do not throw.
        _ = answer.call1(&JsValue::NULL, data);
    }

    /// Its script is not to be had: what it was asked for is fetched here.
    fn give_up(&self) {
        self.has_failed.set(true);
        self.worker.terminate();
        for asked in self.asked.take() {
            _ = match asked.slice.fetch() {
                Ok(bytes) => asked.resolve.call1(&JsValue::NULL, &bytes),
                Err(error) => asked.reject.call1(&JsValue::NULL, &error),
            };
        }
    }
}

impl Slice {
    fn fetch(&self) -> Result<Promise, JsValue> {
        Ok(self.file.slice_with_f64_and_f64(self.from, self.to)?.array_buffer())
    }
}

impl Slices {
    pub fn of(file: &Blob) -> Slices {
        let next = Slice { file: file.clone(), from: 0.0, to: file.size().min(FIRST_BYTES) };
        let loader = LOADER.with_borrow(Clone::clone).map(|loader| {
            let key = loader.files.get();
            loader.files.set(key.wrapping_add(1));
            (loader, key)
        });
        Slices { next, loader }
    }
}

impl Iterator for Slices {
    type Item = Result<(Promise, f64), JsValue>;

    fn next(&mut self) -> Option<Self::Item> {
        let (slice, size) = (self.next.clone(), self.next.file.size());
        if slice.from >= size {
            return None;
        }
        (self.next.from, self.next.to) = (slice.to, size.min(slice.to + SLICE_BYTES));
        let loading = match &self.loader {
            Some((loader, key)) if !loader.has_failed.get() => loader.ask(*key, &slice),
            _ => slice.fetch(),
        };
        Some(loading.map(|loading| (loading, slice.to)))
    }
}

impl Drop for Slices {
    fn drop(&mut self) {
        if let Some((loader, key)) = &self.loader {
            // What is not forgotten there is a handle that goes with this page.
            _ = loader.worker.post_message(&Array::of1(&JsValue::from(*key)));
        }
    }
}
