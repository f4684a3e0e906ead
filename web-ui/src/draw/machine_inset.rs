//! How the axis really stands, beside the long picture that is drawn lying: a table that turns, a load that hangs.

use super::kit::Sheet;
use super::machine::{PANEL, PAPER, SOLID, plug};
use super::machine_layout::MachineLayout;
use super::numbers::fixed;
use super::room::{Area, finite_or};
use super::scene_words::SceneWords;
use super::shape::{Anchor, Fill, Hatch, Lettering, Point, Step};
use super::tokens::{Ink, Pen};
use super::view::{Lies, MachineView};
use std::f64::consts::{FRAC_PI_2, TAU};

/// Draws the inset, if the layout has room for one.
pub(super) fn inset(sheet: &mut Sheet, view: &MachineView, at: &MachineLayout, words: &SceneWords) {
    let Some(area) = at.inset else { return };
    match view.lies {
        Lies::Level => {}
        Lies::Turning => turning(sheet, view, &area, at, words),
        Lies::Hanging => hanging(sheet, view, &area, at, words),
    }
}

/// The table from above: face plate with slots, ring of lines on its rim, the head standing still beside it.
fn turning(sheet: &mut Sheet, view: &MachineView, area: &Area, at: &MachineLayout, words: &SceneWords) {
    let k = at.k;
    let foot = 20.0 * k;
    let r = (0.5 * (area.h - foot) - 6.0 * k).min(0.5 * area.w - 34.0 * k).max(12.0 * k);
    let centre = (area.x + r + 6.0 * k, area.y + 0.5 * (area.h - foot));
    let turn = |m: f64| -finite_or(m / view.travel_m.max(1e-3), 0.0) * TAU;
    let now = turn(view.table_m);
    let on = |angle: f64, r: f64| (centre.0 + r * angle.cos(), centre.1 + r * angle.sin());
    sheet.circle(centre, r, PANEL, Some(Pen::THICK));
    let (rim, inner) = (0.93 * r, 0.82 * r);
    // The ring of lines turns with the table, seventy-two lines for the picture.
    let mut lines = Vec::new();
    for i in 0..72 {
        let angle = now + f64::from(i) * TAU / 72.0;
        lines.push(Step::Move(on(angle, inner)));
        lines.push(Step::Line(on(angle, rim)));
    }
    sheet.path(lines, None, Some(Pen::THIN));
    for r in [rim, inner] {
        sheet.circle(centre, r, None, Some(Pen::THIN));
    }
    dirt(sheet, view, centre, (inner, rim), turn, now);
    // The mark is where the head sees it at its place: that way round from zero.
    if view.mark_m.is_finite() {
        let angle = now - turn(view.mark_m);
        sheet.line(on(angle, inner), on(angle, rim), Pen::THICK);
        let s = 4.0 * at.d;
        let foot = [on(angle, inner), on(angle - s / inner, inner - 1.6 * s), on(angle + s / inner, inner - 1.6 * s)];
        sheet.polygon(foot, SOLID, None);
    }
    for slot in 0..4 {
        let angle = now + f64::from(slot) * FRAC_PI_2;
        for off in [-0.035, 0.035] {
            let side = |q: f64| {
                let p = on(angle, q * r);
                (p.0 - off * r * angle.sin(), p.1 + off * r * angle.cos())
            };
            sheet.line(side(0.2), side(0.78), Pen::THIN);
        }
    }
    sheet.circle(centre, 0.17 * r, PAPER, Some(Pen::MID));
    let cross = 0.24 * r;
    sheet.line((centre.0 - cross, centre.1), (centre.0 + cross, centre.1), Pen::CENTRE);
    sheet.line((centre.0, centre.1 - cross), (centre.0, centre.1 + cross), Pen::CENTRE);
    if view.ghost && (view.healthy_m - view.table_m).abs() / view.travel_m.max(1e-3) * TAU * r > 1.5 {
        let angle = now + turn(view.healthy_m) - now;
        sheet.line(on(angle, 0.2 * r), on(angle, 0.78 * r), Pen::GHOST);
    }
    // The head, at three o'clock, with its light.
    let light = finite_or(view.light, 0.0).clamp(0.0, 1.0);
    let (x, y) = (centre.0 + inner, centre.1);
    let h = 11.0 * at.d.max(0.6 * k);
    sheet.rect((x - 3.0 * k, y - h), r - inner + 22.0 * k, 2.0 * h, PAPER, Some(Pen::THICK));
    let lamp = (x + 0.5 * (rim - inner), y);
    sheet.circle(lamp, 13.0 * k, Some(Fill::Glow(Ink::Glow, lamp, 13.0 * k, 0.15 + 0.5 * light)), None);
    sheet.circle(lamp, 3.6 * k, Some(Fill::Flat(Ink::Glow, light)), Some(Pen::MID));
    // Which way is plus.
    let (from, to) = (-FRAC_PI_2 + 0.3, -FRAC_PI_2 - 0.3);
    let arc = 0.5 * r;
    sheet.path(vec![Step::Move(on(from, arc)), Step::Arc(centre, arc, from, to)], None, Some(Pen::MID));
    sheet.arrow(on(to, arc), to - FRAC_PI_2, 7.0, Ink::Ink);
    let degrees = finite_or(view.table_m / view.travel_m.max(1e-3), 0.0) * 360.0;
    let text = format!("{} {}\u{b0}", words.turned, fixed(degrees, 2));
    sheet.text((area.x + 6.0 * k, area.bottom() - 4.0 * k), text, Lettering::Note, Ink::Ink2, Anchor::Start);
}

