//! All that goals can ask about, gathered from the running bench.

use super::moves::Moves;
use super::play::Play;
use super::span::Span;
use crate::lesson::goal::{Measure, Over, Quantity, Scope};
use sim_core::bench::Sim;
use sim_core::bench::safety::SHOP_S_PER_BENCH_S;
use sim_core::event::{Event, What};
use sim_core::instrument::figure::Figure;
use sim_core::instrument::levels::{ChannelLevels, Levels, LevelsReading};
use sim_core::instrument::track::PERIODS_MAX;
use sim_core::instrument::travel::{Place, Travel};
use sim_core::record::{Record, STEP_S, Sample, Tap};

/// Share of the travel that must have been passed before it is judged.
const ENOUGH: f64 = 0.95;
/// How far a move may be from the one that is asked for: a tenth of a millimetre and a hundredth of it.
const MOVE_SLACK: (f64, f64) = (0.1e-3, 0.01);
/// How far a speed may be from the one that is asked for.
const SPEED_SLACK: f64 = 0.1;

/// Why there is no number yet, in words that say what to do.
pub type Waits = String;

/// The meter: it begins afresh whenever the bench is changed, since what was measured belongs to the bench of then.
#[derive(Clone, Debug)]
pub struct Meter {
    count_m: f64,
    period_m: f64,
    travel_m: f64,
    levels: Option<Levels>,
    figure: Option<Figure>,
    travel: Option<Travel>,
    before: Option<Sample>,
    /// Since the bench was last changed.
    pub since: Span,
    /// Moves since then.
    pub moves: Moves,
    /// Time since then, s.
    pub time_s: f64,
    /// Time in motion since then and since the last alarm, s.
    pub quiet_s: f64,
    /// Alarms since then.
    pub alarms: Vec<sim_core::monitor::MonitorKind>,
    /// Work in this task, s.
    pub work_s: f64,
    play: Play,
    drive_v: f64,
    /// Seconds of work in a second of the bench.
    pace: f64,
    corrections_m: Vec<f64>,
    fresh: bool,
}

impl Meter {
    pub fn new(sim: &Sim) -> Self {
        let params = sim.params();
        let period_m = params.scale.period_m;
        let travel_m = params.machine.travel;
        Self {
            count_m: params.metres_per_count(),
            period_m,
            travel_m,
            levels: Levels::new(period_m, PERIODS_MAX).ok(),
            figure: Figure::new(period_m, PERIODS_MAX, [params.square.threshold_v; 2]).ok(),
            travel: Travel::new(period_m, 0.0, travel_m).ok(),
            before: None,
            since: Span::from(sim.record()),
            moves: Moves::new(sim.record(), period_m),
            time_s: 0.0,
            quiet_s: 0.0,
            alarms: Vec::new(),
            work_s: 0.0,
            play: Play::default(),
            drive_v: params.supply.source_v,
            pace: if sim.bench().state.safety.isolated() { SHOP_S_PER_BENCH_S } else { 1.0 },
            corrections_m: Vec::new(),
            fresh: false,
        }
    }

    /// The end of a step; whether a move or a stroke was finished.
    pub fn see(&mut self, r: &Record) -> bool {
        if std::mem::take(&mut self.fresh) {
            // Homing set the count: what went before is no drift.
            self.since = Span::from(r);
            self.moves = Moves::new(r, self.period_m);
        }
        self.time_s += STEP_S;
        self.work_s += self.pace * STEP_S;
        if !r.alarm && r.speed_mps.abs() > 1e-3 {
            self.quiet_s += STEP_S;
        }
        if let Some(levels) = &mut self.levels {
            levels.record(r);
        }
        if let Some(travel) = &mut self.travel {
            travel.record(r);
        }
        self.since.see(r);
        let before = self.moves.finished;
        let finished = self.moves.see(r);
        if self.moves.finished > before
            && let Some(last) = &self.moves.last
        {
            self.play.moved(last);
        }
        finished
    }

    pub fn sample(&mut self, sample: &Sample) {
        if let Some(before) = self.before.replace(*sample) {
            self.since.edges(&before, sample);
            self.moves.edges(&before, sample);
        }
        if let Some(levels) = &mut self.levels {
            levels.sample(sample);
        }
        if let Some(figure) = &mut self.figure {
            figure.sample(sample);
        }
        if let Some(travel) = &mut self.travel {
            travel.sample(sample);
        }
    }

