//! What each way of cleaning does to each substance, and what to mind while doing it.

use super::Method;
use crate::surface::substance::{Matter, Substance};

/// What a method does to one substance. Own values; their order is common practice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outcome {
    /// Share of the film that stays, 0 to 1.
    pub left: f64,
    /// Share of what lay there that is dragged or blown beyond the end of the stroke, 0 to 1.
    pub spreads: f64,
    /// Amount of residue left behind, 0 to 1.
    pub residue: f64,
    /// Chance that a patch of it scratches the lines, 0 to 1.
    pub scratches: f64,
}

impl Outcome {
    const GONE: Self = Self { left: 0.0, spreads: 0.0, residue: 0.0, scratches: 0.0 };
    const STAYS: Self = Self { left: 1.0, ..Self::GONE };

    /// The worse of two in every respect.
    fn worse(self, other: Self) -> Self {
        Self {
            left: self.left.max(other.left),
            spreads: self.spreads.max(other.spreads),
            residue: self.residue.max(other.residue),
            scratches: self.scratches.max(other.scratches),
        }
    }
}

impl Method {
    /// What it does to one substance.
    #[must_use]
    pub fn outcome(self, substance: Substance) -> Outcome {
        use Substance as S;
        let row = |left, spreads, residue, scratches| Outcome { left, spreads, residue, scratches };
        match (self, substance) {
            (_, S::Scratch | S::MissingLines) => Outcome::STAYS,
            (Self::PermittedSolvent, _) => Outcome::GONE,

            (Self::DryCloth, S::OilFilm) => row(0.5, 0.3, 0.0, 0.0),
            (Self::DryCloth, S::CoolantFlood) => row(0.0, 0.3, 0.5, 0.0),
            (Self::DryCloth, S::CoolantDrop) => row(0.0, 0.3, 0.5, 0.0),
            (Self::DryCloth, S::Dust) => row(0.0, 0.2, 0.0, 0.1),
            (Self::DryCloth, S::Chip) => row(0.0, 0.0, 0.0, 0.9),
            (Self::DryCloth, S::Fingerprint) => row(0.5, 0.4, 0.0, 0.0),
            (Self::DryCloth, S::Smear) => row(0.6, 0.4, 0.0, 0.0),
            (Self::DryCloth, S::Residue) => row(0.8, 0.0, 0.0, 0.0),

            (Self::WrongSolvent, S::OilFilm | S::Fingerprint | S::Smear) => row(0.1, 0.1, 0.6, 0.0),
            (Self::WrongSolvent, S::CoolantFlood | S::CoolantDrop) => row(0.0, 0.1, 0.6, 0.0),
            (Self::WrongSolvent, S::Dust) => row(0.0, 0.1, 0.4, 0.05),
            (Self::WrongSolvent, S::Chip) => row(0.0, 0.0, 0.4, 0.5),
            (Self::WrongSolvent, S::Residue) => row(0.7, 0.2, 0.0, 0.0),

            (Self::AirBlast, S::OilFilm) => row(0.95, 0.0, 0.0, 0.0),
            (Self::AirBlast, S::CoolantFlood) => row(0.1, 0.5, 0.5, 0.0),
            (Self::AirBlast, S::CoolantDrop) => row(0.0, 0.8, 0.3, 0.0),
            (Self::AirBlast, S::Dust) => row(0.0, 0.3, 0.0, 0.0),
            (Self::AirBlast, S::Chip) => row(0.0, 0.0, 0.0, 0.1),
            (Self::AirBlast, S::Fingerprint | S::Smear | S::Residue) => Outcome::STAYS,
        }
    }

    /// What it does to a mixture: the most stubborn part decides. Dirt of unknown kind is taken for
    /// a smear.
    #[must_use]
    pub fn on(self, matter: Matter) -> Outcome {
        let worst = matter.iter().map(|s| self.outcome(s)).reduce(Outcome::worse);
        worst.unwrap_or(self.outcome(Substance::Smear))
    }

