//! A choice between a few words, as a row of buttons.

use yew::prelude::*;

/// Properties of [`Choice`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// What is chosen, for people who hear the page.
    pub label: AttrValue,
    /// The words: value and what is shown.
    pub options: Vec<(AttrValue, AttrValue)>,
    /// The value chosen now.
    pub value: AttrValue,
    /// Called with the value that was chosen.
    pub onchoose: Callback<AttrValue>,
}

/// One of a few.
#[function_component(Choice)]
pub fn choice(props: &Props) -> Html {
    let buttons = props.options.iter().map(|(value, shown)| {
        let onclick = {
            let (onchoose, value) = (props.onchoose.clone(), value.clone());
            move |_| onchoose.emit(value.clone())
        };
        let checked = if *value == props.value { "true" } else { "false" };
        html! { <button type="button" role="radio" aria-checked={checked} {onclick}>{ shown.clone() }</button> }
    });
    html! { <div class="choice" role="radiogroup" aria-label={props.label.clone()}>{ for buttons }</div> }
}