    pub fn event(&mut self, event: &Event) {
        match event.what {
            What::Monitor { kind, warning: false, .. } => {
                self.alarms.push(kind);
                self.quiet_s = 0.0;
            }
            What::Homed { corrected_m } => {
                self.corrections_m.push(corrected_m);
                self.fresh = true;
            }
            _ => {}
        }
    }

    /// The number that is asked for, or why there is none yet.
    pub fn value(&self, measure: &Measure, scope: &Scope, worst_of: &dyn Fn(f64) -> f64) -> Result<f64, Waits> {
        let spans = self.spans(scope)?;
        match scope.over {
            Over::Travel(range) => self.along(measure, range, worst_of),
            Over::Homings(_) => {
                let shifts = self.corrections_m.iter().skip(1);
                Ok(shifts.fold(0.0, |most: f64, shift| if shift.abs() > most.abs() { *shift } else { most }))
            }
            _ => {
                let values =
                    spans.iter().map(|span| self.of_span(measure, span)).collect::<Result<Vec<f64>, Waits>>()?;
                let worst = values.into_iter().max_by(|a, b| worst_of(*a).total_cmp(&worst_of(*b)));
                worst.ok_or_else(|| "nothing measured yet".to_owned())
            }
        }
    }

    /// Largest share of its limit that the following error used up, 1 at the limit, or why it is not known yet.
    pub fn limit_used(&self, scope: &Scope) -> Result<f64, Waits> {
        let spans = self.spans(scope)?;
        if spans.iter().all(|span| span.command_mps == 0.0) {
            return Err("nothing has moved by command yet".to_owned());
        }
        Ok(spans.iter().fold(0.0, |most, span| span.limit_used.max(most)))
    }

    /// The stretches of the run that are judged: one, or a move out and one back. All went at the speed that is asked
    /// for.
    fn spans(&self, scope: &Scope) -> Result<Vec<Span>, Waits> {
        let spans = match scope.over {
            Over::Move(wanted_m) if scope.both_ways => {
                let missing = ["a move up is still missing", "a move down is still missing"];
                let each = self.moves.last_each.iter().zip(missing);
                each.map(|(last, missing)| move_of(*last, wanted_m, missing)).collect::<Result<Vec<Span>, Waits>>()?
            }
            over => vec![self.span(over)?],
        };
        let off = |span: &&Span| scope.at_mps.is_some_and(|w| (span.command_mps - w).abs() > SPEED_SLACK * w);
        match spans.iter().find(off) {
            Some(span) => Err(format!("the move went at {:.2} m/min", span.command_mps * 60.0)),
            None => Ok(spans),
        }
    }

    /// The stretch of the run that is judged.
    fn span(&self, over: Over) -> Result<Span, Waits> {
        match over {
            Over::Now | Over::Travel(_) => Ok(self.since),
            Over::Move(wanted_m) => move_of(self.moves.last, wanted_m, "no move has been finished yet"),
            Over::Strokes(n) => match self.moves.strokes() {
                done if done < n => Err(format!("{done} of {n} strokes out and back so far")),
                _ if self.moves.is_out() => Err("the last way back is not finished".to_owned()),
                _ => Ok(self.since),
            },
            Over::Homings(n) => match self.corrections_m.len() {
                done if done >= n as usize => Ok(self.since),
                done => Err(format!("{done} of {n} homings so far")),
            },
        }
    }

    fn of_span(&self, measure: &Measure, span: &Span) -> Result<f64, Waits> {
        let k = measure.channel;
        let channel = |l: &LevelsReading| -> ChannelLevels { if k == 0 { l.a } else { l.b } };
        let last = &span.last;
        Ok(match measure.row.quantity {
            Quantity::Amplitude => channel(&self.levels()?).amplitude_v,
            Quantity::Swing => channel(&self.levels()?).peak_to_peak_v(),
            Quantity::Offset => channel(&self.levels()?).offset_v,
            Quantity::Noise => channel(&self.levels()?).noise_v,
            Quantity::Ratio => self.levels()?.ratio.ok_or("B gives no signal")?,
            Quantity::Phase => behind_deg(self.levels()?.phase_error_rad.ok_or("a channel gives no signal")?),
            Quantity::Duty => {
                let edges = self.levels.as_ref().ok_or_else(no_meter)?.edges().map_err(|e| e.to_string())?;
                let duty = if k == 0 { Some(edges.duty_a) } else { edges.duty_b };
                100.0 * duty.ok_or("B does not switch")?
            }
            Quantity::InterpolationError => {
                let figure = self.figure.as_ref().ok_or_else(no_meter)?.reading().map_err(|e| e.to_string())?;
                figure.before.ok_or("the figure does not go round its middle")?.peak_to_peak_m
            }
            Quantity::Slope => {
                self.enough_travel(None)?;
                let slope = self.travel.as_ref().and_then(Travel::slope);
                slope.ok_or("drive over the travel")?.vector_v_per_m
            }
            Quantity::Pulses => f64::from(span.pulses[k]),
            Quantity::Count => (last.count - span.start.count) as f64,
            Quantity::CountError => span.count_error(self.count_m),
            Quantity::Illegal => (last.illegal - span.start.illegal) as f64,
            Quantity::Resolution => self.count_m,
            Quantity::Position => last.table_m,
            Quantity::Readout => last.readout_m,
            Quantity::HomeShift => self.corrections_m.last().copied().ok_or("no homing yet")?,
            Quantity::FollowingError => span.error_m,
            Quantity::Overshoot => span.overshoot_m,
            Quantity::Current => span.current_a,
            Quantity::Speed => span.speed_mps,
            Quantity::Gap => last.gap_m,
            Quantity::Light => 100.0 * last.light,
            Quantity::Supply if k == 1 => self.drive_v,
            Quantity::Supply => span.supply_v,
            Quantity::Backlash => self.play.backlash_m()?,
            Quantity::Minutes => self.work_s,
            Quantity::Mismatch => span.mismatch_m,
        })
    }

