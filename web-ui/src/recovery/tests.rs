//! What is kept opens again as it was.

use super::*;
use sim_core::bench::command::Command;

fn lab(id: &str) -> Lab {
    let shipped = lessons::shipped_by_name(id).unwrap();
    Lab::new(id, lessons::read(id, shipped.text).unwrap())
}

#[test]
fn a_kept_bench_goes_on_bit_for_bit_with_the_rest_of_its_scene() {
    let mut before = lab("wipe-and-home");
    before.clock.running = true;
    before.clock.set_pace(2);
    before.advance(30_000);
    let [bench, around] = texts(&before).unwrap();

    let mut after = lab("first-look");
    open(&mut after, &bench, &around).unwrap();
    assert_eq!(after.sim().bench(), before.sim().bench());
    assert_eq!((after.scene_id(), after.clock.running, after.clock.pace()), ("wipe-and-home", false, 2));
    assert_eq!(after.waiting(), before.waiting());
    assert!(before.waiting() > 0, "the test needs steps to come");
    // The clocks differ: one runs, one is paused; neither may stop the bench here.
    (before.clock.pause_at_alarm, after.clock.pause_at_alarm) = (false, false);
    before.advance(120_000);
    after.advance(120_000);
    assert_eq!(after.sim().bench(), before.sim().bench());
    assert_eq!(after.sim().record(), before.sim().record());
}

#[test]
fn what_is_no_bench_changes_nothing_and_is_told() {
    let mut lab = lab("first-look");
    lab.advance(100);
    let [bench, around] = texts(&lab).unwrap();
    let before = lab.sim().bench().clone();
    for (bench, around, words) in [
        ("", around.as_str(), "EOF"),
        (&bench[..bench.len() / 2], &around, "EOF"),
        (&bench.replace("\"format\":2", "\"format\":99"), &around, "newer Countlight"),
        (&bench, "{}", "time_s"),
    ] {
        let told = open(&mut lab, bench, around).unwrap_err();
        assert!(told.contains(words), "{told}");
        assert_eq!(*lab.sim().bench(), before);
    }
}

#[test]
fn a_saved_file_opens_alone_and_another_is_refused_with_a_remedy() {
    let mut before = lab("wide-smear");
    before.advance(40_000);
    before.command(&Command::WipeAll).unwrap();
    let [bench, _] = texts(&before).unwrap();
    let mut after = lab("first-look");
    open_file(&mut after, "mine.json", bench.as_bytes()).unwrap();
    assert_eq!(after.sim().bench(), before.sim().bench());
    assert_eq!(after.waiting(), 0);
    after.restart();
    assert_eq!(after.scene().bench, before.scene().bench);
    let told = open_file(&mut after, "other.json", b"{\"a\":1}").unwrap_err();
    assert!(told.starts_with("other.json: ") && told.contains("To mend it"), "{told}");
    assert!(open_file(&mut after, "big.json", &vec![b' '; LARGEST_FILE + 1]).is_err());
}
