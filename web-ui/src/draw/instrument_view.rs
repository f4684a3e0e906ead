//! What the instruments are given: plain numbers from the lab, SI units. `ghost` asks each for the healthy bench.

use super::view::{DirtView, ErrorView, MinMax, SquareColumn, TraceView, XyView};

/// Channels, squares and mark over time with the tools of the traces.
#[derive(Clone, Debug, PartialEq)]
pub struct TracesView {
    /// What is shown now.
    pub trace: TraceView,
    /// Columns that would fill the window.
    pub columns: usize,
    /// Pulse of the reference mark in each column; empty where the scale has none.
    pub mark: Vec<SquareColumn>,
    /// Sweeps before the newest one, oldest first: A and B.
    pub older: Vec<(Vec<MinMax>, Vec<MinMax>)>,
    /// Level of the trigger, V, and whether it looks at B; none without a level.
    pub level: Option<(f64, bool)>,
    /// Moment of the trigger, s.
    pub trigger_s: Option<f64>,
    /// Places of both cursors across the window, 0 (left) to 1 (right).
    pub cursors: Option<[f64; 2]>,
    /// Whether what is shown is held.
    pub held: bool,
    /// Whether the healthy bench is drawn under it.
    pub ghost: bool,
}

/// One change of the squared channels, or counts without one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CountEvent {
    /// When, s.
    pub time_s: f64,
    /// Squared A and B afterwards.
    pub after: (bool, bool),
    /// Squared A and B before.
    pub before: (bool, bool),
    /// Change of the count.
    pub change: i32,
    /// The counter called it illegal: both changed at once.
    pub illegal: bool,
}

impl CountEvent {
    /// Number of a state, rising on the way up: 00, 10, 11, 01.
    pub fn state((a, b): (bool, bool)) -> u8 {
        u8::from(a != b) + 2 * u8::from(b)
    }

    /// +1 up, -1 down, 0 where the states are no neighbours.
    pub fn way(&self) -> i32 {
        match (Self::state(self.after) + 4 - Self::state(self.before)) % 4 {
            1 => 1,
            3 => -1,
            _ => 0,
        }
    }

    /// Whether a counter of so many counts a period (1, 2 or 4) counts here, and which way.
    pub fn counts_at(&self, per_period: u32) -> i32 {
        let way = self.way();
        let boundary = Self::state(if way >= 0 { self.before } else { self.after });
        let counts = match per_period {
            4 => true,
            2 => boundary == 0 || boundary == 2,
            _ => boundary == 0,
        };
        if counts { way } else { 0 }
    }
}

/// Edges and counts over time.
#[derive(Clone, Debug, PartialEq)]
pub struct CountView {
    /// Moment at the right end, s.
    pub now_s: f64,
    /// Time from left to right, s.
    pub window_s: f64,
    /// Every change in the window, oldest first; none where they are too many to tell apart.
    pub events: Option<Vec<CountEvent>>,
    /// Counts in columns, for the windows in which single edges are too many.
    pub counts: Vec<i32>,
    /// Columns that would fill the window.
    pub columns: usize,
    /// Counts of the healthy bench: moment and way.
    pub healthy: Vec<(f64, i32)>,
    /// Counts that the healthy bench would make in each column; empty without it.
    pub healthy_counts: Vec<f64>,
    /// Squared A and B now.
    pub state: (bool, bool),
    /// Whether B is plugged in.
    pub has_b: bool,
    /// The count.
    pub count: i64,
    /// Which way the last count went.
    pub direction: i8,
    /// Counts per squared period of the control: 1, 2 or 4.
    pub per_period: u32,
    /// Way of one count, m.
    pub count_m: f64,
    /// Illegal changes since the start.
    pub illegal: u64,
    /// Moment of the alarm, s.
    pub alarm_s: Option<f64>,
    /// Whether the healthy bench is drawn.
    pub ghost: bool,
}

/// The ellipse through A against B.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FitView {
    /// Its centre, V.
    pub offset_v: [f64; 2],
    /// Amplitudes of A and B, V.
    pub radius_v: [f64; 2],
    /// By how much B leads where it should be, rad.
    pub phase_error_rad: f64,
    /// Position error within a period that it makes, m peak to peak; none where the figure does not go round.
    pub error_m: Option<f64>,
    /// What is left of it after offset, amplitude and phase are taken out, m peak to peak.
    pub left_m: f64,
}

/// A against B with the ellipse through it.
#[derive(Clone, Debug, PartialEq)]
pub struct FigureView {
    /// The points.
    pub xy: XyView,
    /// The ellipse, or why there is none.
    pub fit: Result<FitView, String>,
}

/// One moment of the loop.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct LoopPoint {
    /// When, s.
    pub time_s: f64,
    /// Command, m.
    pub command_m: f64,
    /// What the count says, m.
    pub counted_m: f64,
    /// Where the table is, m.
    pub table_m: f64,
    /// Commanded speed, m/s.
    pub command_mps: f64,
    /// Speed of the table, m/s.
    pub speed_mps: f64,
    /// What the control expects as following error, m.
    pub expected_m: f64,
}

/// The position loop over time.
#[derive(Clone, Debug, PartialEq)]
pub struct LoopView {
    /// Points of the window, oldest first.
    pub points: Vec<LoopPoint>,
    /// Following error over the same window.
    pub error: ErrorView,
    /// Columns that would fill the window of the following error.
    pub columns: usize,
    /// Smallest difference that counts as one, m: way of one count.
    pub count_m: f64,
}

/// Amplitude over the travel.
#[derive(Clone, Debug, PartialEq)]
pub struct TravelView {
    /// Start of the first cell and end of the last one, m.
    pub span_m: (f64, f64),
    /// Travel of the axis, m.
    pub travel_m: f64,
    /// Amplitudes of A and B in each cell, V; none where the table has not passed.
    pub cells: Vec<Option<[f64; 2]>>,
    /// Whether B is plugged in.
    pub has_b: bool,
    /// Amplitude that the input needs, V.
    pub need_v: f64,
    /// Amplitude of the healthy bench, V.
    pub healthy_v: f64,
    /// Dirt on the scale.
    pub dirt: Vec<DirtView>,
    /// Where the head is, m.
    pub head_m: f64,
    /// Whether the healthy bench is drawn.
    pub ghost: bool,
}
