//! Links: every scene comes back, and whatever becomes of the letters on their way is a scene or an answer in words.

use lessons::share::{LONGEST_LINK, ShareError, address_of, link_of, scene_of, scene_of_bench, short_link_of};
use lessons::{read, shipped};
use proptest::collection::vec;
use proptest::prelude::*;
use sim_core::bench::Sim;
use sim_core::bench::command::{Break, Command, Percent, PlaceMm, SettingList, Smear};
use sim_core::fault::TABLE;
use sim_core::names::{Kind, ROWS, Value};
use sim_core::num::random::Stream;
use sim_core::setup::{BenchId, Setup};
use sim_core::surface::Substance;

#[test]
fn every_shipped_scene_comes_back_from_its_link() {
    for shipped in shipped() {
        let scene = read(shipped.id, shipped.text).expect("a scene");
        let link = link_of(&scene);
        let again = scene_of(&link).unwrap_or_else(|e| panic!("{}: {e}", shipped.id));
        assert_eq!(again, scene, "{}", shipped.id);
        assert_eq!(link_of(&again), link, "{}", shipped.id);
        assert!(link.len() < 450, "{} takes {} letters", shipped.id, link.len());
    }
}

/// A link of version 1 that is out in the world. When this fails the links that people keep have become unreadable:
/// take the change back, or write a version 2.
#[test]
fn a_link_of_version_1_stays_readable() {
    let link = "1.QMt4JXWXyw2AIBBE71YxBRCDMRorsAFtQBM_N4-278z6QwNHCLDLEHb2PddriWskYLpdcNN-nXCnAqWCZeOj0AHYH4DPDfENBtj3QwHGFC3n6E56136OHYx6NVR8Z-hGMtYEU3F23G6UtK8UfpzYazDQNtsSs_g8Lc-lRPGVoqz9T4zGx0qjfnaksr_m0oTeUiVKpfwhNANfZQc";
    let scene = scene_of(link).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!((scene.title.as_str(), scene.bench, scene.seed), ("First look", BenchId::TeachingRail, 1));
    assert_eq!((scene.start_mm.get(), scene.steps.len()), (80.0, 1));
}

#[test]
fn whole_addresses_blanks_and_broken_lines_are_taken() {
    let shipped = lessons::shipped_by_name("wide-smear").expect("it is shipped");
    let scene = read("wide-smear", shipped.text).expect("a scene");
    let (link, address) = (link_of(&scene), address_of("http://127.0.0.1:8117/#bench=old", &link_of(&scene)));
    assert_eq!(address, format!("http://127.0.0.1:8117/#bench={link}"));
    let broken: String =
        address.chars().enumerate().flat_map(|(i, c)| [c, if i % 70 == 69 { '\n' } else { ' ' }]).collect();
    for text in [
        link.clone(),
        format!("#bench={link}"),
        format!("bench={link}"),
        format!("  {address}\r\n"),
        broken,
        format!("<{address}>."),
    ] {
        assert_eq!(scene_of(&text).as_ref(), Ok(&scene), "{text}");
    }
}

#[test]
fn each_kind_of_damage_is_named_with_its_remedy() {
    let shipped = lessons::shipped_by_name("wide-smear").expect("it is shipped");
    let link = link_of(&read("wide-smear", shipped.text).expect("a scene"));
    let refused = |text: &str| scene_of(text).expect_err(text);
    for text in ["", "hello", "#", "https://example.org/", "0.abc", "x.abc"] {
        assert_eq!(refused(text), ShareError::NotALink, "{text}");
    }
    assert_eq!(refused(&link.replacen("1.", "2.", 1)), ShareError::Newer { found: 2 });
    assert!(refused("1.AAAA").to_string().contains("cut off"));
    assert!(refused(&link[..link.len() - 9]).to_string().contains("cut off"));
    assert!(matches!(refused(&link.replacen("1.", "1.%", 1)), ShareError::Letter { letter: '%', place: 1 }));
    let swapped = format!("{}{}", &link[..10], link[10..].replacen(link.as_bytes()[10] as char, "_", 1));
    assert!(matches!(refused(&swapped), ShareError::Damaged | ShareError::CutOff));
    assert!(matches!(refused(&format!("1.{}", "A".repeat(LONGEST_LINK))), ShareError::TooLong { .. }));
    assert!(matches!(refused(&"A".repeat(1 << 20)), ShareError::TooLong { .. }));
    let told = refused(&link[..link.len() - 9]).to_string();
    assert!(told.contains("To mend it: copy the whole link again"), "{told}");
}

