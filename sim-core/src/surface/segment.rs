//! One stretch of the scale's surface: films, liquid, missing lines.

use super::lanes::Lanes;
use super::substance::Matter;
use crate::chain::light::air_equivalent_gap_m;
use crate::num::math::{exp, ln, pow};
use serde::{Deserialize, Serialize};

/// Largest optical depth per pass kept: exp(-20) is darkness.
pub(super) const DEPTH_MAX: f64 = 20.0;
/// Largest scattered share kept, below 1 so that its logarithm stays finite.
pub(super) const SCATTER_MAX: f64 = 0.999_999;
/// Thickest layer of liquid kept, m; more than any gap.
pub(super) const THICKNESS_MAX_M: f64 = 5e-3;
/// Largest refractive index of a liquid.
pub(super) const INDEX_MAX: f64 = 1.6;

/// A film as it is put on: what one stroke adds.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Film {
    /// Optical depth per pass, absorption coefficient x thickness (Beer-Lambert), 0 to 20.
    pub mu_t: f64,
    /// Share of the light scattered per pass, 0 to 1.
    pub scatter: f64,
    /// Share of the scattered light that still lands on the field, 0 to 1.
    pub kappa_s: f64,
}

impl Film {
    /// Nothing.
    pub const CLEAR: Self = Self { mu_t: 0.0, scatter: 0.0, kappa_s: 0.0 };
    /// Dust or a chip: opaque.
    pub const OPAQUE: Self = Self { mu_t: DEPTH_MAX, scatter: 0.0, kappa_s: 0.0 };
    /// A fingerprint or wiped smear.
    pub const FINGERPRINT: Self = Self { mu_t: 0.1, scatter: 0.25, kappa_s: 0.4 };
    /// A thin, even film of oil.
    pub const THIN_OIL: Self = Self { mu_t: 0.02, scatter: 0.03, kappa_s: 0.5 };
    /// Coolant that fills the gap, or thick oil.
    pub const THICK_LIQUID: Self = Self { mu_t: 0.1, scatter: 0.15, kappa_s: 0.5 };
    /// A droplet of coolant.
    pub const DROPLET: Self = Self { mu_t: 0.05, scatter: 0.8, kappa_s: 0.3 };
    /// Dried residue of coolant or solvent: a pale, crusty veil (own).
    pub const RESIDUE: Self = Self { mu_t: 0.05, scatter: 0.12, kappa_s: 0.4 };
    /// The heaviest smear [`super::SurfaceMap::smear`] lays, at strength 1: grease with swarf in it,
    /// 3 % of the signal left on a mirror tape, 18 % through glass (own).
    pub const HEAVY_SMEAR: Self = Self { mu_t: 1.0, scatter: 0.5, kappa_s: 0.4 };

    /// An absorbing film of an optical density (decadic), 0 to 8.6: `mu t = OD ln 10`.
    #[must_use]
    pub fn of_density(density: f64) -> Self {
        Self { mu_t: density * std::f64::consts::LN_10, scatter: 0.0, kappa_s: 0.0 }
    }

    /// The same film, thinner: depth and scattered share times `strength`, 0 to 1.
    #[must_use]
    pub fn scaled(self, strength: f64) -> Self {
        Self { mu_t: self.mu_t * strength, scatter: self.scatter * strength, kappa_s: self.kappa_s }
    }

    /// Inside its ranges; `None` when a number is not finite.
    pub(super) fn bounded(self) -> Option<Self> {
        let finite = self.mu_t.is_finite() && self.scatter.is_finite() && self.kappa_s.is_finite();
        finite.then(|| Self {
            mu_t: self.mu_t.clamp(0.0, DEPTH_MAX),
            scatter: self.scatter.clamp(0.0, SCATTER_MAX),
            kappa_s: self.kappa_s.clamp(0.0, 1.0),
        })
    }

