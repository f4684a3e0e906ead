//! What each shipped scene claims, in its own words, asked of the run.

use lessons::{read, shipped, shipped_by_name};
use sim_core::bench;
use sim_core::event::{Event, Weight, What};
use sim_core::instrument::summary::Summary;
use sim_core::monitor::MonitorKind;
use sim_core::record::{Record, Tap};
use sim_core::scene::Scene;

/// The end of each millisecond (of a long scene, of ten) and all events.
#[derive(Default)]
struct Story {
    every: u64,
    records: Vec<Record>,
    events: Vec<Event>,
}

impl Tap for Story {
    const SAMPLES: bool = false;

    fn record(&mut self, record: &Record) {
        if record.step.is_multiple_of(self.every) {
            self.records.push(*record);
        }
    }

    fn event(&mut self, event: &Event) {
        self.events.push(event.clone());
    }
}

impl Story {
    fn last(&self) -> &Record {
        self.records.last().expect("the scene ran")
    }

    fn at(&self, time_s: f64) -> &Record {
        self.records.iter().find(|r| r.time_s >= time_s - 1e-9).expect("the scene runs that long")
    }

    fn when(&self, what: impl Fn(&What) -> bool) -> Vec<&Event> {
        self.events.iter().filter(|e| what(&e.what)).collect()
    }

    fn alarms(&self) -> Vec<&Event> {
        self.events.iter().filter(|e| e.weight() == Weight::Alarm).collect()
    }
}

fn scene(id: &str) -> Scene {
    let shipped = shipped_by_name(id).unwrap_or_else(|| panic!("{id} is not shipped"));
    read(shipped.id, shipped.text).unwrap_or_else(|e| panic!("{e}"))
}

fn play(id: &str) -> (Story, Summary) {
    let scene = scene(id);
    let every = if scene.duration_s.get() > 100.0 { 200 } else { 20 };
    let mut taps = (Story { every, ..Story::default() }, Summary::default());
    bench::run(&scene, &mut taps);
    taps
}

/// Readout less table, mm: what the count is off by.
fn off_mm(r: &Record) -> f64 {
    (r.counted_m - r.table_m) * 1e3
}

/// A new scene comes with a test of what it claims: here, or by its own `[[expect]]` (see `signatures.rs`).
#[test]
fn every_shipped_scene_has_its_claims_tested() {
    let text = include_str!("scenes.rs");
    for scene in shipped() {
        let claims = !self::scene(scene.id).expects.is_empty();
        assert!(claims || text.contains(&format!("play(\"{}\")", scene.id)), "no test plays {}", scene.id);
    }
}

/// Five bright lines of the 1 mm tape: five pulses, 5 mm (1 count per period by hand).
#[test]
fn five_lines_are_five_counts_and_five_millimetres() {
    let (story, summary) = play("five-lines");
    assert_eq!((summary.count, summary.count_range), (5, (0, 5)));
    assert!((summary.readout_mm - 5.0).abs() < 1e-9, "{}", summary.readout_mm);
    // And the table did go 5 mm, within what the motor encoder resolves.
    let way_mm = (story.last().table_m - story.records[0].table_m) * 1e3;
    assert!((way_mm - 5.0).abs() < 0.05, "{way_mm}");
    assert!(story.events.iter().all(|e| e.weight() == Weight::Note), "{:?}", story.events);
}

/// 20 mm out and 20 mm back over a 1 mm tape: 20 + 20 pulses, none taken away.
#[test]
fn one_sensor_counts_up_both_ways() {
    let (story, summary) = play("one-sensor");
    assert_eq!((story.at(4.0).count, summary.count, summary.count_range), (20, 40, (0, 40)));
    assert!(story.records.windows(2).all(|pair| pair[1].count >= pair[0].count), "the count fell");
    assert!(story.records.iter().all(|r| r.amplitude_b_v == 0.0), "sensor B is not plugged in");
    let back_mm = (story.last().table_m - story.records[0].table_m) * 1e3;
    assert!(back_mm.abs() < 0.05, "the table is {back_mm} mm from where it was");
    assert!((summary.readout_mm - 40.0).abs() < 1e-9 && summary.alarms == 0);
}

/// The same way with both sensors, four counts a period: 80 counts out, 0 at the end.
#[test]
fn two_sensors_count_down_on_the_way_back() {
    let (story, summary) = play("two-sensors");
    assert_eq!((summary.count, summary.count_range), (0, (0, 80)));
    assert_eq!(summary.illegal_transitions, 0);
    assert_eq!((story.at(4.0).count, story.at(4.0).direction, story.last().direction), (80, 1, -1));
}

