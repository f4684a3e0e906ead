//! The control's values, to be held beside the list of its commissioning.

use super::Figure;
use crate::axis::machine::FeedbackSource;
use crate::bench::Sim;

/// The values that decide how an axis behaves.
#[must_use]
pub fn figures(sim: &Sim) -> Vec<Figure> {
    let (p, axis) = (sim.params(), &sim.compiled().axis);
    let samples = p.control.filter.map_or(0.0, |filter| f64::from(filter.samples));
    let motor = p.machine.control.feedback == FeedbackSource::Motor;
    let mut figures = vec![
        Figure::new("kv_per_s", p.machine.control.kv, 1e-6),
        Figure::new("feed_forward", p.machine.control.kff, 1e-6),
        Figure::new("kp", p.machine.control.kp, 1e-9),
        Figure::new("peak_current_a", p.plant.peak_current, 1e-6),
        Figure::new("filter_samples", samples, 0.1),
        Figure::new("count_sign", p.sign, 0.1),
        Figure::new("count_ratio", p.control.count_ratio, 1e-9),
        Figure::new("play_compensation_um", p.control.play_comp_m * 1e6, 1e-3),
        Figure::new("comparison_mm", p.monitors.mismatch_m * 1e3, 1e-9),
        Figure::new("motor_loop", f64::from(u8::from(motor)), 0.1),
    ];
    let soft_mm = axis.soft_limits()[0] * 1e3;
    if soft_mm.is_finite() {
        figures.push(Figure::new("soft_limit_mm", soft_mm, 1e-6));
    }
    figures
}
