//! What a goal may measure: name, meaning, and what kind of number it is.

use crate::lesson::units::Dimension;

/// What is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// Amplitude of a channel, half of peak to peak, as the level meter shows it.
    Amplitude,
    /// Peak to peak of a channel.
    Swing,
    /// Middle of a channel.
    Offset,
    /// Amplitude of A over that of B.
    Ratio,
    /// By how much B comes behind A.
    Phase,
    /// Share of the period that a squared channel is high.
    Duty,
    /// What is no harmonic of a channel.
    Noise,
    /// Rising edges of a squared channel.
    Pulses,
    /// Counts gained.
    Count,
    /// Counts that are missing or too many.
    CountError,
    /// Times that A and B changed at once.
    Illegal,
    /// Distance of one count.
    Resolution,
    /// Position error within a signal period, peak to peak.
    InterpolationError,
    /// How the signal changes along the travel.
    Slope,
    /// Where the table is.
    Position,
    /// What the readout shows.
    Readout,
    /// Largest correction of the homings after the first.
    HomeShift,
    /// Largest following error.
    FollowingError,
    /// How far the axis ran past its commanded end.
    Overshoot,
    /// Largest motor current.
    Current,
    /// Highest speed.
    Speed,
    /// Gap under the head.
    Gap,
    /// Light behind the window, of nominal.
    Light,
    /// Supply at the head or at the drive.
    Supply,
    /// Scale and motor encoder apart.
    Mismatch,
    /// Lost motion of the table at one place, come to from both sides.
    Backlash,
    /// Minutes of work in this task.
    Minutes,
}

/// What stands in brackets behind a name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Takes {
    /// Nothing.
    Nothing,
    /// One channel, A or B.
    Channel,
    /// Both channels.
    Both,
    /// An end of the cable, head or drive.
    End,
}

/// A row of the table.
#[derive(Debug)]
pub struct Row {
    /// Its name in goals.
    pub name: &'static str,
    /// What it takes.
    pub takes: Takes,
    /// What it is, in words; `{}` stands for the channel.
    pub title: &'static str,
    /// What kind of number.
    pub of: Dimension,
    /// Whether it can be asked of every place of the travel.
    pub along: bool,
    /// What is measured.
    pub quantity: Quantity,
}

const fn row(
    name: &'static str,
    takes: Takes,
    title: &'static str,
    of: Dimension,
    along: bool,
    quantity: Quantity,
) -> Row {
    Row { name, takes, title, of, along, quantity }
}

/// All measures.
pub static MEASURES: [Row; 27] = [
    row("amplitude", Takes::Channel, "amplitude of {}", Dimension::Voltage, true, Quantity::Amplitude),
    row("swing", Takes::Channel, "{} from peak to peak", Dimension::Voltage, true, Quantity::Swing),
    row("offset", Takes::Channel, "middle of {}", Dimension::Voltage, true, Quantity::Offset),
    row("ratio", Takes::Both, "amplitude of A over that of B", Dimension::Count, true, Quantity::Ratio),
    row("phase", Takes::Both, "B behind A", Dimension::Angle, true, Quantity::Phase),
    row("duty", Takes::Channel, "share of the period that {} is high", Dimension::Share, false, Quantity::Duty),
    row("noise", Takes::Channel, "noise of {}, r.m.s.", Dimension::Voltage, false, Quantity::Noise),
    row("pulses", Takes::Channel, "pulses of {}", Dimension::Count, false, Quantity::Pulses),
    row("count", Takes::Nothing, "counts gained", Dimension::Count, false, Quantity::Count),
    row("count_error", Takes::Nothing, "counts missing or too many", Dimension::Count, false, Quantity::CountError),
    row("illegal_transitions", Takes::Nothing, "illegal transitions", Dimension::Count, false, Quantity::Illegal),
    row("resolution", Takes::Nothing, "distance of one count", Dimension::Length, false, Quantity::Resolution),
    row(
        "interpolation_error",
        Takes::Nothing,
        "position error within a period, peak to peak",
        Dimension::Length,
        false,
        Quantity::InterpolationError,
    ),
    row("amplitude_slope", Takes::Nothing, "signal along the travel", Dimension::Slope, false, Quantity::Slope),
    row("position", Takes::Nothing, "place of the table", Dimension::Length, false, Quantity::Position),
    row("readout", Takes::Nothing, "readout", Dimension::Length, false, Quantity::Readout),
    row("home_shift", Takes::Nothing, "shift of zero between homings", Dimension::Length, false, Quantity::HomeShift),
    row(
        "following_error",
        Takes::Nothing,
        "largest following error",
        Dimension::Length,
        false,
        Quantity::FollowingError,
    ),
    row("overshoot", Takes::Nothing, "way past the commanded end", Dimension::Length, false, Quantity::Overshoot),
    row("motor_current", Takes::Nothing, "largest motor current", Dimension::Current, false, Quantity::Current),
    row("speed", Takes::Nothing, "highest speed", Dimension::Speed, false, Quantity::Speed),
    row("gap", Takes::Nothing, "gap under the head", Dimension::Length, true, Quantity::Gap),
    row("light", Takes::Nothing, "light behind the window", Dimension::Share, false, Quantity::Light),
    row("supply", Takes::End, "supply at the {}", Dimension::Voltage, false, Quantity::Supply),
    row("mismatch", Takes::Nothing, "scale and motor encoder apart", Dimension::Length, false, Quantity::Mismatch),
    row(
        "backlash",
        Takes::Nothing,
        "table behind the drive after reversing",
        Dimension::Length,
        false,
        Quantity::Backlash,
    ),
    row("minutes", Takes::Nothing, "work in this task", Dimension::Time, false, Quantity::Minutes),
];

/// A measure with what stands in its brackets.
#[derive(Clone, Copy, Debug)]
pub struct Measure {
    /// Its row.
    pub row: &'static Row,
    /// Channel: 0 A, 1 B; of an end of the cable 0 the head, 1 the drive.
    pub channel: usize,
}

impl PartialEq for Measure {
    fn eq(&self, other: &Self) -> bool {
        (self.row.quantity, self.channel) == (other.row.quantity, other.channel)
    }
}

impl Measure {
    /// Whether the control watches a limit of it, so that a goal may say `limit` in place of a number.
    pub fn has_limit(&self) -> bool {
        self.row.quantity == Quantity::FollowingError
    }

    /// What it is, in words.
    pub fn title(&self) -> String {
        let names = if self.row.takes == Takes::End { ["head", "drive"] } else { ["A", "B"] };
        self.row.title.replace("{}", names[self.channel.min(1)])
    }
}
