//! A against B as an instrument: the figure and the numbers of its ellipse.

use super::instrument_frame::{InstrumentFrame, Values};
use super::picture::Picture;
use crate::draw::view::Levels;
use crate::lab::figure_rows;
use crate::pictures::PictureKind;
use crate::store::use_store;
use yew::prelude::*;

/// The figure.
#[function_component(InstrumentFigure)]
pub fn instrument_figure() -> Html {
    let store = use_store();
    let view = store.lab.0.borrow().figure_view();
    let note = match view.xy.levels {
        Levels::Comparator { .. } => "must leave the square",
        Levels::Vector { .. } => "must clear the inner circle",
    };
    let rows = figure_rows(&view);
    let spoken = match &rows {
        Ok(rows) => rows.iter().map(|(name, value)| format!(" {name}: {value}.")).collect::<String>(),
        Err(why) => format!(" No ellipse: {why}."),
    };
    let values = match rows {
        Ok(rows) => {
            let rows = rows.into_iter().map(|(name, value)| (name.into(), value.into(), None)).collect::<Vec<_>>();
            html! { <Values label="Numbers of the ellipse" {rows} /> }
        }
        Err(why) => html! { <p class="note values">{ why }</p> },
    };
    html! {
        <InstrumentFrame title="A against B" {note} tools={html! {  }}>
            <Picture kind={PictureKind::Ellipse} label={format!("A drawn against B: {note}.{spoken}")} />
            { values }
        </InstrumentFrame>
    }
}
