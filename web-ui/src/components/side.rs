//! Beside the charts: A against B, the log, and what to do.

use super::actions::Actions;
use super::enlarge::{Enlarge, part_class};
use super::job_card::JobCard;
use super::log_list::LogList;
use super::picture::Picture;
use crate::draw::view::Levels;
use crate::layout::Part;
use crate::pictures::PictureKind;
use crate::store::use_store;
use yew::prelude::*;

/// The column.
#[function_component(Side)]
pub fn side() -> Html {
    let store = use_store();
    let shape = match store.lab.0.borrow().levels() {
        Levels::Comparator { .. } => "must leave the square",
        Levels::Vector { .. } => "must clear the inner circle",
    };
    html! {
        <section class={part_class(&store, Part::Side)} data-part="side" aria-label="Figure, log and actions">
            <Enlarge part={Part::Side} />
            <div class="title part-xy"><h2>{ "A against B" }</h2><span class="note">{ shape }</span></div>
            <Picture kind={PictureKind::Figure} class="figure part-xy" label={format!("A drawn against B: {shape}.")} />
            <LogList />
            <Actions />
            <JobCard />
        </section>
    }
}
