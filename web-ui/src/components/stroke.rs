//! Painting on the scale with the pointer: smear or wipe, whichever tool is taken.

use crate::store::Store;
use sim_core::bench::command::PlaceMm;

/// Narrowest stretch that a touch smears or wipes, m.
const NARROWEST_M: f64 = 0.5e-3;

/// The stretch that the present stroke has covered, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    from_m: f64,
    to_m: f64,
}

/// Starts a stroke at a place: a touch covers `width_m` at least.
pub fn begin(store: &Store, place_m: f64, width_m: f64) -> Stroke {
    let half_m = 0.5 * width_m.max(NARROWEST_M);
    let stroke = Stroke { from_m: place_m - half_m, to_m: place_m + half_m };
    cover(store, stroke.from_m, stroke.to_m);
    stroke
}

/// Goes on with a stroke to a place: only what was not covered yet is smeared, so that rubbing to and fro in one stroke
/// does not pile up.
pub fn go_on(store: &Store, stroke: &mut Stroke, place_m: f64) {
    if place_m > stroke.to_m {
        cover(store, stroke.to_m, place_m);
        stroke.to_m = place_m;
    } else if place_m < stroke.from_m {
        cover(store, place_m, stroke.from_m);
        stroke.from_m = place_m;
    }
}

fn cover(store: &Store, from_m: f64, to_m: f64) {
    let travel_mm = store.lab.0.borrow().sim().params().machine.travel * 1e3;
    let inside = |m: f64| (m * 1e3).clamp(-20.0, travel_mm + 20.0);
    let (from_mm, to_mm) = (inside(from_m), inside(to_m));
    if to_mm <= from_mm {
        return;
    }
    let (from_mm, to_mm) = (PlaceMm::nearest(from_mm), PlaceMm::nearest(to_mm));
    store.command(store.ui.stroke(from_mm, to_mm));
}
