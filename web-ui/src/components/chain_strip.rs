//! The chain from light to alarm.

use super::picture::Picture;
use crate::pictures::{PictureKind, chain_links};
use crate::store::cover::chain_covered;
use crate::store::use_store;
use yew::prelude::*;

/// The strip.
#[function_component(ChainStrip)]
pub fn chain_strip() -> Html {
    let store = use_store();
    let words: Vec<String> = chain_links(&store.lab.0.borrow(), chain_covered(&store))
        .iter()
        .map(|link| format!("{}: {}", link.name, link.words))
        .collect();
    html! {
        <section class="chain" aria-label="From light to alarm">
            <Picture kind={PictureKind::Chain} label={words.join("; ")} />
        </section>
    }
}
