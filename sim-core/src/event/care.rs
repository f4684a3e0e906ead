//! What cleaning, smearing and time have done, told in plain words.

use super::mm;
use crate::chain::photo::WindowPart;
use crate::surface::Substance;
use crate::surface::wiping::Method;
use serde::{Deserialize, Serialize};

/// Something done to scale or window.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Care {
    /// A substance was laid on the scale.
    Laid {
        /// Which.
        substance: Substance,
        /// Start, m.
        from_m: f64,
        /// End, m.
        to_m: f64,
    },
    /// A stretch of the scale was cleaned in one of the ways.
    Cleaned {
        /// In which.
        method: Method,
        /// Start, m.
        from_m: f64,
        /// End, m.
        to_m: f64,
        /// New scratches.
        scratches: u32,
        /// Whether something still lies there.
        dirty: bool,
        /// Whether residue lies there that was not there before.
        residue: bool,
        /// Length beyond the stretch over which dirt was spread, m.
        spread_m: f64,
        /// Where the tape has come up, m.
        lifted_m: Option<f64>,
    },
    /// Chips and dust were lifted off.
    ChipsPicked {
        /// Start, m.
        from_m: f64,
        /// End, m.
        to_m: f64,
    },
    /// Something was laid on the head's window.
    WindowSmeared {
        /// What.
        substance: Substance,
        /// Where.
        part: WindowPart,
    },
    /// The head's window was cleaned.
    WindowCleaned {
        /// In which way; none when perfectly.
        method: Option<Method>,
        /// New scratches in the glass.
        scratches: u32,
        /// Whether something that wiping could take away is still on it.
        dirty: bool,
    },
    /// Time passed in the shop.
    TimePassed {
        /// How long, h.
        hours: f64,
        /// Share of the shop's dirt that got at the scale at the worst place, 0 to 1.
        ingress: f64,
    },
}

/// "1 scratch", "3 scratches".
fn scratches_told(count: u32) -> String {
    if count == 1 { "1 new scratch".to_owned() } else { format!("{count} new scratches") }
}

impl Care {
    /// Whether harm was done.
    pub(super) fn harmful(&self) -> bool {
        match self {
            Self::Cleaned { scratches, residue, lifted_m, .. } => *scratches > 0 || *residue || lifted_m.is_some(),
            Self::WindowCleaned { scratches, .. } => *scratches > 0,
            _ => false,
        }
    }

    /// What happened, in plain words.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Laid { substance, from_m, to_m } => {
                format!("Put on the scale from {} to {} mm: {}.", mm(*from_m, 1), mm(*to_m, 1), substance.title())
            }
            Self::Cleaned { method, from_m, to_m, scratches, dirty, residue, spread_m, lifted_m } => {
                let stretch = format!("from {} to {} mm", mm(*from_m, 1), mm(*to_m, 1));
                let mut text = format!("Scale cleaned {stretch}, {}:", method.manner());
                text.push_str(if *dirty { " something still lies there." } else { " it is clean." });
                if *scratches > 0 {
                    text.push_str(&format!(
                        " Hard grains left {} that no cleaning takes away.",
                        scratches_told(*scratches)
                    ));
                }
                if *residue {
                    text.push_str(" Residue dried on it.");
                }
                if *spread_m > 0.0 {
                    text.push_str(&format!(" Dirt was spread over {} mm beyond the stretch.", mm(*spread_m, 0)));
                }
                if let Some(at_m) = lifted_m {
                    text.push_str(&format!(" The tape has come off its bed at {} mm.", mm(*at_m, 1)));
                }
                text
            }
            Self::ChipsPicked { from_m, to_m } => {
                format!("Chips and dust lifted off from {} to {} mm.", mm(*from_m, 1), mm(*to_m, 1))
            }
            Self::WindowSmeared { substance, part } => format!("Put on {}: {}.", part.words(), substance.title()),
            Self::WindowCleaned { method, scratches, dirty } => {
                let how = method.map_or(String::new(), |m| format!(", {}", m.manner()));
                let result = if *dirty { "something still lies on it" } else { "it is clean" };
                let mut text = format!("Head's window cleaned{how}: {result}.");
                if *scratches > 0 {
                    text.push_str(&format!(" Hard grains left {} in the glass.", scratches_told(*scratches)));
                }
                text
            }
            Self::TimePassed { hours, ingress } if *ingress > 0.0 => {
                let share = if *ingress < 0.01 { "less than 1".to_owned() } else { format!("{:.0}", ingress * 100.0) };
                format!("{hours} h passed. {share} % of the shop's dust and mist got at the scale.")
            }
            Self::TimePassed { hours, .. } => format!("{hours} h passed. The housing kept the scale clean."),
        }
    }

    /// What to mind while doing this; empty where hands do not go in.
    #[must_use]
    pub const fn cautions(&self) -> &'static [&'static str] {
        match self {
            Self::Cleaned { method, .. } | Self::WindowCleaned { method: Some(method), .. } => method.cautions(),
            Self::WindowCleaned { method: None, .. } => Method::PermittedSolvent.cautions(),
            // Chips are lifted off before the dry cloth would drag them: the same hands, the same edges.
            Self::ChipsPicked { .. } => Method::DryCloth.cautions(),
            Self::Laid { .. } | Self::WindowSmeared { .. } | Self::TimePassed { .. } => &[],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Care;
    use crate::surface::wiping::Method;

    #[test]
    fn harm_is_told_with_its_place_and_what_cannot_be_undone() {
        let cleaned = |method, scratches, residue, lifted_m| Care::Cleaned {
            method,
            from_m: 0.1,
            to_m: 0.2,
            scratches,
            dirty: residue,
            residue,
            spread_m: 0.02,
            lifted_m,
        };
        assert_eq!(
            cleaned(Method::DryCloth, 2, false, None).words(),
            "Scale cleaned from 100.0 to 200.0 mm, with a dry cloth: it is clean. Hard grains left 2 new scratches that no cleaning takes away. Dirt was spread over 20 mm beyond the stretch."
        );
        assert_eq!(
            cleaned(Method::WrongSolvent, 0, true, Some(0.15)).words(),
            "Scale cleaned from 100.0 to 200.0 mm, with a solvent that is not permitted: something still lies there. Residue dried on it. Dirt was spread over 20 mm beyond the stretch. The tape has come off its bed at 150.0 mm."
        );
        assert!(cleaned(Method::DryCloth, 1, false, None).harmful());
        assert!(!cleaned(Method::PermittedSolvent, 0, false, None).harmful());
        assert!(Care::ChipsPicked { from_m: 0.0, to_m: 0.1 }.cautions().join(" ").contains("sharp edges"));
        assert_eq!(
            Care::TimePassed { hours: 100.0, ingress: 0.0 }.words(),
            "100 h passed. The housing kept the scale clean."
        );
    }
}
