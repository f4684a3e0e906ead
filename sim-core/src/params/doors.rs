//! The doors of the parameters: what no bench can be is refused by name, value and range, and what settings and faults
//! add up to stays inside what the model covers.

use super::Params;
use crate::chain::alignment::{AlignmentError, Waviness};
use crate::limits::{FieldError, whole_within, within};
use crate::scale::housing::HousingParams;

/// Most electrical noise, multiple of the natural noise: far beyond any signal.
const NOISE_MAX: f64 = 1e6;
/// Hottest and coldest lamp that the model covers, K.
const LAMP_K: (f64, f64) = (233.15, 398.15);
/// Largest angle of the head that the model covers, rad.
const ANGLE_MAX_RAD: f64 = 0.2;
/// Highest bursts that the model covers, V.
const EDGE_MAX_V: f64 = 100.0;

/// Why parameters were refused.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ParamError {
    /// A number of a block.
    #[error("{block}{error}")]
    Field {
        /// The block with a dot behind it; empty where the name of the field says it.
        block: &'static str,
        /// Which number, what it was, what is allowed.
        error: FieldError,
    },
    /// Something about the place of the head.
    #[error(transparent)]
    Alignment(#[from] AlignmentError),
}

impl From<FieldError> for ParamError {
    fn from(error: FieldError) -> Self {
        Self::Field { block: "", error }
    }
}

/// Names the block of a refused field.
fn of(block: &'static str) -> impl Fn(FieldError) -> ParamError {
    move |error| ParamError::Field { block, error }
}

impl Params {
    /// Refuses parameters that no bench can have: every block's own check, one after the other in the order of the
    /// chain.
    ///
    /// # Errors
    /// The first field that is wrong, with its name, value and range.
    pub fn check(&self) -> Result<(), ParamError> {
        self.scale.check().map_err(of("scale."))?;
        let housing = HousingParams { housing: self.housing, dustiness: 0.0, from_m: 0.0, to_m: self.machine.travel };
        housing.check().map_err(of("housing."))?;
        within("read_scale", self.read_scale, 0.99, 1.01)?;
        self.alignment.check()?;
        self.lamp.check()?;
        within("flicker", self.flicker, 0.0, 1.0)?;
        within("window", self.window, 0.0, 1.0)?;
        for dirt in self.window_dirt.dirt() {
            within("window_dirt.strength", dirt.strength, 0.0, 1.0)?;
        }
        within("ambient_a", self.ambient_a, 0.0, 1e-3)?;
        within("noise", self.noise, 0.0, NOISE_MAX)?;
        for offset_v in self.offset_v {
            within("offset_v", offset_v, -10.0, 10.0)?;
        }
        self.supply.check()?;
        self.wiring.check()?;
        self.interference.check().map_err(of("interference."))?;
        self.mark.check().map_err(of("mark."))?;
        self.check_input()?;
        self.check_axis()
    }

    fn check_input(&self) -> Result<(), ParamError> {
        within("square.threshold_v", self.square.threshold_v, -10.0, 10.0)?;
        within("square.hysteresis_v", self.square.hysteresis_v, 0.0, 10.0)?;
        if let Some(interpolate) = &self.interpolate {
            whole_within("interpolate.factor", interpolate.factor, 1, 1024)?;
            within("interpolate.hold_v", interpolate.hold_v, 0.0, 10.0)?;
            within("interpolate.hysteresis_steps", interpolate.hysteresis_steps, 0.0, 0.5)?;
        }
        whole_within("counter.mark_state", u32::from(self.counter.mark_state), 0, 3)?;
        within("sign", self.sign.abs(), 1.0, 1.0)?;
        if let Some(filter) = &self.control.filter {
            whole_within("control.filter.samples", filter.samples, 1, 1_000_000)?;
            within("control.filter.clock_hz", filter.clock_hz, 1e6, 50e6)?;
        }
        if let Some(bits) = self.control.counter_bits {
            whole_within("control.counter_bits", bits, 8, 32)?;
        }
        within("control.count_ratio", self.control.count_ratio, 0.1, 10.0)?;
        within("control.soft_shift_m", self.control.soft_shift_m, -10.0, 10.0)?;
        within("control.play_comp_m", self.control.play_comp_m, 0.0, 1e-3)?;
        within("monitors.mismatch_m", self.monitors.mismatch_m, 0.0, 1.0)?;
        within("head_offset_m", self.head_offset_m, -0.1, 0.1)?;
        within("motor_bursts_v_per_a", self.motor_bursts_v_per_a, 0.0, 100.0)?;
        Ok(())
    }

