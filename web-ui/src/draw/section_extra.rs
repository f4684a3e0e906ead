//! In the section besides the head itself: film on its window, and the healthy head as a ghost.

use super::kit::Sheet;
use super::room::finite_or;
use super::scene_words::SceneWords;
use super::section_layout::{HEAD, SectionLayout};
use super::shape::{Anchor, Fill, Lettering, Shape};
use super::tokens::{Ink, Pen};
use super::view::HeadView;

/// A window that lets this much through is drawn clean.
const CLEAN: f64 = 0.98;

/// Film and dust on the lower face of the mask glass; they travel with the head.
pub(super) fn film(sheet: &mut Sheet, view: &HeadView, at: &SectionLayout) {
    let through = finite_or(view.window, 1.0).clamp(0.0, 1.0);
    if through > CLEAN {
        return;
    }
    let (k, taken) = (at.scale.k, 1.0 - through);
    let reach = at.scale.fields_reach();
    let (a, b) = (reach.0 - 5.0 * k, reach.1 + 5.0 * k);
    let thick = (2.0 + 4.0 * taken) * k;
    let (x, y) = at.tilt_pivot;
    sheet.push(Shape::Turn(at.tilt_pivot, at.turn_rad));
    sheet.rect((x + a, y), b - a, thick, Some(Fill::Flat(Ink::Dirt, 0.25 + 0.45 * taken)), None);
    let count = ((b - a) / k * (0.2 + 0.5 * taken)).clamp(4.0, 160.0) as usize;
    sheet.stipple((x + 0.5 * (a + b), y + 0.6 * thick), 0.5 * (b - a), 0.6 * thick, count, 77, Ink::Dirt);
    sheet.push(Shape::Unturn);
}

/// Outline of the healthy head: nominal gap, no tilt.
pub(super) fn ghost(sheet: &mut Sheet, view: &HeadView, at: &SectionLayout, words: &SceneWords) {
    let (k, half) = (at.scale.k, at.scale.half);
    let y = at.scale_y - finite_or(view.gap_nominal_m, 0.0) * at.gap_px_per_m;
    if (y - at.tilt_pivot.1).abs() < 1.5 && at.turn_rad.abs() * half < 1.5 {
        return;
    }
    let top = (y - HEAD * k).max(at.area.y + 1.0);
    sheet.rect((at.scale.cx - half, top), 2.0 * half, y - top, None, Some(Pen::GHOST));
    // Right of the head, between the numbers of tilt and gap.
    let place = (at.scale.cx + half + 9.0 * k, top + 34.0 * k);
    sheet.text_over(place, words.healthy, Lettering::Note, Ink::Ink2, Anchor::Start);
}
