//! The fault catalogue, every entry of it: without severity nothing changes, at full severity the fault shows where it
//! must, and after its remedy the axis passes a clean proof run. And no two causes look the same, but for those that are
//! listed with the reason.

use std::collections::BTreeMap;

use sim_core::bench::Sim;
use sim_core::bench::command::Command;
use sim_core::fault::Active;
use sim_core::inspect::proof::{PROOFS, Proof};
use sim_core::inspect::remedy::{healthy_run, proof_run};
use sim_core::inspect::signatures::{ALIKE, signatures};
use sim_core::inspect::stand::Stand;
use sim_core::instrument::digest::Digest;

/// Runs `check` for every proof on all processors; what it found wrong.
fn for_every_fault(check: impl Fn(&Proof) -> Option<String> + Sync) -> Vec<String> {
    let next = std::sync::atomic::AtomicUsize::new(0);
    let wrong = std::sync::Mutex::new(Vec::new());
    let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                while let Some(proof) = PROOFS.get(next.fetch_add(1, std::sync::atomic::Ordering::Relaxed)) {
                    if let Some(why) = check(proof) {
                        wrong.lock().expect("no thread panicked").push(format!("{}: {why}", proof.name));
                    }
                }
            });
        }
    });
    wrong.into_inner().expect("no thread panicked")
}

#[test]
fn without_severity_the_run_is_the_healthy_one_to_the_bit() {
    let run = |stand: Stand, faults: &[Active]| {
        let mut sim = Sim::start(stand.setup(), 7, 0.1);
        sim.put_in(faults);
        let mut digest = Digest::default();
        sim.advance(2_000, &mut digest);
        let jog = serde_json::from_str(r#"{"jog":{"direction":"forward","speed_m_per_min":2}}"#).expect("a command");
        sim.command(&jog as &Command).expect("the axis can move");
        sim.advance(8_000, &mut digest);
        digest.hex()
    };
    let wrong = for_every_fault(|proof| {
        let none = proof.fault(0.0).expect("a fault of the catalogue");
        (run(proof.stand, &[none]) != run(proof.stand, &[])).then(|| "differs".to_owned())
    });
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn after_the_remedy_the_proof_run_is_clean() {
    let mut healthy: BTreeMap<Stand, _> = BTreeMap::new();
    for proof in PROOFS {
        healthy.entry(proof.stand).or_insert_with(|| healthy_run(proof).expect("a healthy bench passes"));
    }
    let wrong = for_every_fault(|proof| {
        let fault = proof.fault(1.0).expect("a fault of the catalogue");
        let found = match proof_run(proof, fault) {
            Ok(found) => found,
            Err(stopped) => return Some(stopped.to_string()),
        };
        let usual = &healthy[&proof.stand];
        let off: Vec<String> = found
            .iter()
            .zip(usual)
            .filter(|(found, usual)| (found.value - usual.value).abs() > usual.resolution)
            .map(|(found, usual)| format!("{} {} instead of {}", found.name, found.value, usual.value))
            .collect();
        (!off.is_empty() || found.len() != usual.len()).then(|| off.join(", "))
    });
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn every_fault_shows_where_it_must_and_no_two_look_the_same() {
    let all = signatures();
    assert_eq!(all.len(), PROOFS.len());
    let wrong: Vec<String> = all
        .iter()
        .zip(PROOFS)
        .filter(|(signature, proof)| signature.shifts.get(proof.reading) != Some(&proof.shift))
        .map(|(_, proof)| format!("{}: {} is not {:?}", proof.name, proof.reading, proof.shift))
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
    let listed = |a: &str, b: &str| {
        ALIKE.iter().any(|pair| (pair.one == a && pair.other == b) || (pair.one == b && pair.other == a))
    };
    let mut alike = Vec::new();
    for (i, one) in all.iter().enumerate() {
        for other in &all[i + 1..] {
            if one.looks_like(other) && !listed(one.name, other.name) {
                alike.push((one.name, other.name));
            }
        }
    }
    assert!(alike.is_empty(), "{alike:?}");
    // A pair that can be told apart has no place in the list.
    for pair in ALIKE {
        let of = |name: &str| all.iter().find(|s| s.name == name).unwrap_or_else(|| panic!("{name} is no fault"));
        assert!(of(pair.one).looks_like(of(pair.other)), "{} and {} can be told apart", pair.one, pair.other);
    }
}
