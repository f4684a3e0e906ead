//! The design tokens: the only place with a colour, a pen or a letter size for drawings.
//! The style sheet (`assets/sheet.css`) states the same colours for HTML; a test holds both together.

use super::shape::{Hatch, Lettering};

/// A colour role. Its value depends on the theme.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// The sheet.
    Paper,
    /// Faces of parts, field of an edit box.
    Panel,
    /// Outlines and text.
    Ink,
    /// Notes, ghosts, command lines.
    Ink2,
    /// Slider rails, separators; never text.
    Line,
    /// Chart grid; decoration only.
    Faint,
    /// Channel A.
    A,
    /// Channel B.
    B,
    /// The broken thing, the alarm; never alone, always with a mark, hatch or words.
    Fault,
    /// "You can move or press this".
    Touch,
    /// Light, nothing else.
    Glow,
    /// Smear and stipple.
    Dirt,
    /// Glass in section.
    Glass,
    /// Dark grating line, dark in both themes.
    LineDark,
    /// Bright grating line, bright in both themes.
    LineBright,
}

/// Light or dark sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Theme {
    /// Ink on warm paper.
    #[default]
    Light,
    /// Chalk on slate.
    Dark,
}

impl Ink {
    /// All roles with their name in the style sheet and their two values (light, dark).
    pub const TABLE: [(Ink, &'static str, &'static str, &'static str); 15] = [
        (Ink::Paper, "--paper", "#F7F2E6", "#20292E"),
        (Ink::Panel, "--panel", "#FDFAF2", "#283238"),
        (Ink::Ink, "--ink", "#1D2830", "#EFEADD"),
        (Ink::Ink2, "--ink2", "#505A60", "#B4B8B2"),
        (Ink::Line, "--line", "#8A8778", "#7E8886"),
        (Ink::Faint, "--faint", "#DDD6C4", "#3B464B"),
        (Ink::A, "--channel-a", "#1C5D99", "#97C6EE"),
        (Ink::B, "--channel-b", "#9A5B00", "#EBC07A"),
        (Ink::Fault, "--fault", "#B5122F", "#FF9587"),
        (Ink::Touch, "--touch", "#00696B", "#7AD3C6"),
        (Ink::Glow, "--glow", "#F0B429", "#FFD284"),
        (Ink::Dirt, "--dirt", "#6B5B45", "#B7A88C"),
        (Ink::Glass, "--glass", "#DCE8EA", "#33464D"),
        (Ink::LineDark, "--line-dark", "#1D2830", "#12181B"),
        (Ink::LineBright, "--line-bright", "#FDFAF2", "#CFCBBE"),
    ];

    /// The colour as `#RRGGBB`.
    pub fn hex(self, theme: Theme) -> &'static str {
        let row = Self::TABLE[self as usize];
        match theme {
            Theme::Light => row.2,
            Theme::Dark => row.3,
        }
    }
}

/// A pen: colour, width and dash in px at scale 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pen {
    /// Colour.
    pub ink: Ink,
    /// Width, px at scale 1.
    pub width: f64,
    /// Dash pattern, px at scale 1; empty = continuous.
    pub dash: &'static [f64],
    /// Opacity 0..1.
    pub alpha: f64,
}