/// A bench on which a few things were done.
fn handled() -> impl Strategy<Value = Sim> {
    let bench = (0..BenchId::ALL.len()).prop_map(|i| BenchId::ALL[i]);
    let number = (0..ROWS.len(), 0.0..1.0_f64);
    let fault = (0..TABLE.len(), 0.0..=100.0_f64, 0.0..1.0_f64);
    let smear = (0..Substance::ALL.len(), 0.0..1.0_f64, 1.0..4.0_f64, 1.0..100.0_f64);
    (bench, any::<u32>(), 0.0..1.0_f64, vec(number, 0..8), vec(fault, 0..6), vec(smear, 0..3)).prop_map(
        |(bench, seed, place, numbers, faults, smears)| {
            let setup = Setup::healthy(bench);
            let travel_mm = setup.machine().spec().travel * 1e3;
            let mut sim = Sim::start(setup, seed, place * travel_mm * 1e-3);
            let at = |share: f64| PlaceMm::nearest((share * travel_mm * 1e3).round() / 1e3);
            for (row, share) in numbers {
                let value = match &ROWS[row].kind {
                    Kind::Number { low, high, whole, .. } => {
                        let value = low + share * (high - low);
                        Value::Number(if *whole { value.round() } else { value })
                    }
                    Kind::Words(words) => Value::Word(words[(share * words.len() as f64) as usize].to_owned()),
                };
                // A bench refuses what it does not have; then nothing changes.
                let _ = sim.command(&Command::Set(SettingList(vec![(ROWS[row].setting, value)])));
            }
            for (row, severity, share) in faults {
                let severity_percent = Percent::nearest(severity);
                let _ = sim.command(&Command::Break(Break {
                    fault: TABLE[row].id,
                    severity_percent,
                    at_mm: Some(at(share)),
                }));
            }
            for (substance, share, length_mm, strength) in smears {
                let (from_mm, to_mm) = (at(share), PlaceMm::nearest(at(share).get() + length_mm));
                let _ = sim.command(&Command::Smear(Smear {
                    from_mm,
                    to_mm,
                    blocked_percent: None,
                    substance: Some(Substance::ALL[substance]),
                    strength_percent: Some(Percent::nearest(strength)),
                }));
            }
            sim
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn a_bench_that_was_handled_comes_back_as_it_was_set_up(sim in handled(), seed in any::<u32>(), title in "[ -~\u{e4}\u{b5}]{1,60}[a-z]") {
        let scene = scene_of_bench(&sim, &title, "What to look at: \"B\".\nAnd then?", seed);
        // What the reader of files takes, the link gives back; what is too long for a link says so.
        let link = link_of(&scene);
        match scene_of(&link) {
            Ok(again) => {
                prop_assert_eq!(&again, &scene);
                let short = short_link_of(&scene);
                prop_assert_eq!(short.as_ref(), Some(&link));
                prop_assert_eq!(link_of(&again), link);
                prop_assert_eq!(Sim::of_scene(&again).arrangement(), sim.arrangement());
            }
            Err(ShareError::TooLong { .. } | ShareError::TooLarge) => prop_assert_eq!(short_link_of(&scene), None),
            Err(other) => prop_assert!(false, "{}", other),
        }
    }
}

/// A hundred thousand links whose letters were flipped, cut, doubled or inserted: each is a scene or refused in words.
#[test]
fn whatever_becomes_of_the_letters_is_a_scene_or_an_answer_in_words() {
    const LETTERS: &[u8] = b"ABCXYZabcxyz0189-_.#=% \n";
    let ids = ["wide-smear", "first-look", "rotary-table", "fingerprint"];
    let scenes = ids.map(|id| read(id, lessons::shipped_by_name(id).expect("it is shipped").text).expect("a scene"));
    let links = scenes.clone().map(|scene| link_of(&scene));
    let mut dice = Stream::named(20_260, "links on their way");
    let (mut refused, mut read_again) = (0, 0);
    for round in 0..100_000_usize {
        let mut letters = links[round % links.len()].clone().into_bytes();
        let mut pick = |below: usize| (dice.next_u64() % below.max(1) as u64) as usize;
        for _ in 0..=pick(2) {
            let at = pick(letters.len());
            match pick(5) {
                0 => letters[at] = LETTERS[pick(LETTERS.len())],
                1 => letters.truncate(at.max(1)),
                2 => {
                    let end = (at + 1 + pick(20)).min(letters.len());
                    letters.extend_from_within(at..end);
                }
                3 => letters.insert(at, LETTERS[pick(LETTERS.len())]),
                _ => letters[at] ^= 1 << pick(5),
            }
        }
        let text = String::from_utf8(letters).expect("ASCII");
        match scene_of(&text) {
            Ok(scene) => {
                read_again += 1;
                assert!(scenes.contains(&scene), "a damaged link gives another bench: {text}");
            }
            Err(error) => {
                refused += 1;
                assert!(error.what().len() > 10 && error.mend().ends_with('.'), "{error}");
            }
        }
    }
    // Only a change that the reader takes away again (a blank, a line break, a stop at the end) leaves a scene.
    assert!(refused > 80_000 && read_again < 20_000, "{refused} {read_again}");
}
