//! The pen: draws over the sheet. Strokes stay until they are cleared; while the pen is away the page works below them.
//! Without a pointer an arrow is moved by the arrow keys and dropped with Enter.

use super::pen_bar::PenBar;
use super::pen_strokes::{Dot, Drawing, FULL, Mark, paths};
use crate::later::later_view;
use crate::store::pen::PenState;
use crate::store::{Action, use_store};
use std::rc::Rc;
use web_sys::{Element, FocusOptions, HtmlElement, KeyboardEvent, PointerEvent};
use yew::prelude::*;

/// How far the rubber reaches, px.
const REACH_PX: f64 = 14.0;
/// One press of an arrow key moves the marker by this share of the sheet, thousandths; with Shift a fifth.
const STEP: f64 = 10.0;

/// What is done to the drawing; the buttons of the bar do it too.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PenDeed {
    /// Takes the last stroke back.
    Undo,
    /// Takes everything off.
    Clear,
    /// Drops an arrow where the marker is.
    Drop,
}

later_view! {
    /// [`PenSheet`], fetched.
    pub fn pen_later() of PenSheet, in teach
}

/// The sheet of the pen.
#[function_component(PenSheet)]
pub fn pen_sheet() -> Html {
    let store = use_store();
    let pen = store.ui.pen;
    let drawing = use_mut_ref(Drawing::default);
    let changed = use_force_update();
    let marker = use_state(|| (0.5 * FULL, 0.4 * FULL));
    let spoken = use_state(String::new);
    let layer = use_node_ref();
    let down = use_mut_ref(|| None::<(f64, f64)>);
    {
        // Taking the pen is the person's own doing, so the keys go to it.
        let layer = layer.clone();
        use_effect_with(pen.on, move |on| {
            if let (true, Some(layer)) = (*on, layer.cast::<HtmlElement>()) {
                // The page stays where it was scrolled to.
                let options = FocusOptions::new();
                options.set_prevent_scroll(true);
                let _ = layer.focus_with_options(&options);
            }
        });
    }
    let deed = {
        let (drawing, changed, spoken, marker) = (drawing.clone(), changed.clone(), spoken.clone(), marker.clone());
        Callback::from(move |deed: PenDeed| {
            let mut drawing = drawing.borrow_mut();
            spoken.set(match deed {
                PenDeed::Undo => {
                    drawing.undo();
                    "Taken back.".to_owned()
                }
                PenDeed::Clear => {
                    drawing.clear();
                    "The sheet of the pen is clear.".to_owned()
                }
                PenDeed::Drop => {
                    let (x, y) = *marker;
                    let dots = vec![Dot { x, y, press: 0.5 }];
                    drawing.begin(Mark { ink: pen.ink, width: pen.width, dots, arrow: true });
                    format!("Arrow dropped {}.", place_words(x, y))
                }
            });
            changed.force_update();
        })
    };
    let onkeydown = {
        let (marker, spoken, deed) = (marker.clone(), spoken.clone(), deed.clone());
        move |event: KeyboardEvent| {
            if (event.ctrl_key() || event.meta_key()) && event.key().eq_ignore_ascii_case("z") {
                event.prevent_default();
                deed.emit(PenDeed::Undo);
                return;
            }
            let on_layer = event.target_dyn_into::<Element>().is_some_and(|e| e.has_attribute("data-pen"));
            if !on_layer {
                return;
            }
            let step = if event.shift_key() { STEP / 5.0 } else { STEP };
            let (dx, dy) = match event.key().as_str() {
                "ArrowLeft" => (-step, 0.0),
                "ArrowRight" => (step, 0.0),
                "ArrowUp" => (0.0, -step),
                "ArrowDown" => (0.0, step),
                "Enter" | " " => {
                    event.prevent_default();
                    deed.emit(PenDeed::Drop);
                    return;
                }
                _ => return,
            };
            event.prevent_default();
            let (x, y) = ((marker.0 + dx).clamp(0.0, FULL), (marker.1 + dy).clamp(0.0, FULL));
            marker.set((x, y));
            spoken.set(format!("Marker {}.", place_words(x, y)));
        }
    };
    let onpointer = {
        let (drawing, changed, down, layer) = (drawing.clone(), changed.clone(), down.clone(), layer.clone());
        move |event: PointerEvent| {
            let Some(element) = layer.cast::<Element>() else { return };
            let kind = event.type_();
            match kind.as_str() {
                "pointerdown" => {
                    let _ = element.set_pointer_capture(event.pointer_id());
                }
                "pointermove" if down.borrow().is_some() => {}
                "pointermove" => return,
                _ => {
                    *down.borrow_mut() = None;
                    return;
                }
            }
            let frame = element.get_bounding_client_rect();
            let (wide, high) = (frame.width().max(1.0), frame.height().max(1.0));
            let x = (f64::from(event.client_x()) - frame.left()) / wide * FULL;
            let y = (f64::from(event.client_y()) - frame.top()) / high * FULL;
            let press = if event.pointer_type() == "pen" { f64::from(event.pressure()) } else { 0.5 };
            let dot = Dot { x, y, press };
            let mut drawing = drawing.borrow_mut();
            let from = down.borrow_mut().replace((x, y)).unwrap_or((x, y));
            if pen.rubs {
                // A quick rub touches everything between two places of the pointer.
                let (rx, ry) = (REACH_PX / wide * FULL, REACH_PX / high * FULL);
                let steps = ((x - from.0) / rx).hypot((y - from.1) / ry).ceil().clamp(1.0, 500.0) as u32;
                for i in 1..=steps {
                    let share = f64::from(i) / f64::from(steps);
                    drawing.rub(from.0 + (x - from.0) * share, from.1 + (y - from.1) * share, (rx, ry));
                }
            } else if kind == "pointerdown" {
                drawing.begin(Mark { ink: pen.ink, width: pen.width, dots: vec![dot], arrow: false });
            } else {
                drawing.go_on(dot);
            }
            changed.force_update();
        }
    };
    let change = {
        let ui = store.ui.clone();
        Callback::from(move |pen: PenState| ui.dispatch(Action::Pen(pen)))
    };
    let (marks, can_undo) = {
        let drawing = drawing.borrow();
        (drawing.marks().to_vec(), drawing.can_undo())
    };
    let hands = pen.on.then(|| {
        html! {
            <div {onkeydown}>
                <div ref={layer} class={classes!("pen-layer", pen.rubs.then_some("rubs"))} data-pen="" tabindex="0" role="application"
                    aria-label="Sheet of the pen: draw with the pointer; arrow keys move the marker, Enter drops an arrow, Escape puts the pen away"
                    onpointerdown={onpointer.clone()} onpointermove={onpointer.clone()} onpointerup={onpointer.clone()} onpointercancel={onpointer} />
                <PenBar {pen} {change} {deed} {can_undo} any={!marks.is_empty()} />
                <p class="unseen" role="status">{ (*spoken).clone() }</p>
            </div>
        }
    });
    html! {
        <>
            <svg class="pen-sheet" aria-hidden="true">
                <svg viewBox="0 0 1000 1000" preserveAspectRatio="none" width="100%" height="100%">
                    { for marks.iter().filter(|mark| !mark.arrow).map(stroke) }
                </svg>
                { for marks.iter().filter(|mark| mark.arrow).map(arrow) }
                { if pen.on { arrow_at(marker.0, marker.1, "marker") } else { Html::default() } }
            </svg>
            { hands }
        </>
    }
}

/// A stroke in pieces of equal width.
fn stroke(mark: &Rc<Mark>) -> Html {
    let pieces = paths(mark).into_iter().map(|(factor, d)| {
        let width = format!("{:.2}", f64::from(mark.width) * f64::from(mark.width).sqrt() * 1.3 * factor);
        html! { <path {d} stroke-width={width} /> }
    });
    html! { <g class={classes!("stroke", mark.ink.key())}>{ for pieces }</g> }
}

fn arrow(mark: &Rc<Mark>) -> Html {
    mark.dots.first().map_or_else(Html::default, |dot| arrow_at(dot.x, dot.y, mark.ink.key()))
}

/// An arrow that points at a place from the lower right.
fn arrow_at(x: f64, y: f64, class: &'static str) -> Html {
    let of = |v: f64| format!("{:.2}%", v / FULL * 100.0);
    html! {
        <svg x={of(x)} y={of(y)} overflow="visible"><g class={classes!("arrow", class)}><path d="M42 42L8 8" /><path class="tip" d="M0 0l17 5l-12 12z" /></g></svg>
    }
}

fn place_words(x: f64, y: f64) -> String {
    format!("at {:.0} % from the left, {:.0} % from the top", x / FULL * 100.0, y / FULL * 100.0)
}
