//! Views of the machine and of the head over the scale.

use super::Lab;
use crate::draw::view::{CodeView, DirtView, DriveDrawing, FieldView, HeadView, Lies, MachineView};
use sim_core::axis::machine::MachineId;
use sim_core::record::Doing;
use sim_core::scale::GratingType;
use sim_core::surface::{Segment, SurfaceGains};

/// Names of the fields: four phases, or two windows.
const FOUR: [&str; 4] = ["A+", "B+", "A\u{2212}", "B\u{2212}"];
const TWO: [&str; 2] = ["A", "B"];

impl Lab {
    pub(super) fn dirt(&self) -> Vec<DirtView> {
        let passes = f64::from(self.sim().params().scale.grating_type.passes());
        let left = |s: &Segment| s.lines * ((-s.mu_t).exp() * (1.0 - s.scatter)).powf(passes);
        let segments = self.sim().params().surface.segments().iter();
        segments
            .map(|s| DirtView { from_m: s.from_m, to_m: s.to_m, blocked: 1.0 - left(s) })
            .filter(|d| d.blocked > 0.02)
            .collect()
    }

    /// The axis from the side.
    pub fn machine_view(&self) -> MachineView {
        let (params, shown) = (self.sim().params(), self.shown());
        let (mechanics, home) = (&params.machine.mechanics, &params.machine.home);
        let nominal = params.scale.gap_nominal_m;
        // A table that turns for ever is drawn on its turn.
        let turns_m = params.whole_turns_m(shown.table_m);
        MachineView {
            travel_m: params.machine.travel,
            stops_m: (mechanics.stop_low, mechanics.stop_high),
            home_switch_m: home.switch_at,
            home_pressed: shown.home_switch,
            mark_m: home.mark_at,
            table_m: shown.table_m - turns_m,
            command_m: shown.command_m - turns_m,
            counted_m: shown.counted_m - turns_m,
            count_m: params.metres_per_count(),
            speed_mps: shown.speed_mps,
            drive: match self.sim().bench().setup.machine() {
                MachineId::MillX | MachineId::MillZ | MachineId::RouterGantryZ => DriveDrawing::Screw,
                MachineId::RotaryTable => DriveDrawing::Ring,
                MachineId::TeachingRail | MachineId::RouterGantryX => DriveDrawing::Rack,
            },
            dirt: self.dirt(),
            gap_ends: (params.gap_at(0.0) / nominal, params.gap_at(params.machine.travel) / nominal),
            light: shown.light * shown.contrast,
            tripped: matches!(shown.doing, Doing::Tripped | Doing::Stopping),
            healthy_m: shown.command_m - shown.expected_m - turns_m,
            ghost: self.compares(),
            lies: if params.machine.endless {
                Lies::Turning
            } else if mechanics.incline != 0.0 {
                Lies::Hanging
            } else {
                Lies::Level
            },
        }
    }

