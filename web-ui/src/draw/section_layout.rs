//! Where things stand in the section through head and scale.

use super::head_scale::HeadScale;
use super::room::{Area, between, finite_or, round_down_fine};
use super::shape::Point;
use super::view::HeadView;

/// Height of the housing over the mask's lower face, px at scale 1.
pub(super) const HEAD: f64 = 92.0;
/// Thickness of a glass scale and of a tape, px at scale 1.
pub(super) const GLASS: f64 = 13.0;
/// Thickness of a tape on its beam, px at scale 1.
pub(super) const TAPE: f64 = 12.0;
/// Beam under a tape, px at scale 1.
pub(super) const UNDER: f64 = 20.0;
/// Height of the lamp's arm under a glass scale, px at scale 1.
pub(super) const ARM: f64 = 46.0;
/// Air that the arm keeps under the glass at the largest gap, px at scale 1.
const ARM_AIR: f64 = 6.0;
/// Room over the head for the tilt's knob, px at scale 1.
const TOP: f64 = 32.0;
/// From the head's upper side to the tilt's arc, px at scale 1.
const TO_ARC: f64 = 16.0;
/// Largest angle that is drawn, rad.
pub(super) const MOST_TURN: f64 = 0.3;

/// Places in the section, px.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionLayout {
    /// The whole picture.
    pub area: Area,
    /// The x scale, shared with the plan.
    pub scale: HeadScale,
    /// The head, not turned.
    pub head: Area,
    /// Upper face of the scale.
    pub scale_y: f64,
    /// Knob of the gap: the upper end of its dimension.
    pub gap_knob: Point,
    /// Ends of the gap's dimension: mask, scale.
    pub gap_ends: (Point, Point),
    /// Room for the gap's number, 90 x 28 px at scale 1.
    pub gap_field: Area,
    /// Pixels for one metre of gap.
    pub gap_px_per_m: f64,
    /// How many times larger than the head's length the gap is drawn: print it.
    pub gap_factor: f64,
    /// Knob of the tilt.
    pub tilt_knob: Point,
    /// About this point the head turns: the middle of the mask's lower face.
    pub tilt_pivot: Point,
    /// Distance of the knob from it.
    pub tilt_radius: f64,
    /// Room for the tilt's number, 90 x 28 px at scale 1.
    pub tilt_field: Area,
    /// How many times larger than true the tilt is drawn: print it.
    pub tilt_factor: f64,
    /// Angle by which the head is drawn turned, rad, clockwise on the screen. It stops where the head would touch.
    pub turn_rad: f64,
    /// The face of the scale: paint here.
    pub strip: Area,
    /// Depth of the lamp's arm under the mask, for light through the scale, px.
    pub(super) arm_depth: Option<f64>,
}

impl SectionLayout {
    /// Works out the places for a view. `scale` comes from [`HeadScale::fit`] with the same view and width.
    pub fn new(view: &HeadView, area: Area, scale: HeadScale) -> Self {
        let k = scale.k;
        let rest = area.h - (TOP + HEAD) * k;
        let most_px = if view.transmissive {
            (rest - (GLASS + ARM_AIR + ARM + 2.0) * k) / 2.0
        } else {
            rest - (TAPE + UNDER + 8.0) * k
        }
        .clamp(12.0 * k, 130.0 * k);
        let most_m = [view.gap_range_m.1, view.gap_nominal_m, 1e-5].into_iter().map(|m| finite_or(m, 0.0));
        let most_m = most_m.fold(0.0, f64::max);
        let gap_factor = round_down_fine(most_px / (most_m * scale.px_per_m));
        let gap_px_per_m = gap_factor * scale.px_per_m;
        let gap_px = between(view.gap_m * gap_px_per_m, 0.0, most_m * gap_px_per_m);
        let most_px = most_m * gap_px_per_m;
        // The head hangs as high as the largest gap needs; what is left over stays under the scale.
        let scale_y = area.y + (TOP + HEAD) * k + most_px;
        let (cx, pivot_y) = (scale.cx, scale_y - gap_px);
        let tilt_factor = gap_factor.max(1.0);
        let asked = between(-finite_or(view.tilt_rad, 0.0) * tilt_factor, -MOST_TURN, MOST_TURN);
        let above = pivot_y - HEAD * k - area.y - 2.0 * k;
        let arm_depth = view.transmissive.then_some(most_px + (GLASS + ARM_AIR) * k);
        let below = arm_depth.map_or(f64::INFINITY, |depth| depth - gap_px - GLASS * k);
        // Turned further, the cable or the arm would leave the picture at the left.
        let aside = arm_depth.map_or(0.17, |depth| (26.0 * k / (depth + ARM * k)).min(0.17));
        let touch = (gap_px.min(above).min(below) / scale.half).clamp(0.0, 1.0).asin().min(aside);
        let radius = (HEAD + TO_ARC) * k;
        let knob = (cx + radius * asked.sin(), pivot_y - radius * asked.cos());
        let gx = scale.dimension_x;
        let middle = (pivot_y + scale_y) / 2.0;
        let strip_h = if view.transmissive { GLASS } else { TAPE } * k;
        Self {
            area,
            head: Area::new(cx - scale.half, pivot_y - HEAD * k, 2.0 * scale.half, HEAD * k),
            scale_y,
            gap_knob: (gx, pivot_y),
            gap_ends: ((gx, pivot_y), (gx, scale_y)),
            gap_field: Area::new(gx + 10.0 * k, middle - 14.0 * k, 90.0 * k, 28.0 * k),
            gap_px_per_m,
            gap_factor,
            tilt_knob: knob,
            tilt_pivot: (cx, pivot_y),
            tilt_radius: radius,
            tilt_field: Area::new(knob.0 + 10.0 * k, knob.1 - 14.0 * k, 90.0 * k, 28.0 * k),
            tilt_factor,
            turn_rad: asked.clamp(-touch, touch),
            strip: Area::new(scale.strip.0, scale_y, scale.strip.1 - scale.strip.0, strip_h),
            arm_depth,
            scale,
        }
    }

    /// Gap that puts the knob at a height, m, within the range of the view.
    pub fn gap_at(&self, y: f64, range_m: (f64, f64)) -> f64 {
        between((self.scale_y - y) / self.gap_px_per_m, range_m.0, range_m.1)
    }

    /// Tilt that puts the knob in the direction of a point, rad.
    pub fn tilt_at(&self, (x, y): Point) -> f64 {
        -(x - self.tilt_pivot.0).atan2(self.tilt_pivot.1 - y) / self.tilt_factor
    }

    /// A point of the head on the screen: `u` to the right of its middle, `v` above the mask's lower face, px.
    pub(super) fn on_head(&self, u: f64, v: f64) -> Point {
        let (sin, cos) = self.turn_rad.sin_cos();
        (self.tilt_pivot.0 + u * cos + v * sin, self.tilt_pivot.1 + u * sin - v * cos)
    }
}
