//! The page with nothing open: what it does, the ways in, and the promise.

use yew::prelude::*;

use super::desk::Desk;
use super::drop::{OnFiles, Pick};

#[derive(PartialEq, Properties)]
pub struct EmptyProps {
    pub desk: Desk,
    pub onfiles: OnFiles,
}

#[component]
pub fn Empty(props: &EmptyProps) -> Html {
    let desk = props.desk.clone();
    let sample = Callback::from(move |_| desk.open_sample());
    html! {
        <main class="empty">
            <h1>{ "What do the logs of your test day prove?" }</h1>
            <ul class="does">
                <li>{ "How quick each launch really was, with its ±, and whether the time can be believed." }</li>
                <li>{ "How hot the charge air got, and how well it came back between pulls." }</li>
                <li>{ "Whether the part that was changed made a real difference." }</li>
            </ul>
            <div class="drop-area">
                <p class="drop-hint">{ "Drop the logs here, or anywhere on the page. Pasting works too." }</p>
                <div class="ways">
                    <Pick onfiles={props.onfiles.clone()} label="Choose logs or a day file" />
                    <button type="button" id="open-sample" onclick={sample}>{ "Open the sample day" }</button>
                </div>
                <p class="forms">{ "Delimited text (CSV), ASAM MDF 4, NMEA 0183, GPX, each also zipped; a saved day file." }</p>
            </div>
            <section class="promise" aria-labelledby="promise">
                <h2 id="promise">{ "Your logs stay on this machine" }</h2>
                <p>{ "Once this page has loaded, nothing goes out: no log, no number, no count of visits. \
                      You need not take that on trust:" }</p>
                <ul>
                    <li>{ "Turn the network off now. Everything still works." }</li>
                    <li>{ "Open your browser’s developer tools at the list of network requests, and drop a log: the list stays as it is." }</li>
                    <li>{ "Read this page’s Content-Security-Policy there: it forbids the browser to reach any other address." }</li>
                </ul>
            </section>
        </main>
    }
}