    fn levels(&self) -> Result<LevelsReading, Waits> {
        self.levels.as_ref().ok_or_else(no_meter)?.reading().map_err(|e| e.to_string())
    }

    /// The worst of all places in a range of the travel.
    fn along(&self, measure: &Measure, range: Option<(f64, f64)>, worst_of: &dyn Fn(f64) -> f64) -> Result<f64, Waits> {
        self.enough_travel(range)?;
        let values = self.passed(range).filter_map(|(_, place)| at_place(measure, place?));
        values
            .max_by(|a, b| worst_of(*a).total_cmp(&worst_of(*b)))
            .ok_or_else(|| "this could not be measured anywhere".to_owned())
    }

    fn passed(&self, range: Option<(f64, f64)>) -> impl Iterator<Item = (f64, Option<&Place>)> {
        // The outermost cells are seldom driven through whole.
        let (low, high) = range.unwrap_or((0.02 * self.travel_m, 0.98 * self.travel_m));
        let travel = self.travel.as_ref();
        let places = travel.map_or(&[][..], Travel::places);
        let middle = move |i: usize| travel.map_or(0.0, |t| t.middle_m(i));
        places
            .iter()
            .enumerate()
            .map(move |(i, p)| (middle(i), p.as_ref()))
            .filter(move |(at, _)| (low..=high).contains(at))
    }

    fn enough_travel(&self, range: Option<(f64, f64)>) -> Result<(), Waits> {
        let (mut all, mut seen) = (0.0, 0.0);
        // A place that is shorter than a period is measured together with its neighbours.
        for (_, place) in self.passed(range) {
            all += 1.0;
            seen += f64::from(u8::from(place.is_some()));
        }
        if all > 0.0 && seen >= ENOUGH * all {
            return Ok(());
        }
        Err(format!("{:.0} % of the way has been driven over since the last change", 100.0 * seen / f64::max(all, 1.0)))
    }
}

/// A finished move, if it was as long as is asked for, either way unless a negative one is.
fn move_of(last: Option<Span>, wanted_m: f64, missing: &str) -> Result<Span, Waits> {
    let last = last.ok_or(missing)?;
    let way_m = if wanted_m < 0.0 { last.way_m() } else { last.way_m().abs() };
    if (way_m - wanted_m).abs() > MOVE_SLACK.0 + MOVE_SLACK.1 * wanted_m.abs() {
        return Err(format!("the last move was {:.1} mm", last.way_m() * 1e3));
    }
    Ok(last)
}

fn no_meter() -> Waits {
    "no meter covers this scale".to_owned()
}

/// By how much B comes behind A, degrees, from the departure from a quarter period.
fn behind_deg(error_rad: f64) -> f64 {
    90.0 + error_rad.to_degrees()
}

fn at_place(measure: &Measure, place: &Place) -> Option<f64> {
    let k = measure.channel;
    match measure.row.quantity {
        Quantity::Amplitude => Some(place.amplitude_v[k]),
        Quantity::Swing => Some(2.0 * place.amplitude_v[k]),
        Quantity::Offset => Some(place.offset_v[k]),
        Quantity::Ratio => place.ratio(),
        Quantity::Phase => Some(behind_deg(place.phase_error_rad)),
        Quantity::Gap => Some(place.gap_m),
        _ => None,
    }
}
