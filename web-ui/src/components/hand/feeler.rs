//! A feeler gauge: the thickest leaf that goes between head and scale here, and the next one that does not.

use crate::store::{Action, use_store};
use web_sys::HtmlSelectElement;
use yew::prelude::*;

/// Leaves, mm: 0.05 to 2 mm in the usual steps (common practice).
const LEAVES_MM: [f64; 22] = [
    0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.7, 0.75, 0.8, 0.85, 0.9, 1.0, 1.1, 1.2, 1.3, 1.4, 1.5, 1.75, 2.0,
];

/// Whether a leaf goes into a gap.
pub fn goes_in(leaf_mm: f64, gap_m: f64) -> bool {
    leaf_mm <= gap_m * 1e3
}

/// The gauge.
#[function_component(Feeler)]
pub fn feeler() -> Html {
    let store = use_store();
    let (gap_m, moving) = {
        let lab = store.lab.0.borrow();
        let record = lab.sim().record();
        (record.gap_m, record.speed_mps.abs() > 1e-4)
    };
    let leaf = store.ui.leaf;
    let onchange = {
        let ui = store.ui.clone();
        move |event: Event| {
            if let Some(select) = event.target_dyn_into::<HtmlSelectElement>() {
                ui.dispatch(Action::Leaf(select.value().parse().ok()));
            }
        }
    };
    let words = match leaf {
        _ if moving => "Not while the axis moves.",
        None => "Take a leaf and try it between head and scale.",
        Some(mm) if goes_in(mm, gap_m) => "goes in",
        Some(_) => "\u{d7} does not go in",
    };
    html! {
        <div class="hand-tool" role="group" aria-label="Feeler gauge">
            <div>
                <h3><label for="feeler">{ "Feeler gauge under the head" }</label></h3>
                <div class="buttons">
                    <select id="feeler" {onchange}>
                        <option value="" selected={leaf.is_none()}>{ "no leaf" }</option>
                        { for LEAVES_MM.iter().map(|mm| html! { <option value={mm.to_string()} selected={leaf == Some(*mm)}>{ format!("{mm:.2} mm") }</option> }) }
                    </select>
                    <span id="feeler-says" role="status">{ words }</span>
                </div>
            </div>
        </div>
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn leaves_up_to_the_gap_go_in() {
        let fitting: Vec<f64> = LEAVES_MM.into_iter().filter(|leaf| goes_in(*leaf, 0.8e-3)).collect();
        assert_eq!(fitting.last(), Some(&0.8));
        assert!(LEAVES_MM.windows(2).all(|pair| pair[0] < pair[1]));
    }
}
