//! The axis from the side: beam, drive, table, read head, and where command, table and count stand.

use super::carriage;
use super::kit::Sheet;
use super::machine_inset;
use super::machine_layout::{MachineLayout, half_carriage, travel_ends};
use super::numbers::fixed;
use super::room::{finite_or, text_width};
use super::scene_words::SceneWords;
use super::shape::{Anchor, Fill, Hatch, Lettering, Shape, Step};
use super::tokens::{Ink, Pen};
use super::view::{DriveDrawing, MachineView};
use std::f64::consts::{FRAC_PI_2, PI};

pub(super) const PAPER: Option<Fill> = Some(Fill::Flat(Ink::Paper, 1.0));
pub(super) const PANEL: Option<Fill> = Some(Fill::Flat(Ink::Panel, 1.0));
pub(super) const SOLID: Option<Fill> = Some(Fill::Flat(Ink::Ink, 1.0));

/// Draws the axis in the places that the layout found for the same view.
pub fn machine(view: &MachineView, at: &MachineLayout, words: &SceneWords) -> Vec<Shape> {
    let mut sheet = Sheet::new(at.k);
    beam(&mut sheet, view.drive, at);
    match view.drive {
        DriveDrawing::Rack => rack(&mut sheet, at),
        DriveDrawing::Screw => screw(&mut sheet, at),
        DriveDrawing::Ring => {}
    }
    if view.drive != DriveDrawing::Ring {
        stops(&mut sheet, view, at);
    }
    scale(&mut sheet, view, at);
    if view.home_switch_m.is_finite() && view.drive != DriveDrawing::Ring {
        home_switch(&mut sheet, view.home_pressed, at);
    }
    carriage::ghost(&mut sheet, view.drive, at);
    if view.ghost {
        carriage::healthy(&mut sheet, view.drive, at);
    }
    carriage::carriage(&mut sheet, view, at);
    if view.ghost {
        carriage::healthy_word(&mut sheet, view.drive, at, words);
    }
    detail_mark(&mut sheet, at);
    dimension(&mut sheet, view, at, words);
    notes(&mut sheet, view, at, words);
    machine_inset::inset(&mut sheet, view, at, words);
    sheet.finish()
}

/// The beam, seen from the side, cut open at both ends.
fn beam(sheet: &mut Sheet, drive: DriveDrawing, at: &MachineLayout) {
    let (d, (top, bottom)) = (at.d, at.beam);
    let (x0, x1, h) = (at.area.x + 3.0 * at.k, at.area.right() - 3.0 * at.k, bottom - top);
    for share in [0.3, 0.7].into_iter().filter(|_| drive != DriveDrawing::Ring) {
        let x = x0 + (x1 - x0) * share;
        let foot = [
            (-17.0, 0.0),
            (-12.0, 8.0),
            (-17.0, 8.0),
            (-17.0, 11.0),
            (17.0, 11.0),
            (17.0, 8.0),
            (12.0, 8.0),
            (17.0, 0.0),
        ];
        sheet.polygon(foot.map(|(u, v)| (x + u * d, bottom + v * d)), PAPER, Some(Pen::MID));
        sheet.line((x - 7.0 * d, bottom), (x - 5.0 * d, bottom + 8.0 * d), Pen::THIN);
        sheet.line((x + 7.0 * d, bottom), (x + 5.0 * d, bottom + 8.0 * d), Pen::THIN);
    }
    sheet.rect((x0, top), x1 - x0, h, PAPER, None);
    let cut = 17.0 * d;
    for (edge, inward) in [(x0, 1.0), (x1, -1.0)] {
        let x = edge + inward * cut;
        let wave = |y: f64, bulge: f64| (x + bulge * d, top + h * y);
        let steps = vec![
            Step::Move((edge, top)),
            Step::Line((x, top)),
            Step::Curve(wave(0.18, 5.0), wave(0.36, 5.0), wave(0.5, 0.0)),
            Step::Curve(wave(0.64, -5.0), wave(0.82, -5.0), wave(1.0, 0.0)),
            Step::Line((edge, bottom)),
            Step::Close,
        ];
        sheet.path(steps.clone(), Some(Fill::Hatch(Hatch::Steel)), None);
        sheet.path(vec![Step::Move((x, top)), steps[2], steps[3]], None, Some(Pen::THIN));
    }
    sheet.rect((x0, top), x1 - x0, h, None, Some(Pen::THICK));
}

