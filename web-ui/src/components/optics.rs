//! The head over the scale: section with gap and tilt, plan with yaw, both to smear and wipe on.

use super::dimension::Dimension;
use super::enlarge::{Enlarge, part_class};
use super::picture::{Picture, size_of};
use super::present_flap::Flap;
use super::stroke::{self, Stroke};
use crate::draw::numbers::factor_text;
use crate::layout::Part;
use crate::pictures::{PictureKind, plan_layout, section_layout};
use crate::stage::StageHandle;
use crate::store::cover::covered;
use crate::store::{Store, Tool, use_store};
use sim_core::bench::command::{Command, SettingList};
use sim_core::names::{Kind, Setting, Value};
use web_sys::{Element, PointerEvent};
use yew::prelude::*;

/// The optics panel.
#[function_component(Optics)]
pub fn optics() -> Html {
    let store = use_store();
    let covered = covered(&store);
    let view = store.lab.0.borrow().head_view().covered(covered);
    let params = store.lab.0.borrow().sim().params().clone();
    let k = use_context::<StageHandle>().map_or(1.0, |stage| stage.0.k.get());
    let (section_node, plan_node) = (use_node_ref(), use_node_ref());
    let section_at = size_of(&section_node).map(|size| section_layout(&view, size, k));
    let plan_at = size_of(&plan_node).map(|size| plan_layout(&view, size, k));
    let (section_stroke, plan_stroke) = (use_mut_ref(|| None::<Stroke>), use_mut_ref(|| None::<Stroke>));

    let length = store.ui.units.of("mm");
    let section_note = section_at.as_ref().map_or(String::new(), |at| {
        let way = if view.transmissive { "through the glass" } else { "reflected by the tape" };
        let sends = if view.squared { ", sends square waves" } else { "" };
        format!("{way}{sends}, gap {}, lines {}", factor_text(at.gap_factor), factor_text(at.scale.lines_factor))
    });
    let plan_note =
        plan_at.as_ref().map_or(String::new(), |at| format!("from above, yaw drawn {}", factor_text(at.yaw_factor)));

    let section_controls = section_at.clone().filter(|_| !covered).map(|at| {
        let table_m = store.lab.0.borrow().shown().table_m;
        let wedge_m = params.alignment.free_gap_m(table_m) - params.alignment.pose.gap_m;
        let gap_range_m = view.gap_range_m;
        let (gap_at, tilt_at) = (at.clone(), at.clone());
        html! {
            <>
                <Dimension
                    name="Gap" unit={length.unit} value={length.out(view.gap_m * 1e3)} decimals={length.places(2)}
                    step={length.out(if length.factor == 1.0 { 0.01 } else { 0.0127 })} upright={true}
                    range={(length.out(gap_range_m.0 * 1e3), length.out(gap_range_m.1 * 1e3))} nominal={length.out(view.gap_nominal_m * 1e3)}
                    knob={at.gap_knob} field={(at.gap_field.x, at.gap_field.middle().1)}
                    at={Callback::from(move |(_, y): (f64, f64)| length.out(gap_at.gap_at(y, gap_range_m) * 1e3))}
                    onchange={change(&store, Setting::HeadGap, move |shown| (length.back(shown) * 1e-3 - wedge_m) * 1e6)}
                />
                <Dimension
                    name="Tilt" unit="\u{b0}" value={view.tilt_rad.to_degrees()} decimals={2} step={0.1} upright={false}
                    range={degrees_range(Setting::HeadTilt)} nominal={0.0}
                    knob={at.tilt_knob} field={(at.tilt_field.x, at.tilt_field.middle().1)}
                    at={Callback::from(move |place: (f64, f64)| tilt_at.tilt_at(place).to_degrees())}
                    onchange={change(&store, Setting::HeadTilt, |deg| deg.to_radians() * 1e3)}
                />
            </>
        }
    });
    let plan_controls = plan_at.clone().filter(|_| !covered).map(|at| {
        let yaw_at = at.clone();
        html! {
            <Dimension
                name="Yaw" unit="\u{b0}" value={view.yaw_rad.to_degrees()} decimals={2} step={0.01} upright={false}
                range={degrees_range(Setting::HeadYaw)} nominal={0.0}
                knob={at.yaw_knob} field={(at.yaw_field.x, at.yaw_field.middle().1)}
                at={Callback::from(move |place: (f64, f64)| yaw_at.yaw_at(place).to_degrees())}
                onchange={change(&store, Setting::HeadYaw, |deg| deg.to_radians() * 1e3)}
            />
        }
    });
    let onsection = section_at.map(|at| {
        let (store, stroke) = (store.clone(), section_stroke);
        Callback::from(move |event: PointerEvent| {
            let to_m = |x: f64| at.scale.m_of(x);
            // Only the scale itself, not the head, can be smeared.
            let over = |y: f64| y > at.scale_y - 26.0 && y < at.scale_y + 26.0;
            on_pointer(&store, &mut stroke.borrow_mut(), &event, to_m, over, at.scale.px_per_m);
        })
    });
    let onplan = plan_at.map(|at| {
        let (store, stroke) = (store.clone(), plan_stroke);
        Callback::from(move |event: PointerEvent| {
            let to_m = |x: f64| at.scale.m_of(x);
            let over = |y: f64| y > at.strip.y && y < at.strip.bottom();
            on_pointer(&store, &mut stroke.borrow_mut(), &event, to_m, over, at.scale.px_per_m);
        })
    });
    let label = format!(
        "Section through head and scale: gap {:.2} mm, healthy {:.2} mm, tilt {:.2} degrees, {:.0} % of the light pattern gets through the dirt, gap and angles leave {:.0} % of its depth, the window lets {:.0} % of the light through.",
        view.gap_m * 1e3,
        view.gap_nominal_m * 1e3,
        view.tilt_rad.to_degrees(),
        view.contrast * 100.0,
        view.sharp * 100.0,
        view.window * 100.0
    );
    let plan_label = format!("Sensor fields from above, yaw {:.2} degrees.", view.yaw_rad.to_degrees());
    let (label, plan_label) = if covered {
        let label = format!(
            "Section through head and scale: {:.0} % of the light pattern reaches the sensors; gap, tilt and dirt are covered.",
            view.contrast * 100.0
        );
        (label, "Sensor fields from above; yaw is covered.".to_owned())
    } else {
        (label, plan_label)
    };
    let hint = match store.ui.tool {
        Tool::Smear => "Draw on the scale, here or on the machine, to smear it.",
        Tool::Wipe => "Rub on the scale, here or on the machine, to wipe it.",
    };
    html! {
        <section class={part_class(&store, Part::Optics)} data-part="optics" aria-label="Head over the scale">
            <Enlarge part={Part::Optics} />
            <div class="title part-section"><h2>{ "Section" }</h2><span class="note">{ section_note }</span></div>
            <Picture kind={PictureKind::Section} {label} node={section_node} onpointer={onsection} class="part-section">{ section_controls }{ flap(covered, "gap, tilt and dirt") }</Picture>
            <div class="title part-plan"><h2>{ "Plan" }</h2><span class="note">{ plan_note }</span></div>
            <Picture kind={PictureKind::Plan} label={plan_label} node={plan_node} onpointer={onplan} class="part-plan">{ plan_controls }{ flap(covered, "yaw") }</Picture>
            <p class="note hint part-plan">{ hint }</p>
        </section>
    }
}

