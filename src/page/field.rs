//! Small controls: a labelled text field and a labelled choice.

use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

#[derive(PartialEq, Properties)]
pub struct FieldProps {
    pub label: AttrValue,
    pub value: String,
    #[prop_or_default]
    pub unit: AttrValue,
    #[prop_or(AttrValue::Static("decimal"))]
    pub inputmode: AttrValue,
    pub onchange: Callback<String>,
    #[prop_or_default]
    pub id: Option<AttrValue>,
}

#[component]
pub fn Field(props: &FieldProps) -> Html {
    let onchange = props
        .onchange
        .reform(|event: web_sys::Event| event.target_unchecked_into::<HtmlInputElement>().value());
    html! {
        <label class="field">
            <span class="field-label">{ &props.label }</span>
            <span class="field-box">
                <input type="text" id={props.id.clone()} inputmode={props.inputmode.clone()}
                    autocomplete="off" value={props.value.clone()} {onchange} />
                if !props.unit.is_empty() { <span class="field-unit">{ &props.unit }</span> }
            </span>
        </label>
    }
}

#[derive(PartialEq, Properties)]
pub struct ChoiceProps {
    pub label: AttrValue,
    /// Kept for those who cannot see the table's head.
    #[prop_or_default]
    pub hide_label: bool,
    /// (value, text)
    pub options: Vec<(String, String)>,
    pub chosen: String,
    pub onchange: Callback<String>,
}

#[component]
pub fn Choice(props: &ChoiceProps) -> Html {
    let onchange = props
        .onchange
        .reform(|event: web_sys::Event| event.target_unchecked_into::<HtmlSelectElement>().value());
    html! {
        <label class="field">
            <span class={if props.hide_label { "unseen" } else { "field-label" }}>{ &props.label }</span>
            <select {onchange}>
                { for props.options.iter().map(|(value, text)| html! {
                    <option value={value.clone()} selected={*value == props.chosen}>{ text }</option>
                }) }
            </select>
        </label>
    }
}
