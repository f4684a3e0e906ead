//! How dirt gets at the scale: an open one takes it from the air of the shop, an enclosed one
//! only past worn lips or when the purge air fails.
//!
//! Deposition model (own approximation, for teaching, not for prediction). Growth of the
//! optical depth of the film per pass and hour:
//!
//! ```text
//! rate = 3.466e-3 per hour x dustiness x ingress x shape(place)
//! open:      ingress 1,                       shape 1 (the whole length lies bare)
//! enclosed:  ingress 0.2 w      with purge air, w = 1 - lip condition
//!            ingress 0.1 + 0.9 w without        shape 0.4 + 0.6 x 4 u (1 - u), u = place in the travel
//! ```
//!
//! New lips under purge air let nothing in; worn lips without air are as bad as no housing at
//! mid-travel, where the carriage is most of the time. The figure is chosen so that a
//! reflective scale there loses half its signal in 100 h of the dustiest shop. Three fifths of
//! the depth absorb (dust), two fifths scatter (oil mist). Left out: drops, chips, oil in the
//! purge air, and what the head's wiper pushes to the ends.

use crate::limits::{self, FieldError};
use crate::num::math::exp;
use crate::surface::{Film, SurfaceMap};
use serde::{Deserialize, Serialize};

/// Depth per pass and hour in the dustiest shop on a bare scale: `ln 2/(2 x 100 h)`, a signal
/// that light crosses twice halves in 100 h.
const DEPTH_PER_HOUR: f64 = std::f64::consts::LN_2 / 200.0;
/// Share of the depth that scatters.
const SCATTERING_SHARE: f64 = 0.4;
/// Share of the scattered light that still lands on the field, as a smear.
const KAPPA_S: f64 = 0.4;
/// Strips over the travel.
const STRIPS: u32 = 16;

/// What surrounds the scale.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Housing {
    /// Bare: dirt falls on it directly, and a cloth reaches it.
    Open,
    /// In an extrusion with two rows of elastic lips that the head's arm slides through.
    Enclosed {
        /// Condition of the lips, 1 new and shut, 0 torn.
        lips: f64,
        /// Whether clean air at slight pressure flows in and out past the lips.
        purge_air: bool,
    },
}

impl Housing {
    /// A new enclosed scale with its purge air on.
    pub const SEALED: Self = Self::Enclosed { lips: 1.0, purge_air: true };

    /// Share of the shop's dirt that reaches the scale at the worst place, 0 to 1.
    #[must_use]
    pub fn ingress(&self) -> f64 {
        match *self {
            Self::Open => 1.0,
            Self::Enclosed { lips, purge_air: true } => 0.2 * (1.0 - lips),
            Self::Enclosed { lips, purge_air: false } => 0.1 + 0.9 * (1.0 - lips),
        }
    }

    /// How the dirt spreads over the travel, 0 to 1; `part` is the place in the travel, 0 to 1.
    fn shape(&self, part: f64) -> f64 {
        match self {
            Self::Open => 1.0,
            Self::Enclosed { .. } => 0.4 + 0.6 * 4.0 * part * (1.0 - part),
        }
    }
}

/// A scale in its housing in a shop.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HousingParams {
    /// What surrounds the scale.
    pub housing: Housing,
    /// How much dust and mist is in the air: 0 clean room, 0.1 assembly, 0.3 dry milling,
    /// 1 grinding or sanding without extraction.
    pub dustiness: f64,
    /// Where the travel begins, scale coordinate, m, within 100 of zero.
    pub from_m: f64,
    /// Where it ends, m, beyond `from_m`.
    pub to_m: f64,
}

/// A film on a stretch of the scale, to be painted on a [`SurfaceMap`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Deposit {
    /// Where it begins, m.
    pub from_m: f64,
    /// Where it ends, m.
    pub to_m: f64,
    /// What lies there.
    pub film: Film,
}

impl HousingParams {
    /// Refuses what no shop can be.
    ///
    /// # Errors
    /// The first field that is not finite or outside its range.
    pub fn check(&self) -> Result<(), FieldError> {
        if let Housing::Enclosed { lips, .. } = self.housing {
            limits::within("lips", lips, 0.0, 1.0)?;
        }
        limits::within("dustiness", self.dustiness, 0.0, 1.0)?;
        limits::within("from_m", self.from_m, -100.0, 100.0)?;
        limits::within("to_m", self.to_m, self.from_m + 1e-3, self.from_m + 200.0)
    }

    /// Growth of the film's optical depth per pass at a place, per hour; nothing lies beyond
    /// the travel.
    #[must_use]
    pub fn depth_per_hour(&self, x_m: f64) -> f64 {
        let part = (x_m - self.from_m) / (self.to_m - self.from_m);
        if !(0.0..=1.0).contains(&part) {
            return 0.0;
        }
        DEPTH_PER_HOUR * self.dustiness * self.housing.ingress() * self.housing.shape(part)
    }

    /// What `hours` of work lay on the scale, strip by strip from one end of the travel to the
    /// other. Two spells in a row lay the same as one as long as both.
    ///
    /// # Errors
    /// When a parameter or `hours` (0 to 100 000) is out of range.
    pub fn deposits(&self, hours: f64) -> Result<Vec<Deposit>, FieldError> {
        self.check()?;
        limits::within("hours", hours, 0.0, 1e5)?;
        let strips = if self.housing == Housing::Open { 1 } else { STRIPS };
        let edge_m = |i: u32| self.from_m + (self.to_m - self.from_m) * f64::from(i) / f64::from(strips);
        let strip = |i: u32| {
            let (from_m, to_m) = (edge_m(i), edge_m(i + 1));
            let depth = hours * self.depth_per_hour(0.5 * (from_m + to_m));
            let film = Film {
                mu_t: depth * (1.0 - SCATTERING_SHARE),
                scatter: 1.0 - exp(-SCATTERING_SHARE * depth),
                kappa_s: KAPPA_S,
            };
            Deposit { from_m, to_m, film }
        };
        Ok((0..strips).map(strip).filter(|d| d.film.mu_t > 0.0).collect())
    }

    /// Lays what `hours` of work bring on a map.
    ///
    /// # Errors
    /// As [`HousingParams::deposits`]; then the map stays as it is.
    pub fn deposit(&self, hours: f64, map: &mut SurfaceMap) -> Result<(), FieldError> {
        for d in self.deposits(hours)? {
            map.paint(d.from_m, d.to_m, d.film);
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests;
