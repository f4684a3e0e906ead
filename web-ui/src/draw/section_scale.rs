//! The scale in the section: grating, tape on its beam or glass, and the dirt lying on it.

use super::kit::Sheet;
use super::room::{between, finite_or};
use super::section_layout::{SectionLayout, UNDER};
use super::shape::{Fill, Hatch, Shape, Step};
use super::tokens::{Ink, Pen};
use super::view::{DirtView, HeadView};

/// Thickness of the layer that carries the lines, px at scale 1.
const LINES: f64 = 5.0;

/// The scale without its dirt.
pub(super) fn scale(sheet: &mut Sheet, view: &HeadView, at: &SectionLayout) {
    let (k, strip) = (at.scale.k, at.strip);
    let (x0, x1, y) = (strip.x, strip.right(), strip.y);
    if view.transmissive {
        sheet.rect((x0, y), strip.w, strip.h, Some(Fill::Flat(Ink::Glass, 1.0)), None);
        sheet.rect((x0, y), strip.w, strip.h, Some(Fill::Hatch(Hatch::Glass)), None);
    } else {
        sheet.rect((x0, y), strip.w, strip.h, Some(Fill::Flat(Ink::Panel, 1.0)), None);
        let under = UNDER * k;
        sheet.rect((x0, strip.bottom()), strip.w, under, Some(Fill::Hatch(Hatch::Steel)), None);
        for x in [x0, x1] {
            let p = |share: f64, bulge: f64| (x + bulge * k, strip.bottom() + under * share);
            let wave = vec![Step::Move(p(0.0, 0.0)), Step::Curve(p(0.35, 4.0), p(0.65, -4.0), p(1.0, 0.0))];
            sheet.path(wave, None, Some(Pen::THIN));
        }
    }
    // Bright lines first over the whole layer, then the dark ones between them.
    sheet.rect((x0, y), strip.w, LINES * k, Some(Fill::Flat(Ink::LineBright, 1.0)), None);
    let mut dark = Vec::new();
    let mut from = x0;
    for (a, b) in at.scale.bright_bars(x0, x1).chain([(x1, x1)]) {
        if a > from {
            dark.push(Step::Move((from, y)));
            dark.extend([(a, y), (a, y + LINES * k), (from, y + LINES * k)].map(Step::Line));
            dark.push(Step::Close);
        }
        from = b;
    }
    sheet.path(dark, Some(Fill::Flat(Ink::LineDark, 1.0)), None);
    sheet.line((x0, y + LINES * k), (x1, y + LINES * k), Pen::THIN);
    sheet.rect((x0, y), strip.w, strip.h, None, Some(Pen::THICK));
}

/// Where a dirty stretch lies on the drawn scale, px; `None` where it is not in the picture.
pub(super) fn dirt_span(spot: &DirtView, at: &SectionLayout) -> Option<(f64, f64)> {
    let (a, b) = (at.scale.x_of(spot.from_m.min(spot.to_m)), at.scale.x_of(spot.from_m.max(spot.to_m)));
    let least = (6.0 * at.scale.k - (b - a)).max(0.0) / 2.0;
    let (a, b) = ((a - least).max(at.strip.x), (b + least).min(at.strip.right()));
    (b - a > 1.0).then_some((a, b))
}

/// Smear with stipple, lying on the scale.
pub(super) fn dirt(sheet: &mut Sheet, view: &HeadView, at: &SectionLayout) {
    let (k, y) = (at.scale.k, at.scale_y);
    let gap = at.gap_ends.1.1 - at.gap_ends.0.1;
    for (i, spot) in view.dirt.iter().enumerate() {
        let Some((a, b)) = dirt_span(spot, at) else { continue };
        let blocked = finite_or(spot.blocked, 0.0).clamp(0.0, 1.0);
        let h = between((4.0 + 7.0 * blocked) * k, 1.5 * k, (gap * 0.7).max(1.5 * k));
        // The end of a stretch is steep only where the picture cuts it off.
        let ramp = |edge: f64, cut: f64| if (edge - cut).abs() < 1.0 { 0.0 } else { ((b - a) * 0.3).min(22.0 * k) };
        let (l, r) = (ramp(a, at.strip.x), ramp(b, at.strip.right()));
        let (m, w) = ((a + l + b - r) / 2.0, b - r - a - l);
        let mut steps = vec![Step::Move((a, y))];
        steps.push(Step::Curve((a + l * 0.3, y - h * 0.9), (a + l * 0.6, y - h), (a + l, y - h * 0.85)));
        steps.push(Step::Curve((a + l + w * 0.2, y - h * 0.7), (m - w * 0.2, y - h * 1.05), (m, y - h)));
        steps.push(Step::Curve((m + w * 0.2, y - h * 0.95), (b - r - w * 0.2, y - h * 0.6), (b - r, y - h * 0.8)));
        steps.push(Step::Curve((b - r * 0.6, y - h), (b - r * 0.3, y - h * 0.9), (b, y)));
        steps.push(Step::Close);
        sheet.path(steps, Some(Fill::Flat(Ink::Dirt, 0.38)), None);
        sheet.push(Shape::Clip(a, y - h, b - a, h));
        let count = ((b - a) / k * (0.10 + 0.26 * blocked)).ceil().min(200.0) as usize;
        sheet.stipple(((a + b) / 2.0, y - h * 0.42), (b - a) / 2.0, h * 0.42, count, 3 + i as u32, Ink::Dirt);
        sheet.push(Shape::Unclip);
    }
}
