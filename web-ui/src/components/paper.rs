//! Something that goes to paper: beside the page, hidden on the screen, alone on the print.

use web_sys::Element;
use yew::prelude::*;

/// Properties of [`Paper`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// What is printed.
    pub children: Html,
}

/// The paper; it is there as long as the component lives.
#[function_component(Paper)]
pub fn paper(props: &Props) -> Html {
    let place = use_memo((), |()| place());
    {
        let place = place.clone();
        use_effect_with((), move |()| {
            move || {
                if let Some(place) = &*place {
                    place.remove();
                }
            }
        });
    }
    let Some(place) = (*place).clone() else { return Html::default() };
    create_portal(props.children.clone(), place)
}

/// A place for the paper beside the page.
fn place() -> Option<Element> {
    let document = web_sys::window().and_then(|w| w.document())?;
    let place = document.create_element("div").ok()?;
    place.set_class_name("paper");
    document.body()?.append_child(&place).ok()?;
    Some(place)
}
