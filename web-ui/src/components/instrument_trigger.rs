//! The tools of the traces: what starts a sweep, its level, how many are kept, hold.

use super::choice::Choice;
use super::instrument_number::NumberField;
use crate::lab::{MOST_SWEEPS, TriggerOn};
use crate::store::use_store;
use yew::prelude::*;

/// The tools.
#[function_component(TriggerTools)]
pub fn trigger_tools() -> Html {
    let store = use_store();
    let (on, level_v, keep, held, cursors) = {
        let lab = store.lab.0.borrow();
        let instruments = lab.instruments();
        let sweeps = &instruments.sweeps;
        (sweeps.on(), sweeps.level_v(), sweeps.keep, sweeps.held.is_some(), instruments.settings.cursors)
    };
    let options = TriggerOn::ALL.map(|(_, key, words)| (AttrValue::from(key), AttrValue::from(words))).to_vec();
    let onchoose = {
        let store = store.clone();
        Callback::from(move |key: AttrValue| {
            let chosen = TriggerOn::ALL.into_iter().find(|row| row.1 == key.as_str());
            let chosen = chosen.map_or(TriggerOn::Free, |row| row.0);
            store.change(|lab| {
                // A level that the healthy signal never passes would never start a sweep.
                let (mean, swing) = (lab.sim().params().mean_v(), lab.sim().params().nominal_v());
                let level_v = lab.instruments().sweeps.level_v();
                let level_v = if (level_v - mean).abs() < swing { level_v } else { lab.middle_v() };
                lab.instruments_mut().sweeps.trigger(chosen, level_v);
            });
        })
    };
    let onlevel = {
        let store = store.clone();
        Callback::from(move |level_v: f64| store.change(|lab| lab.instruments_mut().sweeps.trigger(on, level_v)))
    };
    let onkeep = {
        let store = store.clone();
        Callback::from(move |n: f64| {
            let keep = n.clamp(1.0, MOST_SWEEPS as f64).round() as usize;
            store.change(|lab| lab.instruments_mut().sweeps.keep = keep);
        })
    };
    let onhold = {
        let store = store.clone();
        move |_: MouseEvent| store.change(|lab| lab.hold(!held))
    };
    let oncursors = {
        let store = store.clone();
        move |_: MouseEvent| {
            let next = if cursors.is_some() { None } else { Some([0.3, 0.6]) };
            store.change(|lab| lab.instruments_mut().settings.cursors = next);
        }
    };
    let pressed = |on: bool| if on { "true" } else { "false" };
    let level = matches!(on, TriggerOn::A | TriggerOn::B).then(|| {
        html! { <NumberField label="Level of the trigger, V" unit="V" value={level_v} decimals={2} onchange={onlevel} /> }
    });
    let sweeps = (on != TriggerOn::Free).then(|| {
        html! { <NumberField label="Sweeps shown" unit="sweeps" value={keep as f64} decimals={0} onchange={onkeep} /> }
    });
    html! {
        <>
            <Choice label="A sweep starts at" {options} value={TriggerOn::ALL[on as usize].1} {onchoose} />
            { level.unwrap_or_default() }
            { sweeps.unwrap_or_default() }
            <button type="button" class="plain" aria-pressed={pressed(held)} onclick={onhold}>{ "hold" }</button>
            <button type="button" class="plain" aria-pressed={pressed(cursors.is_some())} onclick={oncursors}>{ "cursors" }</button>
        </>
    }
}