    fn check_axis(&self) -> Result<(), ParamError> {
        within("machine.travel", self.machine.travel, 1e-3, 100.0)?;
        within("machine.control.kv", self.machine.control.kv, 0.0, 1e3)?;
        within("machine.control.kff", self.machine.control.kff, 0.0, 2.0)?;
        within("machine.following.moving_band", self.machine.following.moving_band, 0.0, 1.0)?;
        within("machine.following.still_band", self.machine.following.still_band, 0.0, 1.0)?;
        within("machine.home.mark_at", self.machine.home.mark_at, -1.0, self.machine.travel + 1.0)?;
        within("stored_kv", self.stored_kv, 0.0, 1e3)?;
        within("stored_kff", self.stored_kff, 0.0, 2.0)?;
        within("plant.mass_kg", self.plant.mass_kg, 1e-3, 1e5)?;
        within("plant.viscous", self.plant.viscous, 0.0, 1e7)?;
        within("plant.guide.sliding_n", self.plant.guide.sliding_n, 0.0, 1e6)?;
        within("plant.guide.breakaway_n", self.plant.guide.breakaway_n, 0.0, 1e6)?;
        within("plant.other_dry_n", self.plant.other_dry_n, 0.0, 1e6)?;
        within("plant.peak_current", self.plant.peak_current, 0.0, 1e4)?;
        within("masses.table_mass", self.masses.table_mass, 1e-3, 1e5)?;
        within("masses.stiffness", self.masses.stiffness, 1e3, 1e10)?;
        within("masses.backlash", self.masses.backlash, 0.0, 10e-3)?;
        within("masses.screw.cyclic", self.masses.screw.cyclic, 0.0, 1e-3)?;
        within("train.heat.room_c", self.train.heat.room_c, -50.0, 100.0)?;
        Ok(())
    }

    /// On a ring what grows along the travel comes round again: a wedge is a wobble of the same height.
    pub(super) fn bend_round(&mut self) {
        let (turn_m, alignment) = (self.machine.travel, &mut self.alignment);
        if !self.machine.endless || alignment.wedge == 0.0 {
            return;
        }
        let height_m = (alignment.wedge * turn_m).clamp(-2e-3, 2e-3);
        let wobble = Waviness { amplitude_m: 0.5 * height_m.abs(), length_m: turn_m, phase_turns: -0.25 };
        let wobble = if height_m < 0.0 { Waviness { phase_turns: 0.25, ..wobble } } else { wobble };
        alignment.waves.push(wobble);
        alignment.pose.gap_m += 0.5 * height_m;
        alignment.wedge = 0.0;
    }

    /// Holds what settings and faults add up to inside what the model covers: a head can be put no further off than
    /// the table of the light reaches, however many things are wrong with it. Values inside stay as they are.
    pub(super) fn hold_in_range(&mut self) {
        let alignment = &mut self.alignment;
        let pose = &mut alignment.pose;
        pose.gap_m = pose.gap_m.clamp(alignment.gap_range_m.0, alignment.gap_range_m.1);
        for angle in [&mut pose.pitch_rad, &mut pose.roll_rad, &mut pose.yaw_rad] {
            *angle = angle.clamp(-ANGLE_MAX_RAD, ANGLE_MAX_RAD);
        }
        pose.lateral_m = pose.lateral_m.clamp(-20e-3, 20e-3);
        alignment.wedge = alignment.wedge.clamp(-0.01, 0.01);
        alignment.sag_m = alignment.sag_m.clamp(-2e-3, 2e-3);
        self.lamp.temperature_k = self.lamp.temperature_k.clamp(LAMP_K.0, LAMP_K.1);
        self.noise = self.noise.min(NOISE_MAX);
        let edge_v = &mut self.interference.inverter.edge_v;
        *edge_v = edge_v.min(EDGE_MAX_V);
    }
}

