//! Views for the charts: channels, counts, following error, A against B.

use super::Lab;
use crate::draw::view::{ErrorView, Levels, MinMax, SquareColumn, TraceView, XyView};
use sim_core::instrument::waveform::{Range, Slice};

/// Most columns of a trace; more cannot be told apart on a screen.
pub const COLUMNS: usize = 1024;

/// The views of one moment; they share one window of time.
pub struct Charts {
    /// Channels, squares, counts.
    pub trace: TraceView,
    /// Following error.
    pub error: ErrorView,
    /// Columns that would fill the window.
    pub columns: usize,
}

impl Lab {
    /// Switching levels of the input.
    pub fn levels(&self) -> Levels {
        let params = self.sim().params();
        match &params.interpolate {
            Some(interpolate) => Levels::Vector { hold_v: interpolate.hold_v },
            None => {
                Levels::Comparator { centre_v: params.square.threshold_v, half_v: 0.5 * params.square.hysteresis_v }
            }
        }
    }

    /// Range of the voltage axis: healthy swing with some room.
    fn range_v(&self) -> (f64, f64) {
        let params = self.sim().params();
        let (mean, swing) = (params.mean_v(), params.nominal_v());
        (mean - 1.25 * swing, mean + 1.25 * swing)
    }

    /// Channels, counts and following error over the window up to the shown moment.
    /// At most `most` columns (2 to [`COLUMNS`]): one for each pixel of the chart, so that a dense signal is seen as one.
    pub fn charts(&self, most: usize) -> Charts {
        let most = most.clamp(2, COLUMNS);
        let (now_s, window_s) = (self.shown_s(), self.window_s());
        let (slice_s, slices) = self.watchers().wave.window(now_s, window_s);
        // Several slices to a column where there are more than a screen can show.
        let per_column = ((window_s / slice_s) / most as f64).ceil().max(1.0) as usize;
        let columns = ((window_s / slice_s) / per_column as f64).ceil() as usize;
        let slices: Vec<&Slice> = slices.collect();
        let alarm_s = self.watchers().last_alarm_s;
        let two = self.sim().params().two_sensors;
        let ghost = self.compare && self.healthy.differs();
        let mut trace = TraceView {
            now_s,
            window_s,
            a_v: Vec::with_capacity(columns),
            b_v: Vec::with_capacity(columns),
            ghost_a_v: Vec::new(),
            ghost_b_v: Vec::new(),
            square_a: Vec::with_capacity(columns),
            square_b: Vec::with_capacity(columns),
            counts: Vec::with_capacity(columns),
            blind: Vec::with_capacity(columns),
            range_v: self.range_v(),
            levels: self.levels(),
            alarm_s,
        };
        let mut error = ErrorView {
            now_s,
            window_s,
            error_m: Vec::with_capacity(columns),
            expected_m: Vec::with_capacity(columns),
            band_m: Vec::with_capacity(columns),
            alarm_s,
        };
        let mut last_m = slices.first().map_or(0.0, |s| s.table_m);
        for group in slices.chunks(per_column) {
            let Some(end) = group.last() else { continue };
            trace.a_v.push(fold(group, |s| s.a_v));
            error.error_m.push(fold(group, |s| s.error_m));
            error.expected_m.push(f64::from(end.expected_m));
            error.band_m.push((f64::from(end.band_m.0), f64::from(end.band_m.1)));
            trace.square_a.push(SquareColumn { high: end.square_a, busy: group.iter().any(|s| s.busy_a) });
            trace.counts.push(group.iter().map(|s| s.counts).sum());
            trace.blind.push(group.iter().any(|s| s.blind));
            if two {
                trace.b_v.push(fold(group, |s| s.b_v));
                trace.square_b.push(SquareColumn { high: end.square_b, busy: group.iter().any(|s| s.busy_b) });
            }
            if ghost {
                let (a, b) = self.ghost_column(last_m, end.table_m);
                trace.ghost_a_v.push(a);
                if two {
                    trace.ghost_b_v.push(b);
                }
            }
            last_m = end.table_m;
        }
        Charts { trace, error, columns }
    }

    /// What the healthy channels pass through while the table goes from one place to another.
    fn ghost_column(&self, from_m: f64, to_m: f64) -> (MinMax, MinMax) {
        let period_m = self.sim().params().scale.period_m;
        // Past a period a column holds a full swing; looking at eight places of one period finds it.
        let span = (to_m - from_m).clamp(-period_m, period_m);
        let looks = if span.abs() < 0.05 * period_m { 1 } else { 8 };
        let mut out = [MinMax { min: f64::INFINITY, max: f64::NEG_INFINITY }; 2];
        for i in 0..=looks {
            let (a, b) = self.healthy.at(to_m - span * f64::from(i) / f64::from(looks));
            for (range, v) in out.iter_mut().zip([a, b]) {
                range.min = range.min.min(v);
                range.max = range.max.max(v);
            }
        }
        (out[0], out[1])
    }

    /// The A against B figure.
    pub fn xy(&self) -> XyView {
        let params = self.sim().params();
        XyView {
            points_v: self.watchers().trail.until(self.shown_s(), self.window_s().max(0.02)),
            centre_v: params.mean_v(),
            ideal_v: params.nominal_v(),
            levels: self.levels(),
            half_range_v: 1.25 * params.nominal_v(),
            has_b: params.two_sensors,
            blind: self.sim().record().blind,
        }
    }
}

fn fold(group: &[&Slice], pick: impl Fn(&Slice) -> Range) -> MinMax {
    let (mut min, mut max) = (f32::INFINITY, f32::NEG_INFINITY);
    for slice in group {
        let range = pick(slice);
        min = min.min(range.min);
        max = max.max(range.max);
    }
    if min > max { MinMax::default() } else { MinMax { min: f64::from(min), max: f64::from(max) } }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn charts_show_what_the_model_recorded() {
        let shipped = lessons::shipped_by_name("wide-smear").unwrap();
        let mut lab = Lab::new("wide-smear", lessons::read("wide-smear", shipped.text).unwrap());
        lab.clock.pause_at_alarm = false;
        lab.clock.set_pace(6);
        // Some milliseconds after the dirt came under the head: the count stands, no alarm yet.
        lab.advance((0.9905 / 50e-6) as u64);
        let charts = lab.charts(COLUMNS);
        let n = charts.trace.a_v.len();
        assert!(n > 500 && n <= COLUMNS && charts.columns >= n);
        assert_eq!(charts.trace.ghost_a_v.len(), n);
        assert_eq!(charts.error.error_m.len(), n);
        assert!(*charts.trace.blind.last().unwrap());
        assert!(!charts.trace.blind[0]);
        let swing = |v: &[MinMax]| v.iter().map(|m| m.max).fold(f64::MIN, f64::max);
        assert!(swing(&charts.trace.a_v[..n / 4]) > 0.45, "healthy at first");
        assert!(swing(&charts.trace.a_v[n - 20..]) < 0.1, "weak at the end");
        assert!(swing(&charts.trace.ghost_a_v[n - 40..]) > 0.45, "the healthy bench would swing on");
        let last_count: i32 = charts.trace.counts[n - 50..].iter().sum();
        assert_eq!(last_count, 0);
    }
}
