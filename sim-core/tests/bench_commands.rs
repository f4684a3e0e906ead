//! Law: no sequence of commands, sensible or not, makes the bench panic or its numbers infinite, and a command that is
//! refused leaves the bench as it was.

mod bench_rig;

use bench_rig::{Finite, command, give, healthy, kept, resumed, steps};
use proptest::prelude::*;
use sim_core::bench::command::{
    Age, Break, Command, Direction, DriveSwitch, Flex, Jog, Look, MoveBy, MoveTo, Part, PowerCycle, SafetyAct,
    SettingList, Shuttle, Smear, SmearWindow, Stretch, Wipe, WipeAllWith, WipeWindow,
};
use sim_core::chain::photo::WindowPart;
use sim_core::fault::{FaultId, TABLE};
use sim_core::names::{Kind, ROWS, Setting, Value};
use sim_core::numbers::Within;
use sim_core::setup::BenchId;
use sim_core::surface::Substance;
use sim_core::surface::wiping::Method;

fn within<const LO: i32, const HI: i32>() -> impl Strategy<Value = Within<LO, HI>> {
    let (low, high) = (f64::from(LO), f64::from(HI));
    prop_oneof![
        8 => low..=high,
        1 => Just(low),
        1 => Just(high),
        1 => Just(0.0_f64),
        1 => Just(1e-9),
    ]
    .prop_map(Within::nearest)
}

/// Places where short axes still have travel are hit more often.
fn place() -> impl Strategy<Value = Within<-100, 4000>> {
    prop_oneof![3 => (0.0..500.0).prop_map(Within::nearest), 1 => within()]
}

fn speed() -> impl Strategy<Value = Within<0, 60>> {
    prop_oneof![3 => (0.1..15.0).prop_map(Within::nearest), 1 => within()]
}

fn fault() -> impl Strategy<Value = FaultId> {
    (0..TABLE.len()).prop_map(|i| TABLE[i].id)
}

fn setting() -> impl Strategy<Value = (Setting, Value)> {
    (0..ROWS.len(), 0.0..=1.0_f64, 0..10_u8).prop_map(|(i, share, odd)| {
        let row = &ROWS[i];
        let value = match row.kind {
            _ if odd == 0 => Value::Word("nonsense".to_owned()),
            _ if odd == 1 => Value::Number(f64::NAN),
            _ if odd == 2 => Value::Number(-1e300),
            Kind::Number { low, high, whole, .. } => {
                let n = low + share * (high - low);
                Value::Number(if whole { n.round() } else { n })
            }
            Kind::Words(words) => Value::Word(words[(share * 0.999 * words.len() as f64) as usize].to_owned()),
        };
        (row.setting, value)
    })
}

/// Everything about dirt and time.
fn care() -> impl Strategy<Value = Command> {
    let substance = || prop::sample::select(Substance::ALL.to_vec());
    let method = || prop::sample::select(Method::ALL.to_vec());
    let part = prop_oneof![Just(WindowPart::Whole), Just(WindowPart::FrontEdge), Just(WindowPart::RearHalf)];
    let smear = (place(), place(), prop::option::of(within()), prop::option::of(substance()));
    prop_oneof![
        3 => (place(), place(), within()).prop_map(|(from, to, percent)| Command::Smear(Smear::blocking(from, to, percent))),
        4 => (smear, prop::option::of(within())).prop_map(|((from_mm, to_mm, blocked_percent, substance), strength_percent)| {
            Command::Smear(Smear { from_mm, to_mm, blocked_percent, substance, strength_percent })
        }),
        3 => (place(), place(), prop::option::of(method()))
            .prop_map(|(from_mm, to_mm, method)| Command::Wipe(Wipe { from_mm, to_mm, method })),
        1 => Just(Command::WipeAll),
        1 => method().prop_map(|method| Command::WipeAllWith(WipeAllWith { method })),
        1 => (place(), place()).prop_map(|(from_mm, to_mm)| Command::PickChips(Stretch { from_mm, to_mm })),
        2 => (substance(), within(), part).prop_map(|(substance, strength_percent, part)| {
            Command::SmearWindow(SmearWindow { substance, strength_percent, part })
        }),
        1 => prop::option::of(method()).prop_map(|method| Command::WipeWindow(WipeWindow { method })),
        2 => (within(), prop::option::of(within()))
            .prop_map(|(hours, dust_percent)| Command::Age(Age { hours, dust_percent })),
    ]
}

