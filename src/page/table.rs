//! A table of finished text, in a box of its own that scrolls sideways if it must;
//! its caption stands above the box, so that it never scrolls out of sight.

use yew::prelude::*;

use super::fold::{sign, tone_class};
use crate::screen::{Cell, Column, Row, Table, Tone};

#[derive(PartialEq, Properties)]
pub struct TableProps {
    pub table: Table,
}

#[component]
pub fn TableView(props: &TableProps) -> Html {
    let table = &props.table;
    if table.rows.is_empty() {
        return html! {};
    }
    html! {
        <>
        <p class="caption" aria-hidden="true">{ &table.caption }</p>
        <div class="scroll" tabindex="0" role="region" aria-label={table.caption.clone()}>
            <table>
                <caption class="unseen">{ &table.caption }</caption>
                <thead><tr>{ for table.columns.iter().map(head) }</tr></thead>
                <tbody>{ for table.rows.iter().map(|row| body(&table.columns, row)) }</tbody>
            </table>
        </div>
        </>
    }
}

fn head(column: &Column) -> Html {
    html! { <th scope="col" class={column.numeric.then_some("number")}>{ &column.head }</th> }
}

fn body(columns: &[Column], row: &Row) -> Html {
    let cells = row.cells.iter().zip(columns).enumerate().map(|(at, (cell, column))| {
        if at == 0 {
            // On a phone a name of several words keeps room for two of them on a line.
            let is_name = cell.text.trim().contains(' ');
            html! { <th scope="row" class={is_name.then_some("name")}>{ &cell.text }</th> }
        } else {
            data(cell, column)
        }
    });
    html! { <tr class={row.pale.then_some("pale")}>{ for cells }</tr> }
}

/// Marks carry the sheet's own value beside the text, for checks from outside.
fn data(cell: &Cell, column: &Column) -> Html {
    let (mark, value) = cell.mark.clone().unzip();
    let class = classes!(
        column.numeric.then_some("number"),
        (cell.tone != Tone::Plain).then(|| tone_class(cell.tone))
    );
    html! { <td {class} data-mark={mark} data-value={value}>{ sign(cell.tone) }{ &cell.text }</td> }
}
