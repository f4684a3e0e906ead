//! Faults of the scale.

use super::drive_train::peak_force_n;
use super::{FaultId, Group, Row};
use crate::axis::plant::LocalDrag;
use crate::num::math::pow;
use crate::params::Params;
use crate::scale::housing::{Housing, HousingParams};
use crate::surface::{Bump, Film, Substance};

/// Smear: takes up to 98 % of the pattern away over 15 mm at full severity, soft edges.
/// Width 4..15 mm: catalogue of the bench (own values of the usual kind).
pub(super) const SMEAR: Row = Row {
    id: FaultId::TapeSmear,
    name: "tape-smear",
    title: "Smear",
    group: Group::Scale,
    has_place: true,
    wipes_off: true,
    apply: |params: &mut Params, s, at_m| params.surface.smear(at_m, 4e-3 + 11e-3 * s, s),
};

/// Scratch: lines gone over up to 2 mm, sharp edges, stays after cleaning.
pub(super) const SCRATCH: Row = Row {
    id: FaultId::TapeScratch,
    name: "tape-scratch",
    title: "Scratch",
    group: Group::Scale,
    has_place: true,
    wipes_off: false,
    apply: |params: &mut Params, s, at_m| {
        let half_m = (0.05e-3 + 1.95e-3 * s) / 2.0;
        params.surface.scratch(at_m - half_m, at_m + half_m, 1.0 - s);
    },
};

/// Tape lifted off its bed: it comes towards the head by up to 0.6 of the nominal gap over some 60 mm.
pub(super) const LIFT: Row = Row {
    id: FaultId::TapeLift,
    name: "tape-lift",
    title: "Scale lifted",
    group: Group::Scale,
    has_place: true,
    wipes_off: false,
    apply: |params: &mut Params, s, at_m| {
        let rise_m = 0.6 * s * params.scale.gap_nominal_m;
        params.alignment.bumps.push(Bump { at_m, width_m: 0.06, rise_m });
    },
};

/// How far a film reaches beyond the travel, m: the ends of the scale, which the head's fields still see.
const BEYOND_M: f64 = 0.05;

/// Dirt at one place that cleaning takes away.
const fn patch(id: FaultId, name: &'static str, title: &'static str, apply: fn(&mut Params, f64, f64)) -> Row {
    Row { id, name, title, group: Group::Scale, has_place: true, wipes_off: true, apply }
}

/// Something about the whole scale.
const fn whole(
    id: FaultId,
    name: &'static str,
    title: &'static str,
    wipes_off: bool,
    apply: fn(&mut Params, f64, f64),
) -> Row {
    Row { id, name, title, group: Group::Scale, has_place: false, wipes_off, apply }
}

/// Lays a substance. Every number comes from a severity and a place that were checked, so it is in range; one that is
/// not leaves the scale as it is.
fn lay(params: &mut Params, substance: Substance, at_m: f64, size_m: f64, amount: f64) {
    let laid = params.surface.lay(substance, at_m, size_m, amount);
    debug_assert!(laid.is_ok(), "{laid:?}");
}

/// Thin oil over the whole scale: a small loss and a gap that looks shorter.
pub(super) const OIL_FILM: Row = whole(FaultId::OilFilm, "oil-film", "Film of oil", true, |params, s, _| {
    let travel_m = params.machine.travel;
    lay(params, Substance::OilFilm, 0.5 * travel_m, travel_m + 2.0 * BEYOND_M, s);
});

/// A drop of coolant of 2 to 6 mm.
pub(super) const COOLANT_DROP: Row =
    patch(FaultId::CoolantDrop, "coolant-drop", "Drop of coolant", |params, s, at_m| {
        lay(params, Substance::CoolantDrop, at_m, 2e-3 + 4e-3 * s, s);
    });

/// A chip of up to 1 mm: opaque over part of the height or all of it, it pushes the head off by up to 0.2 mm over 5 mm,
/// and the head drags over it with up to a tenth of the drive's peak force.
pub(super) const CHIP: Row = patch(FaultId::ChipOnTape, "chip-on-tape", "Chip on the scale", |params, s, at_m| {
    lay(params, Substance::Chip, at_m, 0.1e-3 + 0.9e-3 * s, s);
    params.alignment.bumps.push(Bump { at_m, width_m: 5e-3, rise_m: -0.2e-3 * s });
    let force_n = 0.1 * s * peak_force_n(params);
    params.plant.local_drag.get_or_insert(LocalDrag { place: at_m, sigma: 2.5e-3, force_n });
});

