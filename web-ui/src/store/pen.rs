//! The pen in hand: what it draws with. The strokes themselves belong to the sheet of the pen.

/// Colours of the pen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PenInk {
    /// As the drawing.
    #[default]
    Ink,
    /// As what can be touched.
    Accent,
    /// As what is broken.
    Fault,
}

impl PenInk {
    /// All colours: key in the style sheet, name for people.
    pub const ALL: [(PenInk, &'static str, &'static str); 3] =
        [(PenInk::Ink, "ink", "ink"), (PenInk::Accent, "accent", "green"), (PenInk::Fault, "fault", "red")];

    /// Its key in the style sheet.
    pub fn key(self) -> &'static str {
        Self::ALL[self as usize].1
    }
}

/// Widths of the pen: value for the class, name for people.
pub const WIDTHS: [(u8, &str); 3] = [(1, "thin"), (2, "middle"), (3, "thick")];

/// State of the pen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PenState {
    /// It is in hand: the pointer draws.
    pub on: bool,
    /// It rubs out instead.
    pub rubs: bool,
    /// Its colour.
    pub ink: PenInk,
    /// Its width, one of [`WIDTHS`].
    pub width: u8,
}

impl Default for PenState {
    fn default() -> Self {
        Self { on: false, rubs: false, ink: PenInk::default(), width: 2 }
    }
}
