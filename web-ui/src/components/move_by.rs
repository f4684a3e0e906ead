//! A move by an exact distance at an exact speed, or to an exact place.

use super::field::{use_field_value, use_first_value};
use super::settings::round6;
use super::sign::{LEFT, RIGHT, Sign};
use crate::store::{Action, use_store};
use sim_core::bench::command::{Command, MoveBy, MoveTo, PlaceMm, SpeedMPerMin};
use sim_core::numbers::Within;
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// The row.
#[function_component(MoveByRow)]
pub fn move_by_row() -> Html {
    let store = use_store();
    let (distance, speed) = (use_node_ref(), use_node_ref());
    let (length, rate) = (store.ui.units.of("mm"), store.ui.units.of("m/min"));
    use_first_value(&distance, "5");
    use_field_value(&speed, round6(rate.out(store.ui.jog_m_per_min)).to_string());
    let alarm = store.lab.0.borrow().sim().record().alarm;
    let number = |node: &NodeRef| {
        let typed = node.cast::<HtmlInputElement>().map(|input| input.value())?;
        typed.trim().replace(',', ".").replace('\u{2212}', "-").parse::<f64>().ok().filter(|n| n.is_finite())
    };
    let set_speed = {
        let (ui, speed) = (store.ui.clone(), speed.clone());
        move |_: Event| {
            if let Some(value) = number(&speed).filter(|v| *v > 0.0) {
                ui.dispatch(Action::JogSpeed(rate.back(value)));
            }
        }
    };
    let go = |what: What| {
        let (store, distance, speed) = (store.clone(), distance.clone(), speed.clone());
        move |_: MouseEvent| {
            let (Some(mm), Some(v)) = (number(&distance), number(&speed).filter(|v| *v > 0.0)) else {
                let said = "Type the distance and the speed as numbers; the speed must be more than 0.";
                store.ui.dispatch(Action::Notice(said.to_owned()));
                return;
            };
            let (mm, speed) = (length.back(mm), SpeedMPerMin::new(rate.back(v)));
            let told = match (what, speed) {
                (_, Err(why)) => Err(why.to_string()),
                (What::By(sign), Ok(speed_m_per_min)) => Within::new(sign * mm)
                    .map(|by_mm| Command::MoveBy(MoveBy { by_mm, speed_m_per_min }))
                    .map_err(|why| why.to_string()),
                (What::To, Ok(speed_m_per_min)) => PlaceMm::new(mm)
                    .map(|to_mm| Command::MoveTo(MoveTo { to_mm, speed_m_per_min }))
                    .map_err(|why| why.to_string()),
            };
            match told {
                Ok(command) => store.command_and_run(command),
                Err(why) => store.ui.dispatch(Action::Notice(why)),
            }
        }
    };
    html! {
        <div class="move-by" role="group" aria-label="Move by an exact distance">
            <button type="button" disabled={alarm} onclick={go(What::By(-1.0))} aria-label="Move back by this distance" title="Move back by this distance"><Sign d={LEFT} /></button>
            <label class="number-field"><input ref={distance.clone()} id="move-by" type="text" inputmode="decimal" aria-label={format!("Distance, {}", length.unit)} /><span>{ length.unit }</span></label>
            <button type="button" disabled={alarm} onclick={go(What::By(1.0))} aria-label="Move on by this distance" title="Move on by this distance"><Sign d={RIGHT} /></button>
            <label class="number-field"><span>{ "at" }</span><input ref={speed.clone()} id="move-speed" type="text" inputmode="decimal" aria-label={format!("Speed, {}", rate.unit)} onchange={set_speed} /><span>{ rate.unit }</span></label>
            <button type="button" class="plain" disabled={alarm} onclick={go(What::To)} title="Move to this place of the table">{ "go there" }</button>
        </div>
    }
}

#[derive(Clone, Copy)]
enum What {
    By(f64),
    To,
}
