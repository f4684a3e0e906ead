//! Homing of a healthy axis from places near its switch: the stop fits between switch and limit.

mod bench_rig;

use bench_rig::{give, steps};
use sim_core::bench::Sim;
use sim_core::record::Doing;
use sim_core::setup::{BenchId, Marks, Setup};

// Source: the jerk-limited stop, which is longest where the axis still gathers speed as it meets the switch. A healthy
// axis homes from every place, so that stop must fit between switch and limit. Common practice: dog longer than the stop.
#[test]
fn a_healthy_axis_homes_from_every_place_near_the_switch() {
    for bench in BenchId::ALL.into_iter().filter(|b| !Setup::healthy(*b).machine().spec().endless) {
        for tenths in -105..=-40 {
            if tenths % 5 != 0 && bench != BenchId::RouterGantry {
                continue;
            }
            let mut setup = Setup::healthy(bench);
            setup.scale.marks = Marks::Single;
            let mut sim = Sim::start(setup, 7, f64::from(tenths) * 1e-4);
            give(&mut sim, r#"{"power_cycle":{"off_s":5}}"#);
            give(&mut sim, r#"{"drive":"on"}"#);
            sim.advance(steps(0.05), &mut ());
            give(&mut sim, r#""home""#);
            let lowest_mm = lowest_until_holding(&mut sim);
            assert!(lowest_mm > -19.0, "{bench:?} from {} mm: {lowest_mm} mm", f64::from(tenths) / 10.0);
        }
    }
}

/// Runs until the axis holds, at most a minute; the lowest place of its table, mm.
fn lowest_until_holding(sim: &mut Sim) -> f64 {
    let mut lowest_m = f64::INFINITY;
    for _ in 0..steps(60.0) {
        sim.step(&mut ());
        lowest_m = lowest_m.min(sim.record().table_m);
        if sim.record().doing == Doing::Holding {
            return lowest_m * 1e3;
        }
    }
    panic!("still {:?} after a minute, at {} mm", sim.record().doing, sim.record().table_m * 1e3);
}
