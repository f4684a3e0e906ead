//! What the drawings are given: plain numbers taken from the model by the store, SI units.
//! A drawing never asks for anything else, so every one can be tested without a browser.

/// The axis seen from the side.
#[derive(Clone, Debug, PartialEq)]
pub struct MachineView {
    /// Travel of the axis from machine zero, m.
    pub travel_m: f64,
    /// Mechanical end stops (negative, positive), m.
    pub stops_m: (f64, f64),
    /// The home switch is pressed on the negative side of this place, m.
    pub home_switch_m: f64,
    /// Whether the home switch is pressed.
    pub home_pressed: bool,
    /// Reference mark, m.
    pub mark_m: f64,
    /// Where the table really is, m.
    pub table_m: f64,
    /// Where the command is, m.
    pub command_m: f64,
    /// Where the count says the table is, m.
    pub counted_m: f64,
    /// Way of one count, m: the count cannot be nearer to the table than this, so less is not wrong.
    pub count_m: f64,
    /// Table speed, m/s.
    pub speed_mps: f64,
    /// How the table is driven (drawn).
    pub drive: DriveDrawing,
    /// Dirt on the scale.
    pub dirt: Vec<DirtView>,
    /// Head gap at the start and at the end of the travel, as a multiple of nominal.
    pub gap_ends: (f64, f64),
    /// Light that reaches the sensors, 0 (dark) .. 1 (clean, nominal).
    pub light: f64,
    /// True while the axis is tripped.
    pub tripped: bool,
    /// Where the table of the healthy bench would be, m.
    pub healthy_m: f64,
    /// Whether the healthy table is drawn under the real one.
    pub ghost: bool,
    /// How the axis really lies.
    pub lies: Lies,
}

/// How an axis lies; the long picture is drawn lying whatever it does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Lies {
    /// Level.
    #[default]
    Level,
    /// Upright, the load hanging.
    Hanging,
    /// A table that turns, its ring of lines unrolled.
    Turning,
}

/// What the side view draws under the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DriveDrawing {
    /// Rack and pinion.
    Rack,
    /// Ball screw.
    Screw,
    /// Ring of lines unrolled: nothing but the head over it.
    Ring,
}

/// One dirty stretch of the scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DirtView {
    /// Start, m.
    pub from_m: f64,
    /// End, m.
    pub to_m: f64,
    /// Share of the signal that it takes away, 0..1.
    pub blocked: f64,
}

/// One sensor field of the head.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FieldView {
    /// Its name on the drawing ("A", "A+", "B-").
    pub name: &'static str,
    /// Centre along the travel, m, in head axes.
    pub x_m: f64,
    /// Centre across the travel, m.
    pub y_m: f64,
    /// Length along the travel, m.
    pub length_m: f64,
    /// Height across the travel, m.
    pub height_m: f64,
    /// Light on it now, 0..1 of the brightest that the clean nominal head reaches.
    pub lit: f64,
    /// Photocurrent, A.
    pub current_a: f64,
    /// Whether it is connected (one-sensor teaching head: B is not).
    pub used: bool,
}

/// The head over the scale.
#[derive(Clone, Debug, PartialEq)]
pub struct HeadView {
    /// Grating period, m.
    pub period_m: f64,
    /// Bright share of a period.
    pub duty: f64,
    /// True for light through the scale (glass), false for reflection (tape).
    pub transmissive: bool,
    /// Scale position under the head centre, m.
    pub x_m: f64,
    /// Gap here, m.
    pub gap_m: f64,
    /// Nominal gap, m.
    pub gap_nominal_m: f64,
    /// Range of the gap control, m.
    pub gap_range_m: (f64, f64),
    /// Tilt about the axis along the lines (gap differs along the travel), rad.
    pub tilt_rad: f64,
    /// Yaw about the scale normal, rad.
    pub yaw_rad: f64,
    /// Lamp brightness, 0..1.
    pub lamp: f64,
    /// Share of the light pattern that still carries the lines here, 0..1 (1 clean).
    pub contrast: f64,
    /// Sensor fields; one to four.
    pub fields: Vec<FieldView>,
    /// Dirt within a few millimetres of the head, relative to the head centre, m.
    pub dirt: Vec<DirtView>,
    /// Share of the light pattern's depth that gap, tilt and yaw leave, 0..1 of the healthy head's.
    pub sharp: f64,
    /// Share of the light that the dirt under the head scatters, 0..1.
    pub haze: f64,
    /// Share of the light that the head's window lets through, 0..1.
    pub window: f64,
    /// Code track beside the lines, where the place is read from it.
    pub code: Option<CodeView>,
    /// Radius of the circle of lines, m; none on a straight scale.
    pub ring_m: Option<f64>,
    /// Whether the head sends square waves.
    pub squared: bool,
    /// Whether the healthy head is drawn under the real one.
    pub ghost: bool,
}