    /// What the film does to the light in `passes` (1 or 2) passes: share that stays direct and
    /// still carries the lines, and scattered share that lands on the field all the same.
    ///
    /// `tau = exp(-m mu t) (1 - s)^m`, `eta = exp(-m mu t) [1 - (1 - s)^m] kappa_s`: Beer-Lambert
    /// and the unscattered share.
    #[must_use]
    pub fn direct_and_scattered(&self, passes: u8) -> (f64, f64) {
        let unscattered = 1.0 - self.scatter;
        let (absorbed, direct) = if passes == 2 {
            (exp(-2.0 * self.mu_t), unscattered * unscattered)
        } else {
            (exp(-self.mu_t), unscattered)
        };
        (absorbed * direct, absorbed * (1.0 - direct) * self.kappa_s)
    }
}

/// A layer of clear liquid between head and scale: it shortens the gap for the light.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Liquid {
    /// Thickness, m, 0 to 5e-3. From [`Liquid::FLOOD_M`] on it fills any gap.
    pub thickness_m: f64,
    /// Refractive index, 1 to 1.6.
    pub index: f64,
}

impl Liquid {
    /// From this thickness on the gap counts as filled, m: the widest gap of any scale.
    pub const FLOOD_M: f64 = 4e-3;
    /// Refractive index of mineral oil (common handbook value, from memory).
    pub const OIL_INDEX: f64 = 1.47;
    /// Refractive index of water-mixed coolant (own, a little above water's 1.33).
    pub const COOLANT_INDEX: f64 = 1.36;

    /// Whether it fills the gap whatever its width.
    #[must_use]
    pub fn floods(&self) -> bool {
        self.thickness_m >= Self::FLOOD_M
    }

    /// Shortening of the gap, m, by a layer inside it: `t (1 - 1/n)`.
    #[must_use]
    pub fn shift_m(&self) -> f64 {
        -air_equivalent_gap_m(0.0, self.thickness_m, self.index)
    }

    /// Both layers on top of each other: thicknesses and gap shifts add.
    fn and(self, other: Self) -> Self {
        let thickness_m = self.thickness_m + other.thickness_m;
        let ratio = (self.shift_m() + other.shift_m()) / thickness_m;
        Self { thickness_m: thickness_m.min(THICKNESS_MAX_M), index: (1.0 / (1.0 - ratio)).clamp(1.0, INDEX_MAX) }
    }

    /// Inside its ranges; `None` when there is none or a number is not finite.
    pub(super) fn bounded(self) -> Option<Self> {
        let finite = self.thickness_m.is_finite() && self.index.is_finite();
        (finite && self.thickness_m > 0.0).then(|| Self {
            thickness_m: self.thickness_m.min(THICKNESS_MAX_M),
            index: self.index.clamp(1.0, INDEX_MAX),
        })
    }
}

/// One stretch of the scale with the same surface all along, over some or all of its lanes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Segment {
    /// Where it begins, scale coordinate, m.
    pub from_m: f64,
    /// Where it ends, scale coordinate, m, beyond `from_m`.
    pub to_m: f64,
    /// Optical depth per pass, 0 to 20.
    pub mu_t: f64,
    /// Share of the light scattered per pass, 0 to 1.
    pub scatter: f64,
    /// Share of the scattered light that still lands on the field, 0 to 1.
    pub kappa_s: f64,
    /// Share of the lines that is there: 1 all, 0 none.
    pub lines: f64,
    /// How bright the place is where lines are missing: 0 as dull as the scale's bare surface, 1
    /// as bright as its bright lines (polished).
    #[serde(default, skip_serializing_if = "is_zero")]
    pub polish: f64,
    /// Liquid over it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub liquid: Option<Liquid>,
    /// Where across the track it lies.
    #[serde(default = "all_lanes", skip_serializing_if = "Lanes::is_all")]
    pub lanes: Lanes,
    /// What was laid here, for cleaning.
    #[serde(default, skip_serializing_if = "Matter::is_unknown")]
    pub matter: Matter,
}

fn is_zero(x: &f64) -> bool {
    *x == 0.0
}

fn all_lanes() -> Lanes {
    Lanes::ALL
}

