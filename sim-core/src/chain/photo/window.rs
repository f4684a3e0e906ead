//! Dirt on the head's window: it stays with the head, so it does not move when the table does.
//!
//! Each patch is a substance over the whole window or over one end of it. A field behind a patch loses what the
//! substance takes, by the share of its length that the patch covers; with fields at different places the halves of a
//! pair then lose unequally, which shows as an offset that no travel changes. Strengths are those of
//! [`Substance::preset`]; what each way of cleaning does is the table of [`Method::outcome`].

use crate::num::random::Stream;
use crate::numbers::{NumberError, check};
use crate::scale::{Field, ScaleSpec};
use crate::surface::wiping::Method;
use crate::surface::{Film, Shape, Substance};
use serde::{Deserialize, Serialize};

/// Which part of the window; the front end is the one that leads on a move away from machine zero.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum WindowPart {
    /// All of it.
    #[default]
    Whole,
    /// The half in front.
    FrontHalf,
    /// The half behind.
    RearHalf,
    /// The quarter at the front end.
    FrontEdge,
    /// The quarter at the rear end.
    RearEdge,
}

impl WindowPart {
    /// In a few words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Whole => "the head's window",
            Self::FrontHalf => "the front half of the head's window",
            Self::RearHalf => "the rear half of the head's window",
            Self::FrontEdge => "the front edge of the head's window",
            Self::RearEdge => "the rear edge of the head's window",
        }
    }

    /// From where to where along the window, 0 at its rear and 1 at its front end.
    const fn stretch(self) -> (f64, f64) {
        match self {
            Self::Whole => (0.0, 1.0),
            Self::FrontHalf => (0.5, 1.0),
            Self::RearHalf => (0.0, 0.5),
            Self::FrontEdge => (0.75, 1.0),
            Self::RearEdge => (0.0, 0.25),
        }
    }

    /// Share of each field of a head that lies behind this part, 0 to 1. The window reaches from the rear end of the
    /// rearmost field to the front end of the foremost.
    fn shares(self, fields: &[Field]) -> [f64; 4] {
        let rear_m = fields.iter().map(|f| f.x_m - f.length_m / 2.0).fold(f64::INFINITY, f64::min);
        let front_m = fields.iter().map(|f| f.x_m + f.length_m / 2.0).fold(f64::NEG_INFINITY, f64::max);
        let (from, to) = self.stretch();
        let at_m = |part: f64| rear_m + part * (front_m - rear_m);
        let mut shares = [1.0; 4];
        if self != Self::Whole {
            for (share, field) in shares.iter_mut().zip(fields) {
                let low_m = (field.x_m - field.length_m / 2.0).max(at_m(from));
                let high_m = (field.x_m + field.length_m / 2.0).min(at_m(to));
                *share = ((high_m - low_m) / field.length_m).clamp(0.0, 1.0);
            }
        }
        shares
    }
}

/// One patch on the window.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WindowDirt {
    /// What lies there; a scratch is what a grain under a cloth has left in the glass.
    pub substance: Substance,
    /// How much, 0 to 1 of its preset; of grains the covered share.
    pub strength: f64,
    /// Where.
    #[serde(default)]
    pub part: WindowPart,
}

impl WindowDirt {
    /// Factors on the signal and on the mean light of a field that lies behind it with its whole length.
    fn factors(&self, passes: u8) -> (f64, f64) {
        let preset = self.substance.preset();
        let (cover, film) = match preset.shape {
            Shape::Grains | Shape::Lump => (self.strength, Film::OPAQUE),
            // Half ridges, half valleys.
            Shape::Ridges => (0.5, preset.film.scaled(self.strength)),
            // A scratch in the glass has no lines to take away; it scatters (own value).
            _ if self.substance.is_damage() => {
                (1.0, Film { mu_t: 0.0, scatter: 0.3, kappa_s: 0.4 }.scaled(self.strength))
            }
            _ => (1.0, preset.film.scaled(self.strength)),
        };
        let (direct, scattered) = film.direct_and_scattered(passes);
        (1.0 - cover * (1.0 - direct), 1.0 - cover * (1.0 - direct - scattered))
    }
}

