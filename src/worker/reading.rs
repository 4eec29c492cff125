//! Reading a file on this machine: slices of it on their way through the reader.
//!
//! In: a file's handle. Out: what was in it. The next slices load while one is read,
//! and are given on in pieces; at no time is more of the file here than these few.
//! Between two slices the worker hears what the page asks.

use std::collections::VecDeque;

use js_sys::{Promise, Uint8Array};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::Blob;

use super::loading::Slices;
use crate::work::{OpenError, Opened, Opening, Outcome};

/// A call that lasts is never handed to the better of the engine's compilers; many
/// short ones are.
const PIECE_BYTES: u32 = 1 << 18;

/// Slices on their way at any time.
const AHEAD: usize = 3;

/// Why a file was not read to its end.
pub enum Stop {
    /// `go_on` said no.
    Cancelled,
    /// The browser could not give its bytes.
    Unreadable(JsValue),
    Refused(OpenError),
}

/// Reads a file from its first byte, and once more where its end asks for that.
/// `go_on` hears how far it is and says whether to go on.
pub async fn open(path: &str, blob: &JsValue, go_on: impl Fn(f64) -> bool) -> Result<Opened, Stop> {
    let blob: &Blob =
        blob.dyn_ref().ok_or_else(|| Stop::Unreadable(JsValue::from_str("no file handle")))?;
    let mut opening = Opening::new(path, Some(blob.size() as u64));
    loop {
        feed(&mut opening, blob, &go_on).await?;
        match opening.finish().map_err(Stop::Refused)? {
            Outcome::Opened(opened) => return Ok(opened),
            Outcome::Again(knowing) => opening = knowing,
        }
    }
}

/// Feeds all of a file, or as much as is wanted.
pub async fn feed(
    opening: &mut Opening,
    blob: &Blob,
    go_on: &impl Fn(f64) -> bool,
) -> Result<(), Stop> {
    let mut buffer = vec![0; PIECE_BYTES as usize];
    let mut slices = Slices::of(blob);
    let mut coming: VecDeque<(Promise, f64)> = VecDeque::new();
    loop {
        while coming.len() < AHEAD
            && let Some(slice) = slices.next()
        {
            coming.push_back(slice.map_err(Stop::Unreadable)?);
        }
        let Some((loading, to)) = coming.pop_front() else { return Ok(()) };
        let loaded = JsFuture::from(loading).await.map_err(Stop::Unreadable)?;
        let bytes = Uint8Array::new(&loaded);
        for start in (0..bytes.length()).step_by(PIECE_BYTES as usize) {
            let piece = bytes.subarray(start, bytes.length().min(start + PIECE_BYTES));
            let piece_bytes = &mut buffer[..piece.length() as usize];
            piece.copy_to(piece_bytes);
            opening.feed(piece_bytes);
        }
        if !go_on(to) {
            return Err(Stop::Cancelled);
        }
        if opening.is_settled() {
            return Ok(());
        }
    }
}