/// Everything that hands do at the machine; the acts that make it safe come often enough to stand together.
fn hands() -> impl Strategy<Value = Command> {
    use SafetyAct::{Prop, PropOut, SwitchOn, Unlock};
    let acts = [SafetyAct::IN_ORDER.to_vec(), vec![Prop, PropOut, Unlock, SwitchOn]].concat();
    prop_oneof![
        6 => prop::sample::select(acts).prop_map(Command::Safety),
        2 => prop::sample::select(Look::ALL.to_vec()).prop_map(Command::Look),
        1 => (place(), place()).prop_map(|(from_mm, to_mm)| Command::Flex(Flex { from_mm, to_mm })),
        1 => prop::sample::select(Part::ALL.to_vec()).prop_map(Command::Replace),
    ]
}

fn commands() -> impl Strategy<Value = Command> {
    let direction = prop_oneof![Just(Direction::Forward), Just(Direction::Back)];
    prop_oneof![
        4 => prop::collection::vec(setting(), 0..3).prop_map(|list| Command::Set(SettingList(list))),
        4 => (fault(), within(), prop::option::of(place()))
            .prop_map(|(fault, severity_percent, at_mm)| Command::Break(Break { fault, severity_percent, at_mm })),
        2 => fault().prop_map(Command::Mend),
        1 => Just(Command::MendAll),
        4 => care(),
        5 => hands(),
        4 => (direction, speed())
            .prop_map(|(direction, speed_m_per_min)| Command::Jog(Jog { direction, speed_m_per_min })),
        3 => (place(), speed()).prop_map(|(to_mm, speed_m_per_min)| Command::MoveTo(MoveTo { to_mm, speed_m_per_min })),
        3 => (within(), speed()).prop_map(|(by_mm, speed_m_per_min)| Command::MoveBy(MoveBy { by_mm, speed_m_per_min })),
        2 => (place(), place(), speed(), within()).prop_map(|(from_mm, to_mm, speed_m_per_min, dwell_s)| {
            Command::Shuttle(Shuttle { from_mm, to_mm, speed_m_per_min, dwell_s })
        }),
        2 => Just(Command::Stop),
        2 => Just(Command::Drive(DriveSwitch::On)),
        1 => Just(Command::Drive(DriveSwitch::Off)),
        3 => Just(Command::Acknowledge),
        2 => Just(Command::Home),
        1 => Just(Command::ZeroReadout),
        1 => within().prop_map(|off_s| Command::PowerCycle(PowerCycle { off_s })),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_sequence_of_commands_leaves_a_sound_bench(
        bench in prop::sample::select(BenchId::ALL.to_vec()),
        sequence in prop::collection::vec((commands(), 0..3000_u64), 1..25),
    ) {
        let mut sim = healthy(bench, 150.0);
        for (command, then) in sequence {
            let (before, record) = (kept(&sim), *sim.record());
            match sim.command(&command) {
                Err(why) => {
                    prop_assert!(kept(&sim) == before, "refused ({}) and yet changed: {:?}", why, command);
                    prop_assert_eq!(*sim.record(), record);
                    prop_assert!(why.len() > 10, "{:?}: {}", command, why);
                }
                // What a paused sheet shows is what it would show after going on from the kept bench.
                Ok(()) => {
                    let shown = *resumed(&kept(&sim)).record();
                    prop_assert_eq!(shown, *sim.record(), "record after {:?}", command);
                }
            }
            sim.advance(then, &mut Finite);
        }
        // A number that is not finite has no form in JSON, so this also asks that of the hidden state.
        prop_assert!(kept(&resumed(&kept(&sim))) == kept(&sim));
    }

    /// A command that was read from text and written again is the same command.
    #[test]
    fn commands_survive_being_written(wanted in commands()) {
        prop_assume!(!matches!(&wanted, Command::Set(list) if list.0.iter().any(|(s, v)| s.check(v).is_err())));
        prop_assume!(!matches!(&wanted, Command::Set(list) if list.0.len() > 1));
        let text = serde_json::to_string(&wanted).unwrap();
        prop_assert_eq!(command(&text), wanted);
    }
}

/// An alarm goes only by acknowledging it: switching the drive off and on again does not get past it.
#[test]
fn an_alarm_cannot_be_passed_by_switching_off_and_on() {
    let mut sim = healthy(BenchId::RouterGantry, 1400.0);
    give(&mut sim, r#"{"smear":{"from_mm":1450,"to_mm":1470,"blocked_percent":95}}"#);
    give(&mut sim, r#"{"jog":{"direction":"forward","speed_m_per_min":20}}"#);
    while !sim.record().alarm {
        sim.step(&mut ());
        assert!(sim.time_s() < 3.0, "no alarm");
    }
    give(&mut sim, r#"{"drive":"off"}"#);
    sim.advance(steps(1.0), &mut ());
    let refusal = sim.command(&command(r#"{"drive":"on"}"#));
    assert!(refusal.is_err(), "on again with the alarm standing");
    give(&mut sim, r#""acknowledge""#);
    assert!(!sim.record().alarm);
}
