//! What the traces measure: values of the signals with what the input needs, and the differences between two cursors.

use super::Lab;
use super::columns::Columns;
use crate::draw::channels::peak_to_peak_v;
use crate::draw::numbers::{fixed, signed};
use crate::draw::view::MinMax;
use sim_core::params::INPUT_CLOCK_HZ;

/// B must follow A by a quarter period to within this, degrees (common practice).
const PHASE_DEG: f64 = 10.0;
/// Least way between two edges, share of a period: an eighth is half of the ideal quarter (common practice).
const LEAST_TURNS: f64 = 0.125;

/// Whether a value does what the input needs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It does; what is needed.
    Enough(String),
    /// It does not; what is needed.
    Short(String),
    /// Nothing is asked of it.
    Plain,
}

/// One measured value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Measure {
    /// What it is.
    pub name: &'static str,
    /// Its value with its unit, or why there is none.
    pub value: String,
    /// Whether it is enough.
    pub verdict: Verdict,
}

/// What two cursors say.
#[derive(Clone, Debug, PartialEq)]
pub struct Cursors {
    /// Moments of both, s from the trigger or from the right end.
    pub at_s: [f64; 2],
    /// Time between them, s.
    pub dt_s: f64,
    /// A and B at the second less at the first, V; none where nothing was recorded.
    pub dv: Option<[f64; 2]>,
    /// Way that the table made between them, m.
    pub dx_m: Option<f64>,
}

/// Seconds with a unit that suits them.
pub fn time_text(s: f64) -> String {
    let (per, unit) = match s.abs() {
        t if t >= 1.0 => (1.0, "s"),
        t if t >= 1e-3 => (1e3, "ms"),
        _ => (1e6, "\u{b5}s"),
    };
    format!("{} {unit}", fixed(s * per, if (s * per).abs() < 100.0 { 2 } else { 1 }))
}

/// Hertz with a unit that suits them.
pub fn frequency_text(hz: f64) -> String {
    match hz.abs() {
        f if f >= 1e6 => format!("{} MHz", fixed(hz / 1e6, 2)),
        f if f >= 1e3 => format!("{} kHz", fixed(hz / 1e3, 2)),
        _ => format!("{} Hz", fixed(hz, 1)),
    }
}

/// Metres with a unit that suits them.
pub fn way_text(m: f64) -> String {
    match m.abs() {
        x if x >= 1e-3 => format!("{} mm", signed(m * 1e3, 3)),
        x if x >= 1e-6 => format!("{} \u{b5}m", signed(m * 1e6, 2)),
        _ => format!("{} nm", signed(m * 1e9, 0)),
    }
}

fn judged(enough: bool, need: String) -> Verdict {
    if enough { Verdict::Enough(need) } else { Verdict::Short(need) }
}

impl Lab {
    /// The differences between the cursors; none while they are put away.
    pub fn cursors(&self) -> Option<Cursors> {
        let shares = self.watchers().instruments.settings.cursors?;
        let (trigger_s, columns) = self.shown_columns(super::COLUMNS);
        let origin_s = trigger_s.unwrap_or(columns.end_s);
        let at_s = shares.map(|share| columns.end_s - (1.0 - share) * columns.window_s - origin_s);
        let places = shares.map(|share| columns.at_share(share));
        let both = places[0].zip(places[1]);
        let middle = |c: &MinMax| 0.5 * (c.min + c.max);
        let dv = both.map(|(i, j)| {
            [&columns.a_v, &columns.b_v].map(|v| v.get(j).map_or(0.0, middle) - v.get(i).map_or(0.0, middle))
        });
        let dx_m = both.map(|(i, j)| columns.table_m[j] - columns.table_m[i]);
        Some(Cursors { at_s, dt_s: at_s[1] - at_s[0], dv, dx_m })
    }

    /// The measured values: peak to peak of what is shown, the rest over the last periods of travel. While the traces
    /// are held, the values are those of that moment.
    pub fn measures(&self) -> Vec<Measure> {
        if self.watchers.instruments.sweeps.held.is_some() {
            return self.watchers.instruments.held_values.clone();
        }
        let (_, columns) = self.shown_columns(super::COLUMNS);
        let mut out = self.peaks(&columns);
        let plain = |name, value: String| Measure { name, value, verdict: Verdict::Plain };
        let two = self.sim().params().two_sensors;
        let Some(levels) = &self.watchers().instruments.levels else { return out };
        match levels.reading() {
            Err(why) => out.push(plain("over the last periods", why.to_string())),
            Ok(r) => {
                let volts = |a: f64, b: f64, digits: usize| {
                    let b = if two { format!(", B {} V", signed(b, digits)) } else { String::new() };
                    format!("A {} V{b}", signed(a, digits))
                };
                out.push(plain("mean", volts(r.a.offset_v, r.b.offset_v, 3)));
                out.push(plain("amplitude", volts(r.a.amplitude_v, r.b.amplitude_v, 3).replace('+', "")));
                out.push(plain("frequency", frequency_text(r.frequency_hz)));
                if let (true, Some(error_rad)) = (two, r.phase_error_rad) {
                    let off_deg = error_rad.to_degrees();
                    out.push(Measure {
                        name: "B after A",
                        value: format!("{}\u{b0}", fixed(90.0 - off_deg, 1)),
                        verdict: judged(off_deg.abs() <= PHASE_DEG, format!("90\u{b0} \u{b1} {PHASE_DEG:.0}\u{b0}")),
                    });
                }
            }
        }
        match levels.edges() {
            Err(why) => out.push(plain("edges", why.to_string())),
            Ok(edges) => {
                out.push(plain("duty of A", format!("{} %", fixed(edges.duty_a * 100.0, 1))));
                // Two edges nearer than a clock of the input are one to it.
                let clock_s = 1.0 / INPUT_CLOCK_HZ;
                let enough = edges.shortest_s >= clock_s && (!two || edges.smallest_turns >= LEAST_TURNS);
                let need = format!("{}, {} %", time_text(clock_s), fixed(LEAST_TURNS * 100.0, 1));
                out.push(Measure {
                    name: "least way between edges",
                    value: format!(
                        "{} % of a period, {}",
                        fixed(edges.smallest_turns * 100.0, 1),
                        time_text(edges.shortest_s)
                    ),
                    verdict: judged(enough, need),
                });
            }
        }
        out
    }

