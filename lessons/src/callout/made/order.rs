//! What office and operator say of a made case: what the machine does, as somebody sees it who has no instrument.

use super::shop::{Found, Shop};
use crate::callout::case::{Statement, Trust};
use diagnosis::Check;
use sim_core::fault::Active;
use sim_core::fault::service::service_of;
use sim_core::inspect::drive::Stopped;
use sim_core::monitor::MonitorKind as Kind;
use sim_core::setup::BenchId;
use std::fmt::Write as _;

/// Stops closer together than this share of the travel are one place.
const ONE_PLACE: f64 = 0.04;
/// A stop closer to the start than this share of the travel came at once.
const AT_ONCE: f64 = 0.02;

/// A machine in lists.
pub(super) fn short(bench: BenchId) -> &'static str {
    match bench {
        BenchId::TeachingRail => "rail",
        BenchId::RouterGantry => "gantry",
        BenchId::SmallMill => "small mill",
        BenchId::GantryLift => "spindle lift",
        BenchId::MillHead => "hanging head",
        BenchId::RotaryTable => "rotary table",
    }
}

/// The machine as the office calls it, and its axis.
fn machine(bench: BenchId) -> (&'static str, &'static str) {
    match bench {
        BenchId::TeachingRail => ("teaching rail", "the rail"),
        BenchId::RouterGantry => ("router gantry", "X"),
        BenchId::SmallMill => ("small mill", "X"),
        BenchId::GantryLift => ("router gantry, spindle lift", "Z"),
        BenchId::MillHead => ("small mill, hanging head", "Z"),
        BenchId::RotaryTable => ("rotary table", "the table"),
    }
}

/// What is seen of an axis that runs, by what a check gives: the first that fits is told.
const SEEN: [(Check, &[&str], &str); 14] = [
    (Check::HomeTest, &["moved"], "{axis} runs and homes, but its zero is not where it was."),
    (Check::HomeTest, &["scatters"], "{axis} runs and homes, but its zero is another one each time."),
    (Check::HomeTest, &["not-found"], "{axis} runs, but it does not find its zero any more."),
    (Check::MainsCycle, &["lost"], "After a weekend off {axis} does not know its place."),
    (Check::MainsCycle, &["sunk"], "After a weekend off {axis} stood lower than before."),
    (Check::Indicator, &["lost", "too-far"], "Sizes differ when {axis} comes from the other side."),
    (Check::Compare, &["apart"], "Long parts come out at the wrong length along {axis}."),
    (Check::Compare, &["cyclic"], "Parts show an error along {axis} that comes again and again."),
    (Check::Rest, &["noise", "bursts", "hum", "wanders"], "The readout is restless while {axis} stands."),
    (Check::CurrentScan, &["more"], "{axis} runs, but it runs heavily."),
    (Check::CurrentScan, &["bump"], "{axis} runs, but it is heavy at one place."),
    (Check::CurrentScan, &["weight"], "{axis} runs, but its drive works harder one way than it did."),
    (
        Check::AmplitudeScan,
        &["dip", "ramp", "low", "high", "dead"],
        "{axis} runs, but at the yearly measurement its signals were not those of the record.",
    ),
    (
        Check::Figure,
        &["small", "large", "off-centre", "unequal", "slanted", "noisy", "line"],
        "{axis} runs, but at the yearly measurement its signals were not those of the record.",
    ),
];

/// Alarms that may be told by their title; others say what is wrong, which is for the log to tell.
const TOLD: [Kind; 12] = [
    Kind::FollowingMoving,
    Kind::FollowingStill,
    Kind::FollowingCap,
    Kind::Overspeed,
    Kind::Runaway,
    Kind::FeedbackMismatch,
    Kind::MismatchSlow,
    Kind::SignalLow,
    Kind::SignalHigh,
    Kind::SignalLost,
    Kind::PositionJump,
    Kind::Overload,
];

