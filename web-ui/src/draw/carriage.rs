//! What travels: the table or gantry foot with its drive, the dog of the home switch, the read head; and its ghost.

use super::kit::Sheet;
use super::machine::{PANEL, PAPER, SOLID, plug};
use super::machine_layout::{MachineLayout, half_carriage, shoulder};
use super::room::{finite_or, text_width};
use super::scene_words::SceneWords;
use super::shape::{Anchor, Fill, Hatch, Lettering, Point, Step};
use super::tokens::{Ink, Pen};
use super::view::{DriveDrawing, MachineView};

/// Height of the ball screw's axis over the beam, px at scale 1.
pub(super) const SCREW_AXIS: f64 = 19.0;
/// Radius of the pinion's pitch circle, px at scale 1: eleven teeth of 8 px.
const PINION: f64 = 11.0 * 8.0 / std::f64::consts::TAU;

/// Outline of what travels, from the lower left corner, px at scale 1 around (table, upper face of the beam).
fn silhouette(drive: DriveDrawing, tall: f64) -> Vec<Point> {
    match drive {
        DriveDrawing::Rack => vec![
            (-74.0, -8.0),
            (-74.0, -31.0),
            (-41.0, -31.0),
            (-27.0, -tall),
            (27.0, -tall),
            (41.0, -31.0),
            (74.0, -31.0),
            (74.0, -8.0),
        ],
        DriveDrawing::Ring => vec![(-30.0, -4.0), (-30.0, -24.0), (30.0, -24.0), (30.0, -4.0)],
        DriveDrawing::Screw => {
            let mut points = vec![(-80.0, -1.0), (-80.0, -47.0)];
            if tall > 66.0 {
                let (base, jaw) = (-54.0, -tall.min(84.0));
                points.extend([(-40.0, -47.0), (-40.0, base), (-26.0, base), (-26.0, jaw), (30.0, jaw)]);
                points.extend([(30.0, base), (40.0, base), (40.0, -47.0)]);
            }
            points.extend([(80.0, -47.0), (80.0, -1.0)]);
            points
        }
    }
}

fn outline(drive: DriveDrawing, at: &MachineLayout, x: f64) -> Vec<Point> {
    let tall = (at.beam.0 - at.carriage.y) / at.d;
    silhouette(drive, tall).into_iter().map(|(u, v)| (x + u * at.d, at.beam.0 + v * at.d)).collect()
}

/// The place where the command is, as a neighbouring position (ISO 128).
pub(super) fn ghost(sheet: &mut Sheet, drive: DriveDrawing, at: &MachineLayout) {
    if (at.ghost_x - at.table_x).abs() > 0.75 {
        sheet.polygon(outline(drive, at, at.ghost_x), None, Some(Pen::COMMAND));
    }
}

/// Where the healthy table would be.
pub(super) fn healthy(sheet: &mut Sheet, drive: DriveDrawing, at: &MachineLayout) {
    if (at.healthy_x - at.table_x).abs() < 1.5 {
        return;
    }
    sheet.polygon(outline(drive, at, at.healthy_x), None, Some(Pen::GHOST));
}

/// The word at the healthy table, beside the real one on the side where the healthy one stands out.
pub(super) fn healthy_word(sheet: &mut Sheet, drive: DriveDrawing, at: &MachineLayout, words: &SceneWords) {
    if (at.healthy_x - at.table_x).abs() < 1.5 {
        return;
    }
    let wide = text_width(words.healthy, Lettering::Note, at.k);
    let half = half_carriage(drive) * at.d;
    let (apart, gap) = (at.healthy_x - at.table_x, 4.0 * at.k);
    // Over it where it stands clear of the real one, else at its far side.
    let clear = apart.abs() > 2.0 * half + gap;
    let x = if clear {
        at.healthy_x - 0.5 * wide
    } else if apart > 0.0 {
        at.healthy_x + half + gap
    } else {
        at.healthy_x - half - wide - gap
    };
    let lift = if clear { 5.0 } else { -9.0 };
    let y = at.beam.0 - (shoulder(drive) + lift) * at.d;
    let x = x.clamp(at.area.x, (at.area.right() - wide).max(at.area.x));
    sheet.text_over((x, y), words.healthy, Lettering::Note, Ink::Ink2, Anchor::Start);
}

