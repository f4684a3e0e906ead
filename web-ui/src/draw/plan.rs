//! Plan: the sensor fields from above over the lines of the scale, under the section and on its x scale.

use super::head_scale::HeadScale;
use super::kit::Sheet;
use super::plan_track as track;
use super::room::{Area, between, finite_or, round_down_fine};
use super::scene_words::SceneWords;
use super::section_head::{field_face, plate};
use super::shape::{Anchor, Fill, Lettering, Point, Shape, Step};
use super::tokens::{Ink, Pen};
use super::view::HeadView;
use std::f64::consts::{FRAC_PI_2, PI};

/// Room over and under the strip, px at scale 1: the turned head above, the knob and its number below.
const ABOVE: f64 = 24.0;
const BELOW: f64 = 48.0;
/// From the strip's lower edge to the knob, px at scale 1.
const TO_KNOB: f64 = 30.0;
/// Largest angle that is drawn, rad.
const MOST_TURN: f64 = 0.3;

/// Places in the plan, px.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanLayout {
    /// The whole picture.
    pub area: Area,
    /// The x scale, shared with the section.
    pub scale: HeadScale,
    /// The face of the scale: paint here.
    pub strip: Area,
    /// The head, not turned.
    pub head: Area,
    /// Knob of the yaw.
    pub yaw_knob: Point,
    /// About this point the head turns.
    pub yaw_pivot: Point,
    /// Distance of the knob from it.
    pub yaw_radius: f64,
    /// Room for the yaw's number, 90 x 28 px at scale 1.
    pub yaw_field: Area,
    /// How many times larger than true the yaw is drawn: print it.
    pub yaw_factor: f64,
    /// Angle by which the head is drawn turned, rad, clockwise on the screen. It stops where the picture ends.
    pub turn_rad: f64,
    /// Pixels for one metre across the travel.
    pub across_px_per_m: f64,
}

impl PlanLayout {
    /// Works out the places for a view; `scale` is the one of the section above.
    pub fn new(view: &HeadView, area: Area, scale: HeadScale) -> Self {
        let k = scale.k;
        let strip_h = (area.h - (ABOVE + BELOW) * k).clamp(30.0 * k, 190.0 * k);
        let strip = Area::new(scale.strip.0, area.y + ABOVE * k, scale.strip.1 - scale.strip.0, strip_h);
        let reach = view.fields.iter().map(|f| between(f.y_m.abs(), 0.0, 0.02) + between(f.height_m, 1e-5, 0.02) / 2.0);
        let reach = reach.fold(0.1e-3, f64::max);
        let across = (strip_h * 0.40 / reach).min(scale.px_per_m);
        let half_h = reach * across + 9.0 * k;
        let (cx, cy) = (scale.cx, strip.middle().1);
        // Fields drawn with this factor lie askew over the drawn lines as the true ones do over the true lines. At
        // the yaw where the signal is gone, a field then spans one whole line; more than 20 degrees is not needed.
        let tallest = view.fields.iter().map(|f| between(f.height_m, 1e-5, 0.02)).fold(0.1e-3, f64::max);
        let gone = (finite_or(view.period_m, 1e-3).max(1e-7) / tallest).min(1.0).asin();
        let alike = scale.period_px / (finite_or(view.period_m, 1e-3).max(1e-7) * across);
        let yaw_factor = round_down_fine(alike.min(0.35 / gone)).max(1.0);
        let asked = between(-finite_or(view.yaw_rad, 0.0) * yaw_factor, -MOST_TURN, MOST_TURN);
        let room = cy - area.y - half_h - 2.0 * k;
        // The head must not run into the number at the knob either.
        let field = (strip_h / 2.0 + (TO_KNOB - 15.0) * k - half_h) / (104.0 * k);
        let stop = (room / scale.half).clamp(0.0, 1.0).asin().min(field.clamp(0.0, 1.0).asin());
        let radius = strip_h / 2.0 + TO_KNOB * k;
        let knob = (cx - radius * asked.sin(), cy + radius * asked.cos());
        Self {
            area,
            strip,
            head: Area::new(cx - scale.half, cy - half_h, 2.0 * scale.half, 2.0 * half_h),
            yaw_knob: knob,
            yaw_pivot: (cx, cy),
            yaw_radius: radius,
            yaw_field: Area::new(knob.0 + 10.0 * k, cy + radius - 14.0 * k, 90.0 * k, 28.0 * k),
            yaw_factor,
            turn_rad: asked.clamp(-stop, stop),
            across_px_per_m: across,
            scale,
        }
    }

