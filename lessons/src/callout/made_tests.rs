use super::*;
use crate::callout::{Remedy, read};
use diagnosis::{Check, family_of};
use sim_core::fault::FaultId;
use std::fmt::Write as _;

fn fault(id: FaultId, severity: f64, at_m: f64) -> Active {
    Active { id, severity, at_m }
}

fn baseline(bench: BenchId) -> Rc<Baseline> {
    Rc::new(Baseline::of(&Setup::healthy(bench)))
}

/// Whatever a case says, its par path mends it, and its words do not tell its cause.
fn holds(case: &Case, baseline: &Rc<Baseline>) -> Visit {
    let mut visit = Visit::arrive(&Rc::new(case.clone()), baseline, SEED);
    script::expert(&mut visit).unwrap_or_else(|why| panic!("{}: {why}", case.id));
    assert_eq!(visit.proof(), Some(true), "{case:?}");
    assert!(visit.done().iter().all(|done| done.hazards.is_empty()), "{case:?}");
    assert!(zero_is_right(&visit) && visit.sim().faults().is_empty(), "{case:?}");
    assert!(!visit.done().iter().any(super::super::visit::Done::wasted_part), "{case:?}");
    let checks = visit.done().iter().filter(|done| done.reading.is_some());
    assert!(checks.count() >= 1, "{case:?}");
    // What a case file cannot say cannot be handed on.
    let text = text_of(case);
    let again = read(&case.id, &text).unwrap_or_else(|why| panic!("{why}\n{text}"));
    assert_eq!(&again, case);
    let said: String = case.statements.iter().map(|s| s.answer.as_str()).collect();
    let words = format!("{} {} {said}", case.title, case.order).to_lowercase();
    for hidden in &case.hidden {
        let row = hidden.fault.row();
        assert!(!words.contains(row.name) && !words.contains(&row.title.to_lowercase()), "{words}");
    }
    visit
}

fn told(case: &Case) -> String {
    let mut text = format!("{}\n{}\n{}\n", case.id, case.title, case.order);
    for statement in &case.statements[..2] {
        let _ = writeln!(text, "- {}", statement.answer);
    }
    for hidden in &case.hidden {
        let (name, percent, mm) = (hidden.fault.row().name, hidden.severity.0 * 100.0, hidden.at_m.0 * 1e3);
        let _ = writeln!(text, "! {name} {percent:.0} % {mm:.0} mm");
    }
    let names: Vec<&str> = case.proof.iter().map(|check| check.row().name).collect();
    let par: Vec<String> = case.par.iter().map(ToString::to_string).collect();
    let _ = writeln!(text, "proof {}\n{}", names.join(", "), par.join(", "));
    text
}

/// The same for ever: a class may have written a number down.
#[test]
fn chance_makes_cases_that_are_found_and_put_right() {
    let mut text = String::new();
    for bench in [BenchId::RouterGantry, BenchId::SmallMill, BenchId::MillHead] {
        let baseline = baseline(bench);
        for level in Level::ALL {
            for seed in [2, 4] {
                let case = random_on(&baseline, bench, level, seed, None).unwrap();
                holds(&case, &baseline);
                text.push_str(&told(&case));
                text.push('\n');
            }
        }
    }
    insta::assert_snapshot!(text);
}

#[test]
fn the_lift_and_the_rotary_table_have_cases_too() {
    for bench in [BenchId::GantryLift, BenchId::RotaryTable] {
        let baseline = baseline(bench);
        let case = random_on(&baseline, bench, Level::Any, 3, None).unwrap();
        holds(&case, &baseline);
        assert_eq!(case, random(bench, Level::Any, 3, None).unwrap());
    }
}

