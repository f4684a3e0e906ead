//! Dirt, cleaning and time: what these commands do to the running bench.
//!
//! A fault that cleaning takes away is dirt with a name. When somebody cleans it in one of the ways, or only a part of
//! it, it stops being a fault: what it had laid becomes dirt of the bench, and the cleaning acts on that.

use super::command::{Age, Smear, SmearWindow};
use super::sim::Sim;
use crate::axis::DriveMode;
use crate::event::{Care, What};
use crate::fault::{Active, FaultId};
use crate::params::params_of;
use crate::scale::GratingType;
use crate::scale::housing::HousingParams;
use crate::surface::wiping::{Method, wipe};
use crate::surface::{Film, Substance, SurfaceMap};

/// Faults whose film was let in by a housing and stays on the scale when the housing is mended.
const LETS_DIRT_IN: [FaultId; 2] = [FaultId::PurgeLost, FaultId::LipsWorn];

/// Most hours that the lamp's clock shows, kh: the range of its setting.
const LAMP_KILOHOURS_MAX: f64 = 500.0;

impl Sim {
    pub(super) fn smear(&mut self, smear: &Smear) -> Result<(), String> {
        let (from_m, to_m) = (smear.from_mm.get() * 1e-3, smear.to_mm.get() * 1e-3);
        let dirt = &mut self.bench.state.dirt;
        if let Some(substance) = smear.substance {
            let amount = smear.strength_percent.map_or(1.0, |percent| percent.get() / 100.0);
            dirt.lay(substance, 0.5 * (from_m + to_m), to_m - from_m, amount).map_err(|e| e.to_string())?;
            self.pending.push(What::Care(Care::Laid { substance, from_m, to_m }));
        } else if let Some(blocked) = smear.blocked_percent {
            dirt.paint(from_m, to_m, film_of(blocked.get() / 100.0));
            self.pending.push(What::Smeared { from_m, to_m });
        }
        self.rebuild();
        Ok(())
    }

    /// Cleans a stretch of the scale: perfectly, or in one of the ways for better or worse.
    pub(super) fn clean(&mut self, from_m: f64, to_m: f64, method: Option<Method>) {
        match method {
            None => {
                self.settle_faults(from_m, to_m, false);
                self.bench.state.dirt.wipe(from_m, to_m);
            }
            Some(method) => {
                self.settle_faults(from_m, to_m, true);
                self.clean_by(method, from_m, to_m);
            }
        }
        self.rebuild();
    }

    fn clean_by(&mut self, method: Method, from_m: f64, to_m: f64) {
        let tape = self.params.scale.grating_type == GratingType::Reflective;
        let state = &mut self.bench.state;
        let seed = state.upkeep.next_cleaning();
        let residue_before = residue_in(&state.dirt, from_m, to_m);
        // Places were checked with the command: they are on a scale.
        let Ok(wiped) = wipe(&state.dirt, method, from_m, to_m, tape, seed) else { return };
        state.dirt = wiped.map;
        if let Some(bump) = wiped.lifted {
            state.upkeep.lift(bump);
        }
        let left = |s: &&crate::surface::Segment| s.is_dirty() && s.from_m < to_m && s.to_m > from_m;
        self.pending.push(What::Care(Care::Cleaned {
            method,
            from_m,
            to_m,
            scratches: wiped.scratches,
            dirty: state.dirt.segments().iter().any(|s| left(&s)),
            residue: residue_in(&state.dirt, from_m, to_m) > residue_before,
            spread_m: wiped.spread_m,
            lifted_m: wiped.lifted.map(|bump| bump.at_m),
        }));
    }

    pub(super) fn clean_all(&mut self, method: Method) {
        let travel_m = self.params.machine.travel;
        self.settle_faults(-1.0, 10.0, true);
        self.clean_by(method, -0.1, travel_m + 0.1);
        self.clean_window(Some(method));
    }

    pub(super) fn pick_chips(&mut self, from_m: f64, to_m: f64) -> Result<(), String> {
        let (middle_m, length_m) = (0.5 * (from_m + to_m), to_m - from_m);
        self.bench.state.dirt.pick_chips(middle_m, length_m).map_err(|e| format!("the stretch: {e}"))?;
        self.bench.faults.retain(|f| f.id != FaultId::ChipOnTape || !(from_m..to_m).contains(&f.at_m));
        self.pending.push(What::Care(Care::ChipsPicked { from_m, to_m }));
        self.rebuild();
        Ok(())
    }

    pub(super) fn smear_window(&mut self, smear: &SmearWindow) {
        let (substance, part) = (smear.substance, smear.part);
        let strength = smear.strength_percent.get() / 100.0;
        self.bench.state.upkeep.window.lay(crate::chain::photo::WindowDirt { substance, strength, part });
        self.pending.push(What::Care(Care::WindowSmeared { substance, part }));
        self.rebuild();
    }

