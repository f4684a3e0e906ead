//! Changing the fault changes the reading: every check of every case is held against the same machine with another fault
//! in it. No pair of case and check is exempt; where a machine has nothing that a check could read, it has to say so.

use diagnosis::measure::{Measured, measure};
use diagnosis::outcome::outcome_of;
use diagnosis::{Baseline, Check};
use lessons::callout::{Case, read};
use sim_core::bench::Sim;
use sim_core::fault::{Active, FaultId as F};
use sim_core::scale::housing::Housing;
use sim_core::setup::Setup;
use std::fmt::Write as _;

/// Faults that are put in instead of the hidden one, each at full severity. The check must see one of them at least on
/// every machine; the others are for cases that hide what reads the same.
fn probes(check: Check) -> &'static [F] {
    match check {
        Check::Traverse => &[F::SoftLimitWrong, F::SignWrong],
        Check::AmplitudeScan | Check::ScopeDrive | Check::ScopeHead => &[F::WindowFilm, F::NoisySignal, F::GapWedge],
        Check::Figure => &[F::ChannelOffset, F::WindowFilm],
        Check::Rest => &[F::NoisySignal, F::ScreenOpen],
        Check::Supply => &[F::SupplyThin, F::WindowFilm],
        Check::Ohms => &[F::ConductorOpen, F::ConductorShort, F::SupplyThin],
        Check::ScreenPath => &[F::ScreenOpen, F::WindowFilm],
        Check::Flex => &[F::FlexBreak, F::WindowFilm],
        Check::Lamp => &[F::OilFilm, F::MissingLines],
        Check::GapGauge => &[F::GapNarrow, F::GapWedge],
        Check::CurrentScan => &[F::GibTight, F::SignWrong, F::RatioWrong],
        Check::Compare => &[F::TapeStretch, F::ScrewCyclic],
        Check::LoopValues => &[F::KvHigh, F::FilterLong],
        Check::HomeTest => &[F::MarkDirty, F::ZeroNotTaught, F::BracketLoose],
        Check::Indicator => &[F::SignWrong, F::BracketLoose, F::PlayCompWrong],
        Check::MainsCycle => &[F::BatteryFlat, F::BrakeWorn, F::BrakeSlow],
        Check::Housing => &[F::PurgeLost, F::LipsWorn],
        Check::SwapInput => &[F::InputDamaged, F::WindowFilm],
        Check::SwapCable => &[F::ConductorOpen, F::ConductorShort, F::WindowFilm],
    }
}

/// Whether a machine has nothing that the check could read, told by the machine itself.
fn has_no_such_thing(check: Check, healthy: &Sim) -> bool {
    let params = healthy.params();
    match check {
        Check::Housing => !matches!(params.housing, Housing::Enclosed { .. }),
        // Nothing hangs that could sink, and nothing keeps a place that could be lost: every place is homed for.
        Check::MainsCycle => {
            let keeps = params.zero.absolute || (params.zero.motor_feedback && params.zero.multiturn);
            params.machine.mechanics.incline == 0.0 && !keeps
        }
        _ => false,
    }
}

fn bench(setup: &Setup, faults: &[Active]) -> Sim {
    let mut sim = Sim::start(setup.clone(), 1, 0.25 * setup.machine().spec().travel);
    sim.put_in(faults);
    sim
}

fn full(id: F, setup: &Setup) -> Active {
    let at_m = if id.row().has_place { 0.4 * setup.machine().spec().travel } else { 0.0 };
    Active { id, severity: 1.0, at_m }
}

/// Whether two measurements differ by more than their figures resolve.
fn differ(one: &Measured, other: &Measured) -> bool {
    one.stopped != other.stopped
        || one.figures.len() != other.figures.len()
        || one
            .figures
            .iter()
            .any(|figure| other.get(figure.name).is_none_or(|value| (value - figure.value).abs() > figure.resolution))
}

/// A machine with what its checks read with the probes in; cases on the same machine share it.
struct Probed {
    setup: Setup,
    baseline: Baseline,
    /// For each check its probes with what is measured; empty where the machine has no such thing.
    probes: Vec<(Check, Vec<(F, Measured)>)>,
}

impl Probed {
    fn of(setup: &Setup, told: &mut String) -> Self {
        let baseline = Baseline::of(setup);
        let healthy = bench(setup, &[]);
        let mut all = Vec::new();
        for check in Check::all() {
            let none = has_no_such_thing(check, &healthy);
            let measured: Vec<(F, Measured)> = probes(check)
                .iter()
                .filter(|id| id.fits(setup))
                .map(|id| (*id, measure(check, &mut bench(setup, &[full(*id, setup)]))))
                .collect();
            if none {
                let last = check.row().outcomes.len() as u8 - 1;
                if measured.iter().any(|(_, measured)| outcome_of(check, measured, &baseline) != last) {
                    let _ = writeln!(told, "{check:?} says something that {:?} has not", setup.machine());
                }
                all.push((check, vec![]));
                continue;
            }
            let usual = baseline.get(check);
            let seen = |measured: &Measured| {
                outcome_of(check, measured, &baseline) != outcome_of(check, usual, &baseline) && differ(measured, usual)
            };
            if !measured.iter().any(|(_, measured)| seen(measured)) {
                let _ = writeln!(told, "{check:?} on {:?} sees none of {:?}", setup.machine(), probes(check));
            }
            all.push((check, measured));
        }
        Self { setup: setup.clone(), baseline, probes: all }
    }
}

#[test]
fn another_fault_is_another_reading_in_every_case_and_every_check() {
    let cases: Vec<Case> =
        lessons::cases().map(|(id, text)| read(id, text).unwrap_or_else(|why| panic!("{why}"))).collect();
    let (mut told, mut machines, mut covered) = (String::new(), Vec::<Probed>::new(), 0);
    for case in &cases {
        let setup = case.setup();
        if !machines.iter().any(|machine| machine.setup == setup) {
            machines.push(Probed::of(&setup, &mut told));
        }
        let machine = machines.iter().find(|machine| machine.setup == setup).unwrap();
        let hidden = bench(&setup, &case.draw(1));
        for (check, probes) in &machine.probes {
            let found = measure(*check, &mut hidden.clone());
            let ok = if has_no_such_thing(*check, &hidden) {
                let outcome = outcome_of(*check, &found, &machine.baseline);
                usize::from(outcome) + 1 == check.row().outcomes.len()
            } else {
                probes.iter().any(|(_, probe)| differ(&found, probe))
            };
            if ok {
                covered += 1;
            } else {
                let _ = writeln!(told, "{} {check:?}: {found:?} and with {probes:?}", case.id);
            }
        }
    }
    println!(
        "{covered} pairs of {} cases and {} checks on {} machines",
        cases.len(),
        Check::all().count(),
        machines.len()
    );
    assert!(told.is_empty(), "{told}");
    assert_eq!(covered, cases.len() * Check::all().count());
}
