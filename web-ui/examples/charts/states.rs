//! States of a router gantry's X axis (Pell Harbour Joinery) to draw: a short simulation of its own, for pictures only.

use std::f64::consts::TAU;
use web_ui::draw::view::{ErrorView, Levels, MinMax, SquareColumn, TraceView, XyView};

/// One state with all that its charts are given.
pub struct State {
    pub name: &'static str,
    pub trace: TraceView,
    pub error: ErrorView,
    pub xy: XyView,
    pub columns: usize,
    pub a: &'static str,
    pub b: &'static str,
    pub now: &'static str,
}

/// What a state is made from.
struct Recipe {
    name: &'static str,
    window_s: f64,
    columns: usize,
    /// Columns that are there yet.
    filled: usize,
    speed_mps: fn(f64) -> f64,
    /// Amplitude as a share of healthy, by place in m.
    gain: fn(f64) -> f64,
    noise_v: f64,
    has_b: bool,
    levels: Levels,
    /// Trips at the limit.
    trips: bool,
    words: [&'static str; 3],
}

const PERIOD_M: f64 = 1e-3;
const AMPLITUDE_V: f64 = 0.97;
const BAND_M: f64 = 3e-3;

/// All states.
pub fn states() -> Vec<State> {
    let comparator = Levels::Comparator { centre_v: 0.0, half_v: 0.2 };
    let base = Recipe {
        name: "slow",
        window_s: 0.036,
        columns: 480,
        filled: 480,
        speed_mps: |_| 0.333,
        gain: |_| 1.0,
        noise_v: 0.0,
        has_b: true,
        levels: comparator,
        trips: false,
        words: ["0.97 V", "a quarter period later", ""],
    };
    let smear = |x: f64| {
        let u = ((x - 7.4e-3) / 2.6e-3).clamp(0.0, 1.0);
        1.0 - 0.88 * u * u * (3.0 - 2.0 * u)
    };
    [
        Recipe { ..base },
        Recipe {
            name: "blind",
            window_s: 0.040,
            gain: smear,
            trips: true,
            words: ["0.97 V", "a quarter period later", "0.12 V"],
            ..base
        },
        Recipe {
            name: "dip",
            window_s: 4.0,
            gain: |x| 1.0 - 0.55 * (-((x - 0.75) / 0.05).powi(2)).exp(),
            speed_mps: |t| 0.333 * (1.0 - (2.0 * (t - 3.0)).clamp(0.0, 1.0)),
            words: ["0.97 V", "half as large where the tape is dirty", ""],
            ..base
        },
        Recipe { name: "onesensor", has_b: false, words: ["0.97 V", "", ""], ..base },
        Recipe { name: "noise", noise_v: 0.16, levels: Levels::Vector { hold_v: 0.3 }, ..base },
        Recipe { name: "reverse", speed_mps: |t| 0.30 * (1.0 - t / 0.018), ..base },
        Recipe { name: "start", filled: 90, ..base },
        Recipe { name: "empty", filled: 0, words: ["", "", ""], ..base },
        Recipe { name: "one", filled: 1, ..base },
    ]
    .iter()
    .map(cook)
    .collect()
}

fn cook(r: &Recipe) -> State {
    let mut rng = 7u32;
    let mut noise = move || {
        rng = rng.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (f64::from(rng >> 8) / f64::from(1u32 << 23) - 1.0) * r.noise_v
    };
    let sub = 64;
    let dt = r.window_s / (r.columns * sub) as f64;
    let (mut x, mut command, mut counted) = (0.0, 0.0006, 0i64);
    let mut state = (false, false);
    let mut tripped: Option<f64> = None;
    let mut t = TraceView {
        now_s: 12.494,
        window_s: r.window_s,
        a_v: vec![],
        b_v: vec![],
        ghost_a_v: vec![],
        ghost_b_v: vec![],
        square_a: vec![],
        square_b: vec![],
        counts: vec![],
        blind: vec![],
        range_v: (-1.1, 1.1),
        levels: r.levels,
        alarm_s: None,
    };
    let (mut error_m, mut expected_m, mut band_m, mut points_v) = (vec![], vec![], vec![], vec![]);
    let hold = match r.levels {
        Levels::Comparator { half_v, .. } => half_v,
        Levels::Vector { hold_v } => hold_v,
    };
    let mut blind_for = 0;
    for column in 0..r.filled {
        let none = MinMax { min: f64::MAX, max: f64::MIN };
        let (mut a, mut b, mut ga, mut gb, mut e) = (none, none, none, none, none);
        let (mut busy, mut count) = ((false, false), 0);
        let mut widest = 0.0f64;
        for i in 0..sub {
            let time = (column * sub + i) as f64 * dt;
            let speed = if tripped.is_some() { 0.28 } else { (r.speed_mps)(time) };
            x += speed * dt;
            command += (if tripped.is_some() { 0.25 } else { (r.speed_mps)(time) }) * dt;
            let (sin, cos) = (TAU * x / PERIOD_M).sin_cos();
            let g = AMPLITUDE_V * (r.gain)(x);
            let values = (g * cos + noise(), g * sin + noise());
            widest = widest.max(values.0.hypot(values.1));
            grow(&mut a, values.0);
            grow(&mut b, values.1);
            grow(&mut ga, AMPLITUDE_V * cos);
            grow(&mut gb, AMPLITUDE_V * sin);
            let next = (schmitt(state.0, values.0), schmitt(state.1, values.1));
            busy = (busy.0 | (next.0 != state.0), busy.1 | (next.1 != state.1));
            let order = |s| match s {
                (false, false) => 0i32,
                (true, false) => 1,
                (true, true) => 2,
                (false, true) => 3,
            };
            count += match (order(next) - order(state)).rem_euclid(4) {
                1 => 1,
                3 => -1,
                _ => 0,
            };
            state = next;
            grow(&mut e, 3.3e-3 + (command - x) * 0.1 + x - (counted + i64::from(count)) as f64 * PERIOD_M / 4.0);
            points_v.push(values);
        }
        counted += i64::from(count);
        blind_for = if widest < hold { blind_for + 1 } else { 0 };
        t.a_v.push(a);
        t.ghost_a_v.push(ga);
        t.square_a.push(SquareColumn { high: state.0, busy: busy.0 });
        if r.has_b {
            t.b_v.push(b);
            t.ghost_b_v.push(gb);
            t.square_b.push(SquareColumn { high: state.1, busy: busy.1 });
        }
        t.counts.push(count);
        t.blind.push(blind_for > 3);
        error_m.push(e);
        expected_m.push(3.3e-3);
        band_m.push((3.3e-3 - BAND_M, 3.3e-3 + BAND_M));
        if r.trips && tripped.is_none() && e.max > 3.3e-3 + BAND_M {
            let ago = (r.filled - column) as f64 * r.window_s / r.columns as f64;
            tripped = Some(t.now_s - ago);
        }
    }
    t.alarm_s = tripped;
    let blind = t.blind.last() == Some(&true);
    let tail = points_v.len().saturating_sub((0.4 * points_v.len() as f64).max(9000.0) as usize);
    let xy = XyView {
        points_v: points_v[tail..].iter().step_by(24).copied().collect(),
        centre_v: 0.0,
        ideal_v: AMPLITUDE_V,
        levels: r.levels,
        half_range_v: 1.1,
        has_b: r.has_b,
        blind,
        ghost: true,
    };
    let error =
        ErrorView { now_s: t.now_s, window_s: t.window_s, error_m, expected_m, band_m, alarm_s: tripped, ghost: true };
    State { name: r.name, trace: t, error, xy, columns: r.columns, a: r.words[0], b: r.words[1], now: r.words[2] }
}

fn grow(column: &mut MinMax, value: f64) {
    column.min = column.min.min(value);
    column.max = column.max.max(value);
}

fn schmitt(was: bool, v: f64) -> bool {
    if was { v > -0.2 } else { v > 0.2 }
}
