//! The axis as a loop against python-control: margins, answers to a step and a ramp, following error over speed.

// The closed loop of the model's own tests: real path, servo, encoder and two-mass plant, ideal counts.
#[path = "../../sim-core/tests/axis_train/mod.rs"]
mod axis_train;

use axis_train::Train;
use serde::Deserialize;
use sim_core::axis::STEP;
use sim_core::axis::friction::StribeckParams;
use sim_core::axis::loop_shape::{LoopShape, margins};
use sim_core::axis::machine::FeedbackSource;
use sim_core::axis::machine::MachineId;
use sim_core::axis::machine::rotary_table::RADIUS;
use sim_core::axis::motion::Motion;
use sim_core::axis::profile::MotionLimits;
use system_tests::table::{Differences, read};

/// Length of a unit of a table, m: the rotary table's are in rad.
fn unit(id: MachineId) -> f64 {
    if id == MachineId::RotaryTable { RADIUS } else { 1.0 }
}

#[derive(Deserialize)]
struct MarginRow {
    machine: MachineId,
    speed_phase_deg: f64,
    speed_phase_rad_s: f64,
    speed_first_deg: f64,
    speed_gain_db: f64,
    speed_gain_hz: f64,
    place_phase_deg: f64,
    place_phase_rad_s: f64,
    place_first_deg: f64,
    place_gain_db: f64,
    place_gain_hz: f64,
}

// Source: python-control, stability_margins (axis_margins.csv).
#[test]
fn margins_of_every_machine() {
    let mut differences = Differences::default();
    for row in read::<MarginRow>("axis_margins") {
        let shape = LoopShape::from_spec(&row.machine.spec());
        let speed = margins(|w| shape.velocity_open(w));
        let place = margins(|w| shape.position_open(w));
        let (sp, sg, pp, pg) = (
            speed.phase.unwrap_or_default(),
            speed.gain.unwrap_or_default(),
            place.phase.unwrap_or_default(),
            place.gain.unwrap_or_default(),
        );
        for (what, model, reference) in [
            ("speed, phase", sp.0, row.speed_phase_deg),
            ("speed, at rad/s", sp.1, row.speed_phase_rad_s),
            ("speed, first phase", speed.first_phase.unwrap_or_default().0, row.speed_first_deg),
            ("speed, gain", sg.0, row.speed_gain_db),
            ("speed, at Hz", sg.1, row.speed_gain_hz),
            ("place, phase", pp.0, row.place_phase_deg),
            ("place, at rad/s", pp.1, row.place_phase_rad_s),
            ("place, first phase", place.first_phase.unwrap_or_default().0, row.place_first_deg),
            ("place, gain", pg.0, row.place_gain_db),
            ("place, at Hz", pg.1, row.place_gain_hz),
        ] {
            // The library finds its crossings on a spline through 40 000 points.
            differences.compare(format!("{:?} {what}", row.machine), model, reference, 1e-4 * reference.abs());
        }
    }
    differences.none();
}

/// A machine without dry friction, play and weight, its counts so fine that they do not matter, at rest at 0.
fn linear(id: MachineId) -> Train {
    let mut t = Train::holding(id, 0.0);
    t.p.body.guide = StribeckParams { sliding_n: 0.0, breakaway_n: 0.0, stribeck_speed: 1.0 };
    (t.p.body.other_dry_n, t.p.motor_dry_nm, t.p.body.outside_n, t.p.backlash) = (0.0, 0.0, 0.0, 0.0);
    t.fine_counts();
    t
}

#[derive(Deserialize)]
struct AnswerRow {
    machine: MachineId,
    t_s: f64,
    step: f64,
    ramp_error_s: f64,
}

// Source: python-control, forced_response of the continuous loop (axis_answers.csv). The model samples: a step that falls
// on a tick of both loops is taken at once, while the dead times of the reference hold for the mean between two ticks, so
// the model is half a period of each loop early. Counted in, 0.6 % of the step remain at most. The ramp's feed-forward also
// begins on a tick, which cannot be counted in for a sum of two paths: up to 0.8 % of 1/Kv remain.
#[test]
fn answer_to_a_step_and_a_ramp() {
    let mut differences = Differences::default();
    let rows = read::<AnswerRow>("axis_answers");
    for id in MachineId::ALL.into_iter().filter(|id| *id != MachineId::TeachingRail) {
        let (size, speed) = (20e-6, 1e-3);
        let mut step = linear(id);
        step.motion = Motion::at_rest(size);
        let mut ramp = linear(id);
        ramp.limits = MotionLimits { acceleration: 1e9, jerk: 1e15, ..ramp.limits };
        ramp.jog(speed);
        // The commanded place has moved by one period at its first tick: the ramp began one period before.
        let tick = ramp.servo_p.position_period;
        let early = 0.5 * (tick + ramp.servo_p.velocity_period);
        let (mut at, mut steps_done, mut ramp_done) = (0.0, 0u64, 0u64);
        for row in rows.iter().filter(|r| r.machine == id) {
            let wanted = (row.t_s / STEP).round() as u64;
            at += 1.0;
            let what = format!("{id:?} at {:.4} s", row.t_s);
            // Half a step of it lies between two places.
            let fine = (row.t_s - early).max(0.0) / STEP;
            while steps_done < fine.floor() as u64 {
                step.step();
                steps_done += 1;
            }
            let place = step.loop_place() + (fine - fine.floor()) * STEP * step.loop_speed();
            differences.compare(format!("{what}, step"), place / size, row.step, 0.007);
            let before = (tick / STEP).round() as u64;
            if wanted < before {
                continue;
            }
            while ramp_done < wanted - before {
                ramp.step();
                ramp_done += 1;
            }
            let error = speed * row.t_s - ramp.loop_place();
            let largest = 1.0 / ramp.servo_p.kv;
            differences.compare(format!("{what}, ramp"), error / speed, row.ramp_error_s, 0.01 * largest);
        }
        assert!(at > 50.0, "{id:?} has no rows");
    }
    differences.none();
}

#[derive(Deserialize)]
struct FollowingRow {
    machine: MachineId,
    speed: f64,
    error: f64,
}

// Source: python-control, far end of a ramp (axis_following.csv): friction, play, weight and counts do not change it.
// Tolerance two counts of the feedback.
#[test]
fn following_error_over_speed() {
    let mut differences = Differences::default();
    for row in read::<FollowingRow>("axis_following") {
        let (id, scale) = (row.machine, unit(row.machine));
        let mut t = Train::holding(id, 0.0);
        t.jog(row.speed * scale);
        t.run(1.2);
        let (mut sum, mut n) = (0.0, 0.0);
        t.run_with(0.2, |t| {
            sum += t.servo.error;
            n += 1.0;
        });
        let count = if t.feedback == FeedbackSource::Motor { t.servo_p.motor_count() } else { t.q };
        differences.compare(format!("{id:?} at {}", row.speed), sum / n, row.error * scale, 2.0 * count);
    }
    differences.none();
}
