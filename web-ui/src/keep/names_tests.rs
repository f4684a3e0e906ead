use super::*;
use crate::keep::kept::kept_of;
use crate::keep::shelf::Board;
use crate::lab::Lab;

fn kept(id: &str, saved_ms: f64) -> Kept {
    let shipped = lessons::shipped_by_name(id).expect("it is shipped");
    kept_of(&Lab::new(id, lessons::read(id, shipped.text).expect("a scene")), saved_ms)
}

fn told(shelf: &Board) -> Vec<String> {
    list(shelf).into_iter().map(|line| line.name).collect()
}

#[test]
fn benches_are_kept_listed_renamed_and_deleted() {
    let shelf = Board::default();
    shelf.put("countlight.theme", "dark").expect("room");
    assert_eq!(keep(&shelf, "  Smear  at 1.5 m ", &kept("wide-smear", 1e12)).as_deref(), Ok("Smear at 1.5 m"));
    keep(&shelf, "Later", &kept("first-look", 2e12)).expect("room");
    assert_eq!(told(&shelf), ["Later", "Smear at 1.5 m"]);
    let about = list(&shelf)[1].what.clone().expect("readable");
    assert_eq!((about.machine, about.saved_ms), ("Router gantry, X axis", 1e12));
    assert_eq!(rename(&shelf, "Later", "First").as_deref(), Ok("First"));
    assert!(rename(&shelf, "First", "Smear at 1.5 m").expect_err("taken").contains("is taken"));
    assert!(rename(&shelf, "First", "  ").expect_err("empty").contains("name first"));
    assert!(rename(&shelf, "Gone", "x").expect_err("gone").contains("no longer"));
    assert_eq!(text_of(&shelf, "First"), Some(kept("first-look", 2e12).text()));
    delete(&shelf, "Smear at 1.5 m");
    assert_eq!(told(&shelf), ["First"]);
    assert_eq!(shelf.get("countlight.theme").as_deref(), Some("dark"), "nothing else is touched");
}

#[test]
fn no_name_too_many_and_no_room_are_told_and_lose_nothing() {
    let bench = kept("first-look", 1.0);
    let mut shelf = Board::default();
    assert!(keep(&shelf, " ", &bench).expect_err("empty").contains("name first"));
    assert!(keep(&shelf, &"x".repeat(61), &bench).expect_err("long").contains("61 letters"));
    for i in 0..MOST {
        keep(&shelf, &format!("bench {i}"), &bench).expect("room");
    }
    assert!(keep(&shelf, "one more", &bench).expect_err("too many").contains("Delete one first"));
    keep(&shelf, "bench 3", &kept("wide-smear", 2.0)).expect("one of the same name is replaced");
    assert_eq!(list(&shelf).len(), MOST);
    delete(&shelf, "bench 0");
    let before = shelf.names();
    shelf.room = Some(10_000);
    assert!(keep(&shelf, "bench 3", &bench).expect_err("full").contains("no room left"));
    assert_eq!(shelf.names(), before);
    assert_eq!(list(&shelf)[0].name, "bench 3");
}

#[test]
fn what_cannot_be_read_is_listed_as_such_and_stops_nothing() {
    let shelf = Board::default();
    keep(&shelf, "good", &kept("first-look", 1.0)).expect("room");
    for (name, text) in [
        ("empty", ""),
        ("cut", "{\"title\":\"x\""),
        ("date", &kept("first-look", 1.0).text().replace("\"saved_ms\":1.0", "\"saved_ms\":-1e300")),
    ] {
        shelf.put(&format!("countlight.bench.{name}"), text).expect("room");
    }
    let lines = list(&shelf);
    assert_eq!(
        lines.iter().map(|line| (line.name.as_str(), line.what.is_some())).collect::<Vec<_>>(),
        [("good", true), ("cut", false), ("date", false), ("empty", false)]
    );
    delete(&shelf, "cut");
    assert_eq!(list(&shelf).len(), 3);
    shelf.put("countlight.last", "{").expect("room");
    assert_eq!(last(&shelf), None);
}

#[test]
fn the_last_visit_is_offered_and_moves_aside_when_the_next_one_is_kept() {
    let shelf = Board::default();
    assert_eq!(last(&shelf), None);
    let (first, second) = (kept("wide-smear", 1e12).text(), kept("first-look", 2e12).text());
    keep_last(&shelf, &first);
    let (text, about) = last(&shelf).expect("it was kept");
    assert_eq!((text, about.machine), (first.clone(), "Router gantry, X axis"));
    set_aside(&shelf);
    keep_last(&shelf, &second);
    assert_eq!(last(&shelf).map(|(text, _)| text), Some(second));
    assert_eq!(earlier(&shelf).map(|(text, _)| text), Some(first.clone()));
    // A last one that was damaged does not push a good one out.
    shelf.put("countlight.last", "?").expect("room");
    set_aside(&shelf);
    assert_eq!(last(&shelf).map(|(text, _)| text), Some(first));
}
