//! In the plan besides lines and head: the code track, the fan of lines on a ring, the healthy head as a ghost.

use super::kit::Sheet;
use super::numbers::fixed;
use super::plan::PlanLayout;
use super::room::finite_or;
use super::scene_words::SceneWords;
use super::shape::{Anchor, Fill, Lettering, Step};
use super::tokens::{Ink, Pen};
use super::view::{CodeView, HeadView};

/// Height of the code track, share of the strip.
const CODE: f64 = 0.2;

/// Where a line that stands at `x` in the middle of the strip stands at height `y`: on a ring the lines point to its
/// middle, which lies above the picture. As true to size as the head is.
pub(super) fn fanned(view: &HeadView, at: &PlanLayout, x: f64, y: f64) -> f64 {
    let Some(radius_m) = view.ring_m.filter(|r| r.is_finite() && *r > 1e-3) else { return x };
    let up = (at.yaw_pivot.1 - y) / at.across_px_per_m / radius_m;
    at.scale.cx + (x - at.scale.cx) * (1.0 - up.clamp(-0.5, 0.5))
}

/// The code track along the lower edge of the strip: its cells on the scale of the lines, the ones that are read in a
/// frame.
pub(super) fn code(sheet: &mut Sheet, code: &CodeView, period_m: f64, at: &PlanLayout, words: &SceneWords) {
    let (k, strip) = (at.scale.k, at.strip);
    let h = (CODE * strip.h).max(8.0 * k);
    let y = strip.bottom() - h;
    let cell = finite_or(code.cell_m / period_m, 1.0).clamp(0.05, 1e3) * at.scale.period_px;
    let x_of = |i: usize| at.scale.cx + (finite_or(code.from_m / code.cell_m, 0.0) + i as f64) * cell;
    sheet.rect((strip.x, y), strip.w, h, Some(Fill::Flat(Ink::LineDark, 1.0)), None);
    let mut bright = Vec::new();
    for (i, _) in code.bits.iter().enumerate().filter(|(_, bit)| **bit) {
        let (a, b) = (x_of(i).max(strip.x), x_of(i + 1).min(strip.right()));
        if b > a {
            bright.push(Step::Move((a, y)));
            bright.extend([(b, y), (b, y + h), (a, y + h)].map(Step::Line));
            bright.push(Step::Close);
        }
    }
    sheet.path(bright, Some(Fill::Flat(Ink::LineBright, 1.0)), None);
    sheet.rect((strip.x, y), strip.w, h, None, Some(Pen::MID));
    let (a, b) = (x_of(code.read.0).max(strip.x), x_of(code.read.0 + code.read.1).min(strip.right()));
    if b > a {
        sheet.rect((a, y - 2.0 * k), b - a, h + 4.0 * k, None, Some(Pen::THICK));
    }
    let right = (strip.right() + 28.0 * k, strip.bottom() - 0.5 * h + 4.0 * k);
    sheet.text(right, words.code, Lettering::Note, Ink::Ink2, Anchor::Start);
    sheet.line((strip.right() + 2.0 * k, right.1 - 4.0 * k), (right.0 - 4.0 * k, right.1 - 4.0 * k), Pen::THIN);
}

/// Outline of the healthy head: no yaw.
pub(super) fn ghost(sheet: &mut Sheet, at: &PlanLayout, words: &SceneWords) {
    let (k, head) = (at.scale.k, at.head);
    sheet.rect((head.x, head.y), head.w, head.h, None, Some(Pen::GHOST));
    let (x, y) = (at.strip.right() + 28.0 * k, at.yaw_pivot.1 - 3.0 * k);
    sheet.line((x, y - 4.0 * k), (x + 16.0 * k, y - 4.0 * k), Pen::GHOST);
    sheet.text((x + 20.0 * k, y), words.healthy, Lettering::Note, Ink::Ink2, Anchor::Start);
}

/// That the lines lie on a ring, and how large it is.
pub(super) fn ring_note(sheet: &mut Sheet, radius_m: f64, at: &PlanLayout, words: &SceneWords) {
    let text = format!("{} {} mm", words.ring, fixed(radius_m * 1e3, 1));
    let k = at.scale.k;
    sheet.text((at.strip.x, at.area.bottom() - 4.0 * k), text, Lettering::Note, Ink::Ink2, Anchor::Start);
}
