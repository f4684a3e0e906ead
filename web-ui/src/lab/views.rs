//! What the instruments show: their views from the taps, the recorder and the healthy bench.

use super::columns::Columns;
use super::instruments::{Instruments, ends_m};
use super::sweeps::TriggerOn;
use super::{Lab, instruments};
use crate::draw::instrument_view::{CountEvent, CountView, FigureView, FitView, LoopView, TracesView, TravelView};
use crate::draw::view::{Levels, SquareColumn};
use sim_core::chain::mark::MarkCursor;
use sim_core::record::STEP_S;

/// Single edges are drawn while there are at most so many pixels to each.
const PX_PER_EDGE: usize = 4;

impl Lab {
    /// The instruments.
    pub fn instruments(&self) -> &Instruments {
        &self.watchers.instruments
    }

    /// The instruments, to set something on them.
    pub fn instruments_mut(&mut self) -> &mut Instruments {
        &mut self.watchers.instruments
    }

    /// Whether the healthy bench is drawn: asked for, and different from the real one.
    pub fn compares(&self) -> bool {
        self.watchers.instruments.settings.compare && self.healthy.differs()
    }

    /// A and B as they arrive at the input, after cable and contacts: lowest and highest of the window, V.
    pub fn at_input_v(&self) -> [(f64, f64); 2] {
        let (_, slices) = self.watchers().wave.window(self.shown_s(), self.window_s());
        let mut out = [(f64::INFINITY, f64::NEG_INFINITY); 2];
        for slice in slices {
            for (range, of) in out.iter_mut().zip([slice.a_v, slice.b_v]) {
                *range = (range.0.min(f64::from(of.min)), range.1.max(f64::from(of.max)));
            }
        }
        out.map(|(low, high)| if low <= high { (low, high) } else { (0.0, 0.0) })
    }

    /// Columns that the traces show, with the moment of the trigger: what is held, the newest sweep, or the time
    /// up to the shown moment.
    pub fn shown_columns(&self, most: usize) -> (Option<f64>, Columns) {
        if let Some(held) = &self.watchers.instruments.sweeps.held {
            return held.clone();
        }
        let sweeps = &self.watchers().instruments.sweeps;
        if sweeps.on() != TriggerOn::Free
            && let Some((at_s, columns)) = sweeps.shown().next_back()
        {
            return (Some(*at_s), columns.clone());
        }
        (None, Columns::of_wave(&self.watchers().wave, self.shown_s(), self.window_s(), most))
    }

    /// Holds what the traces show, or lets it go.
    pub fn hold(&mut self, hold: bool) {
        let (shown, values) = (self.shown_columns(super::COLUMNS), self.measures());
        if hold {
            self.watchers.instruments.held_values = values;
        }
        let sweeps = &mut self.watchers.instruments.sweeps;
        if !hold {
            sweeps.held = None;
        } else if sweeps.held.is_none() {
            sweeps.held = Some(shown);
        }
    }

    /// Channels, squares and mark with the tools of the traces.
    pub fn traces_view(&self, most: usize) -> TracesView {
        let (trigger_s, columns) = self.shown_columns(most.clamp(2, super::COLUMNS));
        let (settings, sweeps) = (&self.watchers().instruments.settings, &self.watchers().instruments.sweeps);
        let older = if sweeps.held.is_none() && trigger_s.is_some() {
            let all = sweeps.shown();
            let last = all.len().saturating_sub(1);
            all.take(last).map(|(_, c)| (c.a_v.clone(), c.b_v.clone())).collect()
        } else {
            Vec::new()
        };
        let level = match sweeps.on() {
            TriggerOn::A => Some((sweeps.level_v(), false)),
            TriggerOn::B => Some((sweeps.level_v(), true)),
            _ => None,
        };
        let mark = self.mark_columns(&columns.table_m);
        TracesView {
            columns: columns.full,
            mark,
            older,
            level,
            trigger_s,
            cursors: settings.cursors,
            held: sweeps.held.is_some(),
            ghost: self.compares(),
            trace: self.trace_of(columns),
        }
    }