    pub(super) fn clean_window(&mut self, method: Option<Method>) {
        let upkeep = &mut self.bench.state.upkeep;
        let scratches = match method {
            None => {
                upkeep.window.wipe();
                0
            }
            Some(method) => {
                let seed = upkeep.next_cleaning();
                upkeep.window.clean(method, seed)
            }
        };
        // The film of the catalogue is grease: what the method leaves of grease stays a fault.
        let left = method.map_or(0.0, |m| m.outcome(Substance::Smear).left);
        for fault in &mut self.bench.faults {
            if fault.id == FaultId::WindowFilm {
                fault.severity *= left;
            }
        }
        self.bench.faults.retain(|f| f.severity > 0.0);
        let window = &self.bench.state.upkeep.window;
        let dirty = window.dirt().iter().any(|d| !d.substance.is_damage())
            || self.bench.faults.iter().any(|f| f.id == FaultId::WindowFilm);
        self.pending.push(What::Care(Care::WindowCleaned { method, scratches, dirty }));
        self.rebuild();
    }

    /// Time passes in the shop. Two spells in a row leave the same as one as long as both.
    pub(super) fn age(&mut self, age: &Age) -> Result<(), String> {
        if !matches!(self.bench.state.axis.mode, DriveMode::Off | DriveMode::Holding | DriveMode::Tripped) {
            return Err("stop the axis before hours are let pass".to_owned());
        }
        let hours = age.hours.get();
        let shop = HousingParams {
            housing: self.params.housing,
            dustiness: age.dust_percent.map_or(self.bench.setup.bench.dustiness(), |percent| percent.get() / 100.0),
            from_m: 0.0,
            to_m: self.params.machine.travel,
        };
        shop.deposit(hours, &mut self.bench.state.dirt).map_err(|e| e.to_string())?;
        let lamp = &mut self.bench.setup.lamp;
        lamp.age_kilohours = (lamp.age_kilohours + hours / 1e3).min(LAMP_KILOHOURS_MAX);
        let ingress = if shop.dustiness > 0.0 { shop.housing.ingress() } else { 0.0 };
        self.pending.push(What::Care(Care::TimePassed { hours, ingress }));
        self.rebuild();
        Ok(())
    }

    /// A housing that fails anew is found with its film again.
    pub(super) fn found_again(&mut self, id: FaultId, was: bool) {
        let is_in = self.bench.faults.iter().any(|f| f.id == id);
        if is_in && !was && LETS_DIRT_IN.contains(&id) {
            self.bench.state.upkeep.film_as_found = true;
        }
    }

    /// Makes dirt of the faults that a cloth between two places meets. With `kept` all that they had laid stays for the
    /// cloth to act on; without, a fault at one place goes as a whole, and so does the film on the window.
    fn settle_faults(&mut self, from_m: f64, to_m: f64, kept: bool) {
        let (setup, travel_m) = (&self.bench.setup, self.params.machine.travel);
        let whole = from_m <= 0.0 && to_m >= travel_m;
        let laid_by = |fault: &Active| params_of(setup, std::slice::from_ref(fault), &SurfaceMap::default()).surface;
        let mut became_dirt = SurfaceMap::default();
        let as_found = &mut self.bench.state.upkeep.film_as_found;
        for fault in self.bench.faults.iter().filter(|f| LETS_DIRT_IN.contains(&f.id) && *as_found) {
            became_dirt.add(&laid_by(fault));
        }
        if self.bench.faults.iter().any(|f| LETS_DIRT_IN.contains(&f.id)) {
            *as_found = false;
        }
        self.bench.faults.retain(|fault| {
            let row = fault.id.row();
            let met = row.wipes_off && (!row.has_place || (from_m..to_m).contains(&fault.at_m));
            if !met {
                return true;
            }
            if fault.id == FaultId::WindowFilm {
                return kept;
            }
            if kept || (!row.has_place && !whole) {
                became_dirt.add(&laid_by(fault));
            }
            false
        });
        self.bench.state.dirt.add(&became_dirt);
    }
}

/// Length of residue between two places, m, counted once for each lane.
fn residue_in(map: &SurfaceMap, from_m: f64, to_m: f64) -> f64 {
    let inside = |s: &crate::surface::Segment| (s.to_m.min(to_m) - s.from_m.max(from_m)).max(0.0);
    let lanes = |s: &crate::surface::Segment| f64::from(s.lanes.count());
    map.segments().iter().filter(|s| s.matter.has(Substance::Residue)).map(|s| inside(s) * lanes(s)).sum()
}

/// A film that takes a share of the light in one pass: one part of it swallows, four parts scatter (as greasy dust
/// does; own values).
fn film_of(blocked: f64) -> Film {
    let blocked = blocked.clamp(0.0, 0.999);
    let scatter = 0.8 * blocked;
    Film { mu_t: crate::num::math::ln((1.0 - scatter) / (1.0 - blocked)), scatter, kappa_s: 0.4 }
}