/// Dirt on the ring, as arcs that turn with it.
fn dirt(
    sheet: &mut Sheet,
    view: &MachineView,
    centre: Point,
    (inner, rim): (f64, f64),
    turn: impl Fn(f64) -> f64,
    now: f64,
) {
    for spot in &view.dirt {
        let (a, b) = (now - turn(spot.from_m), now - turn(spot.to_m));
        let (a, b) = (a.min(b), a.max(b).min(a.min(b) + TAU));
        let (a, b) = if (b - a) * rim < 4.0 { (0.5 * (a + b) - 2.0 / rim, 0.5 * (a + b) + 2.0 / rim) } else { (a, b) };
        let start = |angle: f64, r: f64| (centre.0 + r * angle.cos(), centre.1 + r * angle.sin());
        let steps = vec![
            Step::Move(start(a, rim)),
            Step::Arc(centre, rim, a, b),
            Step::Line(start(b, inner)),
            Step::Arc(centre, inner, b, a),
            Step::Close,
        ];
        let dense = 0.35 + 0.5 * finite_or(spot.blocked, 0.0).clamp(0.0, 1.0);
        sheet.path(steps, Some(Fill::Flat(Ink::Dirt, dense)), Some(Pen::THIN));
    }
}

/// The head on its upright screw: plus is up, what lets go falls down.
fn hanging(sheet: &mut Sheet, view: &MachineView, area: &Area, at: &MachineLayout, words: &SceneWords) {
    let (k, d) = (at.k, at.d.max(0.6 * at.k));
    let foot = 20.0 * k;
    let column = Area::new(area.x + 8.0 * k, area.y + 4.0 * k, 22.0 * d, area.h - foot - 6.0 * k);
    sheet.rect((column.x, column.y), column.w, column.h, PAPER, None);
    sheet.rect((column.x, column.y), column.w, column.h, Some(Fill::Hatch(Hatch::Steel)), Some(Pen::THICK));
    let x = column.right() + 14.0 * d;
    // Motor with its brake on top.
    let (top, motor) = (column.y, 26.0 * d);
    sheet.rect((x - 12.0 * d, top), 24.0 * d, motor, PANEL, Some(Pen::THICK));
    sheet.rect((x - 9.0 * d, top + motor), 18.0 * d, 7.0 * d, PANEL, Some(Pen::MID));
    plug(sheet, (x + 6.0 * d, top), 0.0_f64.max(0.6 * d));
    let (from, to) = (top + motor + 7.0 * d, column.bottom() - 4.0 * d);
    sheet.rect((x - 3.0 * d, from), 6.0 * d, to - from, PAPER, Some(Pen::MID));
    let tall = (0.34 * (to - from)).clamp(18.0 * d, 46.0 * d);
    let span = (to - from - tall - 4.0 * d).max(1.0);
    let place = |m: f64| {
        let share = finite_or((m - view.stops_m.0) / (view.stops_m.1 - view.stops_m.0), 0.0).clamp(0.0, 1.0);
        to - 2.0 * d - tall - share * span
    };
    let y = place(view.table_m);
    let mut thread = Vec::new();
    let mut v = from + (y - from).rem_euclid(5.0 * d);
    while v + 2.0 * d < to {
        thread.extend([Step::Move((x - 3.0 * d, v + 2.0 * d)), Step::Line((x + 3.0 * d, v))]);
        v += 5.0 * d;
    }
    sheet.path(thread, None, Some(Pen::THIN));
    let body = |y: f64| {
        [
            (x - 9.0 * d, y),
            (x + 44.0 * d, y),
            (x + 44.0 * d, y + 0.66 * tall),
            (x + 34.0 * d, y + tall),
            (x + 24.0 * d, y + tall),
            (x + 14.0 * d, y + 0.66 * tall),
            (x - 9.0 * d, y + 0.66 * tall),
        ]
    };
    if view.ghost && (place(view.healthy_m) - y).abs() > 1.5 {
        sheet.polygon(body(place(view.healthy_m)), None, Some(Pen::GHOST));
    }
    sheet.polygon(body(y), PANEL, Some(Pen::THICK));
    sheet.line((x + 29.0 * d, y + 4.0 * d), (x + 29.0 * d, (y + tall + 7.0 * d).min(column.bottom())), Pen::CENTRE);
    // The weight.
    let (wx, wy) = (x + 56.0 * d, y + 0.3 * tall);
    if wx + 12.0 * k < area.right() {
        sheet.line((wx, wy), (wx, wy + 20.0 * d), Pen::MID);
        sheet.arrow((wx, wy + 24.0 * d), FRAC_PI_2, 8.0, Ink::Ink);
        sheet.text((wx + 6.0 * k, wy + 14.0 * d), "g", Lettering::Text, Ink::Ink, Anchor::Start);
    }
    sheet.text((area.x + 8.0 * k, area.bottom() - 4.0 * k), words.hangs, Lettering::Note, Ink::Ink2, Anchor::Start);
}
