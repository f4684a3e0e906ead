//! Light in the section: from the lamp to the scale, back or through to the fields, and what dirt scatters.

use super::kit::Sheet;
use super::room::finite_or;
use super::section::lamp_place;
use super::section_layout::SectionLayout;
use super::section_scale::dirt_span;
use super::shape::{Fill, Point, Step};
use super::tokens::{Ink, Pen};
use super::view::HeadView;

/// Underside of the sensor fields over the mask's lower face, px at scale 1.
pub(super) const FIELD_FOOT: f64 = 12.0;
/// Upper side of the sensor fields, px at scale 1.
pub(super) const FIELD_TOP: f64 = 35.0;

fn unit(x: f64) -> f64 {
    finite_or(x, 0.0).clamp(0.0, 1.0)
}

/// All light that reaches or leaves the scale, except what dirt scatters.
pub(super) fn light(sheet: &mut Sheet, view: &HeadView, at: &SectionLayout) {
    let lamp = unit(view.lamp);
    if view.fields.is_empty() {
        return;
    }
    let foot = if view.transmissive { through(sheet, view, lamp, at) } else { reflected(sheet, view, lamp, at) };
    pattern(sheet, view, lamp, foot, at);
}

/// Lamp in the head: a cone down to the scale, and from there a bundle up to each field, mirrored at the scale.
/// Returns the lit stretch of the scale.
fn reflected(sheet: &mut Sheet, view: &HeadView, lamp: f64, at: &SectionLayout) -> (f64, f64) {
    let k = at.scale.k;
    let (source, y) = (at.on_head(at.scale.lamp, 34.0 * k), at.scale_y);
    let mirrored = |(x, h): Point| {
        let (down, up) = (y - source.1, (y - h).max(0.0));
        source.0 + (x - source.0) * down / (down + up).max(1.0)
    };
    let ends = |i: usize| {
        let (a, b) = at.scale.fields[i];
        (at.on_head(a, FIELD_FOOT * k), at.on_head(b, FIELD_FOOT * k))
    };
    let mut foot = (f64::INFINITY, f64::NEG_INFINITY);
    for i in 0..view.fields.len() {
        let (a, b) = ends(i);
        foot = (foot.0.min(mirrored(a)), foot.1.max(mirrored(b)));
    }
    let cone = [(source.0 - 4.0 * k, source.1), (foot.0, y), (foot.1, y), (source.0 + 4.0 * k, source.1)];
    sheet.polygon(cone, Some(Fill::Fade(Ink::Glow, (source.1, 0.85 * lamp), (y, 0.30 * lamp))), None);
    for (i, field) in view.fields.iter().enumerate() {
        let (a, b) = ends(i);
        let (lit, top) = (unit(field.lit), a.1.min(b.1));
        let fade = Fill::Fade(Ink::Glow, (y, lamp * (0.10 + 0.30 * lit)), (top, lamp * (0.03 + 0.22 * lit)));
        sheet.polygon([(mirrored(a), y), a, b, (mirrored(b), y)], Some(fade), None);
    }
    foot
}

/// Lamp under the glass: a lens makes its light parallel, the lines cut it into stripes, the slots into currents.
/// Returns the lit stretch of the scale.
fn through(sheet: &mut Sheet, view: &HeadView, lamp: f64, at: &SectionLayout) -> (f64, f64) {
    let k = at.scale.k;
    let Some(depth) = at.arm_depth else { return (at.scale.cx, at.scale.cx) };
    let reach = at.scale.fields_reach();
    let (a, b) = (reach.0 - 3.0 * k, reach.1 + 3.0 * k);
    let source = lamp_place(at);
    let lens = |u: f64| at.on_head(u, -depth - 8.0 * k);
    let cone = [(source.0 - 4.0 * k, source.1), lens(a), lens(b), (source.0 + 4.0 * k, source.1)];
    let near = lens(0.0).1;
    sheet.polygon(cone, Some(Fill::Fade(Ink::Glow, (source.1, 0.85 * lamp), (near, 0.40 * lamp))), None);
    // Parallel from the lens to the lines.
    let (fa, fb) = (at.on_head(a, 0.0).0, at.on_head(b, 0.0).0);
    let column = [lens(a), (fa, at.scale_y), (fb, at.scale_y), lens(b)];
    sheet.polygon(column, Some(Fill::Fade(Ink::Glow, (near, 0.42 * lamp), (at.scale_y, 0.36 * lamp))), None);
    for (i, field) in view.fields.iter().enumerate() {
        let (a, b) = at.scale.fields[i];
        let corners =
            [at.on_head(a, 0.0), at.on_head(a, FIELD_FOOT * k), at.on_head(b, FIELD_FOOT * k), at.on_head(b, 0.0)];
        sheet.polygon(corners, Some(Fill::Flat(Ink::Glow, lamp * (0.06 + 0.4 * unit(field.lit)))), None);
    }
    (fa, fb)
}