/// Rack teeth along the upper edge.
fn rack(sheet: &mut Sheet, at: &MachineLayout) {
    let (d, y) = (at.d, at.beam.0);
    let (from, to) = (at.area.x + 31.0 * d, at.area.right() - 31.0 * d);
    let mut steps = Vec::new();
    let mut x = from;
    while x + 8.0 * d <= to {
        steps.push(if steps.is_empty() { Step::Move((x, y)) } else { Step::Line((x, y)) });
        for (u, v) in [(1.8, -5.0), (4.2, -5.0), (6.0, 0.0)] {
            steps.push(Step::Line((x + u * d, y + v * d)));
        }
        x += 8.0 * d;
    }
    sheet.path(steps, PAPER, Some(Pen::THIN));
}

/// Ball screw with its motor at the left and its bearings; the thread runs along with the table, as a turning one does.
fn screw(sheet: &mut Sheet, at: &MachineLayout) {
    let (d, top) = (at.d, at.beam.0);
    let y = top - carriage::SCREW_AXIS * d;
    let (from, to) = (at.area.x + 4.0 * at.k + 58.0 * d, at.area.right() - 4.0 * at.k - 10.0 * d);
    sheet.rect((from, y - 4.5 * d), to - from, 9.0 * d, PAPER, Some(Pen::MID));
    let lead = 7.0 * d;
    let mut thread = Vec::new();
    let mut x = from + (at.table_x - from).rem_euclid(lead);
    while x + 3.0 * d < to {
        thread.push(Step::Move((x, y + 4.5 * d)));
        thread.push(Step::Line((x + 3.0 * d, y - 4.5 * d)));
        x += lead;
    }
    sheet.path(thread, None, Some(Pen::THIN));
    // Bearing blocks.
    for (x, w) in [(from + 4.0 * d, 13.0), (to - 11.0 * d, 13.0)] {
        sheet.rect((x, y - 12.0 * d), w * d, top - y + 12.0 * d, PANEL, Some(Pen::THICK));
        sheet.line((x, y + 9.0 * d), (x + w * d, y + 9.0 * d), Pen::THIN);
        sheet.circle((x + w * d / 2.0, y - 7.5 * d), 1.8 * d, None, Some(Pen::THIN));
    }
    // Motor: encoder cap, ribbed body, flange, coupling.
    let x = at.area.x + 4.0 * at.k;
    sheet.rect((x, y - 11.0 * d), 9.0 * d, 22.0 * d, PANEL, Some(Pen::MID));
    sheet.rect((x + 9.0 * d, y - 16.0 * d), 33.0 * d, 32.0 * d, PANEL, Some(Pen::THICK));
    for rib in -2..=2 {
        let v = f64::from(rib) * 5.5 * d;
        sheet.line((x + 13.0 * d, y + v), (x + 38.0 * d, y + v), Pen::THIN);
    }
    sheet.rect((x + 42.0 * d, y - 18.0 * d), 5.0 * d, 36.0 * d, PANEL, Some(Pen::MID));
    sheet.rect((x + 47.0 * d, y - 6.0 * d), 12.0 * d, 12.0 * d, PAPER, Some(Pen::MID));
    sheet.line((x + 53.0 * d, y - 6.0 * d), (x + 53.0 * d, y + 6.0 * d), Pen::THIN);
    plug(sheet, (x + 19.0 * d, y - 16.0 * d), d);
}