/// Everything that lies on the window.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct HeadWindow(Vec<WindowDirt>);

impl HeadWindow {
    /// Whether nothing lies on it.
    #[must_use]
    pub fn is_clean(&self) -> bool {
        self.0.is_empty()
    }

    /// The patches, in the order in which they came.
    #[must_use]
    pub fn dirt(&self) -> &[WindowDirt] {
        &self.0
    }

    /// Refuses strengths that are not finite or not a share.
    ///
    /// # Errors
    /// The first that is wrong.
    pub fn check(&self) -> Result<(), NumberError> {
        self.0.iter().try_for_each(|d| check(d.strength, 0.0, 1.0).map(|_| ()))
    }

    /// Lays more on it; more of the same at the same part is one thicker patch, at most of full strength.
    pub fn lay(&mut self, dirt: WindowDirt) {
        let strength = dirt.strength.clamp(0.0, 1.0);
        if strength == 0.0 || strength.is_nan() {
            return;
        }
        match self.0.iter_mut().find(|d| d.substance == dirt.substance && d.part == dirt.part) {
            Some(there) => there.strength = (there.strength + strength).min(1.0),
            None => self.0.push(WindowDirt { strength, ..dirt }),
        }
    }

    /// Wipes it all off, scratches excepted.
    pub fn wipe(&mut self) {
        self.0.retain(|d| d.substance.is_damage());
    }

    /// Cleans it in one of the ways, for better or worse; gives how many grains have scratched the glass. `seed`
    /// decides what chance decides.
    pub fn clean(&mut self, method: Method, seed: u64) -> u32 {
        let mut chance = Stream::named(seed, "window");
        let mut scratches = 0;
        for dirt in std::mem::take(&mut self.0) {
            let outcome = method.outcome(dirt.substance);
            self.lay(WindowDirt { strength: dirt.strength * outcome.left, ..dirt });
            let residue = outcome.residue * dirt.strength;
            self.lay(WindowDirt { substance: Substance::Residue, strength: residue, ..dirt });
            if outcome.scratches > 0.0 && chance.uniform() < outcome.scratches {
                // One grain is one scratch over part of the glass (own value).
                self.lay(WindowDirt { substance: Substance::Scratch, strength: 0.3, ..dirt });
                scratches += 1;
            }
        }
        scratches
    }

    /// Factors on the signal and on the mean light of each field of a head. Light crosses the window as often as it
    /// crosses dirt on the scale: twice where source and detector look through it, once where only the detector does.
    #[must_use]
    pub fn factors(&self, spec: &ScaleSpec) -> [(f64, f64); 4] {
        let mut fields = [(1.0, 1.0); 4];
        for dirt in &self.0 {
            let (signal, mean) = dirt.factors(spec.grating_type.passes());
            for (field, share) in fields.iter_mut().zip(dirt.part.shares(&spec.fields)) {
                field.0 *= 1.0 - share * (1.0 - signal);
                field.1 *= 1.0 - share * (1.0 - mean);
            }
        }
        fields
    }

    /// Share of the mean light that gets through to the fields of a head, all together.
    #[must_use]
    pub fn light(&self, spec: &ScaleSpec) -> f64 {
        if self.is_clean() {
            return 1.0;
        }
        let used = spec.fields.len().clamp(1, 4);
        self.factors(spec).iter().take(used).map(|f| f.1).sum::<f64>() / used as f64
    }
}

#[cfg(test)]
mod tests {
    use super::{HeadWindow, WindowDirt, WindowPart};
    use crate::scale::ScaleId;
    use crate::surface::Substance;
    use crate::surface::wiping::Method;

    fn with(substance: Substance, strength: f64, part: WindowPart) -> HeadWindow {
        let mut window = HeadWindow::default();
        window.lay(WindowDirt { substance, strength, part });
        window
    }

