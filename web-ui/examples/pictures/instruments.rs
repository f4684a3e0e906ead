//! The instruments over benches that ran: each scene is taken to a moment, and every instrument is drawn of it.

use web_ui::draw::room::Area;
use web_ui::draw::shape::Shape;
use web_ui::draw::words::{ChartWords, InstrumentWords, TraceNotes};
use web_ui::draw::{count_strip, figure, loop_strip, traces, travel};
use web_ui::lab::{Lab, TriggerOn};

/// Size of a picture and its pen scale.
const SIZES: [(&str, f64, f64, f64); 3] =
    [("laptop", 640.0, 320.0, 1.0), ("projector", 1300.0, 620.0, 1.6), ("phone", 344.0, 300.0, 1.08)];

/// Scenes with the moment in s, the pace and the trigger.
const STATES: [(&str, &str, f64, usize, TriggerOn); 5] = [
    ("running", "first-look", 1.6, 7, TriggerOn::A),
    ("smear", "wide-smear", 0.9935, 6, TriggerOn::Free),
    ("tripped", "wide-smear", 1.05, 4, TriggerOn::Alarm),
    ("slow", "first-look", 1.6, 9, TriggerOn::Free),
    ("wire", "conductor-on-screen", 0.8, 6, TriggerOn::Free),
];

/// A scene at a moment.
pub fn lab_at(id: &str, moment_s: f64, pace: usize, on: TriggerOn) -> Lab {
    let shipped = lessons::shipped_by_name(id).expect("a shipped scene");
    let mut lab = Lab::new(id, lessons::read(id, shipped.text).expect("readable"));
    lab.clock.pause_at_alarm = false;
    lab.clock.set_pace(pace);
    let level_v = lab.middle_v();
    lab.instruments_mut().sweeps.keep = 5;
    lab.instruments_mut().sweeps.trigger(on, level_v);
    lab.advance((moment_s / 50e-6) as u64);
    lab
}

/// Saves every instrument of every state.
pub fn save_all(mut save: impl FnMut(&str, &[Shape], f64, f64, f64) -> std::io::Result<()>) -> std::io::Result<()> {
    let (words, more) = (ChartWords::ENGLISH, InstrumentWords::ENGLISH);
    for (name, id, moment_s, pace, on) in STATES {
        let mut lab = lab_at(id, moment_s, pace, on);
        if name != "slow" {
            lab.instruments_mut().settings.cursors = Some([0.31, 0.62]);
        }
        for (size, w, h, k) in SIZES {
            let area = Area::new(0.0, 0.0, w, h);
            let view = lab.traces_view(w as usize);
            let at = traces::TracesLayout::new(&view, area, k);
            let notes = TraceNotes { a: "0.97 V", b: "0.96 V", now: "" };
            save(&format!("traces-{name}-{size}"), &traces::draw(&view, &at, &words, &more, &notes), w, h, k)?;
            let shapes = count_strip::draw(&lab.count_view(w as usize), area, k, &words, &more);
            save(&format!("count-{name}-{size}"), &shapes, w, h, k)?;
            let shapes = loop_strip::draw(&lab.loop_view(w as usize), area, k, &words, &more);
            save(&format!("loop-{name}-{size}"), &shapes, w, h, k)?;
            save(&format!("travel-{name}-{size}"), &travel::draw(&lab.travel_view(), area, k, &more), w, h, k)?;
            let shapes = figure::draw(&lab.figure_view(), area, k, &words, &more);
            save(&format!("figure-{name}-{size}"), &shapes, w, h, k)?;
        }
    }
    Ok(())
}

/// Prints what each instrument takes to work out and to draw, ms: the quickest of many rounds.
pub fn print_cost() {
    let lab = lab_at("wide-smear", 0.9935, 6, TriggerOn::A);
    let (words, more, area) = (ChartWords::ENGLISH, InstrumentWords::ENGLISH, Area::new(0.0, 0.0, 640.0, 320.0));
    let notes = TraceNotes { a: "", b: "", now: "" };
    let cost = |name: &str, round: &dyn Fn() -> usize| {
        let times = (0..40).map(|_| {
            let start = std::time::Instant::now();
            std::hint::black_box(round());
            start.elapsed().as_secs_f64() * 1e3
        });
        println!("{name:8} {:.2} ms", times.fold(f64::INFINITY, f64::min));
    };
    cost("traces", &|| {
        let view = lab.traces_view(640);
        let at = traces::TracesLayout::new(&view, area, 1.0);
        traces::draw(&view, &at, &words, &more, &notes).len()
    });
    cost("count", &|| count_strip::draw(&lab.count_view(640), area, 1.0, &words, &more).len());
    cost("loop", &|| loop_strip::draw(&lab.loop_view(640), area, 1.0, &words, &more).len());
    cost("travel", &|| travel::draw(&lab.travel_view(), area, 1.0, &more).len());
    cost("figure", &|| figure::draw(&lab.figure_view(), area, 1.0, &words, &more).len());
    cost("values", &|| lab.measures().len());
}
