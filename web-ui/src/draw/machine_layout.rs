//! Where things stand in the side view of the axis: worked out once, used by the drawing and by the page's controls.

use super::room::{Area, between, finite_or};
use super::shape::Point;
use super::view::{DriveDrawing, Lies, MachineView};

/// Exaggeration steps of the differences from the table.
const FACTORS: [f64; 9] = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0];

/// Dirty stretches narrower than the first are drawn as wide as the second, px at scale 1: as wide as the head,
/// so that a smear under it shows on both sides.
const LEAST_DIRT: f64 = 8.0;
const SHOWN_DIRT: f64 = 44.0;

/// Where a dirty stretch is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DirtPlace {
    /// Left edge, px.
    pub x0: f64,
    /// Right edge, px.
    pub x1: f64,
    /// How many times wider than true it is drawn (1 = true).
    pub factor: f64,
}

/// Places in the side view, px.
#[derive(Clone, Debug, PartialEq)]
pub struct MachineLayout {
    /// The long picture; all of it, or what an inset leaves.
    pub area: Area,
    /// How the axis really stands, where it does not lie and there is room for it.
    pub inset: Option<Area>,
    /// Place of the healthy table; its distance from the table is drawn `factor` times too large.
    pub healthy_x: f64,
    /// Scale of pens and letters.
    pub k: f64,
    /// Scale of the machine's parts: below `k` in small boxes.
    pub d: f64,
    /// Place of machine zero.
    pub x0: f64,
    /// Pixels for one metre of travel.
    pub px_per_m: f64,
    /// Upper and lower face of the beam.
    pub beam: (f64, f64),
    /// Middle of the table.
    pub table_x: f64,
    /// Middle of the command ghost; its distance from the table is drawn `factor` times too large.
    pub ghost_x: f64,
    /// Where the arrow of the counted position ends; its distance from the table is drawn `factor` times too large.
    pub counted_x: f64,
    /// How many times the differences between command, count and table are drawn too large: print it.
    pub factor: f64,
    /// The count differs from the table by more than the drawing can hide.
    pub counted_off: bool,
    /// The carriage.
    pub carriage: Area,
    /// Good places for the two jog buttons, 44 px at scale 1, on either side of the carriage; they keep inside.
    pub jog: (Area, Area),
    /// The scale on the beam: paint here.
    pub scale: Area,
    /// The read head's lamp.
    pub head: Point,
    /// The home switch.
    pub home: Point,
    /// Height of the position dimension.
    pub dimension_y: f64,
    /// Dirty stretches, in the order of the view.
    pub dirt: Vec<DirtPlace>,
}

impl MachineLayout {
    /// Works out the places. `held` is the factor of the picture before: it is kept as long as it fits, so that the
    /// ghost does not jump while the axis gathers speed; `None` chooses afresh.
    pub fn new(view: &MachineView, area: Area, k: f64, held: Option<f64>) -> Self {
        let inset = (view.lies != Lies::Level && area.w >= 520.0 * k)
            .then(|| Area::new(area.x, area.y, (area.h * 0.95).min(area.w * 0.28), area.h));
        let area =
            inset.map_or(area, |i| Area::new(i.right() + 8.0 * k, area.y, area.right() - i.right() - 8.0 * k, area.h));
        let d = k * (area.w / (k * 640.0)).min(area.h / (k * 170.0)).clamp(0.5, 1.0);
        let bottom = area.bottom() - if area.h > 190.0 * k { 56.0 * k } else { 38.0 * k };
        let beam = (bottom - 26.0 * d, bottom);
        let half = half_carriage(view.drive) * d;
        let ends = if view.drive == DriveDrawing::Screw { (84.0 * d, 34.0 * d) } else { (28.0 * d, 28.0 * d) };
        let (lo, hi) = travel_ends(view);
        let left = area.x + 4.0 * k + ends.0 + half;
        let right = area.right() - 4.0 * k - ends.1 - half;
        let px_per_m = (right - left).max(1.0) / (hi - lo);
        let x0 = left - lo * px_per_m;
        let x_of = |m: f64| x0 + between(m, lo, hi) * px_per_m;
        let table_x = x_of(finite_or(view.table_m, 0.0));
        let room = (table_x - area.x - 2.0 * k - half, area.right() - 2.0 * k - half - table_x);
        let lag = finite_or(view.command_m - view.table_m, 0.0) * px_per_m;
        let off = finite_or(view.counted_m - view.table_m, 0.0) * px_per_m;
        let factor = difference_factor(lag, off, k, room, held);
        let head_room = (table_x - area.x - 4.0 * k, area.right() - 4.0 * k - table_x);
        let tall = between(beam.0 - area.y - 14.0 * k, 46.0 * d, tallest(view.drive) * d);
        let carriage = Area::new(table_x - half, beam.0 - tall, 2.0 * half, tall - 7.0 * d);
        let jog_y = (beam.0 - shoulder(view.drive) * d - 26.0 * k).max(area.y + 22.0 * k);
        let jog =
            |x: f64| Area::around((between(x, area.x + 22.0 * k, area.right() - 22.0 * k), jog_y), 44.0 * k, 44.0 * k);
        let scale = Area::new(x_of(lo), beam.0 + 10.0 * d, x_of(hi) - x_of(lo), 8.0 * d);
        let dirt = view.dirt.iter().map(|spot| dirt_place(x_of(spot.from_m), x_of(spot.to_m), &scale, d)).collect();
        let behind = finite_or(view.healthy_m - view.table_m, 0.0) * px_per_m;
        Self {
            area,
            inset,
            healthy_x: table_x + between(behind * factor, -room.0, room.1),
            k,
            d,
            x0,
            px_per_m,
            beam,
            table_x,
            ghost_x: table_x + between(lag * factor, -room.0, room.1),
            counted_x: table_x + between(off * factor, -head_room.0, head_room.1),
            factor,
            counted_off: (off * factor).abs() > 1.5 && off.abs() > 1.6 * view.count_m * px_per_m,
            carriage,
            jog: (jog(table_x - half - 40.0 * k), jog(table_x + half + 40.0 * k)),
            scale,
            head: (table_x, beam.0 + 14.0 * d),
            home: (x_of(view.home_switch_m) - half + 5.0 * d, beam.1 + 14.0 * d),
            dimension_y: beam.1 + 29.0 * k,
            dirt,
        }
    }

