//! The head in the section: housing, board, lamp, mask and sensor fields; the lamp's arm under a glass scale.

use super::head_scale::WALL;
use super::kit::Sheet;
use super::machine::{PANEL, PAPER, SOLID};
use super::numbers::fixed;
use super::room::{finite_or, text_width};
use super::section_layout::{ARM, HEAD, SectionLayout};
use super::section_light::{FIELD_FOOT, FIELD_TOP};
use super::shape::{Anchor, Fill, Hatch, Lettering, Point, Shape, Step};
use super::tokens::{Ink, Pen};
use super::view::HeadView;

/// Thickness of the mask, px at scale 1.
const MASK: f64 = 10.0;
/// Underside of the board over the mask's lower face, px at scale 1.
const BOARD: f64 = 66.0;
/// Base lines of the photocurrents and of their unit, px at scale 1.
const CURRENTS: f64 = 40.0;
const UNIT: f64 = 54.0;

/// Points of the head before it is turned: `u` right of its middle, `v` above the mask's lower face, px at scale 1.
struct Frame {
    origin: Point,
    k: f64,
}

impl Frame {
    fn p(&self, u: f64, v: f64) -> Point {
        (self.origin.0 + u, self.origin.1 - v * self.k)
    }
}

/// What stands behind the cut: the inside of the housing, and the web that carries a lamp's arm.
pub(super) fn back_wall(sheet: &mut Sheet, at: &SectionLayout) {
    let (k, half) = (at.scale.k, at.scale.half);
    let frame = Frame { origin: at.tilt_pivot, k };
    sheet.push(Shape::Turn(at.tilt_pivot, at.turn_rad));
    sheet.rect(frame.p(-half, HEAD), 2.0 * half, HEAD * k, PANEL, None);
    if let Some(depth) = at.arm_depth {
        let web = half - 7.0 * k;
        sheet.rect(frame.p(-web, 0.0), 2.0 * web, depth, Some(Fill::Flat(Ink::Panel, 0.55)), None);
        sheet.line(frame.p(-web, 0.0), frame.p(-web, -depth / k), Pen::THIN);
        sheet.line(frame.p(web, 0.0), frame.p(web, -depth / k), Pen::THIN);
        sheet.rect(frame.p(-half, -depth / k), 2.0 * half, ARM * k, PANEL, None);
    }
    sheet.push(Shape::Unturn);
}

/// The head with everything in it.
pub(super) fn head(sheet: &mut Sheet, view: &HeadView, at: &SectionLayout) {
    let (k, half) = (at.scale.k, at.scale.half);
    let frame = Frame { origin: at.tilt_pivot, k };
    let inside = half - WALL * k;
    sheet.push(Shape::Turn(at.tilt_pivot, at.turn_rad));
    housing(sheet, &frame, half);
    board(sheet, &frame, inside);
    if view.squared {
        squarer(sheet, &frame, inside);
    }
    if !view.transmissive {
        let corner = frame.p(-inside, HEAD - WALL);
        sheet.push(Shape::Clip(corner.0, corner.1, 2.0 * inside, (HEAD - WALL) * k));
        led(sheet, frame.p(at.scale.lamp, 34.0), BOARD - 34.0, finite_or(view.lamp, 0.0).clamp(0.0, 1.0), k);
        sheet.push(Shape::Unclip);
    }
    mask(sheet, view, at, &frame, inside);
    fields(sheet, view, at, &frame);
    currents(sheet, view, at, &frame, inside);
    sheet.push(Shape::Unturn);
}

