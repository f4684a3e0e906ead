//! The words that the charts write. They are handed in, so that a drawing knows no language.

/// Words that stand on every chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ChartWords<'a> {
    /// Over a stretch in which the signal cannot switch.
    pub too_weak: &'a str,
    /// Under the moment of the alarm.
    pub alarm: &'a str,
    /// Under the newest moment.
    pub now: &'a str,
    /// Before the time of the last edge that was counted.
    pub last_edge: &'a str,
    /// Before an alarm limit of the following error.
    pub limit: &'a str,
    /// Before the expected following error.
    pub normal: &'a str,
    /// Beside the arrow while the count rises.
    pub up: &'a str,
    /// Beside the arrow while the count falls.
    pub down: &'a str,
    /// Where a second sensor is missing: there is no circle and no direction.
    pub one_sensor: &'a str,
}

impl ChartWords<'static> {
    /// English.
    pub const ENGLISH: Self = Self {
        too_weak: "too weak",
        alarm: "alarm",
        now: "now",
        last_edge: "last edge",
        limit: "limit",
        normal: "normal",
        up: "up",
        down: "down",
        one_sensor: "one sensor: no direction",
    };
}

/// What is written beside the two channels, worked out by whoever holds the model. Empty texts are left out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct TraceNotes<'a> {
    /// After the letter A, such as its size now.
    pub a: &'a str,
    /// After the letter B, such as its place against A.
    pub b: &'a str,
    /// At the newest end of the traces, in the fault colour, such as what is left of a lost signal.
    pub now: &'a str,
}
