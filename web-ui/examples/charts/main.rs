//! Writes the charts of the sheet as SVG pictures of several states, to look at them without a browser:
//! `cargo run -p web-ui --example charts -- FOLDER`.

mod states;

use states::{State, states};
use std::path::PathBuf;
use web_ui::draw::axes::TimeAxis;
use web_ui::draw::kit::Sheet;
use web_ui::draw::shape::{Anchor, Lettering, Shape};
use web_ui::draw::tokens::{Ink, Theme};
use web_ui::draw::words::{ChartWords, TraceNotes};
use web_ui::draw::{channels, error, ruler, squares, svg, trace, xy};

/// Size of a picture and its pen scale.
const SIZES: [(&str, f64, f64, f64); 3] =
    [("laptop", 820.0, 480.0, 1.0), ("projector", 1400.0, 700.0, 1.6), ("phone", 350.0, 440.0, 1.08)];

fn main() -> std::io::Result<()> {
    let folder = PathBuf::from(std::env::args().nth(1).unwrap_or_else(|| "target/charts".to_owned()));
    std::fs::create_dir_all(&folder)?;
    for state in states() {
        for (size, w, h, k) in SIZES {
            let shapes = sheet_of(&state, w, h, k);
            for (theme, name) in [(Theme::Light, "light"), (Theme::Dark, "dark")] {
                let file = folder.join(format!("{}-{size}-{name}.svg", state.name));
                std::fs::write(file, svg::document(&shapes, w, h, k, theme))?;
            }
        }
    }
    Ok(())
}

/// Channels, counts, error and ruler under each other, and the figure on the right where there is room.
fn sheet_of(state: &State, w: f64, h: f64, k: f64) -> Vec<Shape> {
    let words = ChartWords::ENGLISH;
    let notes = TraceNotes { a: state.a, b: state.b, now: state.now };
    let figure = if w > 600.0 { 210.0 * k } else { 0.0 };
    let axis = TimeAxis::of(&state.trace, 8.0 * k, w - 16.0 * k - figure, k, state.columns);
    let mut sheet = Sheet::new(k);
    let title = 24.0 * k;
    let free = h - 3.0 * title - ruler::HEIGHT * k - 24.0 * k;
    let heights = [0.46 * free, 0.22 * free, 0.32 * free];
    let names = ["Channels", "Count", "Following error"];
    let mut y = 0.0;
    let mut tops = [0.0; 3];
    for (i, height) in heights.into_iter().enumerate() {
        sheet.text((axis.left, y + 18.0 * k), names[i], Lettering::Title, Ink::Ink, Anchor::Start);
        tops[i] = y + title;
        y += title + height + 6.0 * k;
    }
    trace::alarm_line(&mut sheet, &axis, tops[0], y);
    channels::draw(&mut sheet, &state.trace, &axis, (tops[0], heights[0]), &words, &notes);
    squares::draw(&mut sheet, &state.trace, &axis, (tops[1], heights[1]), &words);
    error::draw(&mut sheet, &state.error, &axis, (tops[2], heights[2]), &words, 1e3);
    ruler::draw(&mut sheet, &axis, y, &words);
    if figure > 0.0 {
        xy::draw(&mut sheet, &state.xy, (w - figure, title), figure - 8.0 * k, figure - 8.0 * k, &words);
    }
    sheet.finish()
}
