//! The machine from the side: readouts, three positions, jog buttons, and the scale to smear and wipe.

use super::enlarge::{Enlarge, part_class};
use super::number::Number;
use super::picture::{Picture, size_of};
use super::place::use_placed;
use super::sign::{LEFT, RIGHT, Sign};
use super::stroke::{self, Stroke};
use crate::draw::machine_layout::MachineLayout;
use crate::draw::numbers::factor_text;
use crate::layout::Part;
use crate::pictures::{PictureKind, whole};
use crate::stage::StageHandle;
use crate::store::cover::covered;
use crate::store::{Store, use_store};
use sim_core::axis::machine::MachineSpec;
use sim_core::bench::command::{Command, Direction, Jog, SpeedMPerMin};
use sim_core::event::mm;
use web_sys::{Element, KeyboardEvent, PointerEvent};
use yew::prelude::*;

/// How far above and below the drawn scale the pointer still paints, px.
const REACH_PX: f64 = 14.0;

/// The machine panel.
#[function_component(Machine)]
pub fn machine() -> Html {
    let store = use_store();
    let stage = use_context::<StageHandle>();
    let node = use_node_ref();
    let stroke = use_mut_ref(|| None::<Stroke>);
    let layout = stage.and_then(|stage| {
        let view = store.lab.0.borrow().machine_view().covered(covered(&store));
        size_of(&node).map(|size| MachineLayout::new(&view, whole(size), stage.0.k.get(), stage.0.held.get()))
    });
    let onpointer = {
        let (store, layout, stroke) = (store.clone(), layout.clone(), stroke.clone());
        Callback::from(move |event: PointerEvent| {
            if let Some(layout) = &layout {
                on_pointer(&store, layout, &mut stroke.borrow_mut(), &event);
            }
        })
    };
    let note = layout.as_ref().map_or(String::new(), |layout| {
        let mut note = {
            let lab = store.lab.0.borrow();
            format!("{}differences drawn {}", how_it_lies(&lab.sim().params().machine), factor_text(layout.factor))
        };
        let dirt = layout.dirt_factor();
        if dirt > 1.5 {
            note.push_str(&format!(", dirt {}", factor_text(dirt)));
        }
        note
    });
    let label = {
        let r = store.lab.0.borrow();
        let r = r.sim().record();
        format!(
            "Axis from the side: table at {} mm, command at {} mm, count says {} mm, the healthy table would be at {} mm.",
            mm(r.table_m, 2),
            mm(r.command_m, 2),
            mm(r.counted_m, 2),
            mm(r.command_m - r.expected_m, 2)
        )
    };
    let jogs = layout.map(|layout| {
        html! {
            <>
                <JogButton direction={Direction::Back} place={layout.jog.0.middle()} />
                <JogButton direction={Direction::Forward} place={layout.jog.1.middle()} />
            </>
        }
    });
    html! {
        <section class={part_class(&store, Part::Machine)} data-part="machine" aria-label="Machine">
            <Enlarge part={Part::Machine} />
            <div class="readout-row">
                <Readouts {note} />
                <div class="positions-box">
                    <div class="title"><h2>{ "Three positions" }</h2><span class="note">{ "tips of the arrows, enlarged; mm" }</span></div>
                    <Picture kind={PictureKind::Positions} class="positions" label={label.clone()} />
                </div>
            </div>
            <Picture kind={PictureKind::Machine} {label} {node} {onpointer} class="side-view">{ jogs }</Picture>
        </section>
    }
}

fn on_pointer(store: &Store, layout: &MachineLayout, stroke: &mut Option<Stroke>, event: &PointerEvent) {
    let place = (f64::from(event.offset_x()), f64::from(event.offset_y()));
    let place_m = layout.m_of(place.0);
    match event.type_().as_str() {
        "pointerdown" => {
            let scale = &layout.scale;
            let over = place.1 > scale.y - REACH_PX && place.1 < scale.bottom() + REACH_PX;
            if !over || place.0 < scale.x || place.0 > scale.right() {
                return;
            }
            if let Some(element) = event.target_dyn_into::<Element>() {
                let _ = element.set_pointer_capture(event.pointer_id());
            }
            *stroke = Some(stroke::begin(store, place_m, 1.0 / layout.px_per_m));
        }
        "pointermove" => {
            if let Some(stroke) = stroke {
                stroke::go_on(store, stroke, place_m);
            }
        }
        _ => *stroke = None,
    }
}

/// Properties of [`Readouts`].
#[derive(Properties, PartialEq)]
struct ReadoutsProps {
    note: String,
}