    /// The pulse of the reference mark while the table goes through these places.
    fn mark_columns(&self, table_m: &[f64]) -> Vec<SquareColumn> {
        let params = self.sim().params();
        let Some(track) = &self.sim().compiled().mark else { return Vec::new() };
        let (square_m, period_m) = (params.square_m(), params.scale.period_m);
        let mut cursor = MarkCursor::default();
        let mut last_m = table_m.first().map_or(0.0, |x| params.read_m(*x, 0.0));
        let column = |x: &f64| {
            let x_m = params.read_m(*x, 0.0);
            let high = track.gated(x_m, square_m, &mut cursor);
            // A pulse that lies between two columns still shows.
            let middle_m = track.nearest(0.5 * (x_m + last_m)).at_m + square_m / 8.0;
            let within =
                (last_m.min(x_m)..=last_m.max(x_m)).contains(&middle_m) && (x_m - last_m).abs() < 1e4 * period_m;
            let busy = within && track.gated(middle_m, square_m, &mut cursor);
            last_m = x_m;
            SquareColumn { high, busy: busy && !high }
        };
        table_m.iter().map(column).collect()
    }

    /// Edges and counts over the window.
    pub fn count_view(&self, width: usize) -> CountView {
        let (now_s, window_s) = (self.shown_s(), self.window_s());
        let (params, r) = (self.sim().params(), self.shown());
        let columns = Columns::of_wave(&self.watchers().wave, now_s, window_s, width.clamp(2, super::COLUMNS));
        let events = self.watchers().instruments.counts.window(now_s - window_s, now_s, width / PX_PER_EDGE);
        let ghost = self.compares();
        let healthy = if ghost && events.is_some() { self.healthy_counts(&columns) } else { Vec::new() };
        let count_m = params.metres_per_count();
        let pairs = columns.table_m.windows(2).map(|w| (w[1] - w[0]) / count_m);
        let healthy_counts = if ghost { std::iter::once(0.0).chain(pairs).collect() } else { Vec::new() };
        let state = columns.square_a.last().zip(columns.square_b.last()).map(|(a, b)| (a.high, b.high));
        CountView {
            now_s,
            window_s,
            counts: columns.counts,
            columns: columns.full,
            events,
            healthy,
            healthy_counts,
            state: state.unwrap_or_default(),
            has_b: params.two_sensors,
            count: r.count,
            direction: r.direction,
            per_period: params.counter.mode.per_period(),
            count_m,
            illegal: r.illegal,
            alarm_s: self.watchers().last_alarm_s,
            ghost,
        }
    }

    /// Where the healthy bench would count while the table goes the same way: it counts every whole count of the
    /// place.
    fn healthy_counts(&self, columns: &Columns) -> Vec<(f64, i32)> {
        let count_m = self.sim().params().metres_per_count();
        let n = columns.table_m.len();
        let column_s = columns.window_s / columns.full.max(1) as f64;
        let mut out = Vec::new();
        for (i, pair) in columns.table_m.windows(2).enumerate() {
            let (from, to) = ((pair[0] / count_m).floor(), (pair[1] / count_m).floor());
            let way = (to - from).signum();
            let mut step = 1.0;
            while step <= (to - from).abs() && out.len() < super::COLUMNS {
                // The border that is crossed, and when on the straight way between the columns.
                let border_m = (if way > 0.0 { from + step } else { from + 1.0 - step }) * count_m;
                let share = ((border_m - pair[0]) / (pair[1] - pair[0])).clamp(0.0, 1.0);
                let time_s = columns.end_s - ((n - 2 - i) as f64 + 1.0 - share) * column_s;
                out.push((time_s, way as i32));
                step += 1.0;
            }
        }
        out
    }

    /// A against B with the ellipse through it.
    pub fn figure_view(&self) -> FigureView {
        let fit = match &self.watchers().instruments.figure {
            None => Err("this scale has no figure".to_owned()),
            Some(_) if !self.sim().params().two_sensors => Err("B is not plugged in: there is no figure".to_owned()),
            Some(figure) => figure.reading().map_err(|why| why.to_string()).map(|r| FitView {
                offset_v: r.ellipse.offset_v,
                radius_v: r.ellipse.radius_v,
                phase_error_rad: r.ellipse.phase_error_rad,
                error_m: r.before.map(|spread| spread.peak_to_peak_m),
                left_m: r.after.peak_to_peak_m,
            }),
        };
        FigureView { xy: self.xy(), fit }
    }

