//! What hands have done at the machine, told in plain words: making safe, looking, bending, exchanging.

use super::{fixed, mm};
use serde::{Deserialize, Serialize};

/// Something done by hand.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Hands {
    /// The machine was switched off.
    SwitchedOff,
    /// The disconnector was opened.
    Isolated {
        /// Whether the drive was still on.
        drive_was_on: bool,
    },
    /// Lock and tag were put on.
    Locked,
    /// Start was pressed.
    Tried {
        /// Whether the drive came on.
        answered: bool,
        /// Whether the disconnector was open.
        isolated: bool,
    },
    /// Mains and DC link were measured.
    Measured {
        /// Whether the mains is there.
        mains: bool,
        /// Voltage of the DC link, V.
        link_v: f64,
        /// Whether all is dead.
        dead: bool,
    },
    /// The table was propped.
    Propped,
    /// The prop was taken out.
    PropOut,
    /// Lock and tag were taken off.
    Unlocked,
    /// Something was looked at.
    Looked {
        /// Name of the look.
        with: String,
        /// What was found, in words.
        found: String,
    },
    /// The cable was bent along a stretch.
    Flexed {
        /// Start, m.
        from_m: f64,
        /// End, m.
        to_m: f64,
        /// How often a contact let go.
        dropouts: u32,
        /// First and last place at which it did, m.
        between_m: Option<(f64, f64)>,
    },
    /// A part was exchanged.
    Replaced {
        /// Its name.
        part: String,
    },
}

impl Hands {
    /// Whether something was done in a way that can hurt, or voltage was found.
    pub(super) fn worrying(&self) -> bool {
        matches!(
            self,
            Self::Isolated { drive_was_on: true }
                | Self::Tried { isolated: false, .. }
                | Self::Measured { dead: false, .. }
        )
    }

    /// What happened, in plain words.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::SwitchedOff => "Machine switched off. The mains is still on it.".to_owned(),
            Self::Isolated { drive_was_on: false } => {
                "Disconnector open. The DC link is still charged: wait as long as the drive's label says.".to_owned()
            }
            Self::Isolated { drive_was_on: true } => {
                "Disconnector opened with the drive on: stop and switch off first, the contacts are not made for it \
                 and the axis runs out. The DC link is still charged."
                    .to_owned()
            }
            Self::Locked => "Own lock and tag on the open disconnector; the key stays in the pocket.".to_owned(),
            Self::Tried { isolated: true, .. } => "Start pressed: nothing answers.".to_owned(),
            Self::Tried { answered: true, .. } => {
                "Start pressed: the drive comes on. The machine is not isolated.".to_owned()
            }
            Self::Tried { .. } => {
                "Start pressed: the drive does not come on, but the mains is there. This proves nothing.".to_owned()
            }
            Self::Measured { mains: true, link_v, .. } => {
                format!("Tester: the mains is on, the DC link holds {} V.", fixed(*link_v, 0))
            }
            Self::Measured { dead: false, link_v, .. } => format!(
                "Tester: no mains, but the DC link still holds {} V. Wait and measure again.",
                fixed(*link_v, 0)
            ),
            Self::Measured { link_v, .. } => {
                format!("Tester proved, no mains, {} V on the DC link, tester proved again: dead.", fixed(*link_v, 0))
            }
            Self::Propped => "The table stands on its prop.".to_owned(),
            Self::PropOut => "The prop is out: the brake alone holds the table.".to_owned(),
            Self::Unlocked => "Lock and tag off. Tools out, people clear, guards shut?".to_owned(),
            Self::Looked { with, found } => format!("{}: {found}", title_of(with)),
            Self::Flexed { from_m, to_m, dropouts: 0, .. } => {
                format!("Cable bent as from {} to {} mm: the signal never let go.", mm(*from_m, 0), mm(*to_m, 0))
            }
            Self::Flexed { from_m, to_m, dropouts, between_m } => {
                let between = between_m.map_or(String::new(), |(first, last)| {
                    format!(", all between {} and {} mm", mm(first, 0), mm(last, 0))
                });
                format!(
                    "Cable bent as from {} to {} mm: the signal let go {dropouts} times{between}.",
                    mm(*from_m, 0),
                    mm(*to_m, 0)
                )
            }
            Self::Replaced { part } => format!("New part fitted: {part}."),
        }
    }
}

/// A name with a capital letter and spaces.
fn title_of(name: &str) -> String {
    let name = name.replace('-', " ");
    let mut letters = name.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::Hands;

    #[test]
    fn what_is_dangerous_says_so_and_names_its_numbers() {
        let early = Hands::Measured { mains: false, link_v: 412.3, dead: false };
        assert!(early.worrying() && early.words().contains("412 V"));
        assert!(Hands::Tried { answered: true, isolated: false }.words().contains("not isolated"));
        assert!(!Hands::Measured { mains: false, link_v: 20.0, dead: true }.worrying());
        let flexed = Hands::Flexed { from_m: 0.0, to_m: 1.2, dropouts: 7, between_m: Some((1.07, 1.13)) };
        assert_eq!(
            flexed.words(),
            "Cable bent as from 0 to 1200 mm: the signal let go 7 times, all between 1070 and 1130 mm."
        );
        let looked = Hands::Looked { with: "gap-gauge".to_owned(), found: "Gap.".to_owned() };
        assert_eq!(looked.words(), "Gap gauge: Gap.");
    }
}
