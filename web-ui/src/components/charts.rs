//! Charts on one time ruler: channels, counts, following error.

use super::enlarge::{Enlarge, part_class};
use super::picture::Picture;
use crate::layout::Part;
use crate::pictures::PictureKind;
use crate::store::use_store;
use sim_core::record::Record;
use yew::prelude::*;

/// The charts.
#[function_component(ChartsPanel)]
pub fn charts_panel() -> Html {
    let store = use_store();
    let lab = store.lab.0.borrow();
    let (record, params) = (lab.sim().record(), lab.sim().params());
    let count_um = params.metres_per_count() * 1e6;
    let edge = if count_um >= 100.0 { format!("{:.2} mm", count_um / 1e3) } else { format!("{count_um:.1} \u{b5}m") };
    let direction =
        if params.two_sensors { "A leads B, so it counts up; B leads A, down" } else { "one sensor: no direction" };
    let zoom = |closer: bool| {
        let store = store.clone();
        move |_: MouseEvent| store.change(|lab| lab.clock.zoom(closer))
    };
    let window_s = lab.window_s();
    let window = if window_s >= 1.0 {
        format!("{window_s:.1} s across")
    } else if window_s >= 1e-3 {
        format!("{:.1} ms across", window_s * 1e3)
    } else {
        format!("{:.0} \u{b5}s across", window_s * 1e6)
    };
    html! {
        <section class={part_class(&store, Part::Charts)} data-part="charts" aria-label="Charts">
            <Enlarge part={Part::Charts} />
            <div class="title part-channels">
                <h2>{ "Channels" }</h2><span class="note">{ "volts at the input; dotted, the healthy bench" }</span>
                <span class="zoom">
                    <span class="note">{ window }</span>
                    <button type="button" class="plain" onclick={zoom(true)} aria-label="closer: show a shorter time">{ "closer" }</button>
                    <button type="button" class="plain" onclick={zoom(false)} aria-label="wider: show a longer time">{ "wider" }</button>
                </span>
            </div>
            <Picture kind={PictureKind::Channels} class="part-channels" label={channel_words(record, params.two_sensors)} />
            <div class="title part-squares">
                <h2>{ "Count" }</h2><span class="note">{ format!("each edge is {edge}; {direction}") }</span>
            </div>
            <Picture kind={PictureKind::Squares} class="part-squares" label={format!("Squared channels; {} counts.", record.count)} />
            <div class="title part-error">
                <h2>{ "Following error" }</h2><span class="note">{ "how far the feedback lags the command, mm" }</span>
            </div>
            <Picture kind={PictureKind::Error} class="part-error" label={format!(
                "Following error {:.2} mm, expected {:.2} mm, allowed {:.2} to {:.2} mm.",
                record.error_m * 1e3, record.expected_m * 1e3, record.band_m.0 * 1e3, record.band_m.1 * 1e3
            )} />
            <Picture kind={PictureKind::Ruler} class="part-ruler" label="Time ruler" />
        </section>
    }
}

/// What the channels show, in words.
fn channel_words(r: &Record, two: bool) -> String {
    let need = 2.0 * r.needed_v;
    let verdict = |v: f64| if v < need { "too weak to switch" } else { "enough" };
    let (a, b) = (2.0 * r.amplitude_a_v, 2.0 * r.amplitude_b_v);
    if two {
        format!("A {a:.2} V peak to peak, {}; B {b:.2} V, {}; the input needs {need:.2} V.", verdict(a), verdict(b))
    } else {
        format!("A {a:.2} V peak to peak, {}; the input needs {need:.2} V. B is not plugged in.", verdict(a))
    }
}
