//! The one x scale that the section through the head and the plan under it share.

use super::room::{between, finite_or, round_down_fine};
use super::view::{FieldView, HeadView};

/// Housing wall and the air inside it, px at scale 1.
pub(super) const WALL: f64 = 11.0;
const AIR: f64 = 5.0;
/// From the head's right side to the gap's dimension line, px at scale 1.
const TO_DIMENSION: f64 = 30.0;
/// From the dimension line to the right edge: the number field of 90 px stands there.
const FIELD_ROOM: f64 = 102.0;
/// Left of the head: end of the scale and its overhang.
const LEFT_ROOM: f64 = 30.0;
/// Further room for names at the left, where the box is wide.
const NAME_ROOM: f64 = 84.0;
/// Boxes must be this wide for parts and letters at scale 1.
const LEAST_WIDTH: f64 = 334.0;
/// Boxes at least this wide carry names at the left, px at scale 1.
const WIDE: f64 = 540.0;

/// Mapping along the travel for the pictures of the head.
#[derive(Clone, Debug, PartialEq)]
pub struct HeadScale {
    /// Scale of pens and letters of both pictures: the one to hand to whatever puts the shapes on a screen.
    pub k: f64,
    /// Middle of the head, px.
    pub cx: f64,
    /// Half the head's outer width, px.
    pub half: f64,
    /// Pixels for one metre of the head, its fields and the dirt.
    pub px_per_m: f64,
    /// Pixels for one grating period.
    pub period_px: f64,
    /// How many times the grating is drawn larger than the head: print it when it is not 1.
    pub lines_factor: f64,
    /// Where the lamp is, px from the middle of the head.
    pub lamp: f64,
    /// Ends of the scale, px.
    pub strip: (f64, f64),
    /// The gap's dimension line, px.
    pub dimension_x: f64,
    /// Left and right edge of each field, px from the middle of the head, in the order of the view.
    pub fields: Vec<(f64, f64)>,
    /// The four fields lie between each other in one window and are drawn side by side.
    pub interleaved: bool,
    /// Where the names of the parts start, if there is room for them, px.
    pub names_x: Option<f64>,
    /// Place of a bright line when the scale position is a whole number of periods, px from the middle of the head.
    origin: f64,
    turns: f64,
    duty: f64,
}

impl HeadScale {
    /// Fits the head of a view into a width that starts at `x`.
    /// Where the width is too small for parts and letters at scale `k`, both pictures use a smaller one, never
    /// below 1: put the shapes on the screen at the `k` of the result, and controls over them too.
    pub fn fit(view: &HeadView, x: f64, w: f64, k: f64) -> Self {
        let k = k.min((w / LEAST_WIDTH).max(1.0));
        let names = if w >= WIDE * k { NAME_ROOM * k } else { 0.0 };
        let (left, right) = (names + LEFT_ROOM * k, (TO_DIMENSION + FIELD_ROOM) * k);
        let widest = between((w - left - right) / 2.0, 36.0 * k, 190.0 * k);
        let period_m = finite_or(view.period_m, 1e-3).max(1e-7);
        let spans: Vec<(f64, f64)> = view.fields.iter().map(span_m).collect();
        let (interleaved, spans) = side_by_side(&view.fields, spans);
        let reach = spans.iter().fold(0.1e-3, |most: f64, s| most.max(s.0.abs()).max(s.1.abs()));
        let free = spans.iter().map(|s| if s.0 <= 0.0 && s.1 >= 0.0 { 0.0 } else { s.0.abs().min(s.1.abs()) });
        let free = free.fold(f64::INFINITY, f64::min);
        let most = 64.0 * k / period_m;
        let inner = widest - (WALL + AIR) * k;
        let centred = (inner / reach).min(most);
        let lamp_in_middle = free * centred >= 10.0 * k;
        let aside = if lamp_in_middle { 0.0 } else { (30.0 * k).min(inner * 0.4) };
        let px_per_m = ((inner - aside) / reach).min(most);
        let half = (reach * px_per_m + aside + (WALL + AIR) * k).max(52.0 * k).min(widest);
        let group = left + 2.0 * half + right;
        let start = x + ((w - group) / 2.0).max(0.0);
        let cx = start + left + half;
        let true_period = period_m * px_per_m;
        let lines_factor = if true_period >= 14.0 * k { 1.0 } else { round_down_fine(22.0 * k / true_period) };
        let period_px = true_period * lines_factor;
        let fields: Vec<(f64, f64)> = spans.iter().map(|s| (s.0 * px_per_m, s.1 * px_per_m)).collect();
        let origin = match (view.fields.first(), fields.first()) {
            (Some(field), Some(f)) if f.1 - f.0 < 1.5 * period_px => (f.0 + f.1) / 2.0 + phase(field.name) * period_px,
            _ => 0.0,
        };
        Self {
            k,
            cx,
            half,
            px_per_m,
            period_px,
            lines_factor,
            lamp: if lamp_in_middle { 0.0 } else { -half + (WALL + AIR + 12.0) * k },
            strip: (start + names + 14.0 * k, cx + half + 14.0 * k),
            dimension_x: cx + half + TO_DIMENSION * k,
            fields,
            interleaved,
            names_x: (names > 0.0).then_some(start),
            origin,
            turns: finite_or(view.x_m / period_m, 0.0).rem_euclid(1.0),
            duty: between(view.duty, 0.05, 0.95),
        }
    }

