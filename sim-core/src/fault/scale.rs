//! Faults of the scale.

use super::{FaultId, Group, Row};
use crate::params::Params;
use crate::surface::Bump;

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
