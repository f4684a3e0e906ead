//! Section S–S: the head over the scale, cut along the travel, with the light between them.

use super::kit::Sheet;
use super::room::text_width;
use super::scene_words::SceneWords;
use super::section_extra::{film, ghost};
use super::section_head::{arm, back_wall, head};
use super::section_layout::{HEAD, MOST_TURN, SectionLayout};
use super::section_light::{light, scatter};
use super::section_scale::{dirt, scale};
use super::shape::{Anchor, Lettering, Point, Shape, Step};
use super::tokens::{Ink, Pen};
use super::view::HeadView;
use std::f64::consts::{FRAC_PI_2, PI};

/// Draws the section in the places that the layout found for the same view.
pub fn section(view: &HeadView, at: &SectionLayout, words: &SceneWords) -> Vec<Shape> {
    let mut sheet = Sheet::new(at.scale.k);
    back_wall(&mut sheet, at);
    scale(&mut sheet, view, at);
    light(&mut sheet, view, at);
    dirt(&mut sheet, view, at);
    scatter(&mut sheet, view, at);
    let k = at.scale.k;
    let low = if view.transmissive { at.area.bottom() } else { at.strip.bottom() + 26.0 * k };
    let (x, y) = at.tilt_pivot;
    sheet.line((x, y - at.tilt_radius - 4.0 * k), (x, y - (HEAD - 6.0) * k), Pen::CENTRE);
    sheet.line((x, y), (x, low.min(at.area.bottom())), Pen::CENTRE);
    arm(&mut sheet, view, at);
    head(&mut sheet, view, at);
    film(&mut sheet, view, at);
    if view.ghost {
        ghost(&mut sheet, view, at, words);
    }
    tilt(&mut sheet, at);
    gap(&mut sheet, at);
    names(&mut sheet, view, at, words);
    sheet.finish()
}

/// The dimension that is a control: from the mask to the scale.
fn gap(sheet: &mut Sheet, at: &SectionLayout) {
    let k = at.scale.k;
    let (top, foot) = at.gap_ends;
    let right = at.head.right();
    sheet.line((right + 4.0 * k, top.1), (top.0 - 5.0 * k, top.1), Pen::THIN);
    sheet.line((at.strip.right() + 2.0 * k, foot.1), (foot.0 + 8.0 * k, foot.1), Pen::THIN);
    sheet.dimension(top, foot, Pen::TOUCH);
    sheet.knob(at.gap_knob);
}

/// The arc on which the tilt's knob runs.
fn tilt(sheet: &mut Sheet, at: &SectionLayout) {
    let k = at.scale.k;
    let (pivot, r) = (at.tilt_pivot, at.tilt_radius);
    let arc = |from: f64, to: f64| {
        let start = (pivot.0 + r * from.cos(), pivot.1 + r * from.sin());
        vec![Step::Move(start), Step::Arc(pivot, r, from, to)]
    };
    sheet.path(arc(-FRAC_PI_2 - MOST_TURN, -FRAC_PI_2 + MOST_TURN), None, Some(Pen::HAIR));
    let angle = (at.tilt_knob.0 - pivot.0).atan2(pivot.1 - at.tilt_knob.1);
    if angle.abs() > 0.01 {
        let (from, to) = (-FRAC_PI_2 + angle.min(0.0), -FRAC_PI_2 + angle.max(0.0));
        sheet.path(arc(from, to), None, Some(Pen::TOUCH));
        let axis = (pivot.0 + (HEAD + 4.0) * k * angle.sin(), pivot.1 - (HEAD + 4.0) * k * angle.cos());
        sheet.line(axis, at.tilt_knob, Pen::TOUCH);
        if angle.abs() * r > 14.0 * k {
            sheet.arrow((pivot.0, pivot.1 - r), if angle > 0.0 { PI } else { 0.0 }, 7.0, Ink::Touch);
        }
    }
    sheet.knob(at.tilt_knob);
}

/// Names of the parts, where there is room at the left.
fn names(sheet: &mut Sheet, view: &HeadView, at: &SectionLayout, words: &SceneWords) {
    let k = at.scale.k;
    // The lamp's name stands beside it, where nothing else does.
    let lamp = lamp_place(at);
    let word = text_width(words.light_source, Lettering::Note, k);
    let inside = at.scale.half - 13.0 * k;
    if at.scale.names_x.is_some() && at.scale.lamp == 0.0 && 16.0 * k + word < inside {
        let (u, v) = if at.arm_depth.is_some() { (20.0, -12.0) } else { (16.0, 9.5) };
        // The unit of the currents stands over the leftmost field: keep to the other side.
        let used = view.fields.iter().zip(&at.scale.fields).filter(|(f, _)| f.used).map(|(_, x)| x.0);
        let left = used.fold(f64::INFINITY, f64::min) > 0.0;
        let x = if left { lamp.0 - u * k - word } else { lamp.0 + u * k };
        sheet.text((x, lamp.1 - v * k), words.light_source, Lettering::Note, Ink::Ink2, Anchor::Start);
    }
    let Some(x) = at.scale.names_x else { return };
    let first = at.scale.fields.iter().fold(0.0, |m: f64, f| m.min(f.0));
    let half = at.scale.half;
    let (sensor, glass) = (at.on_head(first, 24.0 * k), at.on_head(-half + 12.0 * k, 6.0 * k));
    let strip_y = at.strip.y + 7.0 * k;
    let rows = [
        (words.sensors, sensor, sensor.1.min(glass.1 - 16.0 * k)),
        (words.mask, glass, glass.1),
        (words.scale, (at.strip.x, strip_y), strip_y.max(glass.1 + 17.0 * k)),
    ];
    for (word, to, y) in rows {
        let from = x + text_width(word, Lettering::Note, k) + 5.0 * k;
        sheet.text((x, y + 4.0 * k), word, Lettering::Note, Ink::Ink2, Anchor::Start);
        sheet.line((from, y), to, Pen::THIN);
        sheet.circle(to, 1.4 * k, super::machine::SOLID, None);
    }
}

/// Middle of the lamp on the screen.
pub(super) fn lamp_place(at: &SectionLayout) -> Point {
    let k = at.scale.k;
    at.arm_depth.map_or_else(|| at.on_head(at.scale.lamp, 42.0 * k), |depth| at.on_head(0.0, -depth - 20.0 * k))
}
