//! Cleaning the scale as a person would: methods as data, one pure function.
//!
//! The right way takes every film off and harms nothing. The others remove, move, leave behind or
//! scratch, each after its table; no way brings missing lines back. All shares are own values,
//! their order is common practice. How the dirt is spread inside a stretch and what solvents do
//! to cables, seals and adhesive in the long run are left out.

use super::bump::Bump;
use super::lay::Spot;
use super::segment::{Film, Segment};
use super::substance::{Matter, Substance};
use super::{Lanes, REACH_M, SurfaceMap};
use crate::num::random::Stream;
use crate::numbers::{NumberError, check};
use serde::{Deserialize, Serialize};

mod table;
pub use table::Outcome;

/// A way of cleaning.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Method {
    /// A dry cloth, whatever lies under it.
    DryCloth,
    /// Chips lifted off first, then a lint-free cloth with the solvent that the maker permits.
    PermittedSolvent,
    /// A solvent that leaves residue and creeps under glued tape.
    WrongSolvent,
    /// Compressed air.
    AirBlast,
}

impl Method {
    /// Every method.
    pub const ALL: [Self; 4] = [Self::DryCloth, Self::PermittedSolvent, Self::WrongSolvent, Self::AirBlast];

    /// Stable name, as in files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::DryCloth => "dry-cloth",
            Self::PermittedSolvent => "permitted-solvent",
            Self::WrongSolvent => "wrong-solvent",
            Self::AirBlast => "air-blast",
        }
    }
}

/// What cleaning did.
#[derive(Clone, Debug, PartialEq)]
pub struct Wiped {
    /// The surface afterwards.
    pub map: SurfaceMap,
    /// New scratches.
    pub scratches: u32,
    /// Length beyond the stretch onto which dirt was dragged or blown, m; 0 when none was.
    pub spread_m: f64,
    /// Where the tape has come off its bed, or a chip was driven under it.
    pub lifted: Option<Bump>,
}

/// Cleans `from_m..to_m`, moving from the first to the second place (which may be the smaller
/// one). `glued_tape` says whether the scale is a tape on a bed, whose edge can lift; `seed`
/// decides what chance decides, the same seed the same way.
///
/// # Errors
/// When a place is not finite or not on any scale.
pub fn wipe(
    map: &SurfaceMap,
    method: Method,
    from_m: f64,
    to_m: f64,
    glued_tape: bool,
    seed: u64,
) -> Result<Wiped, NumberError> {
    check(from_m, -REACH_M, REACH_M)?;
    check(to_m, -REACH_M, REACH_M)?;
    let (low_m, high_m) = (from_m.min(to_m), from_m.max(to_m));
    let forwards = from_m <= to_m;
    let mut chance = Stream::named(seed, "wiping");
    let there: Vec<Segment> = map
        .segments()
        .iter()
        .filter(|s| s.is_dirty() && s.from_m < high_m && s.to_m > low_m)
        .map(|s| Segment { from_m: s.from_m.max(low_m), to_m: s.to_m.min(high_m), ..*s })
        .collect();
    let mut wiped = Wiped { map: map.clone(), scratches: 0, spread_m: 0.0, lifted: None };
    wiped.map.edit(low_m, high_m, Lanes::ALL, |segment| take_off(segment, method));

    let mut dragged_m = 0.0;
    for segment in &there {
        let outcome = method.on(segment.matter);
        dragged_m += outcome.spreads * segment.length_m() * f64::from(segment.lanes.count()) / 4.0;
        if outcome.scratches > 0.0 && chance.uniform() < outcome.scratches {
            scratch_from(&mut wiped.map, segment, (low_m, high_m), forwards, &mut chance);
            wiped.scratches += 1;
        }
    }
    if dragged_m > 0.0 {
        // All that was dragged lies beyond the end of the stroke, thinning out towards the far end.
        let length_m = method.spread_length_m();
        let share = (dragged_m / length_m).min(1.0);
        let far_m = if forwards { high_m + length_m } else { low_m - length_m };
        let middle_m = 0.5 * (far_m + if forwards { high_m } else { low_m });
        let film = Film::FINGERPRINT.scaled(share);
        wiped.map.feathered(middle_m, length_m, Lanes::ALL, film, Matter::of(Substance::Smear));
        wiped.spread_m = length_m;
    }
    let lifting = if method == Method::AirBlast && !there.iter().any(|s| s.matter.has(Substance::Chip)) {
        0.0
    } else {
        method.lifts_tape()
    };
    if glued_tape && chance.uniform() < lifting {
        let at_m = low_m + (high_m - low_m) * chance.uniform();
        let (width_m, rise_m) = (5e-3 + 15e-3 * chance.uniform(), 50e-6 + 150e-6 * chance.uniform());
        wiped.lifted = Some(Bump { at_m, width_m, rise_m });
    }
    Ok(wiped)
}

/// What stays of a place that was wiped, and what the method leaves there.
fn take_off(segment: &mut Segment, method: Method) {
    if !segment.is_dirty() {
        return;
    }
    let outcome = method.on(segment.matter);
    segment.thin(outcome.left);
    if outcome.residue > 0.0 {
        segment.add(&Film::RESIDUE.scaled(outcome.residue));
        segment.matter = segment.matter.with(Matter::of(Substance::Residue));
    }
}

/// A hard grain drawn along the scale: a dull line over part of the height of its lanes, from
/// where it lay to where it came off.
fn scratch_from(map: &mut SurfaceMap, grain: &Segment, stretch_m: (f64, f64), forwards: bool, chance: &mut Stream) {
    let length_m = 1e-3 + 19e-3 * chance.uniform();
    let left = 0.6 + 0.3 * chance.uniform();
    let (from_m, to_m) = if forwards {
        (grain.from_m, (grain.to_m + length_m).min(stretch_m.1))
    } else {
        ((grain.from_m - length_m).max(stretch_m.0), grain.to_m)
    };
    map.strip_lanes(from_m, to_m, grain.lanes, left, 0.0);
}

impl SurfaceMap {
    /// Lifts loose chips and dust off a stretch, with a brush or tweezers, before anything is
    /// wiped: takes them away and leaves films where they are.
    ///
    /// # Errors
    /// When a number is not finite or not on any scale.
    pub fn pick_chips(&mut self, spot: impl Into<Spot>, length_m: f64) -> Result<(), NumberError> {
        let spot = spot.into();
        check(spot.at_m, -REACH_M, REACH_M)?;
        check(length_m, 0.0, 2.0 * REACH_M)?;
        let grains = Matter::of(Substance::Chip).with(Matter::of(Substance::Dust));
        self.edit(spot.at_m - length_m / 2.0, spot.at_m + length_m / 2.0, spot.lanes, |segment| {
            if segment.matter.iter().any(|s| grains.has(s)) {
                segment.thin(0.0);
            }
        });
        Ok(())
    }
}

#[cfg(test)]
mod tests;
