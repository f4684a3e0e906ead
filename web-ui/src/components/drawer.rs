//! The drawer: break something, smear and wipe by number, settings, the title block.

use super::choice::Choice;
use super::field::{use_field_value, use_first_value};
use crate::store::{Action, Tool, use_store};
use sim_core::bench::command::{Break, Command, Percent, PlaceMm, SettingList, Smear, Wipe};
use sim_core::fault::{FaultId, Group, TABLE};
use sim_core::names::{Kind, Setting, Value};
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// The drawer.
#[function_component(Drawer)]
pub fn drawer() -> Html {
    html! {
        <aside class="drawer" aria-label="Break, mend and set">
            <section class="grow">
                <Breaks />
                <Brush />
                <Settings />
            </section>
            <TitleBlock />
        </aside>
    }
}

#[function_component(Breaks)]
fn breaks() -> Html {
    let store = use_store();
    let mend = {
        let store = store.clone();
        move |_: MouseEvent| {
            store.command(Command::MendAll);
            store.command(Command::WipeAll);
        }
    };
    let groups = Group::ALL.iter().map(|group| {
        let rows = TABLE.iter().filter(|row| row.group == *group);
        html! {
            <>
                <h3 class="group">{ group.title() }</h3>
                { for rows.map(|row| html! { <FaultRow id={row.id} /> }) }
            </>
        }
    });
    html! {
        <>
            <h2>{ "Break something" }</h2>
            { for groups }
            <p class="mend"><button type="button" onclick={mend}>{ "Mend everything" }</button></p>
        </>
    }
}

/// Properties of [`FaultRow`].
#[derive(Properties, PartialEq)]
struct FaultProps {
    id: FaultId,
}

#[function_component(FaultRow)]
fn fault_row(props: &FaultProps) -> Html {
    let store = use_store();
    let row = props.id.row();
    let lab = store.lab.0.borrow();
    let active = lab.sim().faults().iter().find(|f| f.id == props.id).copied();
    let percent = active.map_or(0.0, |f| (f.severity * 100.0).round());
    let oninput = {
        let (store, id) = (store.clone(), props.id);
        move |event: InputEvent| {
            let Some(input) = event.target_dyn_into::<HtmlInputElement>() else { return };
            let severity_percent = Percent::nearest(input.value().parse().unwrap_or(0.0));
            let at_mm = id.row().has_place.then(|| {
                // A fault with a place keeps it; a new one comes ahead of the table.
                let lab = store.lab.0.borrow();
                let sim = lab.sim();
                let ahead_m = if sim.record().command_mps < 0.0 { -0.03 } else { 0.03 };
                let there_m = active.map_or(sim.record().table_m + ahead_m, |f| f.at_m);
                PlaceMm::nearest(there_m.clamp(0.0, sim.params().machine.travel) * 1e3)
            });
            store.command(Command::Break(Break { fault: id, severity_percent, at_mm }));
        }
    };
    let id = format!("fault-{}", row.name);
    let shown = if percent > 0.0 { format!("{percent:.0} %") } else { String::new() };
    let place = active.filter(|_| row.has_place).map_or(String::new(), |f| format!(" at {:.0}", f.at_m * 1e3));
    html! {
        <div class={classes!("row", (percent > 0.0).then_some("broken"))}>
            <label for={id.clone()}>{ row.title }{ place }</label>
            <input {id} type="range" min="0" max="100" step="5" value={percent.to_string()} aria-valuetext={format!("{percent:.0} percent")} {oninput} />
            <output>{ shown }</output>
        </div>
    }
}

