//! What is kept opens again as it was.

use super::*;
use crate::keep::kept::read;
use crate::lab::shipped as lab;
use sim_core::bench::command::Command;

#[test]
fn a_kept_bench_goes_on_bit_for_bit_with_the_rest_of_its_scene() {
    let mut before = lab("wipe-and-home");
    before.advance(30_000);
    let kept = text(&before, 0.0);
    let mut after = lab("first-look");
    open(&mut after, &kept, read).unwrap();
    assert_eq!(after.sim().bench(), before.sim().bench());
    assert_eq!((after.scene_id(), after.clock.running), ("wipe-and-home", false));
    assert_eq!(after.waiting(), before.waiting());
    assert!(before.waiting() > 0, "the test needs steps to come");
    (before.clock.pause_at_alarm, after.clock.pause_at_alarm) = (false, false);
    before.advance(120_000);
    after.advance(120_000);
    assert_eq!(after.sim().bench(), before.sim().bench());
    assert_eq!(after.sim().record(), before.sim().record());
}

#[test]
fn what_is_no_bench_changes_nothing_and_is_told() {
    let mut lab = lab("first-look");
    lab.command(&Command::WipeAll).unwrap();
    lab.advance(100);
    let kept = text(&lab, 0.0);
    let before = lab.sim().bench().clone();
    let cut: String = kept.chars().take(kept.len() / 2).collect();
    for (text, words) in [
        ("", "cut off"),
        (cut.as_str(), "cut off"),
        (&kept.replace("\"format\":2", "\"format\":99"), "newer Countlight"),
    ] {
        let told = open(&mut lab, text, read).unwrap_err();
        assert!(told.contains(words), "{told}");
        assert_eq!(*lab.sim().bench(), before);
    }
}