/// A connector on top of a motor, with its cable.
pub(super) fn plug(sheet: &mut Sheet, (x, y): (f64, f64), d: f64) {
    sheet.rect((x - 5.0 * d, y - 6.0 * d), 10.0 * d, 6.0 * d, PAPER, Some(Pen::MID));
    sheet.rect((x - 3.0 * d, y - 10.0 * d), 6.0 * d, 4.0 * d, PAPER, Some(Pen::THIN));
}

/// End stops: a post with a rubber buffer; the face stands where the carriage comes to rest.
fn stops(sheet: &mut Sheet, view: &MachineView, at: &MachineLayout) {
    let (d, top, half) = (at.d, at.beam.0, half_carriage(view.drive) * at.d);
    let (lo, hi) = travel_ends(view);
    for (face, out) in [(at.x_of(lo) - half, -1.0), (at.x_of(hi) + half, 1.0)] {
        let rect = |sheet: &mut Sheet, from: f64, to: f64, v0: f64, v1: f64, fill: Option<Fill>| {
            let (a, b) = (face + out * from * d, face + out * to * d);
            sheet.rect((a.min(b), top - v1 * d), (b - a).abs(), (v1 - v0) * d, fill, Some(Pen::MID));
        };
        if view.drive == DriveDrawing::Rack {
            let post = [(9.0, 0.0), (9.0, 30.0), (14.0, 30.0), (21.0, 6.0), (21.0, 0.0)];
            sheet.polygon(post.map(|(u, v)| (face + out * u * d, top - v * d)), PAPER, Some(Pen::MID));
            sheet.line((face + out * 9.0 * d, top - 6.0 * d), (face + out * 21.0 * d, top - 6.0 * d), Pen::THIN);
            sheet.circle((face + out * 13.0 * d, top - 3.0 * d), 1.3 * d, SOLID, None);
            rect(sheet, 5.0, 9.0, 16.0, 25.0, PANEL);
            rect(sheet, 0.0, 5.0, 14.5, 26.5, PAPER);
            sheet.line((face + out * 2.5 * d, top - 26.5 * d), (face + out * 2.5 * d, top - 14.5 * d), Pen::THIN);
        } else {
            rect(sheet, 4.0, 7.0, 8.0, 13.0, PANEL);
            rect(sheet, 0.0, 4.0, 5.5, 15.5, PAPER);
        }
    }
}

/// The scale on the beam's face, its reference mark and its dirt.
fn scale(sheet: &mut Sheet, view: &MachineView, at: &MachineLayout) {
    let (d, box_) = (at.d, at.scale);
    sheet.rect((box_.x, box_.y), box_.w, box_.h, PANEL, Some(Pen::THIN));
    let mut ticks = Vec::new();
    let mut x = box_.x + 3.0 * d;
    while x < box_.right() - 1.0 {
        ticks.push(Step::Move((x, box_.y + d)));
        ticks.push(Step::Line((x, box_.bottom() - d)));
        x += 4.0 * d;
    }
    sheet.path(ticks, None, Some(Pen::THIN.alpha(0.75)));
    if view.mark_m.is_finite() {
        let x = at.x_of(view.mark_m).clamp(box_.x, box_.right());
        let y = box_.bottom();
        sheet.line((x, box_.y), (x, y), Pen::THICK);
        sheet.polygon([(x, y + d), (x + 3.5 * d, y + 6.5 * d), (x - 3.5 * d, y + 6.5 * d)], SOLID, None);
    }
    let middle = box_.middle().1;
    for (i, (spot, place)) in view.dirt.iter().zip(&at.dirt).enumerate() {
        let rx = (place.x1 - place.x0) / 2.0;
        let dense = 0.35 + 0.65 * finite_or(spot.blocked, 0.0).clamp(0.0, 1.0);
        let count = ((rx / at.k * 2.6).min(420.0) * dense).ceil() as usize;
        sheet.push(Shape::Clip(box_.x, at.beam.0, box_.w, at.beam.1 - at.beam.0));
        sheet.rect((place.x0, box_.y), 2.0 * rx, box_.h, Some(Fill::Flat(Ink::Dirt, 0.16 * dense)), None);
        sheet.stipple((place.x0 + rx, middle), rx, 6.5 * d, count, 11 + i as u32, Ink::Dirt);
        sheet.push(Shape::Unclip);
    }
}

