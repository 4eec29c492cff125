//! The frame of a part: question, answer, evidence, cautions, and the folded method.

use yew::prelude::*;

use crate::screen::{Head, How, Note, Sentence, Tone};

#[derive(PartialEq, Properties)]
pub struct PartProps {
    pub name: &'static str,
    pub number: u8,
    pub head: Head,
    pub children: Html,
}

/// One of the seven parts, always in the same order.
#[component]
pub fn Part(props: &PartProps) -> Html {
    let head = &props.head;
    let title = format!("{}-question", props.name);
    html! {
        <section class="part" id={props.name} data-part={props.name} aria-labelledby={title.clone()}>
            <h2 id={title}><span class="part-number">{ props.number }</span>{ head.question }</h2>
            <div class="answer">{ for head.answer.iter().map(said) }</div>
            { props.children.clone() }
            { for head.cautions.iter().map(|text| html! {
                <p class="caution"><b>{ "Careful. " }</b>{ *text }</p>
            }) }
            <details class="how">
                <summary>{ "How it was worked out" }</summary>
                { for head.how.iter().map(method) }
            </details>
        </section>
    }
}

/// A sentence with the sign of its tone; the sign is for the eye, the words say it all.
pub fn said(sentence: &Sentence) -> Html {
    html! {
        <p class={tone_class(sentence.tone)}>{ sign(sentence.tone) }<span>{ &sentence.text }</span></p>
    }
}

pub fn tone_class(tone: Tone) -> &'static str {
    match tone {
        Tone::Plain => "plain",
        Tone::Good => "good",
        Tone::Doubt => "doubt",
        Tone::Bad => "void",
    }
}

/// Told apart by shape, not by colour.
pub fn sign(tone: Tone) -> Html {
    let shape = match tone {
        Tone::Plain => return html! {},
        Tone::Good => html! { <path d="M3 8.5 L6.5 12 L13 4.5" /> },
        Tone::Doubt => html! { <path d="M2.5 10 Q5.25 4 8 8 T13.5 6" /> },
        Tone::Bad => html! { <path d="M4 4 L12 12 M12 4 L4 12" /> },
    };
    html! {
        <svg class="sign" viewBox="0 0 16 16" width="16" height="16" aria-hidden="true">{ shape }</svg>
    }
}

fn method(how: &How) -> Html {
    html! {
        <div class="method">
            <p>{ &how.method }</p>
            if !how.inputs.is_empty() {
                <ul>{ for how.inputs.iter().map(|input| html! { <li>{ input }</li> }) }</ul>
            }
            <p class="source">{ "Source: " }{ &how.source }</p>
        </div>
    }
}

/// Reasons or problems, each with the code that the JSON has for it.
pub fn notes(notes: &[Note]) -> Html {
    if notes.is_empty() {
        return html! {};
    }
    let note = |note: &Note| html! { <li data-code={note.code.clone()}>{ &note.text }</li> };
    html! { <ul class="notes">{ for notes.iter().map(note) }</ul> }
}