    /// Yaw that puts the knob in the direction of a point, rad.
    pub fn yaw_at(&self, (x, y): Point) -> f64 {
        (x - self.yaw_pivot.0).atan2(y - self.yaw_pivot.1) / self.yaw_factor
    }
}

/// Draws the plan in the places that the layout found for the same view.
pub fn plan(view: &HeadView, at: &PlanLayout, words: &SceneWords) -> Vec<Shape> {
    let mut sheet = Sheet::new(at.scale.k);
    lines(&mut sheet, view, at);
    if let Some(code) = &view.code {
        track::code(&mut sheet, code, view.period_m, at, words);
    }
    dirt(&mut sheet, view, at);
    cutting_line(&mut sheet, at);
    if view.ghost && at.turn_rad.abs() > 0.004 {
        track::ghost(&mut sheet, at, words);
    }
    head(&mut sheet, view, at);
    knob(&mut sheet, at);
    if let Some(radius_m) = view.ring_m {
        track::ring_note(&mut sheet, radius_m, at, words);
    }
    sheet.finish()
}

/// The lines of the scale; the bright ones are bright in both themes.
fn lines(sheet: &mut Sheet, view: &HeadView, at: &PlanLayout) {
    let strip = at.strip;
    sheet.rect((strip.x, strip.y), strip.w, strip.h, Some(Fill::Flat(Ink::LineDark, 0.42)), None);
    let mut steps = Vec::new();
    for (a, b) in at.scale.bright_bars(strip.x, strip.right()) {
        let fan = |x: f64, y: f64| (track::fanned(view, at, x, y).clamp(strip.x, strip.right()), y);
        steps.push(Step::Move(fan(a, strip.y)));
        steps.extend([fan(b, strip.y), fan(b, strip.bottom()), fan(a, strip.bottom())].map(Step::Line));
        steps.push(Step::Close);
    }
    sheet.path(steps.clone(), Some(Fill::Flat(Ink::Paper, 1.0)), None);
    sheet.path(steps, Some(Fill::Flat(Ink::LineBright, 0.5)), None);
    sheet.rect((strip.x, strip.y), strip.w, strip.h, None, Some(Pen::THICK));
}

/// Dirt as a translucent patch with stipple.
fn dirt(sheet: &mut Sheet, view: &HeadView, at: &PlanLayout) {
    let (k, strip) = (at.scale.k, at.strip);
    sheet.push(Shape::Clip(strip.x, strip.y, strip.w, strip.h));
    for (i, spot) in view.dirt.iter().enumerate() {
        let (a, b) = (at.scale.x_of(spot.from_m.min(spot.to_m)), at.scale.x_of(spot.from_m.max(spot.to_m)));
        let least = (6.0 * k - (b - a)).max(0.0) / 2.0;
        // Far ends stay out of the picture, so that the shape does not depend on how long the whole stretch is.
        let (a, b) = ((a - least).max(strip.x - 30.0 * k), (b + least).min(strip.right() + 30.0 * k));
        if b - a < 1.0 || b < strip.x || a > strip.right() || a.is_nan() || b.is_nan() {
            continue;
        }
        let blocked = finite_or(spot.blocked, 0.0).clamp(0.0, 1.0);
        let r = ((b - a) * 0.35).min(26.0 * k);
        let y = |share: f64| strip.y + strip.h * share;
        let steps = vec![
            Step::Move((a, y(0.55))),
            Step::Curve((a, y(0.25)), (a + r * 0.3, y(0.12)), (a + r, y(0.09))),
            Step::Curve((a + r * 1.6, y(0.04)), (b - r * 1.7, y(0.13)), (b - r, y(0.07))),
            Step::Curve((b - r * 0.2, y(0.10)), (b, y(0.3)), (b, y(0.5))),
            Step::Curve((b, y(0.8)), (b - r * 0.3, y(0.92)), (b - r, y(0.93))),
            Step::Curve((b - r * 1.8, y(0.99)), (a + r * 1.6, y(0.88)), (a + r, y(0.94))),
            Step::Curve((a + r * 0.2, y(0.93)), (a, y(0.8)), (a, y(0.55))),
            Step::Close,
        ];
        sheet.path(steps, Some(Fill::Flat(Ink::Dirt, 0.22 + 0.28 * blocked)), None);
        let (middle, rx, ry) = (((a + b) / 2.0, y(0.51)), (b - a) / 2.0 - 2.0 * k, strip.h * 0.40);
        let count = ((b - a) * strip.h / (k * k * 200.0) * (0.5 + blocked)).ceil().min(320.0) as usize;
        if rx > 1.0 {
            sheet.stipple(middle, rx, ry, count, 23 + i as u32, Ink::Dirt);
        }
    }
    sheet.push(Shape::Unclip);
}