/// With a table the way goes by what a check tells a minute.
#[test]
fn with_a_table_the_way_ends_when_the_cause_is_believed() {
    let causes = [FaultId::WindowFilm, FaultId::GapWide, FaultId::TapeSmear, FaultId::ChannelOffset, FaultId::KvHalved];
    let checks = [Check::AmplitudeScan, Check::Figure, Check::Lamp, Check::GapGauge, Check::LoopValues];
    let bench = BenchId::RouterGantry;
    let table = Table::build_of(&bench.into(), &causes, 4, &checks, &mut |_| {});
    let baseline = baseline(bench);
    let faults = [fault(FaultId::KvHalved, 0.8, 0.0), fault(FaultId::WindowFilm, 0.8, 0.0)];
    for faults in [&faults[..1], &faults[1..]] {
        let case = hide(SettingList::default(), bench, faults, "", "", Some(&table)).unwrap();
        let visit = holds(&case, &baseline);
        let mut belief = diagnosis::Belief::before(&table);
        let family = family_of(faults[0].id);
        for done in visit.done() {
            assert!(belief.share_of(family) < 0.8 || done.reading.is_none(), "read on: {}", told(&case));
            if let Some(reading) = &done.reading {
                belief.take(reading.check, reading.outcome);
            }
        }
        assert!(belief.share_of(family) >= 0.8, "{}", told(&case));
    }
    let other = random(BenchId::SmallMill, Level::Clear, 1, Some(&table)).unwrap_err();
    assert!(other.contains("another machine (router-gantry)"), "{other}");
}

#[test]
fn what_an_instructor_hides_is_mended_inside_one_lockout() {
    let bench = BenchId::RouterGantry;
    let faults = [fault(FaultId::GapWide, 0.9, 0.0), fault(FaultId::KvHalved, 0.9, 0.0)];
    let case = hide(SettingList::default(), bench, &faults, " Mine ", "Go there. ", None).unwrap();
    assert_eq!((case.title.as_str(), case.order.as_str(), case.level), ("Mine", "Go there.", 4));
    assert!(case.id.starts_with("hidden-") && case.id.len() == 15);
    holds(&case, &baseline(bench));
    let of = |line: &str| case.par.iter().filter(|act| act.to_string() == line).count();
    assert_eq!((of("lock"), of("unlock"), of("remedy regap"), of("remedy values")), (1, 1, 1, 1));
    let place = |act: Act| case.par.iter().position(|other| *other == act).unwrap();
    assert!(place(Act::Remedy(Remedy::Regap)) < place(Act::Remedy(Remedy::Values)));
    // Rough numbers are put to whole per cent and millimetres, as the file has them.
    let rough = [fault(FaultId::TapeSmear, 0.87654, 1.234_567)];
    let case = hide(SettingList::default(), bench, &rough, "", "", None).unwrap();
    assert_eq!((case.hidden[0].severity, case.hidden[0].at_m), ((0.88, 0.88), (1.235, 1.235)));
    assert_eq!(case.draw(1), case.draw(99));
}

#[test]
fn what_cannot_be_hidden_is_told() {
    let on = |bench, faults: &[Active]| hide(SettingList::default(), bench, faults, "", "", None).unwrap_err();
    let gantry = |faults: &[Active]| on(BenchId::RouterGantry, faults);
    let smear = fault(FaultId::TapeSmear, 0.9, 1.0);
    let five = [
        smear,
        fault(FaultId::GapWide, 0.9, 0.0),
        fault(FaultId::KvHalved, 0.9, 0.0),
        fault(FaultId::OilFilm, 0.9, 0.0),
        fault(FaultId::SwitchWire, 0.9, 0.0),
    ];
    let long = hide(SettingList::default(), BenchId::RouterGantry, &[smear], &"a".repeat(121), "", None).unwrap_err();
    let errors = [
        gantry(&[]),
        gantry(&[fault(FaultId::TapeSmear, 0.0, 1.0)]),
        gantry(&five),
        gantry(&[smear, smear]),
        gantry(&[fault(FaultId::ClampOn, 0.9, 0.0)]),
        gantry(&[fault(FaultId::TapeSmear, 1.5, 1.0)]),
        gantry(&[fault(FaultId::ChannelOffset, 0.01, 0.0)]),
        on(BenchId::TeachingRail, &[smear]),
        long,
    ];
    insta::assert_snapshot!(errors.join("\n"));
}
