//! What every instrument has: a title row with a note and its tools, and a body that fills the rest of the panel.

use yew::prelude::*;

/// Properties of [`InstrumentFrame`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// Title.
    pub title: AttrValue,
    /// What is to be known of the picture, in a few words.
    pub note: AttrValue,
    /// Buttons and fields in the title row.
    #[prop_or_default]
    pub tools: Html,
    /// Picture and what stands beside it.
    pub children: Html,
    /// A line under the picture.
    #[prop_or_default]
    pub foot: Html,
}

/// The frame of an instrument; it fills its parent.
#[function_component(InstrumentFrame)]
pub fn instrument_frame(props: &Props) -> Html {
    html! {
        <section class="instrument" aria-label={props.title.clone()}>
            <div class="title">
                <h2>{ props.title.clone() }</h2><span class="note">{ props.note.clone() }</span>
                <span class="tools">{ props.tools.clone() }</span>
            </div>
            <div class="instrument-body">{ props.children.clone() }</div>
            { props.foot.clone() }
        </section>
    }
}

/// A value: its name, what it is, and how it is judged (whether it is enough, and what is needed).
pub type ValueRow = (AttrValue, AttrValue, Option<(bool, AttrValue)>);

/// Properties of [`Values`].
#[derive(Properties, PartialEq)]
pub struct ValuesProps {
    /// What the list is, for people who hear the page.
    pub label: AttrValue,
    /// Name, value, and how it is judged: what is needed and whether it is enough.
    pub rows: Vec<ValueRow>,
}

/// Values beside a picture. What falls short carries a cross and words, not only a colour.
#[function_component(Values)]
pub fn values(props: &ValuesProps) -> Html {
    let rows = props.rows.iter().map(|(name, value, judged)| {
        let (class, said) = match judged {
            None => ("", Html::default()),
            Some((true, need)) => ("", html! { <span class="note">{ format!(" enough, needs {need}") }</span> }),
            Some((false, need)) => ("wrong", html! { <span>{ format!(" \u{d7} short, needs {need}") }</span> }),
        };
        html! { <><dt>{ name.clone() }</dt><dd {class}>{ value.clone() }{ said }</dd></> }
    });
    html! { <dl class="values" aria-label={props.label.clone()} tabindex="0">{ for rows }</dl> }
}
