//! A part of the sheet that holds one instrument and can take the whole screen.

use super::enlarge::{Enlarge, part_class};
use crate::layout::Part;
use crate::store::use_store;
use yew::prelude::*;

/// Properties of [`Panel`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// Which part.
    pub part: Part,
    /// What it holds.
    pub children: Html,
}

/// The part.
#[function_component(Panel)]
pub fn panel(props: &Props) -> Html {
    let store = use_store();
    let part = props.part;
    html! {
        <div class={classes!("panel", part_class(&store, part))} data-part={part.key()}>
            <Enlarge {part} />
            { props.children.clone() }
        </div>
    }
}
