//! The button in the corner of a part that gives it the whole screen, and back.

use super::sign::{INWARD, OUTWARD, Sign};
use crate::layout::Part;
use crate::store::{Action, Store, use_store};
use yew::prelude::*;

/// Properties of [`Enlarge`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// Which part.
    pub part: Part,
}

/// The button.
#[function_component(Enlarge)]
pub fn enlarge(props: &Props) -> Html {
    let store = use_store();
    let part = props.part;
    let large = store.ui.enlarged == Some(part);
    let onclick = {
        let ui = store.ui.clone();
        move |_: MouseEvent| ui.dispatch(Action::Enlarge((!large).then_some(part)))
    };
    let words = if large { format!("Put {} back (f)", part.name()) } else { format!("Enlarge {} (f)", part.name()) };
    html! {
        <button type="button" class="enlarge" aria-label={words.clone()} title={words} aria-pressed={large.to_string()} {onclick}>
            <Sign d={if large { INWARD } else { OUTWARD }} />
        </button>
    }
}

/// The class of a part: enlarged or not.
pub fn part_class(store: &Store, part: Part) -> Classes {
    let large = store.ui.enlarged == Some(part);
    classes!(part.key(), large.then_some("enlarged"))
}
