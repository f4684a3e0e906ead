//! What a visit costs: the technician's time and the parts, in units of money of no country (own values of the usual kind).

use super::act::Act;
use super::remedy::Parts;
use super::visit::Visit;

/// A minute of the technician.
pub const PER_MINUTE: u32 = 2;

/// Cost of the parts of a class.
#[must_use]
pub fn parts(class: Parts) -> u32 {
    match class {
        Parts::None => 0,
        Parts::Small => 60,
        Parts::Middle => 350,
        Parts::Large => 1400,
    }
}

/// Cost of the parts that something takes.
#[must_use]
pub fn parts_of(act: Act) -> u32 {
    if let Act::Remedy(remedy) = act { parts(remedy.row().parts) } else { 0 }
}

/// What a visit has cost so far.
#[must_use]
pub fn of(visit: &Visit) -> u32 {
    visit.minutes() * PER_MINUTE + visit.done().iter().map(|done| parts_of(done.act)).sum::<u32>()
}
