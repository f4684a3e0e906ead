//! The level of a hidden fault, as a row of buttons.

use super::choice::Choice;
use sim_core::fault::hidden::Level;
use yew::prelude::*;

/// Properties of [`LevelChoice`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// The level chosen now.
    pub level: Level,
    /// Called with the level that was chosen.
    pub onchoose: Callback<Level>,
}

/// The choice.
#[function_component(LevelChoice)]
pub fn level_choice(props: &Props) -> Html {
    let choose = props.onchoose.reform(|value: AttrValue| {
        Level::ALL.into_iter().find(|level| level.number().to_string() == value.as_str()).unwrap_or_default()
    });
    let options: Vec<(AttrValue, AttrValue)> =
        Level::ALL.iter().map(|l| (l.number().to_string().into(), l.number().to_string().into())).collect();
    html! { <span class="level">{ "Level" }<Choice label="Level" {options} value={props.level.number().to_string()} onchoose={choose} /></span> }
}
