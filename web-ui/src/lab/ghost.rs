//! The healthy bench beside the broken one: what A and B would be at the same place if nothing were wrong.

use sim_core::bench::Sim;
use sim_core::chain::analog::{AnalogForm, AnalogParams};
use sim_core::chain::light::GapTable;
use sim_core::chain::photo::{HEALTHY_HEAD, HeadOptics, HeadPose, Illumination};
use sim_core::scale::ScaleId;
use sim_core::surface::{SurfaceCursor, SurfaceIndex, SurfaceMap};

/// The healthy head.
pub struct Healthy {
    scale: ScaleId,
    optics: HeadOptics,
    clean: SurfaceIndex,
    analog: AnalogParams,
    /// Whether anything on the way from light to volts differs from healthy.
    differs: bool,
}

impl Healthy {
    /// The healthy head of a bench.
    pub fn of(sim: &Sim) -> Self {
        let spec = &sim.params().scale;
        let table = GapTable::build(spec);
        let pose = HeadPose::nominal(spec);
        let mut healthy = Self {
            scale: spec.id,
            optics: HeadOptics::new(spec, &table, &pose, Illumination::NOMINAL, &HEALTHY_HEAD),
            clean: SurfaceIndex::for_scale(&SurfaceMap::default(), spec),
            analog: AnalogParams::nominal(spec),
            differs: false,
        };
        healthy.follow(sim);
        healthy
    }

    /// Looks whether the bench still is as the maker meant it.
    pub fn follow(&mut self, sim: &Sim) {
        let p = sim.params();
        if p.scale.id != self.scale {
            *self = Self::of(sim);
            return;
        }
        let close = |a: f64, b: f64| (a - b).abs() <= 1e-9;
        let square = [p.wedge, p.tilt_rad, p.yaw_rad, p.offset_v[0], p.offset_v[1]].iter().all(|v| *v == 0.0);
        let bright = close(p.lamp, 1.0) && close(p.window, 1.0);
        let as_meant = p.surface.is_clean() && close(p.gap_m, p.scale.gap_nominal_m) && square && bright;
        self.differs = !(as_meant && p.noise <= 1.0);
    }

    /// Whether the ghost is worth drawing.
    pub fn differs(&self) -> bool {
        self.differs
    }

    /// A and B of the healthy head at a place, V.
    pub fn at(&self, x_m: f64) -> (f64, f64) {
        let i = self.optics.currents(x_m, &self.clean, &mut SurfaceCursor::default()).field;
        let gain = self.analog.gain_ohm;
        match self.analog.form {
            AnalogForm::Differential => (gain[0] * (i[0] - i[2]), gain[1] * (i[1] - i[3])),
            AnalogForm::SingleEnded { dark_v } => (dark_v + gain[0] * i[0], dark_v + gain[1] * i[1]),
        }
    }
}