/// The bracket of a head that stands still over a ring: in the unrolled picture it is the head that goes along.
fn bracket(sheet: &mut Sheet, at: &MachineLayout) {
    let (d, x, top) = (at.d, at.table_x, at.beam.0);
    let p = |u: f64, v: f64| (x + u * d, top + v * d);
    sheet.polygon(outline(DriveDrawing::Ring, at, x), PANEL, Some(Pen::THICK));
    sheet.line(p(-30.0, -18.0), p(30.0, -18.0), Pen::THIN);
    for u in [-22.0, 22.0] {
        sheet.circle(p(u, -11.0), 1.8 * d, None, Some(Pen::THIN));
    }
}

/// Table, drive, dog and read head.
pub(super) fn carriage(sheet: &mut Sheet, view: &MachineView, at: &MachineLayout) {
    if view.home_switch_m.is_finite() && view.drive != DriveDrawing::Ring {
        dog(sheet, view, at);
    }
    match view.drive {
        DriveDrawing::Rack => gantry(sheet, at),
        DriveDrawing::Screw => table(sheet, at),
        DriveDrawing::Ring => bracket(sheet, at),
    }
    head(sheet, finite_or(view.light, 0.0).clamp(0.0, 1.0), at);
}

/// The dog: an arm over the beam's face with a cam below, long enough to keep the switch pressed to the end stop.
fn dog(sheet: &mut Sheet, view: &MachineView, at: &MachineLayout) {
    let (d, top, bottom) = (at.d, at.beam.0, at.beam.1);
    let half = half_carriage(view.drive) * d;
    let left = at.table_x - half;
    let reach = at.home.0 + half - 5.0 * d - at.scale.x;
    let length = (reach + 16.0 * d).clamp(24.0 * d, half);
    sheet.polygon(
        [
            (left, bottom + 1.5 * d),
            (left + 5.0 * d, bottom + 7.0 * d),
            (left + length, bottom + 7.0 * d),
            (left + length, bottom + 1.5 * d),
        ],
        PANEL,
        Some(Pen::MID),
    );
    sheet.rect((left + 8.0 * d, top - 8.0 * d), 9.0 * d, bottom - top + 11.0 * d, PANEL, Some(Pen::MID));
    for v in [top - 3.5 * d, bottom - 2.5 * d] {
        sheet.circle((left + 12.5 * d, v), 1.3 * d, None, Some(Pen::THIN));
    }
}