/// Hatched walls, cable gland and the two screws of the mask's holder.
fn housing(sheet: &mut Sheet, frame: &Frame, half: f64) {
    let k = frame.k;
    let wall = WALL * k;
    let inner = HEAD - WALL;
    let walls = [
        frame.p(-half, 0.0),
        frame.p(-half, HEAD),
        frame.p(half, HEAD),
        frame.p(half, 0.0),
        frame.p(half - wall, 0.0),
        frame.p(half - wall, inner),
        frame.p(-half + wall, inner),
        frame.p(-half + wall, 0.0),
    ];
    // The gland sits on the side away from the number fields.
    let gland = frame.p(-half, HEAD - 22.0);
    sheet.rect((gland.0 - 7.0 * k, gland.1), 7.0 * k, 12.0 * k, PANEL, Some(Pen::MID));
    sheet.line((gland.0 - 3.5 * k, gland.1), (gland.0 - 3.5 * k, gland.1 + 12.0 * k), Pen::THIN);
    let cable = |v: f64| {
        let y = gland.1 + v * k;
        vec![
            Step::Move((gland.0 - 7.0 * k, y)),
            Step::Curve((gland.0 - 11.0 * k, y), (gland.0 - 13.0 * k, y), (gland.0 - 16.0 * k, y + 4.0 * k)),
        ]
    };
    sheet.path(cable(3.5), None, Some(Pen::THIN));
    sheet.path(cable(8.5), None, Some(Pen::THIN));
    sheet.polygon(walls, PAPER, None);
    sheet.polygon(walls, Some(Fill::Hatch(Hatch::Housing)), Some(Pen::THICK));
}

/// The circuit board with some parts, and the wires to the gland.
fn board(sheet: &mut Sheet, frame: &Frame, inside: f64) {
    let k = frame.k;
    let half = inside - 7.0 * k;
    for side in [-1.0, 1.0] {
        sheet.rect(
            frame.p(side * (half - 8.0 * k) - 2.0 * k, HEAD - WALL),
            4.0 * k,
            (HEAD - WALL - BOARD - 4.0) * k,
            PAPER,
            Some(Pen::THIN),
        );
    }
    sheet.rect(frame.p(-half, BOARD + 4.5), 2.0 * half, 4.5 * k, PAPER, Some(Pen::MID));
    let mut u = -half + 20.0 * k;
    let mut part = 0;
    while u + 14.0 * k < half - 14.0 * k {
        let w = [12.0, 7.0, 9.0][part % 3] * k;
        let v = [4.5, 3.5, 4.0][part % 3];
        sheet.rect(frame.p(u, BOARD + 4.5 + v), w, v * k, PAPER, Some(Pen::THIN));
        u += w + 12.0 * k;
        part += 1;
    }
}

/// The stage on the board that squares the channels: a box with a square wave in it.
fn squarer(sheet: &mut Sheet, frame: &Frame, inside: f64) {
    let k = frame.k;
    let corner = frame.p(inside - 7.0 * k - 34.0 * k, BOARD + 19.0);
    sheet.rect(corner, 26.0 * k, 14.5 * k, PANEL, Some(Pen::MID));
    let p = |u: f64, v: f64| (corner.0 + u * k, corner.1 + v * k);
    let wave =
        [(3.0, 11.0), (7.0, 11.0), (7.0, 4.0), (13.0, 4.0), (13.0, 11.0), (19.0, 11.0), (19.0, 4.0), (23.0, 4.0)];
    sheet.polyline(wave.map(|(u, v)| p(u, v)), Pen::MID);
}

/// A lamp on two wires; the point is where its light leaves. `wires` is their upper end over it, px at scale 1.
fn led(sheet: &mut Sheet, (x, y): Point, wires: f64, lamp: f64, k: f64) {
    let up = if wires < 0.0 { -1.0 } else { 1.0 };
    let p = |u: f64, v: f64| (x + u * k, y - v * up * k);
    for u in [-3.5, 3.5] {
        sheet.line(p(u, 14.0), p(u, wires.abs()), Pen::MID);
    }
    if lamp > 0.0 {
        sheet.circle((x, y), 40.0 * k, Some(Fill::Glow(Ink::Glow, (x, y), 40.0 * k, 0.85 * lamp)), None);
    }
    let body = vec![
        Step::Move(p(-8.0, 14.0)),
        Step::Line(p(-8.0, 4.0)),
        Step::Curve(p(-8.0, -6.5), p(8.0, -6.5), p(8.0, 4.0)),
        Step::Line(p(8.0, 14.0)),
        Step::Close,
    ];
    sheet.path(body.clone(), PANEL, None);
    sheet.path(body, Some(Fill::Flat(Ink::Glow, 0.08 + 0.92 * lamp)), Some(Pen::THICK));
    let (a, b) = (p(-10.0, 14.0), p(10.0, 17.0));
    sheet.rect((a.0, a.1.min(b.1)), b.0 - a.0, (a.1 - b.1).abs(), PANEL, Some(Pen::MID));
    if lamp > 0.0 {
        let core = p(0.0, 2.0);
        sheet.circle(core, 7.0 * k, Some(Fill::Glow(Ink::LineBright, core, 7.0 * k, lamp)), None);
    }
}

