//! Pixels: a chart painted on a canvas at the screen's own density.

use plotters_canvas::CanvasBackend;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{HtmlCanvasElement, HtmlElement, ResizeObserver};

use crate::chart::{Chart, Frame, Look, draw, height};
use crate::screen::Units;

/// A saved picture's pixels to a point, whatever the screen's.
const SAVED_DENSITY: f64 = 2.0;

/// Paints at the screen's density, or a titled picture at that of saved ones; says
/// which pixel is which value.
pub fn paint(
    canvas: &HtmlCanvasElement,
    chart: &Chart,
    width: f64,
    dark: bool,
    units: Units,
    title: Option<String>,
) -> Vec<Frame> {
    let screen = gloo::utils::window().device_pixel_ratio().max(1.0);
    let (scale, above) = if title.is_some() { (SAVED_DENSITY, 34.0) } else { (screen, 0.0) };
    let look = Look { width, height: height(chart, width) + above, scale, dark, units, title };
    canvas.set_width((look.width * scale) as u32);
    canvas.set_height((look.height * scale) as u32);
    let backend = CanvasBackend::with_canvas_object(canvas.clone());
    backend.and_then(|mut backend| draw(&mut backend, chart, &look).ok()).unwrap_or_default()
}

/// A canvas that stands in no page, for a picture to save.
pub fn loose() -> Option<HtmlCanvasElement> {
    gloo::utils::document().create_element("canvas").ok()?.dyn_into().ok()
}

/// Tells an element's width now and whenever it changes, until dropped.
pub struct Watch {
    observer: ResizeObserver,
    _told: Closure<dyn FnMut()>,
}

impl Watch {
    pub fn new(element: HtmlElement, tell: impl Fn(f64) + 'static) -> Option<Watch> {
        let watched = element.clone();
        let told = Closure::<dyn FnMut()>::new(move || tell(f64::from(watched.client_width())));
        let observer = ResizeObserver::new(told.as_ref().unchecked_ref()).ok()?;
        observer.observe(&element);
        Some(Watch { observer, _told: told })
    }
}

impl Drop for Watch {
    fn drop(&mut self) {
        self.observer.disconnect();
    }
}