    /// The head over the scale.
    pub fn head_view(&self) -> HeadView {
        let (params, shown) = (self.sim().params(), self.shown());
        let scale = &params.scale;
        let names: &[&'static str] = if scale.fields.len() == 2 { &TWO } else { &FOUR };
        let fields = scale.fields.iter().take(4).enumerate().map(|(k, field)| FieldView {
            name: names[k],
            x_m: field.x_m,
            y_m: field.y_m,
            length_m: field.length_m,
            height_m: field.height_m,
            lit: shown.lit[k],
            current_a: shown.photocurrent_a[k],
            used: params.two_sensors || k % 2 == 0,
        });
        let near_m = 30.0 * scale.period_m.max(1e-3);
        let relative = |d: DirtView| DirtView { from_m: d.from_m - shown.table_m, to_m: d.to_m - shown.table_m, ..d };
        HeadView {
            period_m: scale.period_m,
            duty: scale.duty,
            transmissive: scale.grating_type == GratingType::Transmissive,
            x_m: shown.table_m,
            // As set, not as of the last step: the dimension follows the hand also while the model stands.
            gap_m: params.gap_at(shown.table_m),
            gap_nominal_m: scale.gap_nominal_m,
            gap_range_m: (scale.gap_min_m, scale.gap_max_m),
            tilt_rad: params.alignment.pose.pitch_rad,
            yaw_rad: params.alignment.pose.yaw_rad,
            lamp: shown.light,
            contrast: shown.contrast,
            fields: fields.collect(),
            dirt: self.dirt().into_iter().map(relative).filter(|d| d.to_m > -near_m && d.from_m < near_m).collect(),
            sharp: self.sharp(),
            haze: self.haze_at(params.read_m(shown.table_m, 0.0)),
            window: params.window_light(),
            code: self.code_near(shown.table_m),
            ring_m: params.machine.endless.then(|| params.machine.travel / std::f64::consts::TAU),
            squared: params.squared(),
            ghost: self.watchers().instruments.settings.compare,
        }
    }

    /// Depth of the light pattern that gap, tilt and yaw leave, against the healthy head: a field's swing over its
    /// mean, without dirt.
    fn sharp(&self) -> f64 {
        let clean = [SurfaceGains::CLEAN; 4];
        let depth = |(swing_a, mean_a): (f64, f64)| if mean_a > 0.0 { swing_a / mean_a } else { 0.0 };
        let healthy = depth(self.healthy.optics().field_swing_a(0, &clean));
        let now = depth(self.sim().compiled().optics.field_swing_a(0, &clean));
        if healthy > 0.0 { (now / healthy).clamp(0.0, 1.0) } else { 0.0 }
    }

    /// Share of the light that the dirt at a place on the scale scatters on its passes.
    fn haze_at(&self, x_m: f64) -> f64 {
        let passes = f64::from(self.sim().params().scale.grating_type.passes());
        let here = self.sim().params().surface.segments().iter().filter(|s| (s.from_m..=s.to_m).contains(&x_m));
        here.map(|s| (-s.mu_t * passes).exp() * (1.0 - (1.0 - s.scatter).powf(passes))).fold(0.0, f64::max)
    }

    /// The code track under the head, where there is one.
    fn code_near(&self, table_m: f64) -> Option<CodeView> {
        const AROUND: i64 = 40;
        let track = self.sim().compiled().code.as_ref()?.track();
        let (cell_m, origin_m) = track.cells_m();
        let x_m = self.sim().params().read_m(table_m, 0.0);
        let under = ((x_m - origin_m) / cell_m).floor();
        let first = under as i64 - AROUND;
        Some(CodeView {
            cell_m,
            from_m: origin_m + first as f64 * cell_m - x_m,
            bits: (first..=under as i64 + 2 * AROUND).map(|cell| track.sequence().bit(cell)).collect(),
            read: (AROUND as usize, track.sequence().word_bits() as usize),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn view(id: &str) -> HeadView {
        let shipped = lessons::shipped_by_name(id).unwrap();
        let mut lab = Lab::new(id, lessons::read(id, shipped.text).unwrap());
        lab.clock.pause_at_alarm = false;
        lab.advance((0.3 / 50e-6) as u64);
        lab.head_view()
    }

    #[test]
    fn the_close_up_suits_what_the_bench_has_and_what_ails_it() {
        let healthy = view("healthy-mill");
        assert!(healthy.transmissive && healthy.ring_m.is_none() && healthy.code.is_none());
        assert!(healthy.sharp > 0.999 && healthy.haze == 0.0 && healthy.window > 0.999, "{healthy:?}");
        assert!(view("gap-too-wide").sharp < 0.95, "a wide gap blurs the pattern");
        assert!(view("film-on-window").window < 0.95, "the film takes light");
        let ring = view("rotary-table");
        // 360 mm of lines a turn: the radius of that circle.
        assert!((ring.ring_m.unwrap() - 0.36 / std::f64::consts::TAU).abs() < 1e-12);
        let coded = view("code-dirty").code.expect("a code track");
        assert!(coded.from_m < 0.0 && coded.bits.len() > coded.read.0 + coded.read.1);
        let bright = coded.bits.iter().filter(|b| **b).count();
        assert!(bright > 10 && bright < coded.bits.len() - 10, "both kinds of cells");
        // The head reads the cell that it is over.
        let under_m = coded.from_m + coded.read.0 as f64 * coded.cell_m;
        assert!(under_m <= 0.0 && under_m > -coded.cell_m * (1.0 + 1e-9), "{under_m}");
    }
}