/// Mask glass with its dark layer; the slots of each field stand where its phase asks.
fn mask(sheet: &mut Sheet, view: &HeadView, at: &SectionLayout, frame: &Frame, inside: f64) {
    let k = frame.k;
    for fill in [Fill::Flat(Ink::Glass, 0.75), Fill::Hatch(Hatch::Glass)] {
        sheet.rect(frame.p(-inside, MASK), 2.0 * inside, MASK * k, Some(fill), None);
    }
    sheet.rect(frame.p(-inside, MASK), 2.0 * inside, MASK * k, None, Some(Pen::MID));
    let mut chrome = Vec::new();
    for (i, field) in view.fields.iter().enumerate() {
        let (from, to) = at.scale.fields[i];
        let single = at.scale.slots(i, field.name).len() == 1;
        // A single slot is a window: the dark layer stands on both sides of it.
        let (from, to) = if single { (from - 7.0 * k, to + 7.0 * k) } else { (from - 2.0 * k, to + 2.0 * k) };
        let mut u = from.max(-inside);
        for (a, b) in at.scale.slots(i, field.name).into_iter().chain([(to.min(inside), to)]) {
            if a > u + 0.2 {
                chrome.push(Step::Move(frame.p(u, 3.0)));
                chrome.extend([frame.p(a, 3.0), frame.p(a, 0.0), frame.p(u, 0.0)].map(Step::Line));
                chrome.push(Step::Close);
            }
            u = b;
        }
    }
    sheet.path(chrome, Some(Fill::Flat(Ink::Ink, 1.0)), None);
}

/// Sensor fields: brightness is light, the name stands on a plate.
fn fields(sheet: &mut Sheet, view: &HeadView, at: &SectionLayout, frame: &Frame) {
    let k = frame.k;
    let h = (FIELD_TOP - FIELD_FOOT) * k;
    for (field, (a, b)) in view.fields.iter().zip(&at.scale.fields) {
        field_face(sheet, frame.p(*a, FIELD_TOP), b - a, h, field.lit, field.used);
        plate(sheet, frame.p((a + b) / 2.0, FIELD_FOOT + 11.5), b - a, field.name, field.used, k);
    }
}

/// The face of a sensor field: glow at 0.12 + 0.88 of its light; dashed and dark when it is not connected.
pub(super) fn field_face(sheet: &mut Sheet, at: Point, w: f64, h: f64, lit: f64, used: bool) {
    sheet.rect(at, w, h, PANEL, None);
    if used {
        let lit = finite_or(lit, 0.0).clamp(0.0, 1.0);
        sheet.rect(at, w, h, Some(Fill::Flat(Ink::Glow, 0.12 + 0.88 * lit)), Some(Pen::MID));
    } else {
        sheet.rect(at, w, h, None, Some(Pen::LEVEL));
    }
}

/// The name of a field on a plate, if the field is wide enough for it.
pub(super) fn plate(sheet: &mut Sheet, (x, y): Point, room: f64, name: &str, used: bool, k: f64) {
    let wide = text_width(name, Lettering::Strong, k);
    if wide > room + 1.0 * k {
        return;
    }
    let w = (wide + 5.0 * k).min((room - 6.0 * k).max(wide));
    sheet.rect((x - w / 2.0, y - 6.5 * k), w, 13.0 * k, PANEL, None);
    let ink = if used { Ink::Ink } else { Ink::Ink2 };
    sheet.text((x, y + 4.5 * k), name, Lettering::Strong, ink, Anchor::Middle);
}

