//! Every case: it shows on the machine, the expert's way mends it without a hazard and proves it, exchanging parts gets
//! there with good parts thrown away, the unsafe way is caught, doing nothing proves nothing. Each is scored with the table
//! of its machine. No case is exempt.

use diagnosis::particle::Cause;
use diagnosis::{Baseline, Check, Table, family_of};
use lessons::callout::score::{Note, PASS, Score};
use lessons::callout::{Act, Case, Remedy, Visit, read, score, script};
use sim_core::fault::FaultId;
use sim_core::setup::Setup;
use std::fmt::Write as _;
use std::rc::Rc;

fn cases() -> Vec<Rc<Case>> {
    lessons::cases().map(|(id, text)| Rc::new(read(id, text).unwrap_or_else(|why| panic!("{why}")))).collect()
}

/// Baselines are those of set-ups; cases on the same one share it.
fn baselines(cases: &[Rc<Case>]) -> Vec<(Setup, Rc<Baseline>)> {
    let mut made: Vec<(Setup, Rc<Baseline>)> = Vec::new();
    for case in cases {
        let setup = case.setup();
        if !made.iter().any(|(other, _)| *other == setup) {
            let baseline = Rc::new(Baseline::of(&setup));
            made.push((setup, baseline));
        }
    }
    made
}

fn story(visit: &Visit) -> String {
    let mut text = format!("{:?}\n", visit.hidden());
    for done in visit.done() {
        let told = done.told.replace('\n', " / ");
        let _ = writeln!(text, "  {:>4} {}: {told} {:?} {:?}", done.from_min, done.act, done.cured, done.hazards);
    }
    text
}

fn table_of(case: &Case) -> Table {
    let text = lessons::outcomes(&case.machine().file()).unwrap_or_else(|| panic!("{} has no table", case.id));
    let table = Table::read(text).unwrap_or_else(|why| panic!("{}: {why}", case.id));
    assert_eq!(table.machine, case.machine(), "{}", case.id);
    table
}

/// Plays a way through every case, scores it with the table of its machine and gathers what is not as it should be.
fn play(
    seeds: &[u32],
    way: fn(&mut Visit) -> Result<Note, String>,
    wrong: impl Fn(&Note, &Visit, &Score) -> Option<&'static str>,
) {
    let cases = cases();
    assert_eq!(cases.len(), 26);
    let baselines = baselines(&cases);
    let mut told = String::new();
    for case in &cases {
        let (setup, table) = (case.setup(), table_of(case));
        let (_, baseline) = baselines.iter().find(|(other, _)| *other == setup).unwrap();
        for &seed in seeds {
            let mut visit = Visit::arrive(case, baseline, seed);
            let what = match way(&mut visit) {
                Err(why) => why,
                Ok(note) => {
                    let score = score::score(&visit, &note, &table);
                    println!("{} seed {seed}: {:.1}", case.id, score.total);
                    let what = wrong(&note, &visit, &score).unwrap_or_default();
                    if what.is_empty() { String::new() } else { format!("{what}: {score:#?}") }
                }
            };
            if !what.is_empty() {
                let _ = writeln!(told, "{} seed {seed}: {what}\n{}", case.id, story(&visit));
            }
        }
    }
    assert!(told.is_empty(), "{told}");
}

fn exchanged_good_parts(visit: &Visit) -> bool {
    visit.done().iter().any(lessons::callout::visit::Done::wasted_part)
}

#[test]
fn the_expert_mends_every_case_without_a_hazard_and_proves_it() {
    play(&[1, 2], script::expert, |note, visit, score| {
        let hazards = visit.done().iter().any(|done| !done.hazards.is_empty());
        let cured: usize = visit.done().iter().map(|done| done.cured.len()).sum();
        match () {
            () if visit.proof() != Some(true) => Some("not proven"),
            () if hazards => Some("unsafe"),
            () if exchanged_good_parts(visit) => Some("a good part was exchanged"),
            () if cured != visit.hidden().len() => Some("something is still wrong"),
            () if note.causes.is_empty() || visit.minutes() != visit.case().par_minutes() => Some("par is wrong"),
            () if !score::zero_is_right(visit) => Some("the zero is wrong"),
            () if score.total < 99.5 || !score.passed() => Some("not everything that there is to get"),
            () => None,
        }
    });
}

#[test]
fn exchanging_parts_ends_in_a_running_machine_and_good_parts_in_the_bin() {
    play(&[1, 2], script::part_swapper, |_, visit, score| match () {
        () if visit.proof() != Some(true) => Some("never ran again"),
        // The first part may be the right one; then it was luck, without a reading before it.
        () if !exchanged_good_parts(visit) && visit.done().iter().any(|done| done.reading.is_some()) => Some("no swap"),
        () if exchanged_good_parts(visit) && score.total > 60.0 => Some("paid for good parts in the bin"),
        () if score.passed() => Some("luck passes"),
        () => None,
    });
}

#[test]
fn the_unsafe_way_is_caught_in_every_case() {
    play(&[1, 2], script::unsafe_path, |_, visit, score| {
        let serious = visit.done().iter().flat_map(|done| &done.hazards).any(|hazard| hazard.serious());
        (!serious || score.total > 49.0 || score.passed()).then_some("not caught")
    });
}