/// The home switch under the beam: a roller plunger that the dog of the carriage presses down.
fn home_switch(sheet: &mut Sheet, pressed: bool, at: &MachineLayout) {
    let (d, x, beam) = (at.d, at.home.0, at.beam.1);
    let y = |v: f64| beam + v * d;
    let roller = if pressed { 10.0 } else { 6.4 };
    sheet.polygon(
        [(-13.0, 0.0), (-13.0, 24.0), (-9.0, 24.0), (-9.0, 3.0), (-6.0, 0.0)].map(|(u, v)| (x + u * d, y(v))),
        PAPER,
        Some(Pen::THIN),
    );
    sheet.rect((x - 1.3 * d, y(roller)), 2.6 * d, (16.0 - roller) * d, PAPER, Some(Pen::THIN));
    sheet.rect((x - 9.0 * d, y(14.5)), 18.0 * d, 12.5 * d, PANEL, Some(Pen::MID));
    sheet.circle((x, y(roller)), 2.8 * d, PAPER, Some(Pen::MID));
    sheet.circle((x, y(roller)), 0.8 * d, SOLID, None);
    // The dot is filled while the contact is made.
    sheet.circle((x, y(20.8)), 2.6 * d, if pressed { SOLID } else { PAPER }, Some(Pen::MID));
    for u in [-6.0, 6.0] {
        sheet.circle((x + u * d, y(20.8)), 1.0 * d, None, Some(Pen::THIN));
    }
}

/// The ring around the head that says: drawn large elsewhere, as S (ISO 128-3, enlarged detail).
fn detail_mark(sheet: &mut Sheet, at: &MachineLayout) {
    let (k, d, (x, y)) = (at.k, at.d, at.head);
    let r = 18.0 * d;
    sheet.circle((x, y), r, None, Some(Pen::THIN));
    let elbow = (x + 22.0 * k, at.beam.1 + 9.0 * k);
    let angle = (elbow.1 - y).atan2(elbow.0 - x);
    sheet.polyline([(x + r * angle.cos(), y + r * angle.sin()), elbow, (elbow.0 + 6.0 * k, elbow.1)], Pen::THIN);
    sheet.text_over((elbow.0 + 9.0 * k, elbow.1 + 4.5 * k), "S", Lettering::Strong, Ink::Ink, Anchor::Start);
    sheet.line((x, at.carriage.y - 8.0 * k), (x, at.dimension_y + 7.0 * k), Pen::CENTRE);
}