    fn peaks(&self, columns: &Columns) -> Vec<Measure> {
        let need_v = 2.0 * self.shown().needed_v;
        let period_m = self.sim().params().scale.period_m;
        let gone_m: f64 = columns.table_m.windows(2).map(|w| (w[1] - w[0]).abs()).sum();
        let mut out = Vec::new();
        let two = self.sim().params().two_sensors;
        for (name, v) in
            [("A peak to peak", &columns.a_v), ("B peak to peak", &columns.b_v)].into_iter().take(1 + usize::from(two))
        {
            let measure = match peak_to_peak_v(v, 1.0) {
                None => Measure { name, value: "nothing recorded yet".to_owned(), verdict: Verdict::Plain },
                // Less than a period holds less than a whole swing: nothing can be said of it.
                Some(v) if gone_m < period_m => Measure {
                    name,
                    value: format!("{} V, less than a period shown", fixed(v, 3)),
                    verdict: Verdict::Plain,
                },
                Some(v) => Measure {
                    name,
                    value: format!("{} V", fixed(v, 3)),
                    verdict: judged(v >= need_v, format!("{} V", fixed(need_v, 2))),
                },
            };
            out.push(measure);
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lab::{TriggerOn, shipped as lab};

    #[test]
    fn units_suit_the_size() {
        assert_eq!(
            (time_text(0.0125), frequency_text(80.0), way_text(-2e-6)),
            ("12.50 ms".into(), "80.0 Hz".into(), "\u{2212}2.00 \u{b5}m".into())
        );
    }

    // Checked against the model's own record: between two cursors the table goes speed x time.
    #[test]
    fn cursors_measure_the_way_of_the_table_and_peaks_the_need() {
        let mut lab = lab("wide-smear");
        lab.clock.pause_at_alarm = false;
        lab.clock.set_pace(6);
        lab.advance((0.9 / 50e-6) as u64);
        lab.instruments_mut().settings.cursors = Some([0.25, 0.75]);
        let cursors = lab.cursors().unwrap();
        assert!((cursors.dt_s - 0.5 * lab.window_s()).abs() < 1e-9);
        let way_m = lab.sim().record().speed_mps * cursors.dt_s;
        assert!((cursors.dx_m.unwrap() / way_m - 1.0).abs() < 0.02, "{cursors:?} {way_m}");
        let measures = lab.measures();
        assert!(matches!(measures[0].verdict, Verdict::Enough(_)), "{measures:?}");
        let phase = measures.iter().find(|m| m.name == "B after A").expect("a phase");
        assert!(phase.value.starts_with("90") || phase.value.starts_with("89"), "{phase:?}");
        lab.advance((0.0905 / 50e-6) as u64);
        lab.instruments_mut().settings.cursors = None;
        assert_eq!(lab.cursors(), None);
    }

    #[test]
    fn a_trigger_puts_the_edge_at_its_place_and_hold_keeps_it() {
        let mut lab = lab("first-look");
        lab.clock.set_pace(6);
        let middle_v = lab.middle_v();
        lab.instruments_mut().sweeps.trigger(TriggerOn::A, middle_v);
        lab.instruments_mut().sweeps.keep = 3;
        lab.advance((1.5 / 50e-6) as u64);
        let view = lab.traces_view(600);
        let at_s = view.trigger_s.expect("the running axis triggers");
        assert!((view.trace.now_s - at_s - 0.75 * view.trace.window_s).abs() < 1e-9);
        let i = (0.25 * view.trace.a_v.len() as f64) as usize;
        let (before, after) = (view.trace.a_v[i - 12], view.trace.a_v[i + 12]);
        assert!(before.min < middle_v + 0.02 && after.max > middle_v - 0.02, "{before:?} {after:?}");
        assert!(view.older.len() <= 2);
        lab.hold(true);
        let (held, values) = (lab.traces_view(600), lab.measures());
        lab.advance(20_000);
        assert!(held.held);
        assert_eq!(lab.traces_view(600).trace.a_v, held.trace.a_v);
        assert_eq!(lab.measures(), values, "what was measured is held too");
        lab.hold(false);
        assert_ne!(lab.traces_view(600).trace.a_v, held.trace.a_v);
    }

    #[test]
    fn an_alarm_is_caught_with_what_was_before_it() {
        let mut lab = lab("wide-smear");
        lab.clock.pause_at_alarm = false;
        lab.clock.set_pace(6);
        lab.instruments_mut().sweeps.trigger(TriggerOn::Alarm, 0.0);
        lab.advance((1.2 / 50e-6) as u64);
        let alarm_s = lab.last_alarm_s().unwrap();
        let view = lab.traces_view(600);
        assert_eq!(view.trigger_s, Some(alarm_s));
        assert!(view.trace.blind.iter().any(|b| *b));
    }

    #[test]
    fn less_than_a_period_is_not_called_too_little() {
        let mut lab = lab("first-look");
        lab.clock.set_pace(12);
        lab.advance((1.0 / 50e-6) as u64);
        let first = lab.measures().remove(0);
        assert!(first.value.contains("less than a period") && first.verdict == Verdict::Plain, "{first:?}");
    }
}
