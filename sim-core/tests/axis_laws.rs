//! Laws of the closed loop.

mod axis_rig;

use axis_rig::{Head, Rig};
use proptest::prelude::*;
use sim_core::axis::machine::MachineId;
use sim_core::axis::motion::MotionCommand;
use sim_core::axis::{AxisCommand, AxisInput, AxisState, StopKind};

fn any_command() -> impl Strategy<Value = AxisCommand> {
    let motion = prop_oneof![
        any::<f64>().prop_map(|speed| MotionCommand::Jog { speed }),
        (-0.5f64..0.5).prop_map(|speed| MotionCommand::Jog { speed }),
        (-0.1f64..0.7, 0.0f64..0.5).prop_map(|(target, speed)| MotionCommand::MoveTo { target, speed }),
        (0.0f64..0.5, 0.0f64..0.5, 0.01f64..0.3, 0.0f64..0.2)
            .prop_map(|(from, to, speed, dwell_s)| MotionCommand::Shuttle { from, to, speed, dwell_s }),
        Just(MotionCommand::Stop),
    ];
    prop_oneof![
        Just(AxisCommand::SwitchOn),
        Just(AxisCommand::SwitchOff),
        Just(AxisCommand::Home),
        Just(AxisCommand::Reset),
        motion.clone().prop_map(|command| AxisCommand::Motion { command }),
        motion.prop_map(|command| AxisCommand::Motion { command }),
    ]
}

fn any_head() -> impl Strategy<Value = Head> {
    prop_oneof![
        Just(Head::Ideal),
        Just(Head::Frozen),
        Just(Head::OneSensor),
        (0.0f64..0.5).prop_map(|x| Head::Patch(x, x + 0.01)),
    ]
}

fn give(rig: &mut Rig, command: AxisCommand) {
    let input = AxisInput { scale_count: rig.count, latched: None };
    let before = rig.s.clone();
    if rig.s.command(&rig.p, &input, command).is_err() {
        assert_eq!(rig.s, before, "a refused order changes nothing");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    // Law: whatever is ordered and whatever the head does, the state stays finite, the table stays
    // between its stops (and their spring), the current within its peak.
    #[test]
    fn any_orders_leave_a_finite_state(
        id in prop::sample::select(MachineId::ALL.to_vec()),
        list in prop::collection::vec((any_command(), any_head(), 1u32..4000), 1..12),
        reversed: bool,
    ) {
        let mut rig = Rig::ready(id, 0.2);
        if reversed {
            rig.p.servo.motor_sign = -1.0;
        }
        for (command, head, steps) in list {
            rig.head = head;
            give(&mut rig, AxisCommand::SwitchOn);
            give(&mut rig, command);
            for _ in 0..steps {
                rig.step();
                let s = &rig.s;
                let all = [s.plant.x, s.plant.v, s.plant.current, s.servo.error, s.servo.expected_error,
                           s.servo.v_ref, s.servo.current, s.servo.estimate.omega, s.motion.x_ref(), s.motion.v_cmd()];
                prop_assert!(all.iter().all(|x| x.is_finite()), "{s:?}");
                prop_assert!(s.plant.current.abs() <= rig.p.plant.body.peak_current + 1e-9);
                let [low, high] = rig.p.plant.body.stops;
                prop_assert!(s.plant.x > low - 0.05 && s.plant.x < high + 0.05, "{}", s.plant.x);
            }
        }
    }

    // Law: saved and restored in the middle, the run goes on with the same bits.
    #[test]
    fn resumes_with_the_same_bits(steps in 1u32..30_000) {
        let mut a = Rig::ready(MachineId::MillX, 0.1);
        a.motion(MotionCommand::Shuttle { from: 0.12, to: 0.15, speed: 0.1, dwell_s: 0.05 });
        for _ in 0..steps {
            a.step();
        }
        let text = serde_json::to_string(&a.s).unwrap();
        let restored: AxisState = serde_json::from_str(&text).unwrap();
        prop_assert_eq!(&restored, &a.s);
        let mut b = Rig::ready(MachineId::MillX, 0.1);
        b.s = restored;
        b.watch = serde_json::from_str(&serde_json::to_string(&a.watch).unwrap()).unwrap();
        b.count = a.count;
        for _ in 0..2000 {
            a.step();
            b.step();
        }
        prop_assert_eq!(serde_json::to_string(&a.s).unwrap(), serde_json::to_string(&b.s).unwrap());
    }

    // Law: every stop ends at rest with the torque off or the axis held.
    #[test]
    fn every_stop_ends_at_rest(id in prop::sample::select(MachineId::ALL.to_vec()), v in -0.2f64..0.2, which in 0u8..3) {
        let mut rig = Rig::ready(id, 0.25);
        let most = rig.p.limits.speed;
        rig.jog(v.clamp(-most, most));
        rig.run(0.3);
        let stop = [StopKind::OnPath, StopKind::Controlled, StopKind::TorqueOff][usize::from(which)];
        rig.s.react(&rig.p, stop);
        rig.run(1.5);
        prop_assert_eq!(rig.s.plant.v, 0.0);
        prop_assert_eq!(rig.s.powered(), stop == StopKind::OnPath);
    }
}