/// From machine zero to the counted place.
fn dimension(sheet: &mut Sheet, view: &MachineView, at: &MachineLayout, words: &SceneWords) {
    let (k, y, zero, tip) = (at.k, at.dimension_y, at.x0, at.counted_x);
    let ink = if at.counted_off { Ink::Fault } else { Ink::Ink };
    let pen = Pen { ink, ..Pen::THIN };
    sheet.line((zero, at.beam.1 + 6.0 * k), (zero, y + 6.0 * k), Pen::THIN);
    sheet.circle((zero, at.beam.1 + 4.0 * k), 2.6 * k, PAPER, Some(Pen::MID));
    // The nought stands outside the dimension, unless that runs far to the left.
    let (nought, anchor) = if zero - tip > 22.0 * k {
        (zero + 7.0 * k, Anchor::Start)
    } else {
        ((zero.min(tip) - 7.0 * k).max(at.area.x + 8.0 * k), Anchor::End)
    };
    sheet.text_over((nought, y + 4.5 * k), "0", Lettering::Note, Ink::Ink2, anchor);
    if at.counted_off {
        sheet.line((tip, at.beam.1 + 12.0 * k), (tip, y + 6.0 * k), Pen::FAULT_THIN);
    }
    let value = fixed(view.counted_m * 1e3, 2);
    let wide = text_width(&format!("{} ", words.counted), Lettering::Note, k);
    let number = text_width(&value, Lettering::Value, k);
    let (a, b) = (zero.min(tip), zero.max(tip));
    let beyond = b + 24.0 * k;
    let last = at.area.right() - 2.0 * k;
    // On the line if there is room, else beyond its right end; the word before the number gives way first.
    let (start, on_line, lead) = if b - a > wide + number + 44.0 * k {
        ((a + b - wide - number) / 2.0, true, true)
    } else if beyond + wide + number < last {
        (beyond, false, true)
    } else if b - a > number + 32.0 * k {
        ((a + b - number) / 2.0, true, false)
    } else {
        (beyond.min(last - number), false, false)
    };
    let width = if lead { wide + number } else { number };
    if b - a > 22.0 * k {
        let outwards = if tip >= zero { 0.0 } else { PI };
        if on_line {
            sheet.line((a, y), (start - 6.0 * k, y), pen);
            sheet.line((start + width + 6.0 * k, y), (b, y), pen);
        } else {
            sheet.line((a, y), (b, y), pen);
        }
        sheet.arrow((zero, y), PI - outwards, 9.0, ink);
        sheet.arrow((tip, y), outwards, 9.0, ink);
    } else {
        sheet.line((tip, y), (b + 18.0 * k, y), pen);
        sheet.arrow((tip, y), PI, 9.0, ink);
    }
    let after = if lead { start + wide } else { start };
    if lead {
        let lead_ink = if at.counted_off { ink } else { Ink::Ink2 };
        sheet.text((start, y + 5.0 * k), words.counted, Lettering::Note, lead_ink, Anchor::Start);
    }
    sheet.text_over((after, y + 5.0 * k), value, Lettering::Value, ink, Anchor::Start);
}

/// The last row: what the fixed parts are, as far as there is room.
fn notes(sheet: &mut Sheet, view: &MachineView, at: &MachineLayout, words: &SceneWords) {
    let (k, y) = (at.k, at.dimension_y + 20.0 * at.k);
    if y + 4.0 * k > at.area.bottom() {
        return;
    }
    let ends = format!("{} {}", words.travel_ends_at, fixed(view.travel_m * 1e3, 0));
    let end = at.x_of(finite_or(view.travel_m, 0.0)).min(at.area.right() - 4.0 * k);
    sheet.line((end, at.beam.1 + 5.0 * k), (end, y - 12.0 * k), Pen::THIN);
    sheet.arrow((end, at.beam.1 + 2.0 * k), -FRAC_PI_2, 6.0, Ink::Ink);
    let ends_width = text_width(&ends, Lettering::Note, k);
    let ends_from = (end - ends_width / 2.0).min(at.area.right() - 4.0 * k - ends_width);
    sheet.text((ends_from, y), ends, Lettering::Note, Ink::Ink2, Anchor::Start);
    let mut from = at.area.x + 4.0 * k;
    let home_width = text_width(words.home_switch, Lettering::Note, k);
    if view.home_switch_m.is_finite() && view.drive != DriveDrawing::Ring && from + home_width + 12.0 * k < ends_from {
        let x = at.home.0;
        let start = (x - home_width / 2.0).max(from);
        sheet.text((start, y), words.home_switch, Lettering::Note, Ink::Ink2, Anchor::Start);
        sheet.line((x, at.beam.1 + 28.0 * at.d), (x, y - 12.0 * k), Pen::THIN);
        from = start + home_width + 20.0 * k;
    }
    let (a, b) = view.gap_ends;
    if (a - b).abs() > 0.02 {
        let words = format!("{} {} to {}", words.gap_along, gap_text(a), gap_text(b));
        let width = text_width(&words, Lettering::Note, k);
        if from + width + 16.0 * k < ends_from {
            sheet.text(((from + ends_from) / 2.0, y), words, Lettering::Note, Ink::Ink2, Anchor::Middle);
        }
    }
}

fn gap_text(factor: f64) -> String {
    format!("\u{d7}{}", fixed(factor, 2))
}
