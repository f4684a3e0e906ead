//! The traces as an instrument: trigger, hold, older sweeps, two cursors, measured values.

use super::instrument_frame::{InstrumentFrame, Values};
use super::instrument_handle::Handle;
use super::instrument_readout::CursorReadout;
use super::instrument_trigger::TriggerTools;
use super::picture::{Picture, size_of};
use crate::draw::numbers::fixed;
use crate::draw::traces::TracesLayout;
use crate::lab::{TriggerOn, Verdict, time_text};
use crate::pictures::{PictureKind, whole};
use crate::stage::StageHandle;
use crate::store::{Store, use_store};
use yew::prelude::*;

/// The traces.
#[function_component(InstrumentTraces)]
pub fn instrument_traces() -> Html {
    let store = use_store();
    let stage = use_context::<StageHandle>();
    let node = use_node_ref();
    let with_values = use_state(|| true);
    let k = stage.map_or(1.0, |stage| stage.0.k.get());
    let lab = store.lab.0.borrow();
    let layout = size_of(&node).map(|size| TracesLayout::new(&lab.traces_view(size.0 as usize), whole(size), k));
    let handles = layout.map(|at| html! { <>{ for cursor_handles(&store, &at) }{ level_handle(&store, &at) }</> });
    let zoom = |closer: bool| {
        let store = store.clone();
        move |_: MouseEvent| store.change(|lab| lab.clock.zoom(closer))
    };
    let toggle = {
        let with_values = with_values.clone();
        move |_: MouseEvent| with_values.set(!*with_values)
    };
    let pressed = |on: bool| if on { "true" } else { "false" };
    let tools = html! {
        <>
            <TriggerTools />
            <button type="button" class="plain" onclick={zoom(true)} aria-label="closer: show a shorter time">{ "closer" }</button>
            <button type="button" class="plain" onclick={zoom(false)} aria-label="wider: show a longer time">{ "wider" }</button>
            <button type="button" class="plain" aria-pressed={pressed(*with_values)} onclick={toggle}>{ "values" }</button>
        </>
    };
    let rows = |lab: &crate::lab::Lab| {
        let row = |m: crate::lab::Measure| {
            let judged = match m.verdict {
                Verdict::Plain => None,
                Verdict::Enough(need) => Some((true, need.into())),
                Verdict::Short(need) => Some((false, need.into())),
            };
            (m.name.into(), m.value.into(), judged)
        };
        lab.measures().into_iter().map(row).collect::<Vec<_>>()
    };
    let values = if *with_values {
        html! { <Values label="Measured values" rows={rows(&lab)} /> }
    } else {
        Html::default()
    };
    let sweeps = &lab.instruments().sweeps;
    let state = if sweeps.held.is_some() {
        ", held".to_owned()
    } else if sweeps.on() != TriggerOn::Free && sweeps.shown().len() == 0 {
        format!(", waiting for: {}", sweeps.on().words())
    } else {
        String::new()
    };
    let note = format!("volts at the input, {} across{state}", time_text(lab.window_s()));
    html! {
        <InstrumentFrame
            title="Traces" {note} {tools}
            foot={html! { <CursorReadout /> }}
        >
            <Picture kind={PictureKind::Traces} label={lab.traces_words()} {node}>{ handles.unwrap_or_default() }</Picture>
            { values }
        </InstrumentFrame>
    }
}

/// A handle on each cursor.
fn cursor_handles(store: &Store, at: &TracesLayout) -> Vec<Html> {
    let lab = store.lab.0.borrow();
    let (Some(shares), Some(knobs), Some(said)) = (lab.instruments().settings.cursors, at.knobs, lab.cursors()) else {
        return Vec::new();
    };
    let handle = |i: usize| {
        let (store, at) = (store.clone(), *at);
        let onchange = Callback::from(move |share: f64| {
            store.change(|lab| {
                if let Some(cursors) = &mut lab.instruments_mut().settings.cursors {
                    cursors[i] = share;
                }
            });
        });
        let to_share = Callback::from(move |(x, _): (f64, f64)| at.share_at(x));
        html! {
            <Handle
                key={i} label={format!("Cursor {}", i + 1)} spoken={time_text(said.at_s[i])} value={shares[i]} range={(0.0, 1.0)}
                step={0.005} place={knobs[i]} upright={false} at={to_share} {onchange}
            />
        }
    };
    (0..2).map(handle).collect()
}

/// The handle on the trigger's level.
fn level_handle(store: &Store, at: &TracesLayout) -> Html {
    let Some(place) = at.level_knob else { return Html::default() };
    let (level_v, range) = {
        let lab = store.lab.0.borrow();
        let (mean, swing) = (lab.sim().params().mean_v(), lab.sim().params().nominal_v());
        (lab.instruments().sweeps.level_v(), (mean - 1.25 * swing, mean + 1.25 * swing))
    };
    let (store, at) = (store.clone(), *at);
    let onchange = Callback::from(move |level_v: f64| {
        store.change(|lab| {
            let on = lab.instruments().sweeps.on();
            lab.instruments_mut().sweeps.trigger(on, level_v);
        });
    });
    let to_volts = Callback::from(move |(_, y): (f64, f64)| at.level_at(y));
    html! {
        <Handle
            label="Level of the trigger" spoken={format!("{} V", fixed(level_v, 2))} value={level_v} {range} step={0.01}
            {place} upright={true} at={to_volts} {onchange}
        />
    }
}