    /// Chance that a glued tape lifts at its edge, or that air drives a chip under it, 0 to 1.
    #[must_use]
    pub const fn lifts_tape(self) -> f64 {
        match self {
            Self::DryCloth | Self::PermittedSolvent => 0.0,
            Self::WrongSolvent => 0.7,
            Self::AirBlast => 0.3,
        }
    }

    /// Length beyond the stroke over which dirt is spread, m.
    #[must_use]
    pub const fn spread_length_m(self) -> f64 {
        match self {
            Self::DryCloth | Self::PermittedSolvent | Self::WrongSolvent => 20e-3,
            Self::AirBlast => 0.1,
        }
    }

    /// What it is, in a few words.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::DryCloth => "Dry cloth",
            Self::PermittedSolvent => "Chips off, then lint-free cloth with the permitted solvent",
            Self::WrongSolvent => "Solvent that the maker does not permit",
            Self::AirBlast => "Compressed air",
        }
    }

    /// How it is done, to go on a sentence with.
    #[must_use]
    pub const fn manner(self) -> &'static str {
        match self {
            Self::DryCloth => "with a dry cloth",
            Self::PermittedSolvent => "with the permitted solvent",
            Self::WrongSolvent => "with a solvent that is not permitted",
            Self::AirBlast => "with compressed air",
        }
    }

    /// What to mind. General knowledge, not an instruction for a machine: the maker's manual, the
    /// solvent's safety data sheet and local rules come first.
    #[must_use]
    pub const fn cautions(self) -> &'static [&'static str] {
        match self {
            Self::DryCloth => &[
                LOCKOUT,
                "Hard grains under a dry cloth scratch the lines for good: lift chips off first and wipe only as the maker's manual says.",
                "Chips have sharp edges: use a brush or tweezers, not bare fingers.",
            ],
            Self::PermittedSolvent => &[
                LOCKOUT,
                "Use only the solvent that the maker's manual names; read its safety data sheet, air the place, wear gloves and eye protection, and keep ignition sources away.",
                "Wet the cloth, not the scale, and let it dry before the drive is switched on.",
                OPTICAL,
            ],
            Self::WrongSolvent => &[
                LOCKOUT,
                "A solvent that the maker's manual does not name can attack adhesive, coating, seals and cable, and can lift the tape.",
                "Vapours can burn and harm: read the safety data sheet, air the place, wear gloves and eye protection, and keep ignition sources away.",
            ],
            Self::AirBlast => &[
                LOCKOUT,
                "Flying chips blind: wear eye protection, keep others away, and never point compressed air at a person.",
                "Air drives chips and coolant under the tape and past the seals: use it only where the maker's manual and local rules allow it.",
            ],
        }
    }
}

const LOCKOUT: &str = "Lock out and try before hands go in: switch off, lock, secure hanging or spring-loaded axes, and prove that nothing moves; follow local rules.";
const OPTICAL: &str = "Do not look into the light source of an open head; much of its light is invisible.";

#[cfg(test)]
mod tests {
    use super::{Method, Substance};

    #[test]
    fn every_method_warns_and_every_share_is_a_share() {
        for method in Method::ALL {
            assert!(method.cautions().len() >= 2, "{}", method.name());
            let text = method.cautions().join(" ");
            for word in ["Lock out", "maker"] {
                assert!(text.contains(word), "{}: {word}", method.name());
            }
            assert_eq!(serde_json::to_string(&method).expect("a word"), format!("\"{}\"", method.name()));
            for substance in Substance::ALL {
                let o = method.outcome(substance);
                for share in [o.left, o.spreads, o.residue, o.scratches] {
                    assert!((0.0..=1.0).contains(&share), "{method:?} on {substance:?}");
                }
            }
        }
        assert!(Method::PermittedSolvent.cautions().join(" ").contains("safety data sheet"));
        assert!(Method::AirBlast.cautions().join(" ").contains("eye protection"));
    }
}
