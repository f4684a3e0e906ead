//! A canvas on the stage, with words for people who cannot see it.

use crate::pictures::PictureKind;
use crate::stage::StageHandle;
use web_sys::{HtmlCanvasElement, PointerEvent};
use yew::prelude::*;

/// Properties of [`Picture`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// Which picture.
    pub kind: PictureKind,
    /// What it shows now, in words.
    pub label: AttrValue,
    /// Gives the size to whoever lays controls over it.
    #[prop_or_default]
    pub node: NodeRef,
    /// Pointer went down on it; without it the picture does not take the pointer.
    #[prop_or_default]
    pub onpointer: Option<Callback<PointerEvent>>,
    /// Controls over it.
    #[prop_or_default]
    pub children: Html,
    /// Further classes.
    #[prop_or_default]
    pub class: Classes,
}

/// A picture.
#[function_component(Picture)]
pub fn picture(props: &Props) -> Html {
    let stage = use_context::<StageHandle>();
    let node = props.node.clone();
    use_effect_with(props.kind, move |kind| {
        let entered = stage.zip(node.cast::<HtmlCanvasElement>()).map(|(stage, canvas)| {
            let id = stage.0.enter(*kind, canvas);
            (stage, id)
        });
        move || {
            if let Some((stage, id)) = entered {
                stage.0.leave(id);
            }
        }
    });
    let pointer = props.onpointer.clone();
    let class = if pointer.is_some() { "" } else { "still" };
    let on = move |event: PointerEvent| {
        if let Some(callback) = &pointer {
            callback.emit(event);
        }
    };
    html! {
        <div class={classes!("picture", props.class.clone())}>
            <canvas
                ref={props.node.clone()} class={class} role="img" aria-label={props.label.clone()}
                onpointerdown={on.clone()} onpointermove={on.clone()} onpointerup={on.clone()} onpointercancel={on}
            />
            { props.children.clone() }
        </div>
    }
}

/// Size of a canvas, px; `None` before it is on the page.
pub fn size_of(node: &NodeRef) -> Option<(f64, f64)> {
    let canvas = node.cast::<HtmlCanvasElement>()?;
    let size = (f64::from(canvas.client_width()), f64::from(canvas.client_height()));
    (size.0 > 8.0 && size.1 > 8.0).then_some(size)
}
