use super::*;
use crate::lab::Lab;
use proptest::prelude::*;
use serde_json::Value;
use sim_core::bench::command::{Command, PlaceMm, Smear};
use sim_core::numbers::Within;

fn lab(id: &str, steps: u64) -> Lab {
    let shipped = lessons::shipped_by_name(id).expect("it is shipped");
    let mut lab = Lab::new(id, lessons::read(id, shipped.text).expect("a scene"));
    lab.clock.pause_at_alarm = false;
    lab.advance(steps);
    lab
}

#[test]
fn a_kept_bench_goes_on_with_the_same_bits_and_the_scene_goes_on_with_it() {
    // Before the smear of this scene, so that its steps are still to come.
    let mut lab = lab("wide-smear", 1000);
    let text = kept_of(&lab, 1.0).text();
    let ready = read("a.json", text.as_bytes()).expect("a kept bench");
    assert_eq!((ready.sim.bench(), &ready.scene, ready.waiting), (lab.sim().bench(), lab.scene(), 2));
    let mut other = Lab::new(
        "first-look",
        lessons::read("x", lessons::shipped_by_name("first-look").expect("it").text).expect("a scene"),
    );
    other.clock.pause_at_alarm = false;
    other.resume(&ready.scene_id, ready.scene, ready.waiting, ready.sim);
    lab.advance(30_000);
    other.advance(30_000);
    assert!(lab.sim().record().alarm, "the smear trips the axis");
    assert_eq!(other.sim().bench(), lab.sim().bench());
    assert_eq!(other.scene_id(), "wide-smear");
    // Start again goes back to the scene's start.
    other.restart();
    assert_eq!(other.sim().time_s(), 0.0);
}

#[test]
fn a_bench_without_its_scene_starts_again_where_it_stands() {
    let mut lab = lab("first-look", 5000);
    let place = |mm: f64| PlaceMm::nearest(mm);
    lab.command(&Command::Smear(Smear::blocking(place(200.0), place(210.0), Within::nearest(60.0)))).expect("allowed");
    let mut kept = kept_of(&lab, 1.0);
    kept.scene = None;
    let ready = read("a.json", kept.text().as_bytes()).expect("a kept bench");
    let again = Sim::of_scene(&ready.scene);
    assert_eq!(again.arrangement(), lab.sim().arrangement());
    let count_m = lab.sim().params().metres_per_count();
    assert!((again.record().table_m - lab.sim().record().table_m).abs() <= count_m);
}

#[test]
fn what_is_no_kept_bench_is_refused_with_file_fault_and_remedy() {
    let text = kept_of(&lab("first-look", 200), 1.0).text();
    let mut value: Value = serde_json::from_str(&text).expect("JSON");
    let with = |path: &str, to: Value| {
        let mut changed = value.clone();
        *changed.pointer_mut(path).expect("a place") = to;
        changed.to_string()
    };
    let cases = [
        (text[..text.len() / 2].to_owned(), "cut off"),
        (text.replacen(':', ";", 1), "damaged at line 1, letter"),
        ("{}".to_owned(), "not a kept bench"),
        ("{\"kind\":\"drawing\"}".to_owned(), "not a kept bench"),
        (with("/format", 9.into()), "format 9"),
        (with("/format", "one".into()), "whole number 1"),
        (with("/bench/format", 77.into()), "format 77"),
        (with("/bench/setup/head/gap_um", (-5.0).into()), "gap"),
        (with("/bench/setup/head/gap_um", Value::Null), "missing or wrong"),
        (with("/bench/state/axis/plant/x", 400.0.into()), "place of the table"),
        (with("/bench/setup/bench", "moon".into()), "moon"),
        (with("/scene", "format = 1".into()), "the scene in it is wrong"),
        (with("/scene", lessons::shipped_by_name("offset").expect("of the mill").text.into()), "another bench"),
    ];
    for (text, what) in cases {
        let error = read("mine.json", text.as_bytes()).expect_err(what).to_string();
        assert!(error.starts_with("mine.json: ") && error.contains(what), "{what}: {error}");
        assert!(error.contains("To mend it: "), "{error}");
    }
    assert!(read("x.json", &[0xff, 0xfe]).expect_err("bytes").what.contains("not text"));
    value["bench"].as_object_mut().expect("a bench").remove("state");
    assert!(read("x.json", value.to_string().as_bytes()).expect_err("no state").what.contains("missing field `state`"));
    assert!(looks_kept(b"\xef\xbb\xbf \n{") && !looks_kept(b"format = 1") && !looks_kept(b""));
}

/// Places of all numbers in a value.
fn numbers(value: &Value, at: &str, found: &mut Vec<String>) {
    match value {
        Value::Number(_) => found.push(at.to_owned()),
        Value::Array(items) => items.iter().enumerate().for_each(|(i, v)| numbers(v, &format!("{at}/{i}"), found)),
        Value::Object(items) => items.iter().for_each(|(k, v)| numbers(v, &format!("{at}/{k}"), found)),
        _ => {}
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// Whatever becomes of the letters of a file: a bench or an answer in words, never a panic.
    #[test]
    fn letters_that_change_give_a_bench_or_words(at in any::<proptest::sample::Index>(), letter in any::<u8>(), cut in any::<bool>()) {
        let mut bytes = kept_of(&lab("wide-smear", 400), 1.0).text().into_bytes();
        let at = at.index(bytes.len());
        if cut { bytes.truncate(at) } else { bytes[at] = letter }
        if let Err(error) = read("x.json", &bytes) {
            prop_assert!(error.what.len() > 5 && error.mend.ends_with('.'), "{}", error);
        }
    }
}

/// A number of a kept bench that is another: refused in words, or a bench that goes on.
#[test]
fn numbers_that_change_give_a_bench_that_steps_or_words() {
    let text = kept_of(&lab("wide-smear", 400), 1.0).text();
    let value: Value = serde_json::from_str(&text).expect("JSON");
    let mut places = Vec::new();
    numbers(&value["bench"], "/bench", &mut places);
    assert!(places.len() > 60, "{}", places.len());
    let mut refused = 0;
    for place in places {
        for to in [Value::from(-1), Value::from(1e9), Value::from(7)] {
            let mut changed = value.clone();
            *changed.pointer_mut(&place).expect("a place") = to;
            match read("x.json", changed.to_string().as_bytes()) {
                Ok(mut ready) => ready.sim.advance(3, &mut ()),
                Err(error) => {
                    refused += 1;
                    assert!(error.what.len() > 5, "{error}");
                }
            }
        }
    }
    assert!(refused > 100, "{refused}");
}