    /// Place of an axis position, px. Not clamped.
    pub fn x_of(&self, position_m: f64) -> f64 {
        self.x0 + position_m * self.px_per_m
    }

    /// Axis position under a place, m. Not clamped.
    pub fn m_of(&self, x: f64) -> f64 {
        (x - self.x0) / self.px_per_m
    }

    /// The widest exaggeration of a dirty stretch (1 = all true): print it when above 1.
    pub fn dirt_factor(&self) -> f64 {
        self.dirt.iter().fold(1.0, |most, spot| spot.factor.max(most))
    }
}

/// Half the carriage's width, px at scale 1.
pub(super) fn half_carriage(drive: DriveDrawing) -> f64 {
    match drive {
        DriveDrawing::Rack => 74.0,
        DriveDrawing::Screw => 80.0,
        DriveDrawing::Ring => 30.0,
    }
}

/// Height of the carriage's shoulders over the beam, px at scale 1: the jog buttons stand over them.
pub(super) fn shoulder(drive: DriveDrawing) -> f64 {
    match drive {
        DriveDrawing::Rack => 31.0,
        DriveDrawing::Screw => 47.0,
        DriveDrawing::Ring => 24.0,
    }
}

fn tallest(drive: DriveDrawing) -> f64 {
    match drive {
        DriveDrawing::Rack => 128.0,
        DriveDrawing::Screw => 96.0,
        DriveDrawing::Ring => 46.0,
    }
}

/// Lowest and highest position that the table can reach, m; sound even for a view that is not.
pub(super) fn travel_ends(view: &MachineView) -> (f64, f64) {
    let travel = finite_or(view.travel_m, 1.0).max(1e-3);
    let lo = finite_or(view.stops_m.0, 0.0).min(0.0).max(-travel);
    let hi = finite_or(view.stops_m.1, travel).max(travel).min(2.0 * travel);
    (lo, hi)
}

/// The factor of the differences: the smallest step that shows the larger one (14 px at scale 1), as long as both
/// stay within 44 px and inside the picture. Differences that stay under 2 px at the largest step are not shown.
fn difference_factor(lag: f64, off: f64, k: f64, room: (f64, f64), held: Option<f64>) -> f64 {
    let fits = |factor: f64| {
        [lag, off].iter().all(|difference| {
            let px = difference * factor;
            px.abs() <= 44.0 * k && px <= room.1.max(8.0 * k) && -px <= room.0.max(8.0 * k)
        })
    };
    let most = lag.abs().max(off.abs());
    let last = FACTORS[FACTORS.len() - 1];
    let start = match held {
        Some(held) if held.is_finite() => held,
        _ if most * last < 2.0 => 1.0,
        _ => FACTORS.into_iter().find(|f| most * f >= 14.0 * k).unwrap_or(last),
    };
    FACTORS.into_iter().rev().filter(|f| *f <= start).find(|f| fits(*f)).unwrap_or(1.0)
}

fn dirt_place(a: f64, b: f64, scale: &Area, d: f64) -> DirtPlace {
    let (a, b) = (a.min(b), a.max(b));
    let width = if b - a < LEAST_DIRT * d { (SHOWN_DIRT * d).min(scale.w) } else { b - a };
    let x0 = between((a + b - width) / 2.0, scale.x, scale.right() - width);
    let factor = if b - a < width { width / (b - a).max(1e-3) } else { 1.0 };
    DirtPlace { x0, x1: x0 + width, factor }
}