#[test]
fn a_wide_smear_stops_the_gantry() {
    let (story, summary) = play("wide-smear");
    // The chain in its order: dirt, a count that stands, the fault, the stop.
    let order: Vec<f64> = [
        story.when(|w| matches!(w, What::DirtUnderHead { .. })),
        story.when(|w| matches!(w, What::CountStands { .. })),
        story.alarms(),
        story.when(|w| matches!(w, What::Stopped)),
    ]
    .iter()
    .map(|events| {
        assert_eq!(events.len(), 1, "{events:?}");
        events[0].time_s
    })
    .collect();
    assert!(order.is_sorted(), "{order:?}");
    let alarm = story.alarms()[0];
    let What::Monitor { kind, value, limit, warning, .. } = alarm.what else { panic!("{alarm:?}") };
    assert_eq!((kind, warning), (MonitorKind::FollowingMoving, false));
    // The band of the gantry is 3 mm around what is expected (axis model); the alarm comes within a position period.
    assert!((limit - 3e-3).abs() < 1e-12 && value > limit && value < limit + 0.4e-3, "{value} {limit}");
    assert!((1514e-3..1528e-3).contains(&alarm.place_m), "the alarm came at {} m, outside the dirt", alarm.place_m);
    // By hand: at 20 m/min 3 mm go by in 9 ms once the count stands.
    let blind_s = story.when(|w| matches!(w, What::CountStands { .. }))[0].time_s;
    assert!((alarm.time_s - blind_s - 0.009).abs() < 0.004, "{} s", alarm.time_s - blind_s);
    assert!(summary.following_error_mm > 6.0, "{}", summary.following_error_mm);
    assert!(story.last().alarm && story.last().speed_mps.abs() < 1e-3, "it does not stand");
    // In the dirt neither channel reaches what the input needs.
    let dirty: Vec<&Record> = story.records.iter().filter(|r| (1.516..1.526).contains(&r.table_m)).collect();
    assert!(!dirty.is_empty() && dirty.iter().all(|r| r.amplitude_a_v < r.needed_v && r.amplitude_b_v < r.needed_v));
    assert!(off_mm(story.last()) < -10.0, "{} mm", off_mm(story.last()));
}

#[test]
fn a_narrow_smear_leaves_a_lasting_offset_and_no_alarm() {
    let (story, summary) = play("narrow-smear");
    assert_eq!((summary.alarms, story.last().alarm), (0, false));
    // "A millimetre off from there on": 26 whole periods of 40 um, to within a count of 2 um.
    let off_mm = off_mm(story.last());
    assert!((off_mm + 1.04).abs() <= 2e-3, "{off_mm}");
    let periods = -off_mm / 40e-3;
    assert!((periods - periods.round()).abs() <= 2e-3 / 40e-3, "{periods} periods");
    // The control believes that it arrived; the table stands a millimetre further.
    assert!((summary.readout_mm - 1700.0).abs() < 0.01 && (summary.table_mm - 1701.04).abs() < 0.01);
    // "The control lurches to catch up": more than half the band away from what is expected, and more current.
    assert!((0.5..3.0).contains(&summary.following_departure_mm), "{}", summary.following_departure_mm);
    let told = story.when(|w| matches!(w, What::CountResumes { .. }));
    assert!(told.len() == 1 && told[0].words().contains("520 counts were lost: the readout is off by 1.040 mm"));
    assert!(story.at(1.2).time_s < story.last().time_s && (self::off_mm(story.at(1.2)) + 1.04).abs() < 5e-3);
}

#[test]
fn wiping_and_homing_makes_the_rail_right_again() {
    let (story, summary) = play("wipe-and-home");
    assert_eq!(summary.alarms, 1, "{:?}", story.alarms());
    let alarm = story.alarms()[0];
    assert!((0.2..0.22).contains(&alarm.place_m), "the alarm came at {} m, outside the dirt", alarm.place_m);
    let homed = story.when(|w| matches!(w, What::Homed { .. }));
    let What::Homed { corrected_m } = homed[0].what else { panic!("{homed:?}") };
    // Wiped and acknowledged, the readout is still wrong: only homing mends it.
    let before = story.at(homed[0].time_s - 0.1);
    assert!(off_mm(before) < -5.0 && !before.alarm, "{} mm before homing", off_mm(before));
    assert!((corrected_m.abs() * 1e3 + off_mm(before)).abs() < 0.3, "{corrected_m} m corrected");
    // From there on it is right within a count of 0.25 mm, over the place where the dirt was, without an alarm.
    let after: Vec<&Record> = story.records.iter().filter(|r| r.time_s > homed[0].time_s + 0.01).collect();
    assert!(after.iter().all(|r| (off_mm(r) + 0.125).abs() <= 0.25 && !r.alarm), "off after homing");
    assert!(after.iter().any(|r| r.table_m < 0.15) && after.iter().any(|r| r.table_m > 0.35), "no move after homing");
    assert!(story.last().referenced);
}

