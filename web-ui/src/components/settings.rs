//! Settings: every one of the bench, by the part that it belongs to.

use super::choice::Choice;
use super::field::use_field_value;
use super::language::LanguageChoice;
use super::present_flap::Flap;
use crate::store::cover::covered;
use crate::store::{Action, use_store};
use crate::units::Units;
use sim_core::bench::command::{Command, SettingList};
use sim_core::names::{Kind, ROWS, Value};
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// Parts in the order of the chain: the beginning of the settings' names, and the heading.
const PARTS: [(&str, &str); 8] = [
    ("scale", "Scale"),
    ("head", "Head"),
    ("lamp", "Lamp"),
    ("cable", "Cable and surroundings"),
    ("input", "Input"),
    ("motor", "Motor"),
    ("servo", "Position control"),
    ("monitor", "Monitors"),
];

/// Parts that stand open at the first visit.
const OPEN: [&str; 3] = ["head", "input", "servo"];

/// The settings.
#[function_component(Settings)]
pub fn settings() -> Html {
    let store = use_store();
    let jog = {
        let ui = store.ui.clone();
        move |event: Event| {
            if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
                ui.dispatch(Action::JogSpeed(ui.units.of("m/min").back(input.value_as_number())));
            }
        }
    };
    let pause = {
        let store = store.clone();
        move |event: Event| {
            if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
                store.change(|lab| lab.clock.pause_at_alarm = input.checked());
            }
        }
    };
    let speed = use_node_ref();
    let jog_shown = store.ui.units.of("m/min");
    use_field_value(&speed, round6(jog_shown.out(store.ui.jog_m_per_min)).to_string());
    let units = {
        let ui = store.ui.clone();
        Callback::from(move |key: AttrValue| {
            if let Some(units) = Units::by_key(&key) {
                crate::web::keep("units", units.key());
                ui.dispatch(Action::Units(units));
            }
        })
    };
    let unit_names = Units::ALL.iter().map(|(_, key, name)| ((*key).into(), (*name).into())).collect::<Vec<_>>();
    let pausing = store.lab.0.borrow().clock.pause_at_alarm;
    let parts = PARTS.iter().map(|(part, title)| {
        let of = |name: &str| name.split_once('.').is_some_and(|(group, _)| group == *part);
        let rows: Vec<usize> = (0..ROWS.len()).filter(|i| of(ROWS[*i].name)).collect();
        if rows.is_empty() {
            return Html::default();
        }
        html! {
            <details class="fold" id={format!("settings-{part}")} open={OPEN.contains(part)} key={*part}>
                <summary>{ *title }<small>{ rows.len() }</small></summary>
                { for rows.iter().map(|i| match ROWS[*i].kind {
                    Kind::Words(_) => html! { <WordSetting setting={*i} key={ROWS[*i].name} /> },
                    Kind::Number { .. } => html! { <NumberSetting setting={*i} key={ROWS[*i].name} /> },
                }) }
            </details>
        }
    });
    html! {
        <>
            <h2 class="next">{ "Settings" }</h2>
            <LanguageChoice />
            <div class="setting"><span>{ "Units" }</span><Choice label="Units" options={unit_names} value={store.ui.units.key()} onchoose={units} /></div>
            <div class="setting field">
                <label for="jog-speed">{ format!("Jog and shuttle speed, {}", jog_shown.unit) }</label>
                <input ref={speed} id="jog-speed" type="number" min={round6(jog_shown.out(0.01)).to_string()} max={round6(jog_shown.out(60.0)).to_string()} step="any" onchange={jog} />
            </div>
            <label class="setting">{ "Pause shortly after an alarm" }<input id="pause-at-alarm" type="checkbox" checked={pausing} onchange={pause} /></label>
            { if covered(&store) { html! { <Flap what="all other settings" /> } } else { html! { <>{ for parts }</> } } }
        </>
    }
}

/// Properties of a setting's control: its index in the table of settings.
#[derive(Properties, PartialEq)]
struct SettingProps {
    setting: usize,
}

#[function_component(WordSetting)]
fn word_setting(props: &SettingProps) -> Html {
    let store = use_store();
    let row = &sim_core::names::ROWS[props.setting];
    let Kind::Words(words) = row.kind else { return Html::default() };
    let value = match row.setting.get(&store.lab.0.borrow().sim().bench().setup) {
        Value::Word(word) => word,
        Value::Number(_) => String::new(),
    };
    let onchoose = {
        let (store, setting) = (store.clone(), row.setting);
        Callback::from(move |word: AttrValue| {
            store.command(Command::Set(SettingList(vec![(setting, Value::Word(word.to_string()))])));
        })
    };
    let options: Vec<(AttrValue, AttrValue)> = words
        .iter()
        .map(|w| ((*w).into(), w.trim_end_matches("-sensor").trim_end_matches("-sensors").to_owned().into()))
        .collect();
    html! {
        <div class="setting"><span>{ row.label }</span><Choice label={row.label} {options} {value} {onchoose} /></div>
    }
}

#[function_component(NumberSetting)]
fn number_setting(props: &SettingProps) -> Html {
    let (store, node) = (use_store(), use_node_ref());
    let row = &sim_core::names::ROWS[props.setting];
    let value = row.setting.number(&store.lab.0.borrow().sim().bench().setup).unwrap_or(0.0);
    let shown = store.ui.units.of(row.unit);
    use_field_value(&node, round6(shown.out(value)).to_string());
    let Kind::Number { low, high, step, .. } = row.kind else { return Html::default() };
    let onchange = {
        let (store, setting) = (store.clone(), row.setting);
        move |event: Event| {
            let Some(input) = event.target_dyn_into::<HtmlInputElement>() else { return };
            let value = shown.back(input.value_as_number());
            store.command(Command::Set(SettingList(vec![(setting, Value::Number(value))])));
        }
    };
    let id = format!("set-{}", row.name.replace('.', "-"));
    let unit = if row.unit.is_empty() { String::new() } else { format!(", {}", shown.unit) };
    let step = if shown.factor == 1.0 { step.to_string() } else { "any".to_owned() };
    html! {
        <div class="setting field">
            <label for={id.clone()}>{ row.label }{ unit }</label>
            <input ref={node} {id} type="number" min={round6(shown.out(low)).to_string()} max={round6(shown.out(high)).to_string()} {step} {onchange} />
        </div>
    }
}

/// A number without the dust of its conversion.
pub(super) fn round6(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}