#[function_component(Brush)]
fn brush() -> Html {
    let store = use_store();
    let (from, to) = (use_node_ref(), use_node_ref());
    use_first_value(&from, "200");
    use_first_value(&to, "220");
    let choose = {
        let ui = store.ui.clone();
        Callback::from(move |value: AttrValue| {
            ui.dispatch(Action::Take(if value == "wipe" { Tool::Wipe } else { Tool::Smear }));
        })
    };
    let strength = {
        let ui = store.ui.clone();
        move |event: InputEvent| {
            if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
                ui.dispatch(Action::SmearPercent(input.value().parse().unwrap_or(90.0)));
            }
        }
    };
    let apply = {
        let (store, from, to) = (store.clone(), from.clone(), to.clone());
        move |_: MouseEvent| {
            let number =
                |node: &NodeRef| node.cast::<HtmlInputElement>().map_or(f64::NAN, |input| input.value_as_number());
            let (Ok(from_mm), Ok(to_mm)) = (PlaceMm::new(number(&from)), PlaceMm::new(number(&to))) else {
                store.ui.dispatch(Action::Notice("Write two places in mm, such as 200 and 220.".into()));
                return;
            };
            let blocked_percent = Percent::nearest(store.ui.smear_percent);
            store.command(match store.ui.tool {
                Tool::Smear => Command::Smear(Smear::blocking(from_mm, to_mm, blocked_percent)),
                Tool::Wipe => Command::Wipe(Wipe::clean(from_mm, to_mm)),
            });
        }
    };
    let wiping = store.ui.tool == Tool::Wipe;
    let verb = if wiping { "Wipe" } else { "Smear" };
    html! {
        <>
            <h3 class="group">{ "Smear and wipe" }</h3>
            <div class="setting">
                <span>{ "Pointer" }</span>
                <Choice label="What the pointer does on the scale" value={if wiping { "wipe" } else { "smear" }}
                    options={vec![("smear".into(), "smears".into()), ("wipe".into(), "wipes".into())]} onchoose={choose} />
            </div>
            <div class="row">
                <label for="smear-strength">{ "Takes away" }</label>
                <input id="smear-strength" type="range" min="5" max="99" step="1" value={store.ui.smear_percent.to_string()} oninput={strength} />
                <output>{ format!("{:.0} %", store.ui.smear_percent) }</output>
            </div>
            <div class="setting field">
                <label>{ "from " }<input ref={from} id="brush-from" type="number" step="0.5" /></label>
                <label>{ "to " }<input ref={to} id="brush-to" type="number" step="0.5" />{ " mm" }</label>
            </div>
            <div class="setting"><span class="note">{ "or by number" }</span><button type="button" id="brush-apply" onclick={apply}>{ verb }</button></div>
            <p class="caution">
                { "On a real machine: lock out and wait for stored energy, support hanging axes, use only what the maker permits for the scale, air the room, do not look into the light source. Local rules and the maker's manual come first." }
            </p>
        </>
    }
}

#[function_component(Settings)]
fn settings() -> Html {
    const WORDS: [Setting; 3] = [Setting::HeadSensors, Setting::InputCounting, Setting::ServoFeedback];
    const NUMBERS: [Setting; 9] = [
        Setting::HeadLamp,
        Setting::HeadWedge,
        Setting::InputThreshold,
        Setting::InputHysteresis,
        Setting::InputHold,
        Setting::InputInterpolation,
        Setting::ServoKv,
        Setting::ServoFeedForward,
        Setting::MonitorMovingBand,
    ];
    let store = use_store();
    let jog = {
        let ui = store.ui.clone();
        move |event: Event| {
            if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
                ui.dispatch(Action::JogSpeed(input.value_as_number()));
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
    use_field_value(&speed, store.ui.jog_m_per_min.to_string());
    let pausing = store.lab.0.borrow().clock.pause_at_alarm;
    html! {
        <>
            <h3 class="group">{ "Settings" }</h3>
            { for WORDS.iter().map(|setting| html! { <WordSetting setting={*setting as usize} /> }) }
            <div class="setting field">
                <label for="jog-speed">{ "Jog and shuttle speed, m/min" }</label>
                <input ref={speed} id="jog-speed" type="number" min="0.01" max="60" step="0.1" onchange={jog} />
            </div>
            { for NUMBERS.iter().map(|setting| html! { <NumberSetting setting={*setting as usize} /> }) }
            <label class="setting">{ "Pause shortly after an alarm" }<input type="checkbox" checked={pausing} onchange={pause} /></label>
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
    use_field_value(&node, ((value * 1e6).round() / 1e6).to_string());
    let Kind::Number { low, high, step, .. } = row.kind else { return Html::default() };
    let onchange = {
        let (store, setting) = (store.clone(), row.setting);
        move |event: Event| {
            let Some(input) = event.target_dyn_into::<HtmlInputElement>() else { return };
            store.command(Command::Set(SettingList(vec![(setting, Value::Number(input.value_as_number()))])));
        }
    };
    let id = format!("set-{}", row.name.replace('.', "-"));
    let unit = if row.unit.is_empty() { String::new() } else { format!(", {}", row.unit) };
    html! {
        <div class="setting field">
            <label for={id.clone()}>{ row.label }{ unit }</label>
            <input ref={node} {id} type="number" min={low.to_string()} max={high.to_string()} step={step.to_string()} {onchange} />
        </div>
    }
}

#[function_component(TitleBlock)]
fn title_block() -> Html {
    let store = use_store();
    let lab = store.lab.0.borrow();
    let (scene, record, params) = (lab.scene(), lab.sim().record(), lab.sim().params());
    let cell =
        |name: &'static str, value: String| html! { <div><span class="note">{ name }</span><b>{ value }</b></div> };
    let period_um = params.scale.period_m * 1e6;
    let scale =
        if period_um >= 1000.0 { format!("{:.0} mm", period_um / 1e3) } else { format!("{period_um:.0} \u{b5}m") };
    html! {
        <section class="block" aria-label="Title block">
            <div class="wide"><b>{ lab.sim().bench().setup.bench.title() }</b></div>
            <div class="wide about"><span>{ &scene.about }</span></div>
            { cell("Time", format!("{:.3} s", record.time_s)) }
            { cell("Seed", scene.seed.to_string()) }
            { cell("Period", scale) }
            { cell("Zero", if record.referenced { "taken".into() } else { "not taken".into() }) }
        </section>
    }
}
