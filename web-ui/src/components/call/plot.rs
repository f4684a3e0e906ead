//! The picture of an instrument: what was read, and dotted what is usual on the healthy machine.

use diagnosis::measure::{Picture, View};
use yew::prelude::*;

/// Size of the drawing, in its own units.
const WIDTH: f32 = 320.0;
const HEIGHT: f32 = 132.0;
/// Room for numbers at the left and below.
const LEFT: f32 = 38.0;
const BELOW: f32 = 22.0;
const EDGE: f32 = 8.0;

/// Properties of [`Plot`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// What was read.
    pub picture: Picture,
    /// What is usual.
    pub usual: Option<Picture>,
}

/// What stands at the axes: across, up, and how the lines are called.
fn names(view: View) -> (&'static str, &'static str, &'static [&'static str]) {
    match view {
        View::Amplitude => ("mm", "V", &[]),
        View::Figure => ("A, V", "B, V", &[]),
        View::Traces => ("ms", "V", &["A", "B"]),
        View::Current => ("mm", "A", &["out", "back"]),
        View::Mismatch => ("mm", "mm", &["out", "back"]),
    }
}

/// Least and greatest of both pictures along one direction, upwards with a little room.
fn span(props: &Props, along: usize, from_zero: bool) -> (f32, f32) {
    let both = std::iter::once(&props.picture).chain(&props.usual);
    let values = both.flat_map(|picture| &picture.lines).flatten().map(|point| point[along]);
    let (low, high) = values.fold((f32::INFINITY, f32::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
    if along == 0 {
        return (low, high);
    }
    let low = if from_zero { low.min(0.0) } else { low };
    let room = ((high - low) * 0.06).max(1e-3);
    (if from_zero && low >= 0.0 { 0.0 } else { low - room }, high + room)
}

/// The drawing.
#[function_component(Plot)]
pub fn plot(props: &Props) -> Html {
    let view = props.picture.view;
    let square = view == View::Figure;
    let width = if square { LEFT + HEIGHT - BELOW + EDGE } else { WIDTH };
    let (mut x, mut y) = (span(props, 0, false), span(props, 1, view == View::Amplitude));
    if square {
        let most = [x.0, x.1, y.0, y.1].into_iter().map(f32::abs).fold(0.0, f32::max);
        (x, y) = ((-most, most), (-most, most));
    }
    let at = |[px, py]: [f32; 2]| {
        let across = LEFT + (px - x.0) / (x.1 - x.0).max(1e-6) * (width - LEFT - EDGE);
        let up = HEIGHT - BELOW - (py - y.0) / (y.1 - y.0).max(1e-6) * (HEIGHT - BELOW - EDGE);
        (across, up)
    };
    let path = |line: &Vec<[f32; 2]>| {
        let mut d = String::with_capacity(line.len() * 12);
        for (i, point) in line.iter().enumerate() {
            let (across, up) = at(*point);
            // The figure is a cloud of points, as on a screen that is run over again and again.
            d += &match (square, i) {
                (true, _) => format!("M{across:.1} {up:.1}h0"),
                (false, 0) => format!("M{across:.1} {up:.1}"),
                (false, _) => format!("L{across:.1} {up:.1}"),
            };
        }
        d
    };
    let lines = |picture: &Picture, kind: &'static str| {
        picture
            .lines
            .iter()
            .enumerate()
            .map(|(i, line)| html! { <path class={classes!(kind, square.then_some("dots"), (i > 0).then_some("second"))} d={path(line)} /> })
            .collect::<Html>()
    };
    let number = |v: f32, span: (f32, f32)| {
        let decimals = if span.1 - span.0 >= 20.0 {
            0
        } else if span.1 - span.0 >= 2.0 {
            1
        } else {
            2
        };
        format!("{v:.decimals$}")
    };
    let (across, up, called) = names(view);
    let (bottom, right) = (HEIGHT - BELOW, width - EDGE);
    let level = |v: f32| {
        let (_, at_up) = at([x.0, v]);
        html! { <>
            <path class="grid" d={format!("M{LEFT} {at_up:.1}H{right}")} />
            <text class="digits" x={(LEFT - 4.0).to_string()} y={format!("{:.1}", at_up + 3.5)} text-anchor="end">{ number(v, y) }</text>
        </> }
    };
    let place = |v: f32, anchor: &'static str| {
        let (at_across, _) = at([v, y.0]);
        html! { <text class="digits" x={format!("{at_across:.1}")} y={format!("{:.1}", bottom + 13.0)} text-anchor={anchor}>{ number(v, x) }</text> }
    };
    let levels: Vec<f32> = ticks(y);
    let title = format!("{up} over {across}");
    html! {
        <figure class={classes!("plot", square.then_some("square"))}>
            <svg viewBox={format!("0 0 {width} {HEIGHT}")} role="img" aria-label={title}>
                { for levels.into_iter().map(level) }
                { place(x.0, "start") }{ place(x.1, "end") }
                <text x={format!("{:.1}", f32::midpoint(LEFT, right))} y={format!("{:.1}", bottom + 13.0)} text-anchor="middle">{ across }</text>
                <text x="2" y="10">{ up }</text>
                { props.usual.as_ref().map(|usual| lines(usual, "usual")).unwrap_or_default() }
                { lines(&props.picture, "read") }
            </svg>
            { if called.is_empty() && props.usual.is_none() { Html::default() } else { html! {
                <figcaption>
                    { for called.iter().enumerate().map(|(i, name)| html! { <span class={if i > 0 { "key second" } else { "key" }}>{ *name }</span> }) }
                    { if props.usual.is_some() { html! { <span class="key usual">{ "as on the healthy machine" }</span> } } else { Html::default() } }
                </figcaption>
            } } }
        </figure>
    }
}

/// Round values within a span, two to four of them.
fn ticks(span: (f32, f32)) -> Vec<f32> {
    let length = f64::from(span.1 - span.0);
    let raw = length / 3.0;
    let power = 10f64.powf(raw.max(1e-9).log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0].into_iter().map(|n| n * power).find(|step| *step >= raw).unwrap_or(raw);
    let first = (f64::from(span.0) / step).ceil() as i64;
    let last = (f64::from(span.1) / step).floor() as i64;
    (first..=last).map(|n| (n as f64 * step) as f32).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_within() {
        assert_eq!(ticks((0.0, 1.06)), [0.0, 0.5, 1.0]);
        let of_small = ticks((-0.031, 0.017));
        assert!(of_small.len() >= 2 && of_small.iter().all(|t| (-0.031..=0.017).contains(t)), "{of_small:?}");
        assert!(ticks((2.0, 2.0)).len() <= 4);
    }
}