/// The code track near the head.
#[derive(Clone, Debug, PartialEq)]
pub struct CodeView {
    /// Length of a cell, m.
    pub cell_m: f64,
    /// Start of the first cell listed, m from the head centre.
    pub from_m: f64,
    /// The cells, bright or dark, in the order of rising places.
    pub bits: Vec<bool>,
    /// The first cell that the head reads, as a place in `bits`, and how many it reads.
    pub read: (usize, usize),
}

/// One column of a recorded trace: smallest and largest value in a slice of time.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct MinMax {
    /// Smallest.
    pub min: f64,
    /// Largest.
    pub max: f64,
}

/// Switching levels of the input, V.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Levels {
    /// Comparator: switches up above `centre + half`, down below `centre - half`.
    Comparator {
        /// Threshold, V.
        centre_v: f64,
        /// Half the hysteresis, V.
        half_v: f64,
    },
    /// Interpolator: needs a vector of at least this length, V.
    Vector {
        /// Least length of the (A, B) vector, V.
        hold_v: f64,
    },
}

/// Recorded channels over a window of time, oldest first, equally spaced columns.
#[derive(Clone, Debug, PartialEq)]
pub struct TraceView {
    /// Time of the newest column, s (model time).
    pub now_s: f64,
    /// Length of the window, s.
    pub window_s: f64,
    /// Channel A, V; may be shorter than the window after a start (then right-aligned).
    pub a_v: Vec<MinMax>,
    /// Channel B, V; empty when the head has no second sensor.
    pub b_v: Vec<MinMax>,
    /// What A and B would be on the clean, healthy bench; may be empty.
    pub ghost_a_v: Vec<MinMax>,
    /// See `ghost_a_v`.
    pub ghost_b_v: Vec<MinMax>,
    /// Squared channels at the end of each column, and whether they changed within it.
    pub square_a: Vec<SquareColumn>,
    /// See `square_a`; empty when there is no B.
    pub square_b: Vec<SquareColumn>,
    /// Counts made in each column, signed.
    pub counts: Vec<i32>,
    /// Columns in which the signal is too weak to switch while the table moves.
    pub blind: Vec<bool>,
    /// Whole range of the voltage axis, V.
    pub range_v: (f64, f64),
    /// Switching levels.
    pub levels: Levels,
    /// Moment of the alarm, s, if it lies in the window or before it.
    pub alarm_s: Option<f64>,
}

/// A squared channel in one column.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct SquareColumn {
    /// Level at the end.
    pub high: bool,
    /// It switched at least once within the column.
    pub busy: bool,
}

/// Following error over the same window.
#[derive(Clone, Debug, PartialEq)]
pub struct ErrorView {
    /// Time of the newest column, s.
    pub now_s: f64,
    /// Length of the window, s.
    pub window_s: f64,
    /// Following error by the control's own feedback, m.
    pub error_m: Vec<MinMax>,
    /// What the control expects, m.
    pub expected_m: Vec<f64>,
    /// Alarm band around the expected error at each column, m (lower, upper).
    pub band_m: Vec<(f64, f64)>,
    /// Moment of the alarm, s.
    pub alarm_s: Option<f64>,
    /// Whether the expected error is drawn: it is what the healthy bench has.
    pub ghost: bool,
}

/// The A against B figure.
#[derive(Clone, Debug, PartialEq)]
pub struct XyView {
    /// Points, V, oldest first.
    pub points_v: Vec<(f64, f64)>,
    /// Centre that the healthy figure has, V.
    pub centre_v: f64,
    /// Radius of the healthy figure, V.
    pub ideal_v: f64,
    /// Switching levels.
    pub levels: Levels,
    /// Half the width of the picture, V.
    pub half_range_v: f64,
    /// Whether B exists.
    pub has_b: bool,
    /// Too weak now.
    pub blind: bool,
    /// Whether the healthy figure is drawn.
    pub ghost: bool,
}

/// State of one link of the chain from light to alarm.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LinkState {
    /// Works.
    Good,
    /// Near its limit.
    Weak,
    /// The first broken link.
    Broken,
    /// Behind the broken one.
    Behind,
    /// An alarm stands here.
    Alarm,
}

/// One link of the chain from light to alarm.
#[derive(Clone, Debug, PartialEq)]
pub struct LinkView {
    /// Its name.
    pub name: &'static str,
    /// What it says now.
    pub words: String,
    /// How it is.
    pub state: LinkState,
}
