//! The inspections on healthy and on broken benches.

use super::{count_return, play, rest, scan};
use crate::bench::Sim;
use crate::bench::command::{Break, Command, Percent, PlaceMm};
use crate::fault::FaultId;
use crate::setup::{BenchId, Setup};

fn mill(fault: Option<(FaultId, f64, f64)>) -> Sim {
    let mut sim = Sim::start(Setup::healthy(BenchId::SmallMill), 5, 0.1);
    if let Some((fault, percent, at_mm)) = fault {
        let severity_percent = Percent::nearest(percent);
        let command = Command::Break(Break { fault, severity_percent, at_mm: Some(PlaceMm::nearest(at_mm)) });
        sim.command(&command).unwrap();
    }
    sim
}

fn value(figures: &[super::Figure], name: &str) -> f64 {
    figures.iter().find(|f| f.name == name).unwrap_or_else(|| panic!("{name}: {figures:?}")).value
}

// Source: axis model V54 (textbook): MX at 0.05 m/s takes 0.4394 A up and as much down, nothing hangs.
#[test]
fn a_scan_of_the_healthy_mill_finds_its_friction_and_nothing_else() {
    let mut sim = mill(None);
    let scan = scan::scan(&mut sim, 0.05, 0.25, 0.05);
    assert_eq!(scan.stopped, None);
    let figures = scan.figures(5e-3);
    assert!((value(&figures, "friction_a") - 0.4394).abs() < 0.02, "{figures:?}");
    assert!(value(&figures, "weight_a").abs() < 0.02, "{figures:?}");
    // v/Kv = 0.05/33.333 = 1.5 mm.
    assert!((value(&figures, "error_mm") - 1.5).abs() < 0.01, "{figures:?}");
    assert!(value(&figures, "bump_up_a") < 0.2 && value(&figures, "mismatch_um_per_m").abs() < 5.0, "{figures:?}");
}

#[test]
fn a_tight_spot_shows_in_the_current_both_ways_and_not_in_the_signal() {
    let mut sim = mill(Some((FaultId::DragSpot, 30.0, 150.0)));
    let figures = scan::scan(&mut sim, 0.05, 0.25, 0.05).figures(5e-3);
    assert!(value(&figures, "bump_up_a") > 3.0 && value(&figures, "bump_down_a") > 3.0, "{figures:?}");
    assert!(value(&figures, "weakest_v") > 0.45, "{figures:?}");
}

#[test]
fn a_smear_shows_in_the_signal_and_not_in_the_current() {
    let mut sim = mill(Some((FaultId::TapeSmear, 60.0, 150.0)));
    let figures = scan::scan(&mut sim, 0.05, 0.25, 0.05).figures(5e-3);
    assert!(value(&figures, "weakest_v") < 0.3, "{figures:?}");
    assert!(value(&figures, "bump_up_a") < 0.5, "{figures:?}");
}

#[test]
fn an_axis_that_is_stopped_says_by_what() {
    let mut sim = mill(Some((FaultId::DragSpot, 100.0, 150.0)));
    let scan = scan::scan(&mut sim, 0.05, 0.25, 0.05);
    let stopped = scan.stopped.as_ref().expect("a spot that the motor cannot pass");
    assert!(stopped.to_string().contains("Following error"), "{stopped}");
    assert!(scan.figures(5e-3).is_empty());
}

#[test]
fn healthy_counts_come_back_and_the_indicator_finds_no_play_in_scale_loop() {
    let mut sim = mill(None);
    let [out, back] = count_return::figures(&mut sim, 0.05, 0.2, 0.1).unwrap();
    assert!(out.value.abs() < 3e-3 && back.value.abs() < 3e-3, "{out:?} {back:?}");
    let play = play::figure(&mut sim, 0.1, 0.05).unwrap();
    assert!(play.value.abs() <= 3.0, "{play:?}");
}

#[test]
fn at_rest_the_supply_is_found_where_it_is_measured() {
    let mut sim = mill(Some((FaultId::SupplyThin, 80.0, 0.0)));
    let figures = rest::figures(&mut sim).unwrap();
    assert_eq!(value(&figures, "supply_at_drive_v"), 5.0);
    assert!(value(&figures, "supply_at_head_v") < 4.75, "{figures:?}");
    assert!(value(&figures, "slid_um").abs() < 1.0);
    let [low, middle, high] = rest::gaps(&mill(Some((FaultId::GapWedge, 100.0, 0.0))));
    assert!(low.value < middle.value && middle.value < high.value);
}
