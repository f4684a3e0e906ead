//! The texts are complete, well formed, and carry the cautions that their work asks for.

use super::{Caution, DEFER, Kind, Parts, SERVICES, Service, service_of};
use crate::fault::TABLE;
use std::collections::BTreeSet;

/// What a technician has to be able to look up, in the order of the catalogue; others may stand between.
const ORDER: &str = "tape-smear tape-scratch window-film purge-lost coolant-drop chip-on-tape condensation source-aged \
    source-flicker gap-wide gap-wedge gap-rub head-yaw head-tilt tape-lift tape-stretch disc-eccentric disc-dirt \
    channel-offset mark-dirty mark-false stray-light bracket-loose scale-loose coupling-slip encoder-coupling \
    nut-worn bearing-play screw-cyclic drive-slack drag-spot dry-guide gib-tight cover-catch brake-drag \
    brake-worn brake-slow balance-lost screw-growth clamp-on dog-moved conductor-open flex-break pairs-swapped \
    axis-plugs-swapped supply-thin plug-wet screen-open power-cable-near termination-missing switch-worn \
    switch-wire battery-flat bus-sag input-damaged bandwidth-low edge-limit counter-narrow code-bits \
    phase-missing commutation-off current-limit-low kv-halved kv-high feed-forward-off ratio-wrong sign-wrong \
    filter-long mark-near-switch mismatch-tight soft-limit-wrong play-comp-wrong zero-not-taught";

fn texts(service: &Service) -> impl Iterator<Item = &'static str> {
    [service.cause, service.remedy].into_iter().chain(service.seen.iter().chain(service.tells).copied())
}

/// Every service whose work is of some sort has the caution against it.
fn demand(caution: Caution, why: &str, needs: impl Fn(&Service) -> bool) {
    let concerned: Vec<&Service> = SERVICES.iter().filter(|s| needs(s)).collect();
    assert!(!concerned.is_empty(), "no service has anything to do with \"{why}\"");
    let without = concerned.iter().filter(|s| !s.cautions.contains(&caution)).map(|s| s.name);
    let without: Vec<&str> = without.collect();
    assert!(without.is_empty(), "{why}, so {} is missing at: {}", caution.name(), without.join(", "));
}

fn any_of(text: &str, words: &[&str]) -> bool {
    let text = text.to_lowercase();
    words.iter().any(|word| text.contains(word))
}

#[test]
fn names_are_unique_and_in_files_alphabet() {
    let names: BTreeSet<&str> = SERVICES.iter().map(|s| s.name).collect();
    assert_eq!(names.len(), SERVICES.len());
    for name in names {
        let plain = name.split('-').all(|part| !part.is_empty() && part.chars().all(|c| c.is_ascii_lowercase()));
        assert!(plain, "{name}");
        assert_eq!(service_of(name).map(|s| s.name), Some(name));
    }
    assert_eq!(service_of("ff-off"), None);
}

#[test]
fn every_fault_of_the_bench_has_its_service() {
    let missing: Vec<&str> = TABLE.iter().map(|row| row.name).filter(|name| service_of(name).is_none()).collect();
    assert!(missing.is_empty(), "write the service side in fault/service/ of: {}", missing.join(", "));
    for row in &TABLE {
        assert_eq!(service_of(row.name).and_then(Service::row).map(|r| r.id), Some(row.id));
    }
}

#[test]
fn the_catalogue_is_complete_and_in_order() {
    let mut names = SERVICES.iter().map(|s| s.name);
    for name in ORDER.split_whitespace() {
        assert!(names.any(|n| n == name), "{name} is missing or out of order");
    }
    assert!(SERVICES.is_sorted_by_key(|s| s.kind));
    assert!(Kind::ALL.iter().all(|kind| SERVICES.iter().any(|s| s.kind == *kind)));
}

#[test]
fn texts_are_whole_sentences() {
    let all = SERVICES.iter().flat_map(|s| texts(s).map(move |text| (s.name, text)));
    let cautions = Caution::ALL.iter().map(|c| (c.name(), c.text()));
    for (name, text) in all.chain(cautions).chain([("the closing sentence", DEFER)]) {
        assert!(text.ends_with('.') && !text.ends_with(".."), "{name}: {text}");
        assert!(!text.contains("  ") && !text.contains('\n') && text.trim() == text, "{name}: {text}");
        assert!(text.starts_with(|c: char| c.is_uppercase() || c.is_ascii_digit()), "{name}: {text}");
        assert!((20..=260).contains(&text.chars().count()), "{name}: {text}");
        assert!(!any_of(text, &["e.g", "i.e", "etc.", "approx", "xy ", " ref "]), "{name}: {text}");
    }
    for service in &SERVICES {
        assert!((1..=4).contains(&service.seen.len()), "{}", service.name);
        assert!((2..=5).contains(&service.tells.len()), "{}", service.name);
        let distinct: BTreeSet<&str> = texts(service).collect();
        assert_eq!(distinct.len(), texts(service).count(), "{}", service.name);
    }
}

