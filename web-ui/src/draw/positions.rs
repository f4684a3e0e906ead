//! Three positions: commanded, real, counted, as arrows on one magnified scale.

use super::kit::Sheet;
use super::numbers::fixed;
use super::room::{Area, between, finite_or, round_down_125, text_width};
use super::scene_words::SceneWords;
use super::shape::{Anchor, Lettering, Point, Shape};
use super::tokens::{Ink, Pen};
use super::view::MachineView;

/// Places in the picture of the three positions.
#[derive(Clone, Debug, PartialEq)]
pub struct PositionsLayout {
    /// Tips of the arrows: commanded, table, count.
    pub tips: [Point; 3],
    /// Magnification against the side view (1, 2 or 5 times a power of ten): print it.
    pub factor: f64,
    /// Pixels for one metre.
    pub px_per_m: f64,
    /// The count is not where the table is, by more than 1.5 px at this magnification.
    pub counted_off: bool,
}

/// Draws the three arrows. `side_px_per_m` is the scale of the side view, against which the magnification is stated.
/// The table's tip stands still in the middle; the others move against it. `decimals` of the numbers in mm: 2 or 3.
pub fn positions(
    view: &MachineView,
    area: Area,
    k: f64,
    side_px_per_m: f64,
    decimals: usize,
    words: &SceneWords,
) -> (Vec<Shape>, PositionsLayout) {
    let mut sheet = Sheet::new(k);
    let values = [view.command_m, view.table_m, view.counted_m];
    let table = finite_or(view.table_m, 0.0);
    let off = values.map(|v| finite_or(v - table, 0.0));
    let half = area.w * 0.46;
    // Half the width never stands for less than 0.2 mm: finer than that is the count's own step.
    let most = off.iter().fold(0.2e-3, |most: f64, x| most.max(x.abs()));
    let side = if side_px_per_m.is_normal() { side_px_per_m.abs() } else { 1.0 };
    let factor = round_down_125(half / most / side);
    let px_per_m = factor * side;
    let middle = area.x + area.w / 2.0;
    let off_px = off[2] * px_per_m;
    let counted_off = off_px.abs() > 1.5 && off[2].abs() > 1.6 * view.count_m;
    let row = area.h / 3.0;
    let drop = (row / 2.0 + 9.0 * k).min(row - 6.0 * k);
    let tips = [0, 1, 2].map(|i: usize| {
        let x = middle + between(off[i] * px_per_m, -half, half);
        (x, area.y + i as f64 * row + drop)
    });
    // How far each stands from the table: a thin line down through the rows.
    let foot = tips[2].1 + 5.0 * k;
    sheet.line((tips[1].0, tips[0].1 + 5.0 * k), (tips[1].0, foot), Pen::RULE);
    let count_ink = if counted_off { Ink::Fault } else { Ink::Ink };
    let names = [words.commanded, words.table_is_at, words.count_says];
    for i in 0..3 {
        let (name_ink, ink, pen) = match i {
            0 => (Ink::Ink2, Ink::Ink, Pen::COMMAND),
            1 => (Ink::Ink2, Ink::Ink, Pen::MID),
            _ if counted_off => (Ink::Fault, Ink::Fault, Pen::FAULT),
            _ => (Ink::Ink2, Ink::Ink, Pen::MID),
        };
        let (x, y) = tips[i];
        let text_y = y - 8.0 * k;
        let value = fixed(values[i] * 1e3, decimals);
        let room = area.w - text_width(&value, Lettering::Value, k) - 8.0 * k;
        if text_width(names[i], Lettering::Text, k) < room {
            sheet.text((area.x, text_y), names[i], Lettering::Text, name_ink, Anchor::Start);
        }
        sheet.text((area.right(), text_y), value, Lettering::Value, ink, Anchor::End);
        sheet.line((area.x, y), (x, y), pen);
        sheet.arrow((x, y), 0.0, 8.0, if i == 2 { count_ink } else { Ink::Ink });
    }
    (sheet.finish(), PositionsLayout { tips, factor, px_per_m, counted_off })
}
