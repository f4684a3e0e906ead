//! The flex test: the signal is watched while the cable goes by each place, slowly. A conductor that opens where it is
//! bent shows at one place of the cable and nowhere else, with a clean scale there.

use super::drive::{Stopped, move_to};
use crate::bench::Sim;
use crate::instrument::travel::Travel;

/// What the flex test found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flex {
    /// Place of the axis with the shortest vector, m.
    pub place_m: f64,
    /// The shortest vector of A and B in any sample there, V.
    pub shortest_v: f64,
    /// The middle of all places, V.
    pub usual_v: f64,
}

/// Moves slowly over a stretch with the loop as it is, and watches each sample of the signal.
///
/// # Errors
/// What stopped the axis, or a stretch on which nothing can be measured.
pub fn run(sim: &mut Sim, from_m: f64, to_m: f64, speed_mps: f64) -> Result<Flex, Stopped> {
    move_to(sim, from_m, speed_mps, &mut ())?;
    let refused = |why: String| Stopped::Refused { why };
    let mut travel = Travel::new(sim.params().scale.period_m, from_m, to_m).map_err(|e| refused(e.to_string()))?;
    move_to(sim, to_m, speed_mps, &mut travel)?;
    let mut places: Vec<_> = travel.places().iter().flatten().copied().collect();
    places.sort_by(|p, q| p.shortest_v.total_cmp(&q.shortest_v));
    match (places.first(), places.get(places.len() / 2)) {
        (Some(worst), Some(middle)) => {
            Ok(Flex { place_m: worst.table_m, shortest_v: worst.shortest_v, usual_v: middle.shortest_v })
        }
        _ => Err(refused("the table did not move far enough to measure".to_owned())),
    }
}
