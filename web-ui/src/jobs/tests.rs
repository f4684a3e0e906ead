//! A job gives what its inspection gives when called directly, to the bit.

use super::*;
use sim_core::bench::command::{Command, PlaceMm, Shuttle};
use sim_core::inspect::scan::scan_with;
use sim_core::inspect::survey::{healthy, survey_of};
use sim_core::instrument::table::Table;
use sim_core::instrument::travel::Travel;
use sim_core::numbers::Within;
use sim_core::record::STEP_S;
use sim_core::setup::BenchId;

/// A bench with a smear, at rest.
fn smeared() -> Sim {
    let mut sim = healthy(BenchId::SmallMill);
    let place = |mm| PlaceMm::nearest(mm);
    let blocked = Within::nearest(60.0);
    let smear = sim_core::bench::command::Smear::blocking(place(210.0), place(230.0), blocked);
    sim.command(&Command::Smear(smear)).unwrap();
    sim.advance(2000, &mut ());
    sim
}

fn shuttle() -> Command {
    Command::Shuttle(Shuttle {
        from_mm: PlaceMm::nearest(100.0),
        to_mm: PlaceMm::nearest(120.0),
        speed_m_per_min: Within::nearest(6.0),
        dwell_s: Within::nearest(0.1),
    })
}

/// Runs a job by way of its text, as the helper does, and looks at what it says of its progress.
fn by_text(job: &Job) -> Outcome {
    let job: Job = serde_json::from_str(&serde_json::to_string(job).unwrap()).unwrap();
    let mut shares = Vec::new();
    let outcome = run(job, &mut |share| shares.push(share)).unwrap();
    assert!(shares.is_sorted() && shares.iter().all(|share| (0.0..=1.0).contains(share)), "{shares:?}");
    assert_eq!(shares.last(), Some(&1.0));
    assert!(shares.len() >= 10, "{shares:?}");
    serde_json::from_str(&serde_json::to_string(&outcome).unwrap()).unwrap()
}

#[test]
fn a_scan_of_the_travel_is_the_scan_itself() {
    let sim = smeared();
    let Outcome::Scanned(found) = by_text(&Job::TravelScan { bench: Box::new(sim.bench().clone()) }) else {
        panic!("another outcome")
    };
    let mut sim = sim;
    let (travel_m, speed_mps) = (sim.params().machine.travel, 0.5 * sim.params().machine.limits.speed);
    let lead_m = std::f64::consts::TAU * sim.params().machine.mechanics.ratio;
    let mut travel = Travel::new(sim.params().scale.period_m, 0.0, travel_m).unwrap();
    let scan = scan_with(&mut sim, 0.0, travel_m, speed_mps, &mut travel);
    let places: Vec<_> = travel.places().iter().flatten().collect();
    assert!(places.len() > 400, "{}", places.len());
    assert_eq!(found.places.len(), places.len());
    for (found, place) in found.places.iter().zip(&places) {
        assert_eq!((found.at_mm, found.vector_v), (place.table_m * 1e3, place.vector_v));
    }
    let figures: Vec<_> = scan.figures(lead_m).iter().map(|f| (f.name.to_owned(), f.value)).collect();
    assert_eq!(found.figures, figures.into_iter().collect());
    assert_eq!(found.stopped, None);
    let weakest = found.weakest.unwrap();
    assert!((210.0..=230.0).contains(&weakest.at_mm), "the smear is the weakest place: {weakest:?}");
}