#[test]
fn the_signal_falls_with_the_gap_and_the_fault_waits_at_the_far_end() {
    let (story, summary) = play("close-here-far-there");
    let moving: Vec<&Record> = story.records.iter().filter(|r| r.speed_mps > 0.24).collect();
    assert!(moving.len() > 1000);
    for pair in moving.windows(2) {
        assert!(pair[1].gap_m > pair[0].gap_m && pair[1].amplitude_a_v <= pair[0].amplitude_a_v + 1e-12, "{pair:?}");
    }
    // The wedge of the scene: 340 um a metre on 800 um at machine zero.
    let middle = moving[moving.len() / 2];
    assert!((middle.gap_m - (800e-6 + 340e-6 * middle.table_m)).abs() < 1e-9);
    // 0.479 V at the head; 15 m of cable take under 3 % of it.
    assert!(summary.amplitude_ends_v.0 > 0.46, "weak at the near end already: {:?}", summary.amplitude_ends_v);
    let troubles: Vec<&Event> = story.events.iter().filter(|e| e.weight() >= Weight::Warning).collect();
    assert!(!troubles.is_empty() && story.alarms().len() == 1);
    // Far: beyond the middle of the 3200 mm.
    assert!(troubles.iter().all(|e| e.place_m > 1.6), "{troubles:?}");
}

/// Contrast of two crossed line patterns over a field of height H: the phase runs by 2 pi H sin(yaw) / p over it, its
/// mean is sinc(H sin(yaw) / p) (moire of crossed gratings, Patorski 1993, from memory). H = 1.5 mm, p = 40 um.
#[test]
fn a_turned_head_loses_contrast_as_the_moire_formula_says() {
    let (story, summary) = play("head-yaw");
    let straight = {
        let mut scene = scene("head-yaw");
        scene.set.0.clear();
        let mut summary = Summary::default();
        bench::run(&scene, &mut summary);
        summary.amplitude_ends_v.0
    };
    let turns = 1.5e-3 * 14e-3_f64.sin() / 40e-6;
    let formula = (std::f64::consts::PI * turns).sin() / (std::f64::consts::PI * turns);
    let seen = summary.amplitude_ends_v.0 / straight;
    // The formula is that of the first harmonic in a parallel beam; yaw also foreshortens the period by 1 - cos(yaw).
    assert!((seen / formula - 1.0).abs() < 0.01, "{seen} seen, {formula} by the formula");
    // "Alike at both ends", and the count is still right.
    let (low, high) = summary.amplitude_a_v;
    assert!(high / low < 1.02, "{low} V to {high} V");
    assert!(off_mm(story.last()).abs() < 4e-3 && summary.alarms == 0);
}

#[test]
fn ten_minutes_on_a_clean_tape_are_without_event() {
    let (story, summary) = play("clean-shuttle");
    assert!(story.events.is_empty(), "{:?}", story.events);
    assert_eq!((story.records[0].count, summary.count, summary.illegal_transitions), (0, 0, 0));
    assert!((summary.time_s - 600.0).abs() < 1e-9);
    // "To and fro": out to 2800 mm, (2800 - 100) mm / 2 um = 1 350 000 counts, give or take the rest at the end.
    assert!((summary.count_range.1 - 1_350_000).abs() <= 2 && summary.count_range.0 >= -1, "{:?}", summary.count_range);
    // v (1 - kff) / Kv at 20 m/min (textbook): 333.3 mm/s x 0.2 / 20 1/s = 3.333 mm.
    let cruising: Vec<f64> =
        story.records.iter().filter(|r| r.command_mps == 20.0 / 60.0).map(|r| r.error_m * 1e3).collect();
    let late = &cruising[200..];
    let mean = late.iter().sum::<f64>() / late.len() as f64;
    assert!((mean - 3.333).abs() < 0.02, "{mean} mm");
    assert!(summary.worst_readout_error_mm < 4e-3, "{}", summary.worst_readout_error_mm);
}

/// The first scene is there to be broken by hand: left alone for its hour it stays healthy. A minute of it is asked here.
#[test]
fn the_first_look_is_healthy_when_left_alone() {
    let mut scene = scene("first-look");
    scene.duration_s = sim_core::numbers::Within::nearest(60.0);
    let mut taps = (Story { every: 20, ..Story::default() }, Summary::default());
    bench::run(&scene, &mut taps);
    // In full it runs in the fingerprints: play("first-look").
    assert!(taps.0.events.is_empty(), "{:?}", taps.0.events);
    assert!(taps.1.table_mm > 79.0 && taps.1.worst_readout_error_mm < 0.5, "{}", taps.1.worst_readout_error_mm);
    let (near, far) = taps.0.records.iter().fold((1.0_f64, 0.0_f64), |(n, f), r| (n.min(r.table_m), f.max(r.table_m)));
    assert!((near - 0.08).abs() < 1e-3 && (far - 0.52).abs() < 1e-3, "{near} to {far}");
}
