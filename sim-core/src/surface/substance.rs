//! What can lie on a scale or be wrong with it, by name.

use serde::{Deserialize, Serialize};

/// Something that a person can put on the scale or do to it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Substance {
    /// A thin, even film of oil.
    OilFilm,
    /// Coolant that fills the gap between head and scale.
    CoolantFlood,
    /// A drop of coolant.
    CoolantDrop,
    /// Fine opaque grains.
    Dust,
    /// A chip: opaque, over part of the height or all of it.
    Chip,
    /// A fingerprint: ridges of skin grease.
    Fingerprint,
    /// Grease wiped about: soft edges.
    Smear,
    /// What dried coolant or the wrong solvent leaves behind.
    Residue,
    /// Lines rubbed away, the place dull.
    Scratch,
    /// Lines missing, the place bright.
    MissingLines,
}

impl Substance {
    /// All of them, films first, damage last.
    pub const ALL: [Self; 10] = [
        Self::OilFilm,
        Self::CoolantFlood,
        Self::CoolantDrop,
        Self::Dust,
        Self::Chip,
        Self::Fingerprint,
        Self::Smear,
        Self::Residue,
        Self::Scratch,
        Self::MissingLines,
    ];

    /// Stable name, as in files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::OilFilm => "oil-film",
            Self::CoolantFlood => "coolant-flood",
            Self::CoolantDrop => "coolant-drop",
            Self::Dust => "dust",
            Self::Chip => "chip",
            Self::Fingerprint => "fingerprint",
            Self::Smear => "smear",
            Self::Residue => "residue",
            Self::Scratch => "scratch",
            Self::MissingLines => "missing-lines",
        }
    }

    /// What it is, in a few words.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::OilFilm => "thin film of oil",
            Self::CoolantFlood => "coolant that fills the gap",
            Self::CoolantDrop => "drop of coolant",
            Self::Dust => "dust",
            Self::Chip => "chip",
            Self::Fingerprint => "fingerprint",
            Self::Smear => "smeared grease",
            Self::Residue => "dried residue",
            Self::Scratch => "scratch",
            Self::MissingLines => "missing lines",
        }
    }

    /// Whether it is damage to the lines, which no cleaning takes away.
    #[must_use]
    pub const fn is_damage(self) -> bool {
        matches!(self, Self::Scratch | Self::MissingLines)
    }
}

/// Which substances were laid on a place: cleaning acts on each in its own way. Saved as the
/// list of their names; dirt of older maps has none.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(from = "Vec<Substance>", into = "Vec<Substance>")]
pub struct Matter(u16);

impl Matter {
    /// Nothing known.
    pub const NONE: Self = Self(0);

    /// Just one substance.
    #[must_use]
    pub const fn of(substance: Substance) -> Self {
        Self(1 << substance as u16)
    }

    /// Whether nothing is known about what lies here.
    #[must_use]
    pub fn is_unknown(&self) -> bool {
        self.0 == 0
    }

    /// Whether the substance is among them.
    #[must_use]
    pub const fn has(self, substance: Substance) -> bool {
        self.0 & Self::of(substance).0 != 0
    }

    /// All substances of both.
    #[must_use]
    pub const fn with(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// The substances, in the order of the list.
    pub fn iter(self) -> impl Iterator<Item = Substance> {
        Substance::ALL.into_iter().filter(move |s| self.has(*s))
    }
}

impl From<Vec<Substance>> for Matter {
    fn from(list: Vec<Substance>) -> Self {
        list.into_iter().fold(Self::NONE, |all, one| all.with(Self::of(one)))
    }
}

impl From<Matter> for Vec<Substance> {
    fn from(matter: Matter) -> Self {
        matter.iter().collect()
    }
}

#[cfg(test)]
mod tests {
    use super::{Matter, Substance};

    #[test]
    fn names_in_files_are_the_stable_names() {
        for (index, substance) in Substance::ALL.into_iter().enumerate() {
            assert_eq!(substance as usize, index, "the bit of {}", substance.name());
            let text = serde_json::to_string(&substance).expect("a word");
            assert_eq!(text, format!("\"{}\"", substance.name()));
        }
        let both = Matter::of(Substance::Chip).with(Matter::of(Substance::OilFilm));
        let text = serde_json::to_string(&both).expect("words");
        assert_eq!(text, r#"["oil-film","chip"]"#);
        assert_eq!(serde_json::from_str::<Matter>(&text).expect("what was written reads"), both);
    }
}