#[test]
fn no_two_causes_are_told_alike() {
    let causes: BTreeSet<&str> = SERVICES.iter().map(|s| s.cause).collect();
    assert_eq!(causes.len(), SERVICES.len());
    // The evidence of one cause is never all of another's, or nothing would tell them apart.
    for (n, a) in SERVICES.iter().enumerate() {
        for b in &SERVICES[n + 1..] {
            assert!(a.tells != b.tells, "{} and {}", a.name, b.name);
        }
    }
}

#[test]
fn minutes_and_parts_are_sensible() {
    for service in &SERVICES {
        assert!((5..=240).contains(&service.minutes) && service.minutes % 5 == 0, "{}", service.name);
        if service.kind == Kind::Parameter {
            assert_eq!(service.parts, Parts::None, "{}", service.name);
        }
        if any_of(service.remedy, &["replace the head"]) {
            assert!(service.parts >= Parts::P3 && service.minutes >= 50, "{}", service.name);
        }
    }
    // The classes meet without a gap.
    let all = [Parts::P1, Parts::P2, Parts::P3, Parts::P4];
    for pair in all.windows(2) {
        assert_eq!(pair[0].range().1, Some(pair[1].range().0));
    }
}

#[test]
fn cautions_are_there_in_order_and_each_once() {
    assert!(Caution::ALL.is_sorted_by(|a, b| a < b));
    for service in &SERVICES {
        assert!(!service.cautions.is_empty(), "{}", service.name);
        assert!(service.cautions.is_sorted_by(|a, b| a < b), "{}", service.name);
    }
    for caution in Caution::ALL {
        assert!(SERVICES.iter().any(|s| s.cautions.contains(&caution)), "{} is never used", caution.name());
    }
}

#[test]
fn work_on_what_can_fall_supports_it() {
    let falls = ["brake", "counterbalance", "coupling between", "motor shaft", "nut of the"];
    demand(Caution::HangingAxis, "a load can fall", |s| {
        s.kind != Kind::Parameter && any_of(s.cause, &falls)
            || any_of(s.remedy, &["brake", "counterbalance", "before the drive is enabled"])
    });
    for name in ["brake-drag", "brake-worn", "brake-slow", "balance-lost", "encoder-coupling", "phase-missing"] {
        assert!(service_of(name).is_some_and(|s| s.cautions.contains(&Caution::HangingAxis)), "{name}");
    }
}

#[test]
fn electrical_work_is_done_dead() {
    demand(Caution::LivePlug, "a plug comes off", |s| {
        s.kind == Kind::Electrical
            && (any_of(s.remedy, &["plug", "cable or", "the cable with", "conductor", "wire", "termination", "screen"])
                && s.name != "power-cable-near"
                || texts(s).any(|t| any_of(t, &["ohmmeter", "cable off"])))
    });
    let parts = [
        "replace the head",
        "replace the motor encoder",
        "replace the encoder",
        "replace the card",
        "replace the switch",
    ];
    demand(Caution::LivePlug, "a part with a plug is replaced", |s| any_of(s.remedy, &parts));
    demand(Caution::LockOut, "parts are changed or cleaned", |s| {
        s.kind != Kind::Parameter && any_of(s.remedy, &["replace", "clean", "tighten", "shim", "mend the"])
    });
    demand(Caution::LiveMeasuring, "somebody measures under voltage", |s| {
        texts(s).any(|t| any_of(t, &["authorised person", "measured live"]))
    });
    demand(Caution::Static, "a card or a head is changed", |s| any_of(s.remedy, &["the card", "replace the head"]));
}

#[test]
fn optical_work_minds_light_glass_and_solvents() {
    demand(Caution::LightSource, "the light can meet an eye", |s| {
        s.kind == Kind::Optical && (any_of(s.cause, &["light source", "light from"]) || any_of(s.remedy, &["window"]))
    });
    demand(Caution::Glass, "a scale is handled", |s| any_of(s.remedy, &["the tape or the scale", "the scale at its"]));
    demand(Caution::Solvent, "something is cleaned", |s| any_of(s.remedy, &["clean the", "clean it", "clean and"]));
    demand(Caution::Pressure, "air or gas is under pressure", |s| {
        any_of(s.cause, &["purge air", "sealing lips", "counterbalance", "clamp of the rotary"])
    });
}

#[test]
fn parameters_are_saved_and_motion_is_guarded() {
    demand(Caution::SaveParameters, "a parameter is changed", |s| s.kind == Kind::Parameter && s.minutes <= 10);
    demand(Caution::MovingAxis, "an indicator is read in motion", |s| {
        s.kind == Kind::Mechanical
            && s.tells.iter().any(|t| any_of(t, &["at reversal"]))
            && any_of(s.cause, &["play", "loose"])
    });
    demand(Caution::MovingAxis, "a cable is bent in motion", |s| s.name == "flex-break");
}
