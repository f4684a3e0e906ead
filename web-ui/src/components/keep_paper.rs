//! For a report: pictures, tables, and the whole bench on paper.

use super::keep_files::handed_out;
use super::keep_report::KeepReport;
use super::keep_sheet::Desk;
use crate::keep::browser;
use crate::keep::picture::{PICTURES, drawing, file_name};
use crate::keep::report::report;
use crate::keep::table::{Trace, table};
use crate::pictures::PictureKind;
use crate::store::cover::{cover_of, covered};
use crate::store::use_store;
use std::rc::Rc;
use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

/// Pictures that stand in the report.
const IN_REPORT: [PictureKind; 3] = [PictureKind::Channels, PictureKind::Error, PictureKind::Figure];

/// Properties of [`KeepPaper`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// The sheet.
    pub desk: Desk,
}

/// Pictures, tables, report.
#[function_component(KeepPaper)]
pub fn keep_paper(props: &Props) -> Html {
    let store = use_store();
    let (picture, trace) = (use_state(|| 0_usize), use_state(|| 0_usize));
    let closed = use_state(|| false);
    let printed = use_state(|| None);
    use_effect_with((*printed).clone(), |printed| {
        if printed.is_some() {
            browser::print();
        }
    });
    let pick = |state: &UseStateHandle<usize>| {
        let state = state.clone();
        move |event: Event| {
            if let Some(select) = event.target_dyn_into::<HtmlSelectElement>() {
                state.set(usize::try_from(select.selected_index()).unwrap_or(0));
            }
        }
    };
    let (kind, key, _, size) = PICTURES[(*picture).min(PICTURES.len() - 1)];
    let pixels = {
        let (store, say) = (store.clone(), props.desk.say.clone());
        move |_: MouseEvent| {
            let lab = store.lab.0.borrow();
            let name = file_name(&lab, key, "png");
            let well =
                browser::hand_out_pixels(name.clone(), &drawing(&lab, kind, size, cover_of(&store)), store.ui.theme)
                    .is_ok();
            say.emit(handed_out(&name, well));
        }
    };
    let lines = {
        let (store, say) = (store.clone(), props.desk.say.clone());
        move |_: MouseEvent| {
            let lab = store.lab.0.borrow();
            let name = file_name(&lab, key, "svg");
            let text = drawing(&lab, kind, size, cover_of(&store)).svg(store.ui.theme);
            say.emit(handed_out(&name, browser::hand_out(&name, "image/svg+xml", text.as_bytes()).is_ok()));
        }
    };
    let of = Trace::ALL[(*trace).min(Trace::ALL.len() - 1)].0;
    let rows = {
        let (store, say) = (store.clone(), props.desk.say.clone());
        move |_: MouseEvent| {
            let lab = store.lab.0.borrow();
            let name = file_name(&lab, of.key(), "csv");
            say.emit(handed_out(&name, browser::hand_out(&name, "text/csv", table(&lab, of).as_bytes()).is_ok()));
        }
    };
    let leave_out = {
        let closed = closed.clone();
        move |event: Event| {
            if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
                closed.set(input.checked());
            }
        }
    };
    let print = {
        let (store, closed, printed) = (store.clone(), closed.clone(), printed.clone());
        move |_: MouseEvent| {
            let lab = store.lab.0.borrow();
            let of = |kind: &PictureKind| PICTURES.iter().find(|row| row.0 == *kind);
            let pictures = IN_REPORT.iter().filter_map(of);
            let pictures: Vec<(AttrValue, AttrValue)> = pictures
                .map(|(kind, key, title, size)| {
                    (
                        AttrValue::from(*title),
                        AttrValue::from(drawing(&lab, *kind, *size, cover_of(&store)).inside(key)),
                    )
                })
                .collect();
            printed.set(Some(Rc::new((
                report(&lab, !*closed && !covered(&store), !covered(&store)),
                pictures,
                browser::now_ms() as u64,
            ))));
        }
    };
    html! {
        <section aria-labelledby="keep-paper">
            <h3 id="keep-paper">{ "For a report" }</h3>
            <div class="line">
                <label><span>{ "Picture" }</span><select id="keep-picture" onchange={pick(&picture)}>
                    { for PICTURES.iter().enumerate().map(|(i, (_, key, title, _))| html! { <option value={*key} selected={i == *picture}>{ *title }</option> }) }
                </select></label>
                <button type="button" onclick={pixels}>{ "Save as PNG" }</button>
                <button type="button" onclick={lines}>{ "Save as SVG" }</button>
            </div>
            <div class="line">
                <label><span>{ "Table" }</span><select id="keep-trace" onchange={pick(&trace)}>
                    { for Trace::ALL.iter().enumerate().map(|(i, (_, key, title))| html! { <option value={*key} selected={i == *trace}>{ *title }</option> }) }
                </select></label>
                <button type="button" onclick={rows}>{ "Save as CSV" }</button>
            </div>
            <div class="line">
                <label class="tick"><input type="checkbox" id="keep-closed" checked={*closed} onchange={leave_out} /><span>{ "Leave out what is broken and dirty" }</span></label>
                <button type="button" onclick={print}>{ "Print a report" }</button>
            </div>
            { match &*printed {
                Some(paper) => html! { <KeepReport report={paper.0.clone()} pictures={paper.1.clone()} saved_ms={paper.2} /> },
                None => Html::default(),
            } }
        </section>
    }
}
