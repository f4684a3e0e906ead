//! A dial indicator that stands on the bed and touches the table: it shows how far the table really moved.

use crate::components::number::Number;
use crate::store::{Action, use_store};
use yew::prelude::*;

/// Way of one turn of the needle, mm, and of the whole plunger: a common size (common practice).
const TURN_MM: f64 = 1.0;
const RANGE_MM: f64 = 10.0;

/// What the indicator shows for a way of the table from where it was set, mm; `None` when it does not touch any more.
pub fn shown_mm(table_m: f64, zero_m: f64) -> Option<f64> {
    let mm = (table_m - zero_m) * 1e3;
    (mm.abs() <= 0.5 * RANGE_MM).then_some(mm)
}

/// The indicator.
#[function_component(Indicator)]
pub fn indicator() -> Html {
    let store = use_store();
    let (table_m, counted_m) = {
        let lab = store.lab.0.borrow();
        let shown = lab.shown();
        (shown.table_m, shown.counted_m)
    };
    let length = store.ui.units.of("mm");
    let zero = store.ui.indicator;
    let place = {
        let ui = store.ui.clone();
        move |_: MouseEvent| ui.dispatch(Action::Indicator(Some((table_m, counted_m))))
    };
    let away = {
        let ui = store.ui.clone();
        move |_: MouseEvent| ui.dispatch(Action::Indicator(None))
    };
    let shown = zero.map(|(zero_m, counted_zero_m)| (shown_mm(table_m, zero_m), (counted_m - counted_zero_m) * 1e3));
    let needle = shown.and_then(|(mm, _)| mm).unwrap_or(0.0) / TURN_MM * 360.0;
    let small = shown.and_then(|(mm, _)| mm).unwrap_or(0.0) / RANGE_MM * 360.0;
    let line = |degrees: f64, from: f64, to: f64, cx: f64, cy: f64| {
        let (sin, cos) = degrees.to_radians().sin_cos();
        format!("M{:.2} {:.2}L{:.2} {:.2}", cx + from * sin, cy - from * cos, cx + to * sin, cy - to * cos)
    };
    let ticks: String =
        (0..100).map(|i| line(f64::from(i) * 3.6, if i % 10 == 0 { 38.0 } else { 41.0 }, 44.0, 50.0, 50.0)).collect();
    let numbers = (0..10).map(|i| {
        let (sin, cos) = (f64::from(i) * 36.0f64).to_radians().sin_cos();
        html! { <text x={format!("{:.1}", 50.0 + 32.5 * sin)} y={format!("{:.1}", 52.2 - 32.5 * cos)} text-anchor="middle">{ i * 10 }</text> }
    });
    html! {
        <div class="hand-tool" role="group" aria-label="Dial indicator">
            <svg class="dial" viewBox="0 0 100 100" aria-hidden="true">
                <circle class="body" cx="50" cy="50" r="46" />
                <path class="thin" d={ticks} />
                { for numbers }
                <circle class="thin" cx="50" cy="66" r="7" />
                <path class="mid" d={line(small, 0.0, 6.0, 50.0, 66.0)} />
                <path class="needle" d={line(needle, -8.0, 40.0, 50.0, 50.0)} />
                <circle class="hub" cx="50" cy="50" r="2.5" />
            </svg>
            <div>
                <h3>{ "Dial indicator on the table" }</h3>
                { match shown {
                    None => html! { <p class="note" id="indicator">{ "0.01 mm a division, 1 mm a turn. Place it, move the axis a little, compare." }</p> },
                    Some((None, _)) => html! { <p class="wrong" id="indicator">{ "\u{d7} Out of its range of 5 mm either way." }</p> },
                    Some((Some(mm), counted_mm)) => html! { <>
                        <p id="indicator"><b class="reading"><Number value={length.out(mm)} decimals={length.places(3)} /></b>{ format!(" {}, the table", length.unit) }</p>
                        <p id="counted"><b class="reading"><Number value={length.out(counted_mm)} decimals={length.places(3)} /></b>{ format!(" {}, the count", length.unit) }</p>
                    </> },
                } }
                <div class="buttons">
                    <button type="button" onclick={place}>{ if zero.is_some() { "Set to zero" } else { "Place it here" } }</button>
                    { if zero.is_some() { html! { <button type="button" onclick={away}>{ "Take it away" }</button> } } else { Html::default() } }
                </div>
            </div>
        </div>
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_shows_the_way_of_the_table_until_its_plunger_ends() {
        assert!((shown_mm(0.2012, 0.2).unwrap() - 1.2).abs() < 1e-9);
        assert!((shown_mm(0.1955, 0.2).unwrap() + 4.5).abs() < 1e-9);
        assert_eq!(shown_mm(0.2051, 0.2), None);
    }
}
