//! The words that the pictures of the machine and the head write. They are handed in: a drawing knows no language.

/// Words on the pictures of the machine and the head.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SceneWords<'a> {
    /// At the home switch.
    pub home_switch: &'a str,
    /// Before the end of the travel in mm.
    pub travel_ends_at: &'a str,
    /// Before the counted position.
    pub counted: &'a str,
    /// Before the two ends' gap factors, where they differ.
    pub gap_along: &'a str,
    /// Beside the reference mark.
    pub mark: &'a str,
    /// First of the three positions.
    pub commanded: &'a str,
    /// Second of the three positions.
    pub table_is_at: &'a str,
    /// Third of the three positions.
    pub count_says: &'a str,
    /// The lamp of the head.
    pub light_source: &'a str,
    /// The sensor fields.
    pub sensors: &'a str,
    /// The glass with slots under the fields.
    pub mask: &'a str,
    /// The grating.
    pub scale: &'a str,
    /// At whatever shows the healthy bench.
    pub healthy: &'a str,
    /// Before the angle of a table that turns.
    pub turned: &'a str,
    /// That the axis hangs.
    pub hangs: &'a str,
    /// The code track.
    pub code: &'a str,
    /// Before the radius of a ring in mm.
    pub ring: &'a str,
}

impl SceneWords<'static> {
    /// English.
    pub const ENGLISH: Self = Self {
        home_switch: "home switch",
        travel_ends_at: "travel ends at",
        counted: "counted",
        gap_along: "gap along the travel",
        mark: "mark",
        commanded: "Commanded",
        table_is_at: "Table really is at",
        count_says: "Count says",
        light_source: "light source",
        sensors: "sensors",
        mask: "mask",
        scale: "scale",
        healthy: "healthy",
        turned: "turned",
        hangs: "hangs: plus is up",
        code: "code",
        ring: "lines on a ring, radius",
    };
}
