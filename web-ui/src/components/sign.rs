//! Small signs for buttons, drawn, since the lettering has none.

use yew::prelude::*;

/// Properties of [`Sign`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// Outline in a 16 x 16 box.
    pub d: &'static str,
}

/// To the right: run, forward.
pub const RIGHT: &str = "M4 2l9 6l-9 6z";
/// To the left: back.
pub const LEFT: &str = "M12 2l-9 6l9 6z";
/// Two bars: pause.
pub const PAUSE: &str = "M4 2h3v12h-3zM9 2h3v12h-3z";
/// One step.
pub const STEP: &str = "M2 2l8 6l-8 6zM11 2h2.5v12h-2.5z";
/// To the start.
pub const START: &str = "M14 2l-8 6l8 6zM5 2h-2.5v12h2.5z";

/// A sign; the button around it carries the words.
#[function_component(Sign)]
pub fn sign(props: &Props) -> Html {
    html! { <svg class="sign" viewBox="0 0 16 16" aria-hidden="true"><path d={props.d} /></svg> }
}
