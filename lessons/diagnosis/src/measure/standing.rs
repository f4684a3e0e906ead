//! Checks on a standing machine.

use super::{Measured, Picture, View, ends_m, ready};
use sim_core::bench::Sim;
use sim_core::bench::command::{Command, Flex};
use sim_core::chain::interference::Shield;
use sim_core::event::{Event, Hands, What};
use sim_core::inspect::Figure;
use sim_core::inspect::drive::{Stopped, move_to, order, wait};
use sim_core::numbers::Within;
use sim_core::record::{Sample, Tap};
use sim_core::scale::housing::Housing;
use sim_core::surface::Segment;

/// An open conductor on the ohmmeter, ohm.
pub const OPEN_OHM: f64 = 1e6;

/// What an oscilloscope reads where its probe is.
pub fn scope(sim: &Sim, at_head: bool) -> Measured {
    let picture = if at_head { None } else { traces(sim) };
    Measured { figures: levels(sim, at_head), stopped: None, picture }
}

/// Amplitudes at the head's end of the cable or at the drive, and there the means too.
pub fn levels(sim: &Sim, at_head: bool) -> Vec<Figure> {
    let r = sim.record();
    let [a, b] = if at_head { sim.amplitudes_at_head_v() } else { [r.amplitude_a_v, r.amplitude_b_v] };
    let mut figures = vec![Figure::new("amplitude_a_v", a, 0.02), Figure::new("amplitude_b_v", b, 0.02)];
    if !at_head {
        let [a_v, b_v] = sim.means_at_drive_v();
        figures.push(Figure::new("mean_a_mv", a_v * 1e3, 15.0));
        figures.push(Figure::new("mean_b_mv", b_v * 1e3, 15.0));
    }
    figures
}

/// A and B over time and place.
#[derive(Default)]
struct Screen(Vec<Sample>);

impl Tap for Screen {
    fn sample(&mut self, sample: &Sample) {
        self.0.push(*sample);
    }
}

/// What the oscilloscope shows while the axis goes on by some periods, as when somebody nudges it: made on a copy, the
/// bench itself stays where it is. An axis that cannot move shows two levels.
fn traces(sim: &Sim) -> Option<Picture> {
    /// Periods that are gone, those in the middle that are shown, and the time of one, s.
    const PERIODS: f64 = 24.0;
    const SHOWN: f64 = 4.0;
    const PERIOD_S: f64 = 0.01;
    let mut copy = sim.clone();
    let period_m = sim.params().scale.period_m;
    let (from_m, to_m) = ends_m(sim);
    let start_m = sim.record().command_m.clamp(from_m, to_m - PERIODS * period_m);
    let (target_m, speed_mps) = (start_m + PERIODS * period_m, period_m / PERIOD_S);
    let mut screen = Screen::default();
    let moved = ready(&mut copy)
        .and_then(|()| move_to(&mut copy, start_m, speed_mps, &mut ()))
        .and_then(|()| move_to(&mut copy, target_m, speed_mps, &mut screen));
    if moved.is_err() {
        screen.0.clear();
        let _ = wait(&mut copy, SHOWN * PERIOD_S, &mut screen);
    }
    let gone_m = |sample: &Sample| (sample.table_m - screen.0[0].table_m) / period_m;
    let middle = |sample: &&Sample| moved.is_err() || (gone_m(sample) - 0.5 * PERIODS).abs() <= 0.5 * SHOWN;
    let shown: Vec<&Sample> = screen.0.iter().filter(middle).collect();
    let from_s = shown.first()?.time_s;
    let line = |of: fn(&Sample) -> f64| shown.iter().map(|s| [(s.time_s - from_s) * 1e3, of(s)]).collect();
    Picture::of(View::Traces, [line(|s| s.a_v), line(|s| s.b_v)])
}