impl Pen {
    const fn new(ink: Ink, width: f64, dash: &'static [f64]) -> Self {
        Self { ink, width, dash, alpha: 1.0 }
    }
    /// Visible outlines.
    pub const THICK: Pen = Pen::new(Ink::Ink, 1.8, &[]);
    /// Inner edges, limits, ruler.
    pub const MID: Pen = Pen::new(Ink::Ink, 1.2, &[]);
    /// Dimension, extension and leader lines.
    pub const THIN: Pen = Pen::new(Ink::Ink, 0.75, &[]);
    /// Chart grid and rules.
    pub const RULE: Pen = Pen::new(Ink::Faint, 1.0, &[]);
    /// Slider rails.
    pub const HAIR: Pen = Pen::new(Ink::Line, 0.6, &[]);
    /// Centre lines.
    pub const CENTRE: Pen = Pen::new(Ink::Ink, 0.75, &[12.0, 3.0, 2.0, 3.0]);
    /// Switching levels, hidden edges.
    pub const LEVEL: Pen = Pen::new(Ink::Ink, 0.9, &[5.0, 3.0]);
    /// Where the command is (ISO 128 line for a neighbouring position).
    pub const COMMAND: Pen = Pen::new(Ink::Ink2, 1.0, &[10.0, 3.0, 2.0, 3.0, 2.0, 3.0]);
    /// The healthy bench.
    pub const GHOST: Pen = Pen::new(Ink::Ink2, 1.0, &[2.5, 2.5]);
    /// Channel A.
    pub const TRACE_A: Pen = Pen::new(Ink::A, 2.0, &[]);
    /// Channel B: dashed, so that A and B part without colour.
    pub const TRACE_B: Pen = Pen::new(Ink::B, 2.0, &[9.0, 2.0]);
    /// Following error.
    pub const ERROR: Pen = Pen::new(Ink::Ink, 2.0, &[]);
    /// Fault, thick.
    pub const FAULT: Pen = Pen::new(Ink::Fault, 2.0, &[]);
    /// Fault moment through all charts.
    pub const FAULT_THIN: Pen = Pen::new(Ink::Fault, 1.0, &[]);
    /// Broken link of the chain.
    pub const FAULT_CHAIN: Pen = Pen::new(Ink::Fault, 1.0, &[2.5, 3.5]);
    /// Link behind the break.
    pub const DEAD_CHAIN: Pen = Pen::new(Ink::Ink, 0.75, &[2.5, 3.5]);
    /// Arrows and knobs that can be moved.
    pub const TOUCH: Pen = Pen::new(Ink::Touch, 1.2, &[]);

    /// The same pen with another opacity.
    pub const fn alpha(mut self, alpha: f64) -> Pen {
        self.alpha = alpha;
        self
    }
}

/// How a hatching is drawn, px at scale 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HatchStyle {
    /// Distance between its lines.
    pub pitch: f64,
    /// Turn of its upright lines, degrees clockwise on the screen.
    pub turn_deg: f64,
    /// Colour.
    pub ink: Ink,
    /// Width of its lines.
    pub width: f64,
    /// Opacity 0..1.
    pub alpha: f64,
    /// A short stroke between the lines: how far from the line, where it starts and where it ends.
    pub short: Option<(f64, f64, f64)>,
}

impl HatchStyle {
    /// The style of a hatching.
    pub const fn of(hatch: Hatch) -> Self {
        let plain = Self { pitch: 7.0, turn_deg: 45.0, ink: Ink::Ink, width: 0.75, alpha: 0.55, short: None };
        match hatch {
            Hatch::Steel => plain,
            Hatch::Housing => Self { pitch: 5.0, turn_deg: -45.0, width: 0.7, alpha: 0.6, ..plain },
            Hatch::Glass => Self { pitch: 9.0, width: 0.6, alpha: 0.45, short: Some((3.0, 1.0, 4.0)), ..plain },
            Hatch::Over => Self { pitch: 6.0, turn_deg: -45.0, ink: Ink::Fault, width: 1.0, alpha: 0.35, ..plain },
        }
    }
}

/// The stops of a glow from its middle (0) to its rim (1): place, colour, share of its opacity. On the dark sheet
/// light has a core near white.
pub fn glow_stops(ink: Ink, theme: Theme) -> [(f64, Ink, f64); 4] {
    let core = if ink == Ink::Glow && theme == Theme::Dark { Ink::LineBright } else { ink };
    [(0.0, core, 1.0), (0.16, ink, 0.8), (0.4, ink, 0.5), (1.0, ink, 0.0)]
}

impl Lettering {
    /// Size in px at scale 1 and weight.
    pub fn size_weight(self) -> (f64, u16) {
        match self {
            Lettering::Note => (12.0, 400),
            Lettering::Text => (13.0, 400),
            Lettering::Strong => (13.0, 600),
            Lettering::Value => (15.0, 500),
            Lettering::Title => (14.0, 600),
            Lettering::Big => (34.0, 500),
        }
    }
}

/// The family of all lettering, with fallbacks.
pub const FONT_FAMILY: &str = "'Barlow Semi Condensed','DejaVu Sans Condensed',system-ui,sans-serif";