/// A fingerprint, 8 mm of ridges.
pub(super) const FINGERPRINT: Row = patch(FaultId::Fingerprint, "fingerprint", "Fingerprint", |params, s, at_m| {
    lay(params, Substance::Fingerprint, at_m, 8e-3, s);
});

/// Lines stripped to the bright metal or glass over up to 5 mm.
pub(super) const MISSING_LINES: Row = Row {
    wipes_off: false,
    ..patch(FaultId::MissingLines, "missing-lines", "Lines missing", |params, s, at_m| {
        lay(params, Substance::MissingLines, at_m, 1e-3 + 4e-3 * s, s);
    })
};

/// Dried coolant over 50 to 300 mm: a pale, crusty veil.
pub(super) const DRIED_RESIDUE: Row =
    patch(FaultId::DriedResidue, "dried-residue", "Dried coolant", |params, s, at_m| {
        lay(params, Substance::Residue, at_m, 0.05 + 0.25 * s, s);
    });

/// What a housing let in before anybody looked: so many hours in the dustiest air. Once somebody has wiped, it is dirt
/// of the bench and no longer laid here.
fn let_in(params: &mut Params, hours: f64, worst: Housing) {
    if !params.film_as_found {
        return;
    }
    let shop = HousingParams { housing: worst, dustiness: 1.0, from_m: 0.0, to_m: params.machine.travel };
    let laid = shop.deposit(hours, &mut params.surface);
    debug_assert!(laid.is_ok(), "{laid:?}");
}

/// Condition of the lips and purge air as they are; an open scale gets the housing that this fault is about.
fn lips_and_air(housing: Housing) -> (f64, bool) {
    match housing {
        Housing::Open => (1.0, true),
        Housing::Enclosed { lips, purge_air } => (lips, purge_air),
    }
}

/// Purge air lost for up to 100 h, which takes half of a reflected signal at mid-travel; without air the lips soon let
/// everything through. Time brings the dirt back after cleaning, until the air is.
pub(super) const PURGE_LOST: Row = whole(FaultId::PurgeLost, "purge-lost", "Purge air lost", false, |params, s, _| {
    let lips = lips_and_air(params.housing).0 * (1.0 - s);
    params.housing = Housing::Enclosed { lips, purge_air: false };
    let_in(params, 100.0 * s, Housing::Enclosed { lips: 0.0, purge_air: false });
});

/// Lips worn, down to torn; the purge air holds most of the dirt off, 300 h leave a film.
pub(super) const LIPS_WORN: Row = whole(FaultId::LipsWorn, "lips-worn", "Lips worn", false, |params, s, _| {
    let (lips, purge_air) = lips_and_air(params.housing);
    let lips = lips * (1.0 - s);
    params.housing = Housing::Enclosed { lips, purge_air };
    let_in(params, 300.0, Housing::Enclosed { lips: 1.0 - s, purge_air: true });
});

/// Dew all over the scale: takes up to half of the signal, scatters most of it.
pub(super) const CONDENSATION: Row = whole(FaultId::Condensation, "condensation", "Dew", true, |params, s, _| {
    let passes = f64::from(params.scale.grating_type.passes());
    let film = Film { mu_t: 0.0, scatter: 1.0 - pow(1.0 - 0.5 * s, 1.0 / passes), kappa_s: 0.5 };
    let to_m = params.machine.travel + BEYOND_M;
    params.surface.cover(-BEYOND_M, to_m, Substance::CoolantDrop, film);
});

/// Tape stretched by up to 1e-4: a period is longer than it says, so the scale reads less than the table went.
pub(super) const STRETCH: Row =
    whole(FaultId::TapeStretch, "tape-stretch", "Scale stretched", false, |params, s, _| {
        params.read_scale *= 1.0 - 1e-4 * s;
    });
