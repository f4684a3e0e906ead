//! Absolute steel tape: the lines of the 100 um tape with a pseudo-random code track beside them.
//!
//! Eleven bits of 200 um name the place, unique over 2047 bits = 409.4 mm; nine more are read
//! as checks, the least number that catches every single wrong bit with this sequence.

use super::{CodeSpec, ScaleId, ScaleSpec, tape_100};

pub(super) fn spec() -> ScaleSpec {
    ScaleSpec {
        id: ScaleId::CodeTape11,
        squares_per_period: None,
        code: Some(CodeSpec::Sequence { bits: 11, check_bits: 9, cell_m: 200e-6 }),
        ..tape_100::spec()
    }
}