impl Segment {
    /// A clean stretch with all its lines.
    #[must_use]
    pub const fn clean(from_m: f64, to_m: f64) -> Self {
        Self {
            from_m,
            to_m,
            mu_t: 0.0,
            scatter: 0.0,
            kappa_s: 0.0,
            lines: 1.0,
            polish: 0.0,
            liquid: None,
            lanes: Lanes::ALL,
            matter: Matter::NONE,
        }
    }

    /// The film on it.
    #[must_use]
    pub const fn film(&self) -> Film {
        Film { mu_t: self.mu_t, scatter: self.scatter, kappa_s: self.kappa_s }
    }

    /// Whether nothing lies here and nothing is missing.
    #[must_use]
    pub fn is_clean(&self) -> bool {
        !self.is_dirty() && self.lines == 1.0
    }

    /// Whether a film or liquid lies here.
    #[must_use]
    pub fn is_dirty(&self) -> bool {
        self.mu_t != 0.0 || self.scatter != 0.0 || self.liquid.is_some()
    }

    pub(super) fn add(&mut self, film: &Film) {
        self.mu_t = (self.mu_t + film.mu_t).min(DEPTH_MAX);
        // Scattering adds in the exponent, so its logarithm is the fair weight of two films'
        // kappa_s: the order of strokes does not matter.
        let weight = |s: f64| -ln(1.0 - s);
        let (old, new) = (weight(self.scatter), weight(film.scatter));
        if old + new > 0.0 {
            self.kappa_s = (old * self.kappa_s + new * film.kappa_s) / (old + new);
        }
        self.scatter = (1.0 - (1.0 - self.scatter) * (1.0 - film.scatter)).min(SCATTER_MAX);
    }

    pub(super) fn pour(&mut self, liquid: Liquid) {
        self.liquid = Some(self.liquid.map_or(liquid, |there| there.and(liquid)));
    }

    /// Takes lines away: `left` of them stay, the bare place as bright as `polish` says. The worse
    /// of old and new damage decides.
    pub(super) fn strip(&mut self, left: f64, polish: f64) {
        if left < self.lines {
            (self.lines, self.polish) = (left, polish);
        }
    }

    /// Thins film and liquid to `left` of their thickness, 0 to 1; at 0 all is gone.
    pub(super) fn thin(&mut self, left: f64) {
        if left <= 0.0 {
            let Self { from_m, to_m, lines, polish, lanes, .. } = *self;
            *self = Self { lines, polish, lanes, ..Self::clean(from_m, to_m) };
        } else if left < 1.0 {
            self.mu_t *= left;
            self.scatter = 1.0 - pow(1.0 - self.scatter, left);
            self.liquid = self.liquid.map(|l| Liquid { thickness_m: l.thickness_m * left, ..l });
        }
    }

    /// Same surface, wherever it lies.
    pub(super) fn same_surface(&self, other: &Self) -> bool {
        let Self { from_m, to_m, lanes, .. } = *self;
        *self == Self { from_m, to_m, lanes, ..*other }
    }

    /// One segment over both and what lies between, as dirty as the dirtier.
    pub(super) fn join(&self, next: &Self) -> Self {
        let thicker = |a: Liquid, b: Liquid| if a.thickness_m >= b.thickness_m { a } else { b };
        Self {
            from_m: self.from_m,
            to_m: next.to_m,
            mu_t: self.mu_t.max(next.mu_t),
            scatter: self.scatter.max(next.scatter),
            kappa_s: self.kappa_s.min(next.kappa_s),
            lines: self.lines.min(next.lines),
            polish: self.polish.min(next.polish),
            liquid: match (self.liquid, next.liquid) {
                (Some(a), Some(b)) => Some(thicker(a, b)),
                (a, b) => a.or(b),
            },
            lanes: self.lanes.union(next.lanes),
            matter: self.matter.with(next.matter),
        }
    }

    /// Signal that one pass leaves, 0 to 1.
    pub(super) fn clarity(&self) -> f64 {
        self.lines * exp(-self.mu_t) * (1.0 - self.scatter)
    }

    pub(super) fn length_m(&self) -> f64 {
        self.to_m - self.from_m
    }
}
