//! What the two cursors of the traces say, and their places as numbers.

use super::instrument_number::NumberField;
use crate::draw::numbers::signed;
use crate::lab::{BEFORE, TriggerOn, frequency_text, time_text, way_text};
use crate::store::use_store;
use yew::prelude::*;

/// The line under the traces; nothing while the cursors are put away.
#[function_component(CursorReadout)]
pub fn cursor_readout() -> Html {
    let store = use_store();
    let lab = store.lab.0.borrow();
    let Some(said) = lab.cursors() else { return Html::default() };
    let window_s = lab.window_s();
    let zero = if lab.instruments().sweeps.on() == TriggerOn::Free { 1.0 } else { BEFORE };
    let field = |i: usize| {
        let store = store.clone();
        let onchange = Callback::from(move |ms: f64| {
            store.change(|lab| {
                if let Some(cursors) = &mut lab.instruments_mut().settings.cursors {
                    cursors[i] = (zero + ms * 1e-3 / window_s).clamp(0.0, 1.0);
                }
            });
        });
        let label = format!("Cursor {}, ms", i + 1);
        html! { <span>{ i + 1 }<NumberField {label} unit="ms" value={said.at_s[i] * 1e3} decimals={3} {onchange} /></span> }
    };
    let per = if said.dt_s == 0.0 { "\u{2013}".to_owned() } else { frequency_text(1.0 / said.dt_s.abs()) };
    let volts = said.dv.map(|[a, b]| {
        let b = if lab.sim().params().two_sensors { format!(", B {} V", signed(b, 3)) } else { String::new() };
        format!("A {} V{b}", signed(a, 3))
    });
    let none = || "nothing recorded there".to_owned();
    html! {
        <div class="cursor-readout" aria-label="Cursors">
            { field(0) }{ field(1) }
            <span>{ format!("\u{394}t {}", time_text(said.dt_s)) }</span>
            <span>{ format!("1/\u{394}t {per}") }</span>
            <span>{ format!("\u{394}V {}", volts.unwrap_or_else(none)) }</span>
            <span>{ format!("\u{394}x {}", said.dx_m.map_or_else(none, way_text)) }</span>
        </div>
    }
}
