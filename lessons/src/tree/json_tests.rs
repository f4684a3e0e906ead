//! Benches in JSON against serde_json's own reader.

use super::{Kind, Node, Row, Tree};
use serde::Deserialize;
use sim_core::bench::{Bench, Sim};

fn tree(sim: &Sim) -> Tree {
    Tree::of_json(&serde_json::to_string(sim.bench()).unwrap()).unwrap()
}

/// What serde_json makes of the same tree.
fn reference(tree: &Tree) -> Result<Bench, serde_json::Error> {
    serde_json::from_value(serde_json::to_value(tree).unwrap())
}

fn row(name: &str, kind: Kind) -> Row {
    Row { name: name.to_owned(), at: None, tree: Tree { kind, at: None } }
}

fn rows<'t>(tree: &'t mut Tree, path: &[String]) -> &'t mut Vec<Row> {
    let Kind::Table(rows) = &mut tree.kind else { panic!("{path:?} leads to no table") };
    match path {
        [] => rows,
        [first, rest @ ..] => {
            let row = rows.iter_mut().find(|row| row.name == *first).unwrap();
            self::rows(&mut row.tree, rest)
        }
    }
}

/// Every shipped scene at three moments: what serde_json reads, this reads, to the bit.
#[test]
fn benches_are_read_as_by_the_reference() {
    for shipped in crate::shipped() {
        let scene = crate::read(shipped.id, shipped.text).unwrap();
        let mut sim = Sim::of_scene(&scene);
        for steps in [0, 400, 12_000] {
            sim.advance_unwatched(steps);
            for timed in &scene.steps {
                let _ = sim.command(&timed.command);
            }
            let tree = tree(&sim);
            let ours = Bench::deserialize(Node(&tree)).unwrap_or_else(|why| panic!("{}: {why}", shipped.id));
            assert_eq!(ours, reference(&tree).unwrap());
            assert_eq!(&ours, sim.bench());
        }
    }
}

/// Every node of a bench taken out, or put in where it does not belong: refused or read as the reference does.
#[test]
fn damage_is_refused_where_the_reference_refuses_it() {
    fn walk(tree: &Tree, path: &mut Vec<String>, out: &mut Vec<Vec<String>>) {
        if let Kind::Table(rows) = &tree.kind {
            for row in rows {
                path.push(row.name.clone());
                out.push(path.clone());
                walk(&row.tree, path, out);
                path.pop();
            }
        }
    }
    let scene = crate::shipped_by_name("wide-smear").unwrap();
    let mut sim = Sim::of_scene(&crate::read(scene.id, scene.text).unwrap());
    sim.advance_unwatched(5_000);
    let whole = tree(&sim);
    let (mut paths, mut refused) = (Vec::new(), 0);
    walk(&whole, &mut Vec::new(), &mut paths);
    for path in &paths {
        let (key, above) = path.split_last().unwrap();
        let mut without = whole.clone();
        rows(&mut without, above).retain(|row| row.name != *key);
        let mut stray = whole.clone();
        rows(&mut stray, above).push(row("stray", Kind::Truth(true)));
        let mut odd = whole.clone();
        let at = rows(&mut odd, above).iter_mut().find(|row| row.name == *key).unwrap();
        *at = row(key, Kind::Text("odd".to_owned()));
        for (case, tree) in [("without", without), ("odd", odd)] {
            match (Bench::deserialize(Node(&tree)), reference(&tree)) {
                (Ok(ours), Ok(theirs)) => assert_eq!(ours, theirs, "{case} {path:?}"),
                (Err(_), Err(_)) => refused += 1,
                // A missing field that may be empty is empty to the reference; we ask for what was written.
                (Err(_), Ok(_)) if case == "without" => refused += 1,
                (ours, theirs) => panic!("{case} {path:?}: {:?} {:?}", ours.err(), theirs.err()),
            }
        }
        // A stray field is never taken in silence.
        let _ = Bench::deserialize(Node(&stray));
    }
    assert!(refused > 200, "{refused} of {}", paths.len());
}

#[test]
fn what_is_wrong_is_told_with_its_path() {
    let scene = crate::shipped_by_name("first-look").unwrap();
    let whole = tree(&Sim::of_scene(&crate::read(scene.id, scene.text).unwrap()));
    let mut wide = whole.clone();
    let head = rows(&mut wide, &["setup".to_owned(), "head".to_owned()]);
    *head.iter_mut().find(|row| row.name == "gap_um").unwrap() = row("gap_um", Kind::Text("wide".to_owned()));
    let why = Bench::deserialize(Node(&wide)).unwrap_err().to_string();
    assert!(why.starts_with("setup: head: gap_um: "), "{why}");
    let mut coloured = whole;
    rows(&mut coloured, &["setup".to_owned()]).push(row("colour", Kind::Nothing));
    let why = Bench::deserialize(Node(&coloured)).unwrap_err().to_string();
    assert!(why.contains("no field `colour`"), "{why}");
}