#[test]
fn every_case_shows_and_is_not_mended_by_itself() {
    play(
        &[1, 2],
        |visit| {
            script::play(visit, &[Act::Ready, Act::Prove])?;
            Ok(script::nothing(visit.case()))
        },
        |note, visit, score| match () {
            () if visit.proof() != Some(false) => Some("the proof run passes with the fault in"),
            () if !note.causes.is_empty() || note.complete() => Some("a note that nobody wrote"),
            () if score.total > 20.0 => Some("something for nothing"),
            () => None,
        },
    );
}

/// Points by the rubric on one case, with a small table made here.
#[test]
fn points_follow_the_rubric() {
    let case = cases().into_iter().find(|case| case.id.starts_with("J02")).unwrap();
    let baseline = Rc::new(Baseline::of(&case.setup()));
    let checks: Vec<Check> = vec![Check::AmplitudeScan, Check::Figure, Check::Lamp, Check::GapGauge];
    let causes: [Cause; 5] =
        [FaultId::WindowFilm, FaultId::GapWide, FaultId::TapeSmear, FaultId::ChannelOffset, FaultId::KvHalved];
    let table = Table::build_of(&case.machine(), &causes, 6, &checks, &mut |_| {});
    let arrive = || Visit::arrive(&case, &baseline, 1);
    let points = |visit: &Visit, note: &Note| score::score(visit, note, &table);

    let mut visit = arrive();
    let note = script::expert(&mut visit).unwrap();
    let expert = points(&visit, &note);
    assert!(expert.total > 99.5 && expert.passed(), "{expert:?}\n{}", story(&visit));
    assert_eq!((expert.safety, expert.proof, expert.parts), (20.0, 15.0, 5.0));
    // A wrong name for it, a second one, an empty note.
    let other = script::note(vec![family_of(FaultId::KvHalved)]);
    assert_eq!(points(&visit, &other).cause, 0.0);
    let both = script::note(vec![family_of(FaultId::WindowFilm), family_of(FaultId::KvHalved)]);
    assert_eq!(points(&visit, &both).cause, 20.0);
    assert_eq!(points(&visit, &Note { causes: note.causes.clone(), ..Note::default() }).proof, 10.0);

    // The same without a reading before the remedy is a guess, without proof nothing of the last three counts.
    let mut guess = arrive();
    let blind: Vec<Act> = case.par.iter().filter(|act| !matches!(act, Act::Check(_))).copied().collect();
    script::play(&mut guess, &blind).unwrap();
    let guess = points(&guess, &note);
    assert_eq!((guess.cause, guess.evidence, guess.parts), (15.0, 0.0, 5.0));
    let nothing = points(&arrive(), &script::nothing(&case));
    assert_eq!((nothing.total, nothing.safety), (20.0, 20.0));

    // A good part in the bin, and a plug pulled under voltage.
    let mut swapper = arrive();
    let swapped = script::part_swapper(&mut swapper).unwrap();
    let swapped = points(&swapper, &swapped);
    assert!(swapped.parts == 0.0 && swapped.total <= 60.0 && !swapped.passed(), "{swapped:?}");
    let mut bold = arrive();
    let bold_note = script::unsafe_path(&mut bold).unwrap();
    let bold = points(&bold, &bold_note);
    assert!(bold.safety == 0.0 && bold.total <= 49.0 && bold.total < PASS, "{bold:?}");

    // A step left out costs five points, each once.
    let mut hasty = arrive();
    let par: Vec<Act> = case.par.iter().filter(|act| act.to_string() != "try-start").copied().collect();
    script::play(&mut hasty, &par).unwrap();
    assert_eq!(points(&hasty, &note).safety, 15.0);
    assert_eq!(Remedy::by_name("clean-right"), Some(Remedy::CleanRight));
}

/// What comes down breaks: the machine is worse than before, whatever the proof run of the case looks at.
#[test]
fn a_table_that_hangs_comes_down_without_a_prop() {
    let case = cases().into_iter().find(|case| case.id.starts_with("J17")).unwrap();
    let baseline = Rc::new(Baseline::of(&case.setup()));
    let mend = |propped: bool| {
        let mut visit = Visit::arrive(&case, &baseline, 1);
        for line in ["remedy battery", "ready", "lockout", "remedy tighten", "power-up", "prove"] {
            let acts = Act::read(line, true).unwrap();
            let left_out = |act: &Act| !propped && act.to_string().starts_with("prop");
            let acts: Vec<Act> = acts.into_iter().filter(|act| !left_out(act)).collect();
            script::play(&mut visit, &acts).unwrap();
        }
        visit
    };
    let (safe, fallen) = (mend(true), mend(false));
    assert_eq!((safe.sim().faults(), safe.proof()), (&[][..], Some(true)), "{}", story(&safe));
    assert_eq!(fallen.sim().faults().len(), 1, "{}", story(&fallen));
    assert!(fallen.done().iter().any(|done| done.told.contains("came down")));
    assert!(fallen.done().iter().flat_map(|done| &done.hazards).any(|hazard| hazard.serious()));
}