#[test]
fn a_survey_is_the_survey_itself_beside_a_healthy_one() {
    let sim = smeared();
    let Outcome::Surveyed(found) = by_text(&Job::Survey { bench: Box::new(sim.bench().clone()) }) else {
        panic!("another outcome")
    };
    let (own, usual) = (survey_of(&sim, &mut |_| {}), survey_of(&healthy(BenchId::SmallMill), &mut |_| {}));
    assert!(own.figures.len() > 60, "{}", own.figures.len());
    assert_eq!(found.figures, own.figures.iter().map(|(name, (value, _))| (name.clone(), *value)).collect());
    assert_eq!(found.shifts, own.against(&usual).into_iter().map(|(name, s)| (name, s.sign())).collect());
    assert!(found.shifts.contains_key("slow.weakest_v"), "{:?}", found.shifts);
    assert!(!found.shifts.contains_key("cleaned.weakest_v"), "{:?}", found.shifts);
    let rows = words::table(&Outcome::Surveyed(found));
    assert!(rows.iter().any(|(what, _)| what == "slow: weakest"), "{rows:?}");
}

#[test]
fn a_recording_is_the_table_of_the_run() {
    let sim = smeared();
    let commands = vec![Timed { at_s: Within::nearest(0.1), command: shuttle() }];
    let job = Job::Recording { bench: Box::new(sim.bench().clone()), commands, seconds: 1.0, every_s: 0.01 };
    let Outcome::Recorded(found) = by_text(&job) else { panic!("another outcome") };

    let mut sim = sim;
    let mut rows = Vec::new();
    let mut table = Table::new(200, |row| rows.push(*row));
    sim.advance((0.1 / STEP_S).round() as u64, &mut table);
    sim.command(&shuttle()).unwrap();
    sim.advance((0.9 / STEP_S).round() as u64, &mut table);
    assert_eq!((found.rows, found.end_s), (rows.len(), sim.time_s()));
    // RFC 4180 read by an independent reader would be one line here; lines end in CR LF, cells part at commas.
    let lines: Vec<&str> = found.csv.split("\r\n").collect();
    assert_eq!((lines.len(), lines.last()), (rows.len() + 2, Some(&"")));
    assert_eq!(lines[0].split(',').count(), 13);
    for (line, row) in lines[1..].iter().zip(&rows) {
        assert_eq!(line.split(',').collect::<Vec<_>>(), sim_core::instrument::table::cells(row));
    }
    assert!(rows.first().unwrap()[3] != rows.last().unwrap()[3], "the axis was moved");
}

#[test]
fn a_tripped_bench_is_acknowledged_and_one_whose_alarm_stands_is_refused_in_words() {
    let shipped = lessons::shipped_by_name("wide-smear").unwrap();
    let mut lab = crate::lab::Lab::new("wide-smear", lessons::read("wide-smear", shipped.text).unwrap());
    lab.advance(200_000);
    assert!(lab.sim().record().alarm);
    let job = Job::TravelScan { bench: Box::new(lab.sim().bench().clone()) };
    // Either is right, as the alarm's condition decides; never a panic, and a refusal says what to do.
    match run(job, &mut |_| {}) {
        Ok(outcome) => assert!(words::table(&outcome).iter().any(|(what, _)| what == "ended")),
        Err(why) => assert!(why.contains("alarm stands") && why.contains("Mend"), "{why}"),
    }
}

#[test]
fn numbers_out_of_range_and_benches_that_are_none_are_refused_in_words() {
    let bench = Box::new(smeared().bench().clone());
    for (seconds, every_s, words) in [
        (0.0, 0.01, "lasts from"),
        (f64::NAN, 0.01, "lasts from"),
        (1e9, 0.01, "lasts from"),
        (1.0, f64::NAN, "apart"),
        (1.0, 2.0, "apart"),
        (3600.0, 1e-3, "apart"),
    ] {
        let job = Job::Recording { bench: bench.clone(), commands: Vec::new(), seconds, every_s };
        let why = run(job, &mut |_| {}).unwrap_err();
        assert!(why.contains(words), "{seconds} {every_s}: {why}");
    }
    let mut broken = bench;
    broken.state.axis.plant.x = f64::NAN;
    let why = run(Job::Survey { bench: broken }, &mut |_| {}).unwrap_err();
    assert!(why.contains("place of the table"), "{why}");
}

#[test]
#[should_panic(expected = "broken on purpose")]
fn the_job_that_breaks_does() {
    let _ = run(Job::BreakOnPurpose, &mut |_| {});
}
