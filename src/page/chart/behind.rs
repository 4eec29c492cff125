//! The table behind a chart.

use yew::prelude::*;

use crate::chart::Chart;
use crate::chart::behind::{self, Behind};
use crate::screen::Units;

pub fn tables(chart: &Chart, units: &Units) -> Html {
    behind::tables(chart, units).iter().map(table).collect()
}

fn table(behind: &Behind) -> Html {
    html! {
        <div class="scroll" tabindex="0" role="region" aria-label="The numbers behind the chart">
            <table>
                if !behind.caption.is_empty() { <caption>{ &behind.caption }</caption> }
                <thead><tr>{ for behind.heads.iter().map(|head| html! { <th scope="col">{ head }</th> }) }</tr></thead>
                <tbody>{ for behind.rows.iter().map(|row| html! {
                    <tr>{ for row.iter().map(|text| html! { <td>{ text }</td> }) }</tr>
                }) }</tbody>
            </table>
        </div>
    }
}