/// Foot of a gantry on a rack: portal in section, runner blocks, motor with pinion.
fn gantry(sheet: &mut Sheet, at: &MachineLayout) {
    let (d, x, top) = (at.d, at.table_x, at.beam.0);
    let p = |u: f64, v: f64| (x + u * d, top + v * d);
    let tall = (top - at.carriage.y) / d;
    pinion(sheet, at);
    for u in [-68.0, 26.0] {
        sheet.rect(p(u, -9.0), 42.0 * d, 9.0 * d, PANEL, Some(Pen::MID));
        sheet.line(p(u, -3.5), p(u + 42.0, -3.5), Pen::THIN);
        sheet.line(p(u + 4.0, -9.0), p(u + 4.0, 0.0), Pen::THIN);
        sheet.line(p(u + 38.0, -9.0), p(u + 38.0, 0.0), Pen::THIN);
    }
    sheet.polygon(outline(DriveDrawing::Rack, at, x), PANEL, Some(Pen::THICK));
    if tall > 78.0 {
        // The portal beam in section: a hollow box.
        let (v0, v1) = (-tall + 11.0, -46.0);
        let wall = 6.0;
        let outer = [p(-18.0, v0), p(18.0, v0), p(18.0, v1), p(-18.0, v1)];
        let inner = [
            p(-18.0 + wall, v0 + wall),
            p(18.0 - wall, v0 + wall),
            p(18.0 - wall, v1 - wall),
            p(-18.0 + wall, v1 - wall),
        ];
        sheet.polygon(outer, Some(Fill::Hatch(Hatch::Steel)), Some(Pen::MID));
        sheet.polygon(inner, PAPER, Some(Pen::MID));
    }
    sheet.line(p(-41.0, -31.0), p(41.0, -31.0), Pen::THIN);
    if tall > 60.0 {
        // Ribs along the slanting edges and the row of screws on the foot.
        for side in [-1.0, 1.0] {
            sheet.line(p(side * 36.0, -31.0), p(side * 22.5, -tall), Pen::THIN);
        }
        for u in [-30.0, -18.0, 18.0, 30.0] {
            sheet.circle(p(u, -37.0), 1.5 * d, None, Some(Pen::THIN));
        }
        sheet.line(p(-33.5, -43.0), p(33.5, -43.0), Pen::THIN);
    }
    // Wipers that keep chips off the guide.
    for side in [-1.0, 1.0] {
        sheet.rect(p(side * 72.0 - 2.0, -8.0), 4.0 * d, 8.0 * d, Some(Fill::Flat(Ink::Ink, 1.0)), None);
    }
    for u in [36.0, 56.0, 66.0] {
        sheet.circle(p(u, -19.5), 1.6 * d, None, Some(Pen::THIN));
    }
    // Motor, seen on its end: flange with four screws, cap, plug.
    let (mu, mv) = (-52.0, -2.5 - PINION);
    let corner = 4.0;
    let r = 12.5;
    let (l, t) = (mu - r, mv - r);
    let octagon = [
        p(l + corner, t),
        p(l + 2.0 * r - corner, t),
        p(l + 2.0 * r, t + corner),
        p(l + 2.0 * r, t + 2.0 * r - corner),
        p(l + 2.0 * r - corner, t + 2.0 * r),
        p(l + corner, t + 2.0 * r),
        p(l, t + 2.0 * r - corner),
        p(l, t + corner),
    ];
    plug(sheet, p(mu, mv - r), d);
    sheet.polygon(octagon, PANEL, Some(Pen::THICK));
    for (u, v) in [(-9.0, -9.0), (9.0, -9.0), (9.0, 9.0), (-9.0, 9.0)] {
        sheet.circle(p(mu + u, mv + v), 1.5 * d, None, Some(Pen::THIN));
    }
    sheet.circle(p(mu, mv), 9.5 * d, PAPER, Some(Pen::MID));
    sheet.circle(p(mu, mv), 3.0 * d, PANEL, Some(Pen::MID));
    // The shaft's key and three spokes turn with the pinion.
    let turn = (at.table_x - at.x0) / (PINION * d);
    for third in 0..3 {
        let a = turn + f64::from(third) * std::f64::consts::TAU / 3.0;
        let spoke = |r: f64| p(mu + r * a.cos(), mv + r * a.sin());
        sheet.line(spoke(3.0), spoke(8.0), if third == 0 { Pen::MID } else { Pen::THIN });
    }
    sheet.line(p(mu - 20.0, mv), p(mu + 20.0, mv), Pen::CENTRE);
    sheet.line(p(mu, mv - 20.0), p(mu, mv + 20.0), Pen::CENTRE);
}

/// The pinion in mesh with the rack; it rolls with the table.
fn pinion(sheet: &mut Sheet, at: &MachineLayout) {
    let d = at.d;
    let centre = (at.table_x - 52.0 * d, at.beam.0 - (2.5 + PINION) * d);
    let turn = (at.table_x - at.x0) / (PINION * d);
    let mut points = Vec::with_capacity(44);
    for tooth in 0..11 {
        for (share, r) in [(-0.30, -2.5), (-0.15, 2.3), (0.15, 2.3), (0.30, -2.5)] {
            let a = turn + (f64::from(tooth) + share) * std::f64::consts::TAU / 11.0;
            let r = (PINION + r) * d;
            points.push((centre.0 + r * a.cos(), centre.1 + r * a.sin()));
        }
    }
    sheet.polygon(points, PANEL, Some(Pen::MID));
}

