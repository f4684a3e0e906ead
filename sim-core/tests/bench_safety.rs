//! Making the machine safe and ready again: what is dead, what still moves, what is remembered, and that a bench on which
//! nobody did any of it is kept as it always was.

mod bench_rig;

use bench_rig::{Log, command, give, healthy, kept, resumed, steps};
use sim_core::bench::Sim;
use sim_core::bench::command::SafetyAct;
use sim_core::event::{Hands, What};
use sim_core::record::Doing;
use sim_core::setup::BenchId;

fn act(sim: &mut Sim, name: &str) {
    give(sim, &format!("{{\"safety\":\"{name}\"}}"));
}

fn refused(sim: &mut Sim, json: &str) -> String {
    let before = kept(sim);
    let why = sim.command(&command(json)).expect_err(json);
    assert_eq!(kept(sim), before, "{json} was refused and yet changed something");
    why
}

fn lock_out(sim: &mut Sim) {
    act(sim, "switch-off");
    sim.advance(steps(0.5), &mut ());
    if sim.hangs() {
        act(sim, "prop");
    }
    act(sim, "isolate");
    act(sim, "lock");
    act(sim, "try-start");
    sim.advance(steps(5.0), &mut ());
    act(sim, "verify-dead");
}

fn told(sim: &mut Sim) -> Vec<Hands> {
    let mut log = Log::default();
    sim.step(&mut log);
    log.0.into_iter().filter_map(|event| if let What::Hands(hands) = event.what { Some(hands) } else { None }).collect()
}