/// The supply at both ends of the cable.
pub fn supply(sim: &Sim) -> Measured {
    let figures = vec![
        Figure::new("at_drive_v", sim.params().supply.source_v, 0.05),
        Figure::new("at_head_v", sim.record().head_supply_v, 0.05),
    ];
    Measured::just(figures)
}

/// Each conductor from end to end, and what it touches.
pub fn ohms(sim: &Sim) -> Measured {
    let rows = sim.params().wiring.ohms();
    let worst_ohm = rows.iter().map(|row| row.through_ohm.unwrap_or(OPEN_OHM)).fold(0.0, f64::max);
    let crossed = rows.iter().filter(|row| row.ends_on != row.wire).count();
    let touching = rows.iter().filter(|row| row.to_screen_ohm.is_some() || row.to_supply_ohm.is_some()).count();
    let figures = vec![
        Figure::new("worst_ohm", worst_ohm, 2.0),
        Figure::new("crossed", crossed as f64, 0.5),
        Figure::new("touching", touching as f64, 0.5),
        Figure::new("supply_ohm", sim.params().supply.loop_ohm(), 1.0),
    ];
    Measured::just(figures)
}

/// How many ends of the screen have passage to earth.
pub fn screen(sim: &Sim) -> Measured {
    let ends = match sim.params().interference.shield {
        Shield::BothEnds => 2.0,
        Shield::OneEnd => 1.0,
        Shield::Open => 0.0,
    };
    Measured::just(vec![Figure::new("earthed_ends", ends, 0.5)])
}

/// What the recorder told after the cable was bent.
#[derive(Default)]
struct Flexed {
    dropouts: Option<u32>,
}

impl Tap for Flexed {
    const SAMPLES: bool = false;

    fn event(&mut self, event: &Event) {
        if let What::Hands(Hands::Flexed { dropouts, .. }) = &event.what {
            self.dropouts = Some(*dropouts);
        }
    }
}

/// The cable bent along the whole travel while the axis stands.
pub fn flex(sim: &mut Sim) -> Measured {
    let (from_m, to_m) = ends_m(sim);
    let mut flexed = Flexed::default();
    let mm = |place_m: f64| Within::nearest(place_m * 1e3);
    let mut run = || -> Result<(), Stopped> {
        ready(sim)?;
        order(sim, &Command::Flex(Flex { from_mm: mm(from_m), to_mm: mm(to_m) }))?;
        while flexed.dropouts.is_none() {
            // An alarm while bending ends the watching, not the check: that the signal let go is what was asked.
            if wait(sim, 0.1, &mut flexed).is_err() && flexed.dropouts.is_none() {
                flexed.dropouts = Some(1);
            }
        }
        Ok(())
    };
    let stopped = run().err();
    let figures = flexed.dropouts.map(|n| Figure::new("dropouts", f64::from(n), 0.5)).into_iter().collect();
    Measured { figures, stopped, picture: None }
}

/// What the eye finds on the scale and in the window.
pub fn lamp(sim: &Sim) -> Measured {
    let params = sim.params();
    let length_m = |fits: fn(&Segment) -> bool| -> f64 {
        params.surface.segments().iter().filter(|s| fits(s)).map(|s| s.to_m - s.from_m).sum()
    };
    let percent = 100.0 / params.machine.travel;
    let figures = vec![
        Figure::new("covered_percent", length_m(Segment::is_dirty) * percent, 0.01),
        Figure::new("damaged_percent", length_m(|s| s.lines < 1.0) * percent, 0.01),
        Figure::new("window_percent", params.window_light() * 100.0, 10.0),
    ];
    Measured::just(figures)
}

/// Purge air and lips of an enclosed scale; an open one has none.
pub fn housing(sim: &Sim) -> Measured {
    let figures = match sim.params().housing {
        Housing::Enclosed { lips, purge_air } => vec![
            Figure::new("air", f64::from(u8::from(purge_air)), 0.5),
            Figure::new("lips_percent", lips * 100.0, 10.0),
        ],
        _ => Vec::new(),
    };
    Measured::just(figures)
}
