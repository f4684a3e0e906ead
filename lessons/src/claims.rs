//! What a scene claims of its run: checked when it is read, and held against the run.

use sim_core::bench;
use sim_core::bench::Sim;
use sim_core::event::fixed;
use sim_core::instrument::readings::{READINGS, Readings};
use sim_core::names::nearest_hint;
use sim_core::scene::{Expect, LookAlike, Scene};

/// What is wrong with a claim, and how to mend it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Slip {
    /// What is wrong.
    pub what: String,
    /// How to mend it.
    pub mend: String,
}

/// Whether a claim can be held against a run at all.
pub(crate) fn check(expect: &Expect) -> Result<(), Slip> {
    let slip = |what: String, mend: &str| Err(Slip { what, mend: mend.to_owned() });
    let name = &expect.reading;
    if !READINGS.iter().any(|row| row.name == *name) {
        let hint = nearest_hint(name, READINGS.iter().map(|row| row.name));
        return slip(format!("there is no reading \"{name}\"; {hint}"), "correct the name; its ending is the unit.");
    }
    match (expect.from, expect.to) {
        (None, None) => slip(
            format!("\"{name}\" is expected, but nothing says where it lies"),
            "write from, to or both, in the unit of the reading.",
        ),
        (from, to) if [from, to].iter().flatten().any(|n| !n.is_finite()) => {
            slip(format!("a bound of \"{name}\" is no finite number"), "write a finite number, or leave the bound out.")
        }
        (Some(from), Some(to)) if from > to => {
            slip(format!("from = {from} is greater than to = {to}"), "write the smaller number after from.")
        }
        _ => Ok(()),
    }
}

/// A claim that the run did not bear out.
#[derive(Clone, Debug, PartialEq)]
pub struct Unmet {
    /// The claim.
    pub expect: Expect,
    /// What the run gave.
    pub found: Option<f64>,
}

impl std::fmt::Display for Unmet {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let row = READINGS.iter().find(|row| row.name == self.expect.reading);
        let decimals = row.map_or(3, |row| row.decimals + 1);
        let bound = |n: Option<f64>| n.map_or("any".to_owned(), |n| n.to_string());
        let found =
            self.found.map_or("the run did not give it".to_owned(), |n| format!("the run gave {}", fixed(n, decimals)));
        write!(
            f,
            "{}: {} to {} is claimed, {found}",
            self.expect.reading,
            bound(self.expect.from),
            bound(self.expect.to)
        )
    }
}

/// Runs a scene and holds its claims against the run: what was not borne out.
pub fn unmet(scene: &Scene) -> Vec<Unmet> {
    let mut readings = Readings::new(Sim::of_scene(scene).params());
    bench::run(scene, &mut readings);
    let figures = readings.figures();
    let found = |expect: &Expect| figures.get(&expect.reading);
    scene
        .expects
        .iter()
        .filter(|expect| !expect.holds(found(expect)))
        .map(|expect| Unmet { expect: expect.clone(), found: found(expect) })
        .collect()
}

/// Whether two scenes are told apart as a look-alike says: both claim the reading, in ranges that do not meet.
///
/// # Errors
/// Why they are not.
pub fn told_apart(scene: &Scene, other: &Scene, alike: &LookAlike) -> Result<(), Slip> {
    let range = |of: &Scene| of.expects.iter().find(|e| e.reading == alike.reading).map(Expect::range);
    let slip = |what: String, mend: &str| Err(Slip { what, mend: mend.to_owned() });
    let Some((low, high)) = range(scene) else {
        return slip(format!("this scene does not claim {}", alike.reading), "write an [[expect]] for it.");
    };
    let Some((other_low, other_high)) = range(other) else {
        return slip(
            format!("{} does not claim {}", alike.scene, alike.reading),
            "write an [[expect]] for it there, or name a reading that both scenes claim.",
        );
    };
    if high < other_low || other_high < low {
        return Ok(());
    }
    slip(
        format!("{} may be the same in both: {low} to {high} here, {other_low} to {other_high} there", alike.reading),
        "narrow the ranges, or name a reading that does differ.",
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn expect(reading: &str, from: Option<f64>, to: Option<f64>) -> Expect {
        Expect { reading: reading.to_owned(), from, to }
    }

    #[test]
    fn a_claim_must_name_a_reading_and_a_range() {
        let what = |e: Expect| check(&e).unwrap_err().what;
        assert!(what(expect("amplitude_c_v", None, None)).contains("did you mean \"amplitude_a_v\""));
        assert!(what(expect("amplitude_a_v", None, None)).contains("nothing says where"));
        assert!(what(expect("amplitude_a_v", Some(f64::NAN), None)).contains("no finite number"));
        assert!(what(expect("amplitude_a_v", Some(0.3), Some(0.2))).contains("greater"));
        assert_eq!(check(&expect("amplitude_a_v", Some(0.2), None)), Ok(()));
    }

    #[test]
    fn a_false_claim_is_found_and_a_true_one_is_not() {
        let text = crate::shipped_by_name("five-lines").unwrap().text;
        let mut scene = crate::read("five-lines", text).unwrap();
        scene.expects = vec![expect("count", Some(5.0), Some(5.0)), expect("count", Some(6.0), None)];
        let unmet = unmet(&scene);
        assert_eq!(unmet.len(), 1);
        assert_eq!(unmet[0].to_string(), "count: 6 to any is claimed, the run gave 5.0");
    }

    #[test]
    fn scenes_are_told_apart_only_by_ranges_that_do_not_meet() {
        let text = crate::shipped_by_name("five-lines").unwrap().text;
        let with = |from, to| {
            let mut scene = crate::read("five-lines", text).unwrap();
            scene.expects = vec![expect("ratio", from, to)];
            scene
        };
        let alike = LookAlike { scene: "other".to_owned(), reading: "ratio".to_owned() };
        let told = |a: Option<f64>, b: Option<f64>| told_apart(&with(None, a), &with(b, None), &alike);
        assert_eq!(told(Some(0.9), Some(1.1)), Ok(()));
        assert!(told(Some(1.1), Some(0.9)).unwrap_err().what.contains("may be the same"));
        assert!(told(None, Some(0.9)).is_err());
    }
}