/// The light pattern between scale and mask. Its stripes stand over the bright lines; what they lose in contrast the
/// dark ones gain, and dotted lines show where they would be sharp.
fn pattern(sheet: &mut Sheet, view: &HeadView, lamp: f64, (from, to): (f64, f64), at: &SectionLayout) {
    let (k, y, contrast) = (at.scale.k, at.scale_y, unit(view.contrast));
    if to - from < 1.0 {
        return;
    }
    let ceiling = |x: f64| at.on_head(x - at.scale.cx, 0.0).1.min(y);
    let bars: Vec<(f64, f64)> = at.scale.bright_bars(from, to).collect();
    // Dirt scatters light into the dark lines, a wrong gap lets the bright ones run into them; what dirt swallows is
    // gone from both.
    let sharp = unit(view.sharp);
    let haze = 0.34 * lamp * (unit(view.haze) + contrast * (1.0 - sharp)).min(1.0);
    if haze > 0.005 {
        sheet.polygon(
            [(from, y), (from, ceiling(from)), (to, ceiling(to)), (to, y)],
            Some(Fill::Flat(Ink::Glow, haze)),
            None,
        );
    }
    let stripe = 0.62 * lamp * contrast * sharp;
    let mut dotted = Vec::new();
    for (a, b) in bars {
        let top = ceiling(a).min(ceiling(b));
        let corners = [(a, y), (a, ceiling(a)), (b, ceiling(b)), (b, y)];
        sheet.polygon(corners, Some(Fill::Fade(Ink::Glow, (y, stripe), (top, stripe * 0.75))), None);
        if contrast * sharp < 0.95 && y - top > 8.0 * k {
            for x in [a, b].into_iter().filter(|x| *x > from + 0.5 && *x < to - 0.5) {
                dotted.extend([Step::Move((x, y - 2.0 * k)), Step::Line((x, ceiling(x) + 2.0 * k))]);
            }
        }
    }
    if !dotted.is_empty() {
        sheet.path(dotted, None, Some(Pen::GHOST.alpha(0.8)));
    }
}

/// Light that dirt throws to all sides: short rays from the smear, under the lit stretch only.
pub(super) fn scatter(sheet: &mut Sheet, view: &HeadView, at: &SectionLayout) {
    let (k, y, lamp) = (at.scale.k, at.scale_y, unit(view.lamp));
    let gap = at.gap_ends.1.1 - at.gap_ends.0.1;
    let reach = at.scale.fields_reach();
    let (from, to) = (at.scale.cx + reach.0 * 0.8, at.scale.cx + reach.1 * 0.8);
    let mut rays = Vec::new();
    let mut tips = Vec::new();
    for spot in &view.dirt {
        let blocked = unit(spot.blocked);
        let Some((a, b)) = dirt_span(spot, at) else { continue };
        let (a, b) = (a.max(from), b.min(to));
        if b - a < 4.0 * k || blocked < 0.05 || lamp < 0.05 || unit(view.haze) < 0.02 {
            continue;
        }
        let stars = ((b - a) / (44.0 * k)).floor().clamp(1.0, 8.0);
        let mut i = 0.5;
        while i < stars {
            let x = a + (b - a) * i / stars;
            for (ray, degrees) in [-148.0_f64, -112.0, -68.0, -32.0].into_iter().enumerate() {
                let angle = (degrees + 9.0 * (i * 2.3).sin()).to_radians();
                let long = (9.0 + 4.0 * ((ray as f64) * 1.7 + i).sin().abs() + 6.0 * blocked) * k;
                let long = long.min((gap - 5.0 * k) / -angle.sin());
                if long < 5.0 * k {
                    continue;
                }
                let start = (x + 3.0 * k * angle.cos(), y - 3.0 * k);
                let tip = (start.0 + long * angle.cos(), start.1 + long * angle.sin());
                rays.extend([Step::Move(start), Step::Line(tip)]);
                tips.push((tip, angle));
            }
            i += 1.0;
        }
    }
    if rays.is_empty() {
        return;
    }
    sheet.path(rays.clone(), None, Some(Pen { ink: Ink::Glow, width: 2.4, ..Pen::MID }));
    sheet.path(rays, None, Some(Pen::THIN.alpha(0.6)));
    for (tip, angle) in tips {
        sheet.arrow(tip, angle, 4.0, Ink::Ink2);
    }
}
