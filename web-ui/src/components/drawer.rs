//! The drawer: break something, smear and wipe by number, settings, the title block.

use super::breaks::Breaks;
use super::brush::Brush;
use super::care::Care;
use super::present_cover::CoverRow;
use super::present_flap::Flap;
use super::settings::Settings;
use super::surprise::SurpriseBox;
use crate::store::cover::{covered, scene_covered};
use crate::store::use_store;
use yew::prelude::*;

/// The drawer.
#[function_component(Drawer)]
pub fn drawer() -> Html {
    let covered = covered(&use_store());
    html! {
        <aside class="drawer" aria-label="Break, mend and set">
            <section class="grow">
                <SurpriseBox />
                <CoverRow />
                { if covered { Html::default() } else { html! { <Breaks /> } } }
                <Brush />
                <Care />
                <Settings />
            </section>
            <TitleBlock />
        </aside>
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
            <div class="wide about">{ if scene_covered(&store) { html! { <Flap what="about this scene" /> } } else { html! { <span>{ &scene.about }</span> } } }</div>
            { cell("Time", format!("{:.3} s", record.time_s)) }
            { cell("Seed", scene.seed.to_string()) }
            { cell("Period", scale) }
            { cell("Zero", if record.referenced { "taken".into() } else { "not taken".into() }) }
        </section>
    }
}
