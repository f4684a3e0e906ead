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
pub const START: &str = "M14.5 2l-6 6l6 6zM8.5 2l-6 6l6 6zM2.5 2H1v12h1.5z";

/// One step back.
pub const STEP_BACK: &str = "M14 2l-8 6l8 6zM5 2h-2.5v12h2.5z";
/// Undo: an arrow that turns back.
pub const UNDO: &str = "M6 1L1 5.5L6 10V7h4a2.6 2.6 0 0 1 0 5.2H5V14h5a4.4 4.4 0 0 0 0-8.8H6z";
/// Redo: an arrow that turns on.
pub const REDO: &str = "M10 1l5 4.5L10 10V7H6a2.6 2.6 0 0 0 0 5.2h5V14H6a4.4 4.4 0 0 1 0-8.8h4z";
/// Corners that point outward: enlarge.
pub const OUTWARD: &str = "M2 2h5v1.6H4.7L7 6L6 7L3.6 4.7V7H2zM14 14H9v-1.6h2.3L9 10l1-1l2.4 2.3V9H14z";
/// Corners that point inward: put back.
pub const INWARD: &str =
    "M7.4 7.4h-5V5.8h2.3L2 3.2L3.2 2l2.6 2.7V2.4h1.6zM8.6 8.6h5v1.6h-2.3l2.7 2.6l-1.2 1.2l-2.6-2.7v2.3H8.6z";

/// A sign; the button around it carries the words.
#[function_component(Sign)]
pub fn sign(props: &Props) -> Html {
    html! { <svg class="sign" viewBox="0 0 16 16" aria-hidden="true"><path d={props.d} /></svg> }
}
