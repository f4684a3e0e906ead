//! Shapes: what a drawing is made of. Drawings are pure functions from data to a list of these;
//! `canvas.rs` alone knows how to put them on a screen. Lengths are CSS pixels.

use super::tokens::{Ink, Pen};

/// A point of a drawing, CSS pixels, y down.
pub type Point = (f64, f64);

/// In a text: a gap of [`THIN_GAP_EM`] between groups of three digits (ISO 80000-1, 7.3.1). Every writer draws it
/// as empty paper, so that the typeface need not hold the character.
pub const THIN_GAP: char = '\u{2009}';

/// Width of [`THIN_GAP`], in ems.
pub const THIN_GAP_EM: f64 = 0.17;

/// One step of an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Step {
    /// Lift the pen and go to a point.
    Move(Point),
    /// Straight line to a point.
    Line(Point),
    /// Cubic curve: two control points and the end.
    Curve(Point, Point, Point),
    /// Arc of a circle: centre, radius, start and end angle (rad, clockwise on the screen).
    Arc(Point, f64, f64, f64),
    /// Back to the start of this part of the outline.
    Close,
}

/// Section hatchings after ISO 128-50 and the two warning patterns of the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hatch {
    /// Steel in section: 45 degrees, 7 px.
    Steel,
    /// Housing in section: -45 degrees, 5 px.
    Housing,
    /// Glass: 45 degrees, 9 px with a short stroke between.
    Glass,
    /// Over a limit, or blind: -45 degrees, 6 px, in the fault colour.
    Over,
}

impl Hatch {
    /// All of them, in the order of their numbers.
    pub const ALL: [Hatch; 4] = [Hatch::Steel, Hatch::Housing, Hatch::Glass, Hatch::Over];
}

/// What fills an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fill {
    /// One colour with an opacity 0..1.
    Flat(Ink, f64),
    /// A hatching.
    Hatch(Hatch),
    /// Light fading between two heights: colour, (y, opacity) at the start, (y, opacity) at the end.
    Fade(Ink, (f64, f64), (f64, f64)),
    /// Glow around a point: colour, centre, radius, opacity in the middle; zero at the radius.
    /// In the dark theme it is blended as light (screen).
    Glow(Ink, Point, f64, f64),
}

/// Where a text stands against its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// The point is the start of the text.
    Start,
    /// The point is its middle.
    Middle,
    /// The point is its end.
    End,
}

/// A text role: size and weight come from the tokens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lettering {
    /// The smallest note, 12/400.
    Note,
    /// Running text, 13/400.
    Text,
    /// A label that matters, 13/600.
    Strong,
    /// A value on the drawing, 15/500.
    Value,
    /// The title of a view, 14/600.
    Title,
    /// The one big number, 34/500.
    Big,
}

impl Lettering {
    /// All roles, in the order of their numbers.
    pub const ALL: [Lettering; 6] =
        [Lettering::Note, Lettering::Text, Lettering::Strong, Lettering::Value, Lettering::Title, Lettering::Big];
}

/// One thing on the sheet.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// An outline, filled, stroked or both.
    Path {
        /// The outline.
        steps: Vec<Step>,
        /// Filling, if any.
        fill: Option<Fill>,
        /// Pen, if any.
        pen: Option<Pen>,
    },
    /// A line of text; the point is on the base line.
    Text {
        /// Where.
        at: Point,
        /// What it says.
        text: String,
        /// Size and weight.
        lettering: Lettering,
        /// Colour.
        ink: Ink,
        /// Which part of the text stands at the point.
        anchor: Anchor,
        /// A paper-coloured rim so that it reads over lines.
        halo: bool,
    },
    /// From here on only inside this rectangle (x, y, width, height), until `Unclip`.
    Clip(f64, f64, f64, f64),
    /// Ends the last `Clip`.
    Unclip,
    /// From here on turned about a point by an angle (rad, clockwise on the screen), until `Unturn`.
    Turn(Point, f64),
    /// Ends the last `Turn`.
    Unturn,
}