/// The work order.
pub(super) fn order(bench: BenchId, found: &Found) -> String {
    let (name, axis) = machine(bench);
    let named = |check: Check| {
        let row = check.row().outcomes.get(usize::from(found.outcome(check)));
        row.map_or("", |row| row.name)
    };
    let seen = || {
        let fits = |(check, outcomes, _): &&(Check, &[&str], &'static str)| outcomes.contains(&named(*check));
        SEEN.iter()
            .find(fits)
            .map_or("{axis} runs, but at the yearly inspection something was not as in the record.", |(.., words)| {
                words
            })
    };
    let complaint = match named(Check::Traverse) {
        "count-off" => "{axis} runs, but after a while its readout is not right.",
        "following" => "{axis} stops with a following error.",
        "signal" => "{axis} stops because the control misses its signal.",
        "stops" => "{axis} stops with an alarm.",
        "none" => "{axis} cannot be run over its travel: the control refuses.",
        _ => seen(),
    };
    let mut text = format!("Pell Harbour Joinery, {name}. {}", capital(&complaint.replace("{axis}", axis)));
    let alarm = match stop(found, Check::Traverse) {
        Some((kind, _)) if TOLD.contains(&kind) => Some(kind.title()),
        _ => None,
    };
    if let Some(alarm) = alarm {
        let _ = write!(text, " The screen said: \u{201c}{alarm}\u{201d}.");
    }
    let homing = match named(Check::HomeTest) {
        "moved" | "scatters" if named(Check::Traverse) != "runs" => " Its zero is not to be trusted either.",
        "not-found" if named(Check::Traverse) != "runs" => " It does not find its zero either.",
        _ => "",
    };
    text.push_str(homing);
    text.push_str(" Please find out and put right.");
    text
}

/// What the operator says. All but the last is so: it was tried on the machine.
pub(super) fn statements(shop: &Shop, found: &Found) -> Vec<Statement> {
    let say = |ask: &str, answer: String, trust| Statement { ask: ask.to_owned(), answer, trust };
    vec![
        say("Where does it stop?", places(shop, found), Trust::True),
        say("Does it take its zero?", zero(shop, found).to_owned(), Trust::True),
        say(
            "Was anything done to it lately?",
            "Not that I know of. But there are two shifts, and nobody writes it down.".to_owned(),
            Trust::Vague,
        ),
    ]
}

/// Alarm and place, m, at which a check ended.
fn stop(found: &Found, check: Check) -> Option<(Kind, f64)> {
    let reading = found.all.iter().find(|reading| reading.check == check)?;
    match reading.measured.stopped {
        Some(Stopped::ByMonitor { kind, place_m }) => Some((kind, place_m)),
        _ => None,
    }
}

fn places(shop: &Shop, found: &Found) -> String {
    let driven = [Check::Traverse, Check::AmplitudeScan, Check::CurrentScan];
    let places: Vec<f64> =
        driven.into_iter().filter_map(|check| stop(found, check)).map(|(_, place_m)| place_m).collect();
    let travel_m = shop.travel_m();
    let least = places.iter().copied().fold(f64::INFINITY, f64::min);
    let most = places.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let about = |place_m: f64| (place_m - 0.25 * travel_m).abs() < AT_ONCE * travel_m;
    let traverse = &found.all[Check::Traverse as usize].measured;
    match places.len() {
        _ if matches!(traverse.stopped, Some(Stopped::Refused { .. })) => {
            "I am not let run it from end to end. The screen refuses.".to_owned()
        }
        0 if traverse.stopped.is_some() => "It does not stop where it should: it does not come to rest.".to_owned(),
        0 => "It does not stop. It goes on as if nothing were.".to_owned(),
        _ if about(least) && about(most) => "As soon as it is to move.".to_owned(),
        1 => {
            let part = (least / travel_m).clamp(0.0, 1.0);
            let where_ = match part {
                _ if part < 0.33 => "in the first third of the travel",
                _ if part < 0.67 => "somewhere in the middle",
                _ => "in the last third of the travel",
            };
            format!("It stopped once, {where_}. At another speed it did not stop there.")
        }
        _ if most - least < ONE_PLACE * travel_m => "Always about the same place, fast or slow.".to_owned(),
        _ => "Now here, now there. I see no pattern in it.".to_owned(),
    }
}

fn zero(shop: &Shop, found: &Found) -> &'static str {
    let homes = !shop.baseline.get(Check::HomeTest).figures.is_empty();
    match found.all[Check::HomeTest as usize].outcome {
        0 if !homes => "It needs no homing. It knew its place this morning.",
        0 | 3 => "It homes, and zero is where it was.",
        1 => "It homes, but zero is not where it was.",
        2 => "It homes, and each time zero is somewhere else.",
        _ => "No. I tried, and it did not get that far.",
    }
}

/// What is behind it, for the debrief.
pub(super) fn lesson(faults: &[Active]) -> String {
    let mut parts = Vec::new();
    for fault in faults {
        let row = fault.id.row();
        let mut text = format!("{}, {:.0} %", row.title, fault.severity * 100.0);
        if row.has_place {
            let _ = write!(text, ", at {:.0} mm", fault.at_m * 1e3);
        }
        text.push('.');
        for tells in service_of(row.name).map_or(&[][..], |service| service.tells) {
            let _ = write!(text, " {tells}");
        }
        parts.push(text);
    }
    parts.join("\n\n")
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use sim_core::fault::TABLE;
    use sim_core::fault::service::SERVICES;

    #[test]
    fn what_is_seen_has_the_names_of_outcomes() {
        for (check, outcomes, words) in SEEN {
            for outcome in outcomes {
                assert!(check.outcome(outcome).is_some_and(|o| o != 0), "{outcome}");
            }
            assert!(words.contains("{axis}") && words.ends_with('.'));
        }
        for name in ["runs", "count-off", "following", "signal", "stops", "none"] {
            assert!(Check::Traverse.outcome(name).is_some());
        }
    }

    #[test]
    fn no_words_of_the_office_are_those_of_a_cause() {
        let words: Vec<&str> =
            SEEN.iter().map(|(.., words)| *words).chain(TOLD.iter().map(|kind| kind.title())).collect();
        for row in &TABLE {
            for words in &words {
                assert!(!words.to_lowercase().contains(&row.title.to_lowercase()), "{words} tells {}", row.title);
            }
        }
    }

    #[test]
    fn the_debrief_names_each_fault_with_what_tells_it() {
        assert_eq!(SERVICES.iter().filter(|service| service.row().is_some()).count(), TABLE.len());
        for row in &TABLE {
            let text = lesson(&[Active { id: row.id, severity: 0.57, at_m: 0.25 }]);
            assert!(text.starts_with(&format!("{}, 57 %", row.title)), "{text}");
            assert_eq!(text.contains("at 250 mm"), row.has_place);
            assert!(text.len() > row.title.len() + 40, "{text}");
        }
    }
}
