//! Shims under the head's bracket: each lifts the head by its thickness.

use crate::store::use_store;
use sim_core::bench::command::{Command, SettingList};
use sim_core::names::{Kind, Setting, Value};
use yew::prelude::*;

/// Thicknesses in the box, um: a usual set (common practice).
const LEAVES_UM: [f64; 4] = [50.0, 100.0, 200.0, 500.0];

/// The shims.
#[function_component(Shims)]
pub fn shims() -> Html {
    let store = use_store();
    let gap_um = Setting::HeadGap.number(&store.lab.0.borrow().sim().bench().setup).unwrap_or(0.0);
    let Kind::Number { low, high, .. } = Setting::HeadGap.row().kind else { return Html::default() };
    let length = store.ui.units.of("mm");
    let shift = |by_um: f64, verb: &'static str| {
        let wanted = gap_um + by_um;
        let store = store.clone();
        let onclick = move |_: MouseEvent| {
            store.command(Command::Set(SettingList(vec![(Setting::HeadGap, Value::Number(wanted))])));
        };
        let label = format!("{verb} a shim of {:.2} mm", by_um.abs() * 1e-3);
        html! {
            <button type="button" aria-label={label.clone()} title={label} disabled={!(low..=high).contains(&wanted)} {onclick}>
                { if by_um > 0.0 { "+" } else { "\u{2212}" } }{ format!("{:.2}", by_um.abs() * 1e-3) }
            </button>
        }
    };
    html! {
        <div class="hand-tool" role="group" aria-label="Shims">
            <div>
                <h3>{ "Shims under the bracket" }</h3>
                <p id="shimmed"><b class="reading">{ format!("{:.*}", length.places(2), length.out(gap_um * 1e-3)) }</b>{ format!(" {} gap at machine zero", length.unit) }</p>
                <div class="buttons">{ for LEAVES_UM.iter().map(|um| shift(*um, "Put in")) }</div>
                <div class="buttons">{ for LEAVES_UM.iter().map(|um| shift(-*um, "Take out")) }</div>
            </div>
        </div>
    }
}