/// The flap over a picture.
fn flap(covered: bool, what: &'static str) -> Html {
    if covered {
        html! { <div class="over-picture"><Flap {what} /></div> }
    } else {
        Html::default()
    }
}

fn degrees_range(setting: Setting) -> (f64, f64) {
    match setting.row().kind {
        Kind::Number { low, high, .. } => ((low * 1e-3).to_degrees(), (high * 1e-3).to_degrees()),
        Kind::Words(_) => (0.0, 0.0),
    }
}

/// Sets a setting from a value on the sheet; `convert` gives the setting's own unit, kept inside its range.
fn change(store: &Store, setting: Setting, convert: impl Fn(f64) -> f64 + 'static) -> Callback<f64> {
    let store = store.clone();
    Callback::from(move |shown: f64| {
        let Kind::Number { low, high, .. } = setting.row().kind else { return };
        let value = Value::Number(convert(shown).clamp(low, high));
        store.command(Command::Set(SettingList(vec![(setting, value)])));
    })
}

fn on_pointer(
    store: &Store,
    stroke: &mut Option<Stroke>,
    event: &PointerEvent,
    to_m: impl Fn(f64) -> f64,
    over: impl Fn(f64) -> bool,
    px_per_m: f64,
) {
    let place_m = store.lab.0.borrow().shown().table_m + to_m(f64::from(event.offset_x()));
    match event.type_().as_str() {
        "pointerdown" if over(f64::from(event.offset_y())) => {
            if let Some(element) = event.target_dyn_into::<Element>() {
                let _ = element.set_pointer_capture(event.pointer_id());
            }
            *stroke = Some(stroke::begin(store, place_m, 6.0 / px_per_m));
        }
        "pointermove" => {
            if let Some(stroke) = stroke {
                stroke::go_on(store, stroke, place_m);
            }
        }
        "pointerup" | "pointercancel" => *stroke = None,
        _ => {}
    }
}