#[function_component(Readouts)]
fn readouts(props: &ReadoutsProps) -> Html {
    let store = use_store();
    let lab = store.lab.0.borrow();
    let (r, off_m) = (lab.sim().record(), lab.uncounted_m());
    let fine = if lab.sim().params().metres_per_count() < 10e-6 { 3 } else { 2 };
    let (length, pace) = (store.ui.units.of("mm"), store.ui.units.of("m/min"));
    let speed = pace.out(r.speed_mps * 60.0);
    html! {
        <div class="readouts">
            <div class="title"><h2>{ "Axis from the side" }</h2><span class="note">{ &props.note }</span></div>
            <div class="readout" id="readout">
                <div class="number"><Number value={length.out(r.readout_m * 1e3)} decimals={length.places(fine)} /><span class="unit">{ length.unit }</span></div>
                <div class="says">{ "what the count says" }</div>
            </div>
            <div class={classes!("readout", (off_m != 0.0).then_some("wrong"))} id="uncounted">
                <div class="number"><Number value={length.out(off_m.abs() * 1e3)} decimals={length.places(2)} /><span class="unit">{ length.unit }</span></div>
                <div class="says">
                    { if off_m > 0.0 { "travelled uncounted" } else if off_m < 0.0 { "counted too much" } else { "readout is right" } }
                </div>
            </div>
            <div class="readout speed">
                <div class="number"><Number value={speed} decimals={pace.places(1)} /><span class="unit">{ pace.unit }</span></div>
                <div class="says">{ "table speed" }</div>
            </div>
            <div class="readout count">
                <div class="number"><Number value={r.count as f64} decimals={0} /></div>
                <div class="says">
                    { match r.direction { 1 => "counts, last one up", -1 => "counts, last one down", _ => "counts" } }
                </div>
            </div>
        </div>
    }
}

/// Properties of [`JogButton`].
#[derive(Properties, PartialEq)]
struct JogProps {
    direction: Direction,
    place: (f64, f64),
}

#[function_component(JogButton)]
fn jog_button(props: &JogProps) -> Html {
    let store = use_store();
    let node = use_node_ref();
    use_placed(&node, props.place.0, props.place.1);
    let forward = props.direction == Direction::Forward;
    let start = {
        let (store, direction) = (store.clone(), props.direction);
        move || {
            let most = store.lab.0.borrow().sim().params().machine.limits.speed * 60.0;
            let speed_m_per_min = SpeedMPerMin::nearest(store.ui.jog_m_per_min.min(most));
            store.command_and_run(Command::Jog(Jog { direction, speed_m_per_min }));
        }
    };
    let stop = {
        let store = store.clone();
        move || store.command(Command::Stop)
    };
    let held = use_mut_ref(|| false);
    let press = {
        let (held, start) = (held.clone(), start.clone());
        move || {
            if !std::mem::replace(&mut *held.borrow_mut(), true) {
                start();
            }
        }
    };
    let release = move || {
        if std::mem::replace(&mut *held.borrow_mut(), false) {
            stop();
        }
    };
    let onpointerdown = {
        let press = press.clone();
        move |event: PointerEvent| {
            if let Some(element) = event.target_dyn_into::<Element>() {
                let _ = element.set_pointer_capture(event.pointer_id());
            }
            press();
        }
    };
    let onpointerup = {
        let release = release.clone();
        move |_: PointerEvent| release()
    };
    let is_press = |event: &KeyboardEvent| matches!(event.key().as_str(), " " | "Enter");
    let onkeydown = move |event: KeyboardEvent| {
        if is_press(&event) {
            event.prevent_default();
            press();
        }
    };
    let onkeyup = {
        let release = release.clone();
        move |event: KeyboardEvent| {
            if is_press(&event) {
                release();
            }
        }
    };
    let onblur = move |_: FocusEvent| release();
    let label = if forward { "Jog forward, hold" } else { "Jog back, hold" };
    html! {
        <button
            ref={node} type="button" class="jog" aria-label={label} title={label}
            {onpointerdown} onpointerup={onpointerup.clone()} onpointercancel={onpointerup} {onkeydown} {onkeyup} {onblur}
        >
            <Sign d={if forward { RIGHT } else { LEFT }} />
        </button>
    }
}

/// What the drawing does to an axis that is not a lying, straight one.
fn how_it_lies(machine: &MachineSpec) -> &'static str {
    if machine.endless {
        "rotary, drawn unrolled: 1 mm is 1\u{b0}; "
    } else if machine.mechanics.incline != 0.0 {
        "hanging axis, drawn lying; "
    } else {
        ""
    }
}
