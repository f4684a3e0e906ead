//! Views for the charts: channels, counts, following error, A against B.

use super::Lab;
use super::columns::Columns;
use crate::draw::view::{ErrorView, Levels, MinMax, TraceView, XyView};

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
        let columns = Columns::of_wave(&self.watchers().wave, self.shown_s(), self.window_s(), most);
        let full = columns.full;
        Charts { error: self.error_of(columns.clone()), trace: self.trace_of(columns), columns: full }
    }

    /// The channels of recorded columns, with the healthy bench at the same places.
    pub(super) fn trace_of(&self, columns: Columns) -> TraceView {
        let two = self.sim().params().two_sensors;
        let (mut ghost_a_v, mut ghost_b_v) = (Vec::new(), Vec::new());
        if self.compares() {
            let mut last_m = columns.table_m.first().copied().unwrap_or_default();
            for table_m in &columns.table_m {
                let (a, b) = self.ghost_column(last_m, *table_m);
                ghost_a_v.push(a);
                if two {
                    ghost_b_v.push(b);
                }
                last_m = *table_m;
            }
        }
        TraceView {
            now_s: columns.end_s,
            window_s: columns.window_s,
            a_v: columns.a_v,
            b_v: if two { columns.b_v } else { Vec::new() },
            ghost_a_v,
            ghost_b_v,
            square_a: columns.square_a,
            square_b: if two { columns.square_b } else { Vec::new() },
            counts: columns.counts,
            blind: columns.blind,
            range_v: self.range_v(),
            levels: self.levels(),
            alarm_s: self.watchers().last_alarm_s,
        }
    }

    /// The following error of recorded columns.
    pub(super) fn error_of(&self, columns: Columns) -> ErrorView {
        ErrorView {
            now_s: columns.end_s,
            window_s: columns.window_s,
            error_m: columns.error_m,
            expected_m: columns.expected_m,
            band_m: columns.band_m,
            alarm_s: self.watchers().last_alarm_s,
            ghost: self.watchers().instruments.settings.compare,
        }
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
            ghost: self.watchers().instruments.settings.compare,
        }
    }
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
        assert!(n > 200 && n <= COLUMNS && charts.columns >= n);
        assert_eq!(charts.trace.ghost_a_v.len(), n);
        assert_eq!(charts.error.error_m.len(), n);
        assert!(*charts.trace.blind.last().unwrap());
        assert!(!charts.trace.blind[0]);
        let swing = |v: &[MinMax]| v.iter().map(|m| m.max).fold(f64::MIN, f64::max);
        assert!(swing(&charts.trace.a_v[..n / 4]) > 0.45, "healthy at first");
        assert!(swing(&charts.trace.a_v[n - n / 50..]) < 0.1, "weak at the end");
        assert!(swing(&charts.trace.ghost_a_v[n - n / 25..]) > 0.45, "the healthy bench would swing on");
        let last_count: i32 = charts.trace.counts[n - n / 20..].iter().sum();
        assert_eq!(last_count, 0);
    }
}
