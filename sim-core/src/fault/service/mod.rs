//! What a service technician knows of each fault: the broken part, what is seen, what tells it from its look-alikes,
//! the remedy, its minutes and parts, and the cautions.
//!
//! [`SERVICES`] is the only place for these texts. It holds every fault of [`super::TABLE`], and beside them causes that
//! cannot be put in on the bench: a technician has to think of those as well.
//!
//! Minutes and classes of parts are our own values of the usual kind; minutes include the handling of the proof run,
//! not the waiting. Physical numbers follow the model; what is common practice says so.

mod caution;
mod electrical;
mod electronic;
mod mechanical;
mod optical;
mod parameter;
#[cfg(test)]
mod tests;

pub use caution::{Caution, DEFER};

use super::{Row, TABLE};

/// Service knowledge of one fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Service {
    /// Stable name of the fault, as in [`Row::name`] where the bench has it.
    pub name: &'static str,
    /// What sort of part is at fault.
    pub kind: Kind,
    /// What is broken, one sentence.
    pub cause: &'static str,
    /// What operator and control report, a sentence each.
    pub seen: &'static [&'static str],
    /// Evidence that tells it from its look-alikes, and what to measure for it, a sentence each.
    pub tells: &'static [&'static str],
    /// What mends it and proves it mended, one sentence.
    pub remedy: &'static str,
    /// Work of the remedy with the handling of its proof run, min, 5 to 240.
    pub minutes: u16,
    /// What the parts cost.
    pub parts: Parts,
    /// What the work can hurt, in the order of [`Caution`]; never empty.
    pub cautions: &'static [Caution],
}

/// What sort of part is at fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Scale, disc, window, light, gap and angles.
    Optical,
    /// Guides, screw, coupling, brake, bracket.
    Mechanical,
    /// Conductors, plugs, screens, supply, switches.
    Electrical,
    /// Receivers, amplifiers, counters, output stage.
    Electronic,
    /// A value of the control.
    Parameter,
}

impl Kind {
    /// All kinds, in the order of the catalogue.
    pub const ALL: [Self; 5] = [Self::Optical, Self::Mechanical, Self::Electrical, Self::Electronic, Self::Parameter];

    /// Stable name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Optical => "optical",
            Self::Mechanical => "mechanical",
            Self::Electrical => "electrical",
            Self::Electronic => "electronic",
            Self::Parameter => "parameter",
        }
    }

    /// Heading.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            Self::Optical => "Optical",
            Self::Mechanical => "Mechanical",
            Self::Electrical => "Electrical",
            Self::Electronic => "Electronic",
            Self::Parameter => "Parameters",
        }
    }
}

/// Class of what the parts cost, in any currency of the usual size.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Parts {
    /// No parts.
    None,
    /// Under 50.
    P1,
    /// 50 to 300.
    P2,
    /// 300 to 1500.
    P3,
    /// Over 1500.
    P4,
}

impl Parts {
    /// Least and most money; no upper end means that there is none.
    #[must_use]
    pub fn range(self) -> (u32, Option<u32>) {
        match self {
            Self::None => (0, Some(0)),
            Self::P1 => (0, Some(50)),
            Self::P2 => (50, Some(300)),
            Self::P3 => (300, Some(1500)),
            Self::P4 => (1500, None),
        }
    }

    /// The range in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::P1 => "under 50",
            Self::P2 => "50 to 300",
            Self::P3 => "300 to 1500",
            Self::P4 => "over 1500",
        }
    }
}

impl Service {
    /// Its row in the bench's own catalogue; `None` when the bench cannot be broken in this way.
    #[must_use]
    pub fn row(&self) -> Option<&'static Row> {
        TABLE.iter().find(|row| row.name == self.name)
    }
}

const FILES: [&[Service]; 7] = [
    optical::DIRT,
    optical::HEAD,
    optical::SCALE,
    mechanical::MECHANICAL,
    electrical::ELECTRICAL,
    electronic::ELECTRONIC,
    parameter::PARAMETER,
];

const COUNT: usize = {
    let (mut count, mut file) = (0, 0);
    while file < FILES.len() {
        count += FILES[file].len();
        file += 1;
    }
    count
};

/// The service side of the catalogue, kind by kind in the order of [`Kind`].
pub static SERVICES: [Service; COUNT] = {
    let mut all = [FILES[0][0]; COUNT];
    let (mut at, mut file) = (0, 0);
    while file < FILES.len() {
        let mut row = 0;
        while row < FILES[file].len() {
            all[at] = FILES[file][row];
            at += 1;
            row += 1;
        }
        file += 1;
    }
    all
};

/// The service side of a fault by its stable name.
#[must_use]
pub fn service_of(name: &str) -> Option<&'static Service> {
    SERVICES.iter().find(|service| service.name == name)
}