/// Machine table on a ball screw: runner blocks, nut, plate with slots, a vice with a piece of work.
fn table(sheet: &mut Sheet, at: &MachineLayout) {
    let (d, x, top) = (at.d, at.table_x, at.beam.0);
    let p = |u: f64, v: f64| (x + u * d, top + v * d);
    let tall = (top - at.carriage.y) / d;
    sheet.rect(p(-46.0, -SCREW_AXIS - 7.5), 30.0 * d, 15.0 * d, PANEL, Some(Pen::THICK));
    sheet.rect(p(-46.0, -SCREW_AXIS - 10.0), 6.0 * d, 20.0 * d, PANEL, Some(Pen::MID));
    sheet.line(p(-30.0, -SCREW_AXIS - 7.5), p(-30.0, -SCREW_AXIS + 7.5), Pen::THIN);
    sheet.rect(p(-37.0, -31.0), 16.0 * d, (31.0 - SCREW_AXIS - 7.5) * d, PANEL, Some(Pen::MID));
    for u in [-80.0, 48.0] {
        sheet.rect(p(u, -31.0), 32.0 * d, 30.0 * d, PANEL, Some(Pen::THICK));
        sheet.line(p(u, -8.0), p(u + 32.0, -8.0), Pen::THIN);
        for (a, b) in [(6.0, -25.0), (26.0, -25.0), (6.0, -14.0), (26.0, -14.0)] {
            sheet.circle(p(u + a, b), 1.5 * d, None, Some(Pen::THIN));
        }
    }
    if tall > 66.0 {
        let jaw = -tall.min(84.0);
        sheet.rect(p(-40.0, -54.0), 80.0 * d, 7.0 * d, PANEL, Some(Pen::MID));
        sheet.rect(p(-26.0, jaw), 14.0 * d, (-54.0 - jaw) * d, PANEL, Some(Pen::MID));
        sheet.rect(p(16.0, jaw), 14.0 * d, (-54.0 - jaw) * d, PANEL, Some(Pen::MID));
        let work = jaw - 8.0_f64.min(tall + jaw);
        sheet.rect(p(-12.0, work), 28.0 * d, (-57.0 - work) * d, Some(Fill::Hatch(Hatch::Steel)), Some(Pen::THICK));
        sheet.rect(p(-54.0, -62.0), 28.0 * d, 3.0 * d, PAPER, Some(Pen::THIN));
        sheet.circle(p(-54.0, -60.5), 2.6 * d, PAPER, Some(Pen::MID));
    }
    sheet.rect(p(-80.0, -47.0), 160.0 * d, 16.0 * d, PANEL, Some(Pen::THICK));
    sheet.line(p(-80.0, -42.5), p(80.0, -42.5), Pen::THIN);
    sheet.line(p(-80.0, -35.0), p(80.0, -35.0), Pen::THIN);
}

/// The read head hanging over the scale, its lamp glowing as far as light comes back.
fn head(sheet: &mut Sheet, light: f64, at: &MachineLayout) {
    let (d, x, top) = (at.d, at.table_x, at.beam.0);
    let p = |u: f64, v: f64| (x + u * d, top + v * d);
    let shape =
        [(-6.0, -8.0), (-6.0, 4.0), (-13.0, 4.0), (-13.0, 21.0), (13.0, 21.0), (13.0, 4.0), (6.0, 4.0), (6.0, -8.0)];
    sheet.polygon(shape.map(|(u, v)| p(u, v)), PAPER, Some(Pen::THICK));
    // Adjusting slot, screw, and the cable that leaves upwards.
    sheet.rect(p(-2.0, -5.0), 4.0 * d, 7.0 * d, None, Some(Pen::THIN));
    sheet.circle(p(0.0, -1.5), 1.5 * d, SOLID, None);
    let cable = vec![Step::Move(p(13.0, 8.0)), Step::Curve(p(22.0, 8.0), p(22.0, -2.0), p(22.0, -8.0))];
    sheet.path(cable, None, Some(Pen::MID));
    let centre = p(0.0, 13.0);
    if light > 0.0 {
        sheet.circle(centre, 17.0 * d, Some(Fill::Glow(Ink::Glow, centre, 17.0 * d, 0.15 + 0.5 * light)), None);
    }
    sheet.circle(centre, 4.2 * d, PANEL, None);
    sheet.circle(centre, 4.2 * d, Some(Fill::Flat(Ink::Glow, light)), Some(Pen::MID));
    sheet.circle(centre, 1.8 * d, Some(Fill::Flat(Ink::LineBright, 0.85 * light)), None);
}