/// Outline of the head and its fields, turned by the yaw.
fn head(sheet: &mut Sheet, view: &HeadView, at: &PlanLayout) {
    let (k, (cx, cy)) = (at.scale.k, at.yaw_pivot);
    sheet.push(Shape::Turn(at.yaw_pivot, at.turn_rad));
    sheet.rect((at.head.x, at.head.y), at.head.w, at.head.h, None, Some(Pen::THICK));
    for (field, (a, b)) in view.fields.iter().zip(&at.scale.fields) {
        let h = between(field.height_m, 1e-5, 0.02) * at.across_px_per_m;
        let y = cy - between(field.y_m, -0.02, 0.02) * at.across_px_per_m;
        field_face(sheet, (cx + a, y - h / 2.0), b - a, h, field.lit, field.used);
        plate(sheet, (cx + (a + b) / 2.0, y), b - a, field.name, field.used, k);
    }
    sheet.push(Shape::Unturn);
}

/// Cutting line of the section above (ISO 128-3): it runs along the travel and is looked at from below the picture.
fn cutting_line(sheet: &mut Sheet, at: &PlanLayout) {
    let (k, y, strip) = (at.scale.k, at.yaw_pivot.1, at.strip);
    let (left, right) = (strip.x - 13.0 * k, strip.right() + 13.0 * k);
    sheet.line((strip.x, y), (strip.right(), y), Pen::CENTRE);
    for (from, to) in [(left, strip.x - 1.0 * k), (strip.right() + 1.0 * k, right)] {
        sheet.line((from, y), (to, y), Pen::THICK);
        let x = (from + to) / 2.0;
        sheet.line((x, y), (x, y - 13.0 * k), Pen::THIN);
        sheet.arrow((x, y - 15.0 * k), -FRAC_PI_2, 8.0, Ink::Ink);
        sheet.text((x, y + 14.0 * k), "S", Lettering::Strong, Ink::Ink, Anchor::Middle);
    }
    // Which way is plus.
    let (x, y) = (strip.right() + 28.0 * k, strip.y + 6.0 * k);
    sheet.line((x, y), (x + 26.0 * k, y), Pen::MID);
    sheet.arrow((x + 30.0 * k, y), 0.0, 8.0, Ink::Ink);
    sheet.text((x, y + 15.0 * k), "+X", Lettering::Note, Ink::Ink2, Anchor::Start);
}

/// Axis of the head and the arc on which the knob runs.
fn knob(sheet: &mut Sheet, at: &PlanLayout) {
    let (k, pivot, r) = (at.scale.k, at.yaw_pivot, at.yaw_radius);
    let toward = |angle: f64, r: f64| (pivot.0 - r * angle.sin(), pivot.1 + r * angle.cos());
    let up = at.area.y + 3.0 * k - pivot.1;
    sheet.line((pivot.0, pivot.1 + up), (pivot.0, pivot.1 + r - 8.0 * k), Pen::CENTRE);
    let arc =
        |from: f64, to: f64| vec![Step::Move(toward(from, r)), Step::Arc(pivot, r, FRAC_PI_2 + from, FRAC_PI_2 + to)];
    sheet.path(arc(-MOST_TURN, MOST_TURN), None, Some(Pen::HAIR));
    let angle = (pivot.0 - at.yaw_knob.0).atan2(at.yaw_knob.1 - pivot.1);
    if angle.abs() > 0.01 {
        sheet.path(arc(angle.min(0.0), angle.max(0.0)), None, Some(Pen::TOUCH));
        sheet.line(toward(angle, at.strip.h / 2.0 + 4.0 * k), at.yaw_knob, Pen::TOUCH);
        if angle.abs() * r > 14.0 * k {
            sheet.arrow(toward(0.0, r), if angle > 0.0 { 0.0 } else { PI }, 7.0, Ink::Touch);
        }
    }
    sheet.knob(at.yaw_knob);
}
