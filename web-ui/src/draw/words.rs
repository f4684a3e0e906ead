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
    /// Under the moment of the trigger.
    pub trigger: &'a str,
    /// At whatever shows the healthy bench.
    pub healthy: &'a str,
    /// Before the time of the last edge that was counted.
    pub last_edge: &'a str,
    /// Before an alarm limit of the following error.
    pub limit: &'a str,
    /// Before the expected following error, which is what the healthy bench has.
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
        trigger: "trigger",
        healthy: "healthy",
        last_edge: "last edge",
        limit: "limit",
        normal: "healthy",
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

/// Words of the instruments.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct InstrumentWords<'a> {
    /// At whatever shows the healthy bench.
    pub healthy: &'a str,
    /// Over an illegal change of the squared channels.
    pub both_at_once: &'a str,
    /// Where there are too many edges to tell apart.
    pub too_many: &'a str,
    /// Before the counts of the control.
    pub control_counts: &'a str,
    /// Name of the mark's lane.
    pub mark: &'a str,
    /// Lane of the speeds.
    pub speed: &'a str,
    /// Lane of the places against the command.
    pub against_command: &'a str,
    /// Lane of the following error.
    pub following_error: &'a str,
    /// The command.
    pub command: &'a str,
    /// What the count says.
    pub counted: &'a str,
    /// Where the table is.
    pub table: &'a str,
    /// Before what the count is off by.
    pub off_by: &'a str,
    /// What the input needs.
    pub needed: &'a str,
    /// Places that the table has not passed.
    pub not_passed: &'a str,
    /// Dirt on the scale.
    pub dirt: &'a str,
    /// Where the head is.
    pub head: &'a str,
    /// The ellipse through the points.
    pub fitted: &'a str,
}

impl InstrumentWords<'static> {
    /// English.
    pub const ENGLISH: Self = Self {
        healthy: "healthy",
        both_at_once: "both at once",
        too_many: "too many edges to tell apart",
        control_counts: "counted",
        mark: "mark",
        speed: "speed, m/min",
        against_command: "against the command, mm",
        following_error: "following error, mm",
        command: "command",
        counted: "counted",
        table: "table",
        off_by: "count off by",
        needed: "needed",
        not_passed: "not travelled yet",
        dirt: "dirt",
        head: "head",
        fitted: "fitted",
    };
}