#[cfg(test)]
mod tests {
    use super::ParamError;
    use crate::fault::{Active, TABLE};
    use crate::names::{Kind, ROWS, Value};
    use crate::params::{Params, params_of};
    use crate::setup::{BenchId, Setup};
    use crate::surface::SurfaceMap;

    fn told(change: impl FnOnce(&mut Params)) -> String {
        let mut params = params_of(&Setup::healthy(BenchId::RouterGantry), &[], &SurfaceMap::default());
        change(&mut params);
        params.check().expect_err("no bench is like that").to_string()
    }

    #[test]
    fn what_no_bench_can_be_is_refused_by_name_value_and_range() {
        assert_eq!(
            told(|p| p.scale.period_m = -40e-6),
            "scale.period_m: -0.00004 is outside the allowed range 0.000004 to 0.0013"
        );
        assert_eq!(
            told(|p| p.alignment.pose.gap_m = 3e-3),
            "alignment: pose.gap_m: 0.003 is outside the allowed range 0 to 0.0022"
        );
        assert_eq!(
            told(|p| p.alignment.pose.gap_m = f64::NAN),
            "alignment: pose.gap_m: NaN is not a finite number; write a plain number such as 0"
        );
        assert_eq!(
            told(|p| p.noise = f64::INFINITY),
            "noise: inf is not a finite number; write a plain number such as 0"
        );
        assert_eq!(
            told(|p| p.lamp.temperature_k = 900.0),
            "lamp.temperature_k: 900 is outside the allowed range 233.15 to 398.15 (unit: K)"
        );
        assert_eq!(
            told(|p| p.interference.mains.hz = 0.0),
            "interference.mains.hz: 0 is outside the allowed range 40 to 70 (unit: Hz)"
        );
        assert_eq!(
            told(|p| p.supply.contact_ohm = -1.0),
            "supply.contact_ohm: -1 is outside the allowed range 0 to 1000"
        );
        assert_eq!(
            told(|p| p.square.hysteresis_v = -0.06),
            "square.hysteresis_v: -0.06 is outside the allowed range 0 to 10"
        );
        assert_eq!(told(|p| p.plant.mass_kg = 0.0), "plant.mass_kg: 0 is outside the allowed range 0.001 to 100000");
        assert_eq!(told(|p| p.sign = 0.5), "sign: 0.5 is outside the allowed range 1 to 1");
        assert!(told(|p| p.mark.light = -1.0).starts_with("mark.light: -1 is outside"));
        assert!(told(|p| p.wiring.terminals.bias_ohm = 0.0).starts_with("terminals.bias_ohm: 0 is outside"));
    }

    /// Every setting at both ends of its range, with every fault in: whatever people do, the bench is one that can be
    /// kept and opened again.
    #[test]
    fn nothing_that_can_be_set_or_broken_leads_out_of_range() {
        for bench in BenchId::ALL {
            let faults: Vec<Active> = TABLE.iter().map(|r| Active { id: r.id, severity: 1.0, at_m: 0.2 }).collect();
            let sound = |setup: &Setup, faults: &[Active], what: &str| {
                let result: Result<(), ParamError> = params_of(setup, faults, &SurfaceMap::default()).check();
                assert_eq!(result, Ok(()), "{what} on {bench:?}");
            };
            sound(&Setup::healthy(bench), &[], "health");
            for fault in &faults {
                sound(&Setup::healthy(bench), std::slice::from_ref(fault), fault.id.row().name);
            }
            for high_end in [false, true] {
                let mut all = Setup::healthy(bench);
                for row in &ROWS {
                    let value = match row.setting.kind_on(&all) {
                        Kind::Number { low, high, .. } => Value::Number(if high_end { high } else { low }),
                        Kind::Words(words) => Value::Word(words[if high_end { words.len() - 1 } else { 0 }].to_owned()),
                    };
                    let mut one = Setup::healthy(bench);
                    if row.setting.fits(&one, &value).is_err() {
                        continue;
                    }
                    row.setting.set(&mut one, &value).expect("an end of the range");
                    row.setting.set(&mut all, &value).expect("an end of the range");
                    sound(&one, &[], row.name);
                    sound(&one, &faults, row.name);
                }
                sound(&all, &[], "all settings");
                sound(&all, &faults, "all settings and faults");
            }
        }
    }
}