    /// Place of a point of the head or of the dirt, m from the head's middle.
    pub fn x_of(&self, m: f64) -> f64 {
        self.cx + m * self.px_per_m
    }

    /// Distance from the head's middle at a place, m.
    pub fn m_of(&self, x: f64) -> f64 {
        (x - self.cx) / self.px_per_m
    }

    /// Middles of the bright lines that touch a stretch, px. They move left as the head moves right.
    pub fn bright_lines(&self, from: f64, to: f64) -> impl Iterator<Item = f64> {
        let (p, zero) = (self.period_px, self.cx + self.origin - self.turns * self.period_px);
        let first = ((from - zero) / p - 0.5).ceil();
        (0..2000).map(move |i| zero + (first + f64::from(i)) * p).take_while(move |x| *x - p / 2.0 < to)
    }

    /// Bright lines as stretches (left, right), cut to a window, px.
    pub fn bright_bars(&self, from: f64, to: f64) -> impl Iterator<Item = (f64, f64)> {
        let half = self.period_px * self.duty / 2.0;
        self.bright_lines(from, to).map(move |x| ((x - half).max(from), (x + half).min(to))).filter(|(a, b)| b > a)
    }

    /// Slots of a field's mask (left, right), px from the middle of the head: where a bright line stands when the
    /// field sees most light.
    pub fn slots(&self, index: usize, name: &str) -> Vec<(f64, f64)> {
        let (a, b) = self.fields[index];
        let p = self.period_px;
        if b - a < 1.5 * p {
            return vec![(a, b)];
        }
        let zero = self.origin - phase(name) * p;
        let half = 0.2 * p;
        let first = ((a - zero) / p - 0.5).ceil();
        (0..400)
            .map(|i| zero + (first + f64::from(i)) * p)
            .take_while(|x| x - half < b)
            .map(|x| ((x - half).max(a), (x + half).min(b)))
            .filter(|(a, b)| b > a)
            .collect()
    }

    /// From the leftmost to the rightmost edge of the fields, px from the middle of the head.
    pub fn fields_reach(&self) -> (f64, f64) {
        self.fields.iter().fold((0.0, 0.0), |(lo, hi): (f64, f64), f| (lo.min(f.0), hi.max(f.1)))
    }
}

/// Phase of a field by its name, turns: A 0, B a quarter, the minus fields half a turn on (A leads B going right).
pub fn phase(name: &str) -> f64 {
    let quarter = if name.starts_with('B') { 0.25 } else { 0.0 };
    let half = if name.ends_with('-') || name.ends_with('\u{2212}') { 0.5 } else { 0.0 };
    quarter + half
}

fn span_m(field: &FieldView) -> (f64, f64) {
    let x = between(field.x_m, -0.02, 0.02);
    let half = between(field.length_m, 1e-5, 0.02) / 2.0;
    (x - half, x + half)
}

/// Fields that lie in the same window are drawn side by side in it, in the order of their phase.
fn side_by_side(fields: &[FieldView], spans: Vec<(f64, f64)>) -> (bool, Vec<(f64, f64)>) {
    let overlap = |a: &(f64, f64), b: &(f64, f64)| a.1.min(b.1) - a.0.max(b.0) > 0.3 * (a.1 - a.0).min(b.1 - b.0);
    let any = spans.iter().enumerate().any(|(i, a)| spans[..i].iter().any(|b| overlap(a, b)));
    if !any {
        return (false, spans);
    }
    let lo = spans.iter().fold(f64::INFINITY, |m, s| m.min(s.0));
    let hi = spans.iter().fold(f64::NEG_INFINITY, |m, s| m.max(s.1));
    let step = (hi - lo) / spans.len() as f64;
    let mut order: Vec<usize> = (0..fields.len()).collect();
    order.sort_by(|a, b| phase(fields[*a].name).total_cmp(&phase(fields[*b].name)));
    let mut out = spans;
    for (place, index) in order.into_iter().enumerate() {
        out[index] = (lo + (place as f64 + 0.06) * step, lo + (place as f64 + 0.94) * step);
    }
    (true, out)
}