/// Source: order of 29 CFR 1910.147(d): shut down, isolate, lock, stored energy, verify (from memory).
#[test]
fn a_machine_that_is_locked_out_is_dead_and_comes_back_without_its_zero() {
    let mut sim = healthy(BenchId::SmallMill, 150.0);
    assert!(sim.record().amplitude_a_v > 0.3 && sim.link_v() > 300.0);
    lock_out(&mut sim);
    assert!(sim.locked_out());
    let r = sim.record();
    assert_eq!((r.doing, r.head_supply_v, r.amplitude_a_v), (Doing::Off, 0.0, 0.0));
    assert!(sim.link_v() < 60.0);
    let place_m = r.table_m;
    for order in [r#"{"jog":{"direction":"forward","speed_m_per_min":1}}"#, r#""home""#, r#"{"drive":"on"}"#] {
        assert!(refused(&mut sim, order).contains("isolated; take the lock off"));
    }
    assert!(refused(&mut sim, r#"{"safety":"switch-on"}"#).contains("locked"));
    act(&mut sim, "unlock");
    act(&mut sim, "switch-on");
    sim.advance(steps(0.1), &mut ());
    let r = sim.record();
    assert!(r.amplitude_a_v > 0.3 && !r.referenced && r.doing == Doing::Off && r.table_m == place_m);
    give(&mut sim, r#"{"drive":"on"}"#);
    give(&mut sim, r#""home""#);
    sim.advance(steps(60.0), &mut ());
    assert!(sim.record().referenced);
}

/// What comes back after the disconnector is what comes back after a power cycle as long as the shop's clock says.
#[test]
fn coming_back_is_what_a_power_cycle_leaves() {
    let mut by_hand = healthy(BenchId::SmallMill, 150.0);
    act(&mut by_hand, "switch-off");
    act(&mut by_hand, "isolate");
    act(&mut by_hand, "switch-on");
    let mut by_cycle = healthy(BenchId::SmallMill, 150.0);
    give(&mut by_cycle, r#"{"drive":"off"}"#);
    give(&mut by_cycle, r#"{"power_cycle":{"off_s":60}}"#);
    assert_eq!(by_hand.bench().state.axis, by_cycle.bench().state.axis);
    assert_eq!(by_hand.bench().state.counter, by_cycle.bench().state.counter);
    assert_eq!(by_hand.record(), by_cycle.record());
}

#[test]
fn who_measures_too_early_finds_the_dc_link() {
    let mut sim = healthy(BenchId::RouterGantry, 500.0);
    act(&mut sim, "switch-off");
    act(&mut sim, "isolate");
    act(&mut sim, "lock");
    act(&mut sim, "try-start");
    sim.advance(steps(1.0), &mut ());
    assert!(refused(&mut sim, r#"{"look":"ohm"}"#).contains("DC link still holds"));
    act(&mut sim, "verify-dead");
    let found = told(&mut sim);
    assert!(matches!(found.last(), Some(Hands::Measured { mains: false, dead: false, link_v }) if *link_v > 60.0));
    assert!(!sim.bench().state.safety.stands(SafetyAct::VerifyDead));
    sim.advance(steps(5.0), &mut ());
    act(&mut sim, "verify-dead");
    assert!(sim.locked_out());
}

#[test]
fn acts_out_of_their_order_are_possible_where_a_person_can_do_them_and_are_noted() {
    let mut sim = healthy(BenchId::SmallMill, 150.0);
    assert!(refused(&mut sim, r#"{"safety":"lock"}"#).contains("closed disconnector"));
    act(&mut sim, "switch-off");
    // The start is answered, for nobody has isolated yet.
    act(&mut sim, "try-start");
    assert!(matches!(told(&mut sim).last(), Some(Hands::Tried { answered: true, isolated: false })));
    assert_eq!(sim.record().doing, Doing::Holding);
    act(&mut sim, "isolate");
    assert!(matches!(told(&mut sim).last(), Some(Hands::Isolated { drive_was_on: true })));
    act(&mut sim, "lock");
    sim.advance(steps(5.0), &mut ());
    act(&mut sim, "verify-dead");
    act(&mut sim, "try-start");
    let safety = &sim.bench().state.safety;
    assert!(safety.stands(SafetyAct::VerifyDead) && !sim.locked_out());
    let acts: Vec<bool> = safety.done().iter().map(|done| done.stood).collect();
    assert_eq!(acts, [true, false, true, true, true, true]);
    // An ohmmeter asks for a dead machine, not for good manners.
    give(&mut sim, r#"{"look":"ohm"}"#);
}

#[test]
fn a_moving_axis_runs_out_when_the_disconnector_opens() {
    let mut sim = healthy(BenchId::RouterGantry, 500.0);
    give(&mut sim, r#"{"jog":{"direction":"forward","speed_m_per_min":20}}"#);
    sim.advance(steps(1.0), &mut ());
    let (at_m, counted_m) = (sim.record().table_m, sim.record().counted_m);
    assert!(refused(&mut sim, r#"{"safety":"switch-off"}"#).contains("stop the axis"));
    act(&mut sim, "isolate");
    let r = *sim.record();
    assert!(r.table_m > at_m + 2e-3 && r.speed_mps == 0.0, "{} mm", (r.table_m - at_m) * 1e3);
    assert_eq!(r.counted_m, counted_m, "nothing counts without power");
}

/// A worn brake lets the head down when the power goes; on the prop it stays.
#[test]
fn a_hanging_table_needs_its_prop() {
    let worn = |propped: bool| {
        let mut sim = healthy(BenchId::MillHead, 100.0);
        give(&mut sim, r#"{"break":{"fault":"brake-worn","severity_percent":100}}"#);
        let from_m = sim.record().table_m;
        if propped {
            give(&mut sim, r#"{"mend":"brake-worn"}"#);
            act(&mut sim, "switch-off");
            sim.advance(steps(0.5), &mut ());
            act(&mut sim, "prop");
            give(&mut sim, r#"{"break":{"fault":"brake-worn","severity_percent":100}}"#);
        }
        act(&mut sim, "isolate");
        sim.advance(steps(1.0), &mut ());
        (from_m - sim.record().table_m, sim)
    };
    let (fell_m, _) = worn(false);
    let (held_m, mut sim) = worn(true);
    assert!(fell_m > 1e-3 && held_m.abs() < 1e-4, "{fell_m} {held_m}");
    act(&mut sim, "switch-on");
    assert!(refused(&mut sim, r#"{"drive":"on"}"#).contains("prop"));
    act(&mut sim, "prop-out");
    give(&mut sim, r#"{"drive":"on"}"#);
    let mut level = healthy(BenchId::SmallMill, 100.0);
    assert!(refused(&mut level, r#"{"safety":"prop"}"#).contains("does not hang"));
    let mut hanging = healthy(BenchId::MillHead, 100.0);
    assert!(refused(&mut hanging, r#"{"safety":"prop"}"#).contains("switch the drive off"));
    lock_out(&mut hanging);
    assert!(hanging.locked_out());
}

#[test]
fn an_untouched_bench_is_kept_without_the_block_and_a_touched_one_goes_on() {
    let mut sim = healthy(BenchId::SmallMill, 150.0);
    assert!(!kept(&sim).contains("safety") && !kept(&sim).contains("flexing"));
    lock_out(&mut sim);
    let mut again = resumed(&kept(&sim));
    assert!(again.locked_out() && again.record().head_supply_v == 0.0);
    for sim in [&mut sim, &mut again] {
        act(sim, "unlock");
        act(sim, "switch-on");
        sim.advance(500, &mut ());
    }
    assert_eq!(kept(&sim), kept(&again));
}

#[test]
fn the_ohmmeter_finds_what_lasts_and_the_tool_finds_what_sleeps() {
    let mut sim = healthy(BenchId::RouterGantry, 300.0);
    give(&mut sim, r#"{"break":{"fault":"flex-break","severity_percent":80,"at_mm":1100}}"#);
    give(&mut sim, r#"{"break":{"fault":"contact-poor","severity_percent":50}}"#);
    assert!(refused(&mut sim, r#"{"look":"ohm"}"#).contains("needs a dead machine"));
    give(&mut sim, r#"{"flex":{"from_mm":900,"to_mm":1300}}"#);
    assert!(refused(&mut sim, r#"{"move_by":{"by_mm":5,"speed_m_per_min":1}}"#).contains("being bent"));
    let mut log = Log::default();
    sim.advance(steps(9.0), &mut log);
    let flexed =
        log.0.iter().find_map(|e| if let What::Hands(h @ Hands::Flexed { .. }) = &e.what { Some(h) } else { None });
    let Some(Hands::Flexed { dropouts, between_m: Some((first, last)), .. }) = flexed else { panic!("{flexed:?}") };
    assert!(*dropouts > 2 && *first >= 1.069 && *last <= 1.131, "{flexed:?}");
    lock_out(&mut sim);
    let before = kept(&sim);
    give(&mut sim, r#"{"look":"ohm"}"#);
    assert_eq!(kept(&sim), before, "a look changes nothing");
    let words = told(&mut sim).last().map(Hands::words).unwrap_or_default();
    assert!(words.contains("B+ 30") && !words.contains("no passage"), "{words}");
    assert!(refused(&mut sim, r#"{"look":"meter-supply"}"#).contains("power"));
    // The new cable takes both away.
    give(&mut sim, r#"{"replace":"cable"}"#);
    assert!(sim.faults().is_empty());
    act(&mut sim, "unlock");
    act(&mut sim, "switch-on");
    assert!(refused(&mut sim, r#"{"replace":"head"}"#).contains("dead machine"));
    give(&mut sim, r#"{"look":"meter-supply"}"#);
    assert!(told(&mut sim).last().map(Hands::words).unwrap_or_default().contains("V at the drive"));
}