    // Source: Beer-Lambert and the unscattered share with the oil film of the preset table (mu t 0.02, s 0.03).
    #[test]
    fn a_film_all_over_acts_alike_on_every_field_once_for_each_pass() {
        for (id, passes) in [(ScaleId::Glass20, 1.0), (ScaleId::Tape40, 2.0)] {
            let factors = with(Substance::OilFilm, 1.0, WindowPart::Whole).factors(&id.spec());
            let direct = libm::exp(-0.02 * passes) * libm::pow(0.97, passes);
            assert!(factors.iter().all(|f| (f.0 - direct).abs() < 1e-12 && f.1 > f.0), "{factors:?}");
        }
    }

    // Source: the field layout of the 20 um glass. Its fields reach from -2.4 to 2.4 mm, so the front quarter begins at
    // 1.2 mm: field 2 (1.6 to 2.4 mm) lies behind it, of field 0 (0.6 to 1.4 mm) a quarter, of the B pair nothing.
    #[test]
    fn dirt_at_one_end_makes_the_fields_unequal() {
        let factors = with(Substance::Dust, 1.0, WindowPart::FrontEdge).factors(&ScaleId::Glass20.spec());
        let signal = factors.map(|f| f.0);
        for (found, expected) in signal.into_iter().zip([0.75, 1.0, 0.0, 1.0]) {
            assert!((found - expected).abs() < 1e-6, "{signal:?}");
        }
        // Interleaved phases share every speck: all alike.
        let one = with(Substance::Dust, 1.0, WindowPart::FrontEdge).factors(&ScaleId::Tape40.spec());
        assert!(one.iter().all(|f| (f.0 - 0.75).abs() < 1e-6), "{one:?}");
    }

    #[test]
    fn more_of_the_same_is_one_patch_and_never_more_light() {
        let mut window = with(Substance::Fingerprint, 0.3, WindowPart::Whole);
        let spec = ScaleId::Tape40.spec();
        let mut last = window.light(&spec);
        for _ in 0..5 {
            window.lay(WindowDirt { substance: Substance::Fingerprint, strength: 0.3, part: WindowPart::Whole });
            assert!(window.light(&spec) <= last);
            last = window.light(&spec);
        }
        assert_eq!(window.dirt().len(), 1);
        assert_eq!((window.dirt()[0].strength, HeadWindow::default().light(&spec)), (1.0, 1.0));
    }

    #[test]
    fn each_way_of_cleaning_does_to_the_window_what_its_table_says() {
        let after = |substance, method| {
            let mut window = with(substance, 1.0, WindowPart::Whole);
            window.clean(method, 3);
            window
        };
        for substance in Substance::ALL.into_iter().filter(|s| !s.is_damage()) {
            assert!(after(substance, Method::PermittedSolvent).is_clean(), "{substance:?}");
        }
        let half = after(Substance::OilFilm, Method::DryCloth);
        assert_eq!((half.dirt().len(), half.dirt()[0].strength), (1, 0.5));
        let crust = after(Substance::Fingerprint, Method::WrongSolvent);
        assert!(crust.dirt().iter().any(|d| d.substance == Substance::Residue), "{crust:?}");
        assert_eq!(after(Substance::Residue, Method::AirBlast), with(Substance::Residue, 1.0, WindowPart::Whole));
    }

    #[test]
    fn a_chip_under_a_dry_cloth_scratches_the_glass_for_good() {
        let chip = with(Substance::Chip, 0.2, WindowPart::FrontHalf);
        let scratched: Vec<HeadWindow> = (0..40)
            .filter_map(|seed| {
                let mut window = chip.clone();
                (window.clean(Method::DryCloth, seed) > 0).then_some(window)
            })
            .collect();
        assert!((30..40).contains(&scratched.len()), "nine in ten: {}", scratched.len());
        for mut window in scratched {
            window.clean(Method::PermittedSolvent, 1);
            window.wipe();
            assert_eq!(window, with(Substance::Scratch, 0.3, WindowPart::FrontHalf));
            assert!(window.light(&ScaleId::Tape40.spec()) < 1.0);
        }
    }
}