    /// The position loop over the window.
    pub fn loop_view(&self, most: usize) -> LoopView {
        let (now_s, window_s) = (self.shown_s(), self.window_s());
        let most = most.clamp(2, super::COLUMNS);
        let columns = Columns::of_wave(&self.watchers().wave, now_s, window_s, most);
        // A step more on either side, so that the lines reach both ends.
        let (from_s, to_s) = (now_s - window_s - STEP_S, now_s + STEP_S);
        let points = self.watchers().instruments.strip.window(from_s, to_s, |p| p.time_s);
        let full = columns.full;
        LoopView {
            points,
            error: self.error_of(columns),
            columns: full,
            count_m: self.sim().params().metres_per_count(),
        }
    }

    /// Amplitude over the travel.
    pub fn travel_view(&self) -> TravelView {
        let (params, r) = (self.sim().params(), self.shown());
        let cells = self.watchers.instruments.travel.as_ref().map(|travel| travel.places());
        let cells = cells.unwrap_or_default().iter().map(|place| place.map(|p| p.amplitude_v)).collect();
        let travel_m = params.machine.travel;
        TravelView {
            span_m: ends_m(params, travel_m),
            travel_m,
            cells,
            has_b: params.two_sensors,
            need_v: r.needed_v,
            healthy_v: params.nominal_v(),
            dirt: self.dirt(),
            head_m: r.table_m - params.whole_turns_m(r.table_m),
            ghost: self.watchers.instruments.settings.compare,
        }
    }

    /// Middle of the switching levels, V: where a trigger level starts.
    pub fn middle_v(&self) -> f64 {
        match self.levels() {
            Levels::Comparator { centre_v, .. } => centre_v,
            Levels::Vector { .. } => instruments::zero_v(self.sim().params()),
        }
    }

    /// Changes of the squared channels that the count strip shows, for the page's words.
    pub fn newest_illegal(&self) -> Option<CountEvent> {
        let (now_s, window_s) = (self.shown_s(), self.window_s());
        let events = self.watchers().instruments.counts.window(now_s - window_s, now_s, usize::MAX)?;
        events.into_iter().rev().find(|e| e.illegal)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use sim_core::bench::command::{Command, MoveTo, PlaceMm, SpeedMPerMin};

    #[test]
    fn the_mark_shows_its_pulse_where_the_table_passes_it_and_can_start_a_sweep() {
        let shipped = lessons::shipped_by_name("healthy-mill").unwrap();
        let mut lab = Lab::new(shipped.id, lessons::read(shipped.id, shipped.text).unwrap());
        lab.instruments_mut().sweeps.trigger(TriggerOn::Mark, 0.0);
        lab.clock.set_pace(4);
        let mark_m = lab.sim().compiled().mark.as_ref().expect("a mark").place_m(0);
        let start_m = lab.sim().record().table_m;
        // To the other side of the mark and some way beyond.
        let to_m = mark_m + (mark_m - start_m).signum() * 0.005;
        lab.advance(10);
        lab.command(&Command::MoveTo(MoveTo {
            to_mm: PlaceMm::nearest(to_m * 1e3),
            speed_m_per_min: SpeedMPerMin::nearest(1.0),
        }))
        .unwrap();
        let mut seen = 0;
        for _ in 0..400 {
            lab.advance(400);
            seen += lab.traces_view(800).mark.iter().filter(|m| m.high || m.busy).count();
            if (lab.sim().record().table_m - to_m).abs() < 1e-4 {
                break;
            }
        }
        assert!(seen > 0, "the table passed the mark at {mark_m} m and stands at {}", lab.sim().record().table_m);
        let view = lab.traces_view(800);
        let at_s = view.trigger_s.expect("the mark starts a sweep");
        let pulse = view.mark.iter().position(|m| m.high || m.busy).expect("the pulse is in its own sweep");
        let share = pulse as f64 / view.mark.len() as f64;
        assert!((share - super::super::BEFORE).abs() < 0.02, "{share} at {at_s}");
    }
}
