//! A paper flap over something that would give the cause away. What lies under it is not on the page at all.

use yew::prelude::*;

/// Properties of [`Flap`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// What it covers.
    pub what: AttrValue,
}

/// The flap.
#[function_component(Flap)]
pub fn flap(props: &Props) -> Html {
    html! { <div class="flap"><b>{ "covered" }</b><span class="note">{ props.what.clone() }</span></div> }
}
