//! The bench on paper: what a report says of it, as plain words.

use crate::lab::Lab;
use sim_core::event::{Weight, What, mm};
use sim_core::fault::service::{Caution, DEFER, service_of};
use sim_core::names::{Kind, ROWS, Value};
use sim_core::record::Doing;
use sim_core::setup::Setup;
use sim_core::surface::Segment;

/// Most entries of the log on the paper.
const LOG_LINES: usize = 24;
/// Most stretches of dirt that are listed.
const DIRT_LINES: usize = 12;

/// What the report says.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Report {
    /// Title of the scene.
    pub title: String,
    /// What it is about.
    pub about: String,
    /// Title block: name and value.
    pub block: Vec<(&'static str, String)>,
    /// Settings that differ from healthy: name, healthy, now.
    pub settings: Option<Vec<[String; 3]>>,
    /// Faults: name, severity, place; `None` when they are left out.
    pub faults: Option<Vec<[String; 3]>>,
    /// Dirt and damage on the scale: stretch, what lies there; `None` when it is left out.
    pub dirt: Option<Vec<[String; 2]>>,
    /// Readings now: name, value with its unit.
    pub readings: Vec<(&'static str, String)>,
    /// The log, oldest first: time, words, whether it is an alarm.
    pub log: Vec<(String, String, bool)>,
    /// Cautions, whole sentences.
    pub cautions: Vec<&'static str>,
}

/// The report of the bench now; `open` tells what is broken and dirty. Without settings, and without the scene's own
/// words, where they would give a covered cause away.
pub fn report(lab: &Lab, open: bool, with_settings: bool) -> Report {
    let (sim, scene) = (lab.sim(), lab.scene());
    let (setup, params, record) = (&sim.bench().setup, sim.params(), sim.record());
    let period_um = params.scale.period_m * 1e6;
    Report {
        title: if with_settings { scene.title.clone() } else { setup.bench.title().to_owned() },
        about: if with_settings { scene.about.clone() } else { String::new() },
        block: vec![
            ("Machine", setup.bench.title().to_owned()),
            (
                "Period of the scale",
                if period_um >= 1000.0 {
                    format!("{:.0} mm", period_um / 1e3)
                } else {
                    format!("{period_um:.0} \u{b5}m")
                },
            ),
            ("Model time", format!("{:.4} s", record.time_s)),
            ("Seed", scene.seed.to_string()),
            ("Zero", if record.referenced { "taken" } else { "not taken" }.to_owned()),
        ],
        settings: with_settings.then(|| settings(setup)),
        faults: open.then(|| faults(lab)),
        dirt: open.then(|| dirt(params.surface.segments())),
        readings: readings(lab),
        log: log(lab, open),
        cautions: cautions(lab, open),
    }
}

fn settings(setup: &Setup) -> Vec<[String; 3]> {
    let healthy = Setup::healthy(setup.bench);
    let told = |value: &Value, unit: &str| match value {
        Value::Number(number) => format!("{number} {unit}").trim_end().replace("um", "\u{b5}m"),
        Value::Word(word) => word.replace('-', " "),
    };
    let rows = ROWS.iter().filter(|row| row.setting.get(setup) != row.setting.get(&healthy));
    rows.map(|row| {
        debug_assert!(matches!(row.kind, Kind::Number { .. } | Kind::Words(_)));
        [row.label.to_owned(), told(&row.setting.get(&healthy), row.unit), told(&row.setting.get(setup), row.unit)]
    })
    .collect()
}

fn faults(lab: &Lab) -> Vec<[String; 3]> {
    let row = |fault: &sim_core::fault::Active| {
        let row = fault.id.row();
        let place = if row.has_place { format!("at {} mm", mm(fault.at_m, 0)) } else { String::new() };
        [row.title.to_owned(), format!("{:.0} %", fault.severity * 100.0), place]
    };
    lab.sim().faults().iter().map(row).collect()
}

/// Neighbouring stretches of the same kind are one line.
fn dirt(segments: &[Segment]) -> Vec<[String; 2]> {
    let mut lines: Vec<(f64, f64, String)> = Vec::new();
    for s in segments.iter().filter(|s| !s.is_clean()) {
        let known: Vec<&str> = s.matter.iter().map(|substance| substance.title()).collect();
        let what = match (known.is_empty(), s.lines < 1.0) {
            (false, _) => known.join(", "),
            (true, true) => "missing or scratched lines".to_owned(),
            (true, false) => "film".to_owned(),
        };
        match lines.last_mut() {
            Some((_, to, same)) if *same == what && s.from_m <= *to + 1e-3 => *to = to.max(s.to_m),
            _ => lines.push((s.from_m, s.to_m, what)),
        }
    }
    let more = lines.len().saturating_sub(DIRT_LINES);
    let mut told: Vec<[String; 2]> = lines
        .into_iter()
        .take(DIRT_LINES)
        .map(|(from, to, what)| [format!("{} to {} mm", mm(from, 1), mm(to, 1)), what])
        .collect();
    if more > 0 {
        told.push([String::new(), format!("and {more} more stretches")]);
    }
    told
}

fn readings(lab: &Lab) -> Vec<(&'static str, String)> {
    let (r, params) = (lab.sim().record(), lab.sim().params());
    let doing = match r.doing {
        Doing::Off => "drive off",
        Doing::Holding => "holding its place",
        Doing::Moving => "moving",
        Doing::Homing => "homing",
        Doing::Stopping => "being stopped",
        Doing::Tripped => "stopped by an alarm",
    };
    let mut all = vec![
        ("Axis", doing.to_owned()),
        ("Table", format!("{} mm", mm(r.table_m, 3))),
        ("Readout", format!("{} mm", mm(r.readout_m, 3))),
        ("Not counted", format!("{} mm", mm(lab.uncounted_m(), 3))),
        ("Count", r.count.to_string()),
        ("Amplitude of A", format!("{:.3} V", r.amplitude_a_v)),
    ];
    if params.two_sensors {
        all.push(("Amplitude of B", format!("{:.3} V", r.amplitude_b_v)));
    }
    all.extend([
        ("Needed by the input", format!("{:.3} V", r.needed_v)),
        ("Following error", format!("{} mm", mm(r.error_m, 3))),
        ("Expected", format!("{} mm", mm(r.expected_m, 3))),
        ("Allowed", format!("{} to {} mm", mm(r.band_m.0, 3), mm(r.band_m.1, 3))),
        ("Gap under the head", format!("{:.1} \u{b5}m", r.gap_m * 1e6)),
        ("Light of the source", format!("{:.0} %", r.light * 100.0)),
        ("Pattern left", format!("{:.0} %", r.contrast * 100.0)),
        ("Supply at the head", format!("{:.2} V", r.head_supply_v)),
        ("Illegal transitions", r.illegal.to_string()),
    ]);
    all
}

/// Whether an event tells what is broken or dirty, or what only the model can know of it.
fn tells_all(what: &What) -> bool {
    matches!(
        what,
        What::DirtUnderHead { .. }
            | What::DirtPassed
            | What::CountStands { .. }
            | What::CountResumes { .. }
            | What::Wiped
            | What::Smeared { .. }
            | What::Broken { .. }
            | What::Mended { .. }
            | What::Care(_)
    )
}

fn log(lab: &Lab, open: bool) -> Vec<(String, String, bool)> {
    let line = |event: &sim_core::event::Event| {
        (format!("{:.4} s", event.time_s), event.words(), event.weight() == Weight::Alarm)
    };
    let mut lines: Vec<_> =
        lab.log().filter(|event| open || !tells_all(&event.what)).take(LOG_LINES).map(line).collect();
    lines.reverse();
    lines
}

/// Cautions of the work that the faults ask for; where the faults are left out, those of any work on an axis.
fn cautions(lab: &Lab, open: bool) -> Vec<&'static str> {
    let mut all = vec![Caution::LockOut, Caution::HangingAxis, Caution::MovingAxis, Caution::LightSource];
    if open {
        let services = lab.sim().faults().iter().filter_map(|fault| service_of(fault.id.row().name));
        all.extend(services.flat_map(|service| service.cautions));
    }
    all.sort();
    all.dedup();
    all.into_iter().map(Caution::text).chain([DEFER]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use sim_core::bench::command::{Break, Command, Percent, PlaceMm, SettingList, Smear};
    use sim_core::fault::FaultId;
    use sim_core::names::Setting;

    #[test]
    fn the_report_tells_what_differs_and_leaves_out_what_is_hidden() {
        let shipped = lessons::shipped_by_name("wide-smear").expect("it is shipped");
        let mut lab = Lab::new("wide-smear", lessons::read("wide-smear", shipped.text).expect("a scene"));
        let healthy = report(&lab, true, true);
        assert_eq!(
            (healthy.settings.as_ref().unwrap().len(), healthy.faults.as_deref(), healthy.dirt.as_deref()),
            (0, Some(&[][..]), Some(&[][..]))
        );
        let place = |mm: f64| PlaceMm::nearest(mm);
        let half = Percent::nearest(50.0);
        for command in [
            Command::Set(SettingList(vec![(Setting::HeadGap, Value::Number(150.0))])),
            Command::Break(Break { fault: FaultId::SupplyThin, severity_percent: half, at_mm: None }),
            Command::Smear(Smear::blocking(place(200.0), place(215.0), half)),
        ] {
            lab.command(&command).expect("allowed");
        }
        lab.advance(10);
        let told = report(&lab, true, true);
        assert_eq!(told.settings.as_ref().unwrap().len(), 1);
        assert_eq!(told.settings.as_ref().unwrap()[0][2], "150 \u{b5}m");
        assert_eq!(told.faults.as_deref().map(|f| f[0][1].clone()), Some("50 %".to_owned()));
        assert_eq!(told.dirt.as_deref().map(|d| d[0][0].clone()), Some("200.0 to 215.0 mm".to_owned()));
        assert!(told.cautions.len() > 4 && told.cautions.last() == Some(&DEFER));
        let hidden = report(&lab, false, true);
        assert_eq!((hidden.faults, hidden.dirt, hidden.log.len()), (None, None, 0));
        assert!(told.log.len() >= 2, "{:?}", told.log);
        assert!(hidden.cautions.contains(&Caution::LockOut.text()) && hidden.cautions.contains(&DEFER));
    }
}
