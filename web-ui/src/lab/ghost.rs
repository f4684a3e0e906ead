//! The healthy bench beside the broken one: what A and B would be at the same place if nothing were wrong.

use sim_core::bench::{Compiled, Sim};
use sim_core::chain::analog::AnalogForm;
use sim_core::chain::photo::HeadOptics;
use sim_core::params::params_of;
use sim_core::setup::{BenchId, Setup};
use sim_core::surface::{SurfaceCursor, SurfaceMap};

/// The healthy bench.
pub struct Healthy {
    bench: BenchId,
    compiled: Compiled,
    /// Whether anything on the way from light to volts differs from healthy.
    differs: bool,
}

impl Healthy {
    /// The healthy bench of a running one.
    pub fn of(sim: &Sim) -> Self {
        let bench = sim.bench().setup.bench;
        let params = params_of(&Setup::healthy(bench), &[], &SurfaceMap::default());
        let mut healthy = Self { bench, compiled: Compiled::new(&params), differs: false };
        healthy.follow(sim);
        healthy
    }

    /// Looks whether the bench still is as the maker meant it.
    pub fn follow(&mut self, sim: &Sim) {
        if sim.bench().setup.bench != self.bench {
            *self = Self::of(sim);
            return;
        }
        let (setup, meant) = (&sim.bench().setup, Setup::healthy(self.bench));
        let as_meant = setup.head == meant.head && setup.lamp == meant.lamp && setup.cable == meant.cable;
        self.differs = !(as_meant && sim.faults().is_empty() && sim.params().surface.is_clean());
    }

    /// Whether the ghost is worth drawing.
    pub fn differs(&self) -> bool {
        self.differs
    }

    /// Its head.
    pub fn optics(&self) -> &HeadOptics {
        &self.compiled.optics
    }

    /// A and B of the healthy bench at a place, at the input, V.
    pub fn at(&self, x_m: f64) -> (f64, f64) {
        let compiled = &self.compiled;
        let i = compiled.optics.currents(x_m, &compiled.surface, &mut SurfaceCursor::default()).field;
        let gain = compiled.analog.gain_ohm;
        let head = match compiled.analog.form {
            AnalogForm::Differential => [gain[0] * (i[0] - i[2]), gain[1] * (i[1] - i[3])],
            AnalogForm::SingleEnded { dark_v } => [dark_v + gain[0] * i[0], dark_v + gain[1] * i[1]],
        };
        let [a, b] = compiled.at_input(head);
        (a, b)
    }
}