/// Photocurrents over the fields, with their unit once. In narrow heads every second one moves up a row.
fn currents(sheet: &mut Sheet, view: &HeadView, at: &SectionLayout, frame: &Frame, inside: f64) {
    let k = frame.k;
    let mut row: Vec<(f64, String)> = view
        .fields
        .iter()
        .zip(&at.scale.fields)
        .filter(|(field, _)| field.used)
        .map(|(field, (a, b))| ((a + b) / 2.0, fixed(field.current_a * 1e6, 2)))
        .collect();
    row.sort_by(|a, b| a.0.total_cmp(&b.0));
    let wide = |text: &str| text_width(text, Lettering::Note, k);
    let tight = |step: usize| {
        row.windows(step + 1).any(|w| w[step].0 - w[0].0 < (wide(&w[step].1) + wide(&w[0].1)) / 2.0 + 4.0 * k)
    };
    let (stagger, hide) =
        (tight(1), tight(1) && (tight(2) || row.len() > 2 && view.fields.len() > 3 && inside < 60.0 * k));
    let lamp = at.arm_depth.is_none().then_some(at.scale.lamp);
    let at_lamp = |(u, text): &(f64, String)| lamp.is_some_and(|x| (u - x).abs() < wide(text) / 2.0 + 9.0 * k);
    if hide || row.is_empty() || row.iter().any(at_lamp) {
        return;
    }
    for (i, (u, text)) in row.iter().enumerate() {
        let v = if stagger && i % 2 == 1 { CURRENTS + 13.0 } else { CURRENTS };
        let limit = (inside - wide(text) / 2.0 - 1.5 * k).max(0.0);
        sheet.text(frame.p(u.clamp(-limit, limit), v), text.clone(), Lettering::Note, Ink::Ink2, Anchor::Middle);
    }
    let first = row[0].0.max(-inside + 16.0 * k);
    sheet.text(
        frame.p(first, if stagger { UNIT + 1.0 } else { UNIT - 1.5 }),
        "\u{b5}A",
        Lettering::Note,
        Ink::Ink2,
        Anchor::Middle,
    );
}

/// The lamp's arm under a glass scale: housing, lamp, lens.
pub(super) fn arm(sheet: &mut Sheet, view: &HeadView, at: &SectionLayout) {
    let Some(depth) = at.arm_depth else { return };
    let (k, half) = (at.scale.k, at.scale.half);
    let frame = Frame { origin: (at.tilt_pivot.0, at.tilt_pivot.1 + depth), k };
    let wall = WALL * k;
    sheet.push(Shape::Turn(at.tilt_pivot, at.turn_rad));
    let walls = [
        frame.p(-half, 0.0),
        frame.p(-half + wall, 0.0),
        frame.p(-half + wall, -ARM + 8.0),
        frame.p(half - wall, -ARM + 8.0),
        frame.p(half - wall, 0.0),
        frame.p(half, 0.0),
        frame.p(half, -ARM),
        frame.p(-half, -ARM),
    ];
    sheet.polygon(walls, PAPER, None);
    sheet.polygon(walls, Some(Fill::Hatch(Hatch::Housing)), Some(Pen::THICK));
    let inside = half - wall;
    let over = frame.p(-inside, 4.0);
    sheet.push(Shape::Clip(over.0, over.1, 2.0 * inside, (ARM - 4.0) * k));
    led(sheet, frame.p(0.0, -20.0), -(ARM - 8.0 - 20.0), finite_or(view.lamp, 0.0).clamp(0.0, 1.0), k);
    sheet.push(Shape::Unclip);
    // Plano-convex lens, flat side to the lamp.
    let reach = at.scale.fields_reach();
    let r = (reach.1.max(-reach.0) + 7.0 * k).min(half - wall);
    let lens = vec![
        Step::Move(frame.p(-r, -9.0)),
        Step::Curve(frame.p(-r * 0.55, -1.5), frame.p(r * 0.55, -1.5), frame.p(r, -9.0)),
        Step::Close,
    ];
    sheet.path(lens.clone(), Some(Fill::Flat(Ink::Glass, 0.8)), None);
    sheet.path(lens, Some(Fill::Hatch(Hatch::Glass)), Some(Pen::MID));
    for side in [-1.0, 1.0] {
        sheet.circle(frame.p(side * (half - wall / 2.0), -ARM + 4.0), 1.6 * k, SOLID, None);
    }
    sheet.push(Shape::Unturn);
}
