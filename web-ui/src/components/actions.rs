//! What to do with the axis: shuttle, stop, home, acknowledge, wipe.

use super::move_by::MoveByRow;
use crate::store::cover::covered;
use crate::store::{Store, use_store};
use sim_core::bench::command::{Command, PlaceMm, Shuttle, SpeedMPerMin};
use sim_core::numbers::Within;
use yew::prelude::*;

/// The buttons.
#[function_component(Actions)]
pub fn actions() -> Html {
    let store = use_store();
    let alarm = store.lab.0.borrow().sim().record().alarm;
    // Whether there is dirt would tell the cause.
    let dirty = covered(&store) || !store.lab.0.borrow().sim().params().surface.is_clean();
    let send = |command: Command, run: bool| {
        let store = store.clone();
        move |_: MouseEvent| {
            if run {
                store.command_and_run(command.clone());
            } else {
                store.command(command.clone());
            }
        }
    };
    let shuttle = {
        let store = store.clone();
        move |_: MouseEvent| {
            store.command_and_run(shuttle_of(&store));
        }
    };
    html! {
        <div class="actions">
            <MoveByRow />
            <button type="button" onclick={shuttle} disabled={alarm}>{ "Shuttle" }</button>
            <button type="button" onclick={send(Command::Stop, false)} disabled={alarm}>{ "Stop" }</button>
            <button type="button" onclick={send(Command::Home, true)} disabled={alarm}>{ "Home to zero" }</button>
            <button type="button" onclick={send(Command::ZeroReadout, false)}>{ "Readout to 0" }</button>
            <button type="button" onclick={send(Command::WipeAll, false)} disabled={!dirty}>{ "Wipe the scale" }</button>
            <button type="button" class={if alarm { "solid" } else { "" }} onclick={send(Command::Acknowledge, true)} disabled={!alarm}>
                { "Acknowledge" }
            </button>
        </div>
    }
}

/// To and fro over most of the travel at the jog speed.
fn shuttle_of(store: &Store) -> Command {
    let lab = store.lab.0.borrow();
    let machine = &lab.sim().params().machine;
    let travel_mm = machine.travel * 1e3;
    let speed = store.ui.jog_m_per_min.min(machine.limits.speed * 60.0);
    Command::Shuttle(Shuttle {
        from_mm: PlaceMm::nearest((travel_mm * 0.12).round()),
        to_mm: PlaceMm::nearest((travel_mm * 0.88).round()),
        speed_m_per_min: SpeedMPerMin::nearest(speed),
        dwell_s: Within::nearest(0.5),
    })
}
