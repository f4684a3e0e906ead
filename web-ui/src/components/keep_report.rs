//! The report as it goes to paper: beside the page, hidden on the screen, alone on the print.

use super::paper::Paper;
use crate::keep::report::Report;
use crate::keep::when::Wall;
use yew::prelude::*;

/// Properties of [`KeepReport`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// What it says.
    pub report: Report,
    /// Pictures: title and drawing.
    pub pictures: Vec<(AttrValue, AttrValue)>,
    /// When it was made, milliseconds since the start of 1970 (UTC).
    pub saved_ms: u64,
}

/// The report.
#[function_component(KeepReport)]
pub fn keep_report(props: &Props) -> Html {
    let report = &props.report;
    let day = Wall::of(props.saved_ms as f64).day_words();
    html! {
        <Paper><article class="report">
            <header>
                <h1>{ &report.title }</h1>
                <p>{ &report.about }</p>
                <dl class="block">
                    { for report.block.iter().map(|(name, value)| html! { <div><dt>{ *name }</dt><dd>{ value }</dd></div> }) }
                    <div><dt>{ "Printed" }</dt><dd>{ day }</dd></div>
                </dl>
            </header>
            { match &report.settings {
                Some(settings) => listed("Settings that differ from the healthy bench", &["Setting", "Healthy", "Now"], settings.iter().map(|row| &row[..]), "None: every setting is that of the healthy bench."),
                None => Html::default(),
            } }
            { match &report.faults {
                Some(faults) => listed("What is broken", &["Fault", "Degree", "Place"], faults.iter().map(|row| &row[..]), "Nothing."),
                None => Html::default(),
            } }
            { match &report.dirt {
                Some(dirt) => listed("Dirt and damage on the scale", &["Stretch", "What lies there"], dirt.iter().map(|row| &row[..]), "None: the scale is clean."),
                None => Html::default(),
            } }
            <section class="readings">
                <h2>{ "Readings" }</h2>
                <dl>{ for report.readings.iter().map(|(name, value)| html! { <div><dt>{ *name }</dt><dd>{ value }</dd></div> }) }</dl>
            </section>
            <section class="pictures">
                { for props.pictures.iter().map(|(title, drawing)| html! {
                    <figure><figcaption>{ title }</figcaption>{ Html::from_html_unchecked(drawing.clone()) }</figure>
                }) }
            </section>
            <section>
                <h2>{ "What happened" }</h2>
                { if report.log.is_empty() { html! { <p>{ "Nothing: the axis is in order." }</p> } } else { html! {
                    <ol class="events">{ for report.log.iter().map(|(time, words, alarm)| html! {
                        <li><time>{ time }</time><span>{ if *alarm { "Alarm: " } else { "" } }{ words }</span></li>
                    }) }</ol>
                } } }
            </section>
            <section class="cautions">
                <h2>{ "Before anybody works on a real machine" }</h2>
                <ul>{ for report.cautions.iter().map(|text| html! { <li>{ *text }</li> }) }</ul>
            </section>
            <footer>{ "Countlight: a computed bench for learning. Its machines exist only there." }</footer>
        </article></Paper>
    }
}

fn listed<'a>(
    title: &'static str,
    heading: &[&'static str],
    rows: impl Iterator<Item = &'a [String]>,
    none: &'static str,
) -> Html {
    let mut rows = rows.peekable();
    let body = if rows.peek().is_none() {
        html! { <p>{ none }</p> }
    } else {
        html! {
            <table>
                <thead><tr>{ for heading.iter().map(|name| html! { <th scope="col">{ *name }</th> }) }</tr></thead>
                <tbody>{ for rows.map(|row| html! { <tr>{ for row.iter().map(|cell| html! { <td>{ cell }</td> }) }</tr> }) }</tbody>
            </table>
        }
    };
    html! { <section><h2>{ title }</h2>{ body }</section> }
}
