//! Homing, soft limits and refused orders in the closed loop.

mod axis_rig;

use axis_rig::Rig;
use sim_core::axis::machine::MachineId::{self, MillX};
use sim_core::axis::machine::ReferenceScheme;
use sim_core::axis::motion::MotionCommand;
use sim_core::axis::{AxisCommand, AxisError, DriveMode};
use sim_core::monitor::MonitorKind;

#[test]
fn homing_finds_the_mark_from_anywhere() {
    // Machines with a switch; an absolute encoder needs no search and a mark on the turn has none to begin at.
    let none = |id: &MachineId| matches!(id.spec().reference, ReferenceScheme::Absolute | ReferenceScheme::MarkPerTurn);
    for id in MachineId::ALL.into_iter().filter(|id| !none(id)) {
        for start in [0.12, 0.0003, -0.009, -0.015] {
            let mut rig = Rig::cold(id, start);
            rig.order(AxisCommand::SwitchOn);
            rig.run(0.01);
            rig.order(AxisCommand::Home);
            rig.run(16.0);
            assert!(rig.s.referenced(), "{id:?} from {start}: {:?}", rig.s.homing);
            assert_eq!(rig.s.mode, DriveMode::Holding);
            // Readout and true place agree at the mark, within the half count of the head.
            let x_fb = rig.s.x_feedback(&rig.p, rig.count);
            assert!((x_fb - rig.s.plant.x).abs() <= 0.51 * rig.q, "{id:?} {x_fb} {}", rig.s.plant.x);
            assert!(rig.s.plant.x.abs() <= rig.q, "{id:?} {}", rig.s.plant.x);
            let lost = rig.p.plant.lost_motion(rig.p.plant.table_dry_n(0.0, 0.0));
            assert!((rig.s.x_motor(&rig.p) - rig.s.plant.x).abs() <= rig.q.max(4e-6) + lost);
            assert_eq!(rig.events, [], "{id:?} from {start}");
        }
    }
}

#[test]
fn homing_fails_with_a_reason() {
    let mut rig = Rig::cold(MillX, 0.1);
    rig.order(AxisCommand::SwitchOn);
    rig.mark = false;
    rig.order(AxisCommand::Home);
    rig.run(25.0);
    assert!(format!("{:?}", rig.s.homing.state).contains("NoMark"), "{:?}", rig.s.homing);
    assert_eq!((rig.s.mode, rig.s.referenced()), (DriveMode::Holding, false));
    let mut rig = Rig::cold(MillX, 0.1);
    rig.order(AxisCommand::SwitchOn);
    rig.p.switch_stuck = Some(true);
    rig.order(AxisCommand::Home);
    rig.run(4.0);
    assert!(format!("{:?}", rig.s.homing.state).contains("SwitchNotReleased"), "{:?}", rig.s.homing);
}

#[test]
fn soft_limit_stops_the_path_before_the_end() {
    let mut rig = Rig::ready(MillX, 0.4);
    rig.jog(0.25);
    rig.run(2.0);
    assert_eq!(rig.kinds(), [MonitorKind::SoftLimit]);
    assert_eq!(rig.s.mode, DriveMode::Holding);
    assert!(rig.s.plant.x < 0.505 && rig.s.plant.x > 0.503, "{}", rig.s.plant.x);
    rig.jog(-0.25);
    rig.run(0.5);
    assert!(rig.s.plant.x < 0.45);
}

#[test]
fn orders_that_do_not_fit_are_refused() {
    let mut rig = Rig::cold(MillX, 0.1);
    let input = sim_core::axis::AxisInput::default();
    let jog = |speed| AxisCommand::Motion { command: MotionCommand::Jog { speed } };
    let err = rig.s.command(&rig.p, &input, jog(0.02)).unwrap_err();
    assert_eq!(err, AxisError::NotReady { mode: DriveMode::Off });
    rig.order(AxisCommand::SwitchOn);
    assert_eq!(rig.s.command(&rig.p, &input, jog(0.06)), Err(AxisError::NotReferenced));
    let mut rig = Rig::ready(MillX, 0.1);
    let far = AxisCommand::Motion { command: MotionCommand::MoveTo { target: 0.6, speed: 0.1 } };
    let err = rig.s.command(&rig.p, &input, far).unwrap_err();
    assert!(err.to_string().contains("must be between -0.005 and 0.505"), "{err}");
}
