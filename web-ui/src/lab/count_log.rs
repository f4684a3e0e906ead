//! Every change of the squared channels with the counts that came of it.

use crate::draw::instrument_view::CountEvent;
use sim_core::record::{Record, Sample, Tap};
use std::collections::VecDeque;

/// Changes kept.
const LENGTH: usize = 4096;

/// The log of the counter.
#[derive(Clone, Debug, Default)]
pub struct CountLog {
    events: VecDeque<CountEvent>,
    last: Option<Sample>,
    illegal: u64,
    /// Whether older changes have been dropped.
    full: bool,
}

impl CountLog {
    /// Changes from one moment to another, oldest first; none where the log does not reach back so far, or where
    /// there are more than `most`.
    pub fn window(&self, from_s: f64, to_s: f64, most: usize) -> Option<Vec<CountEvent>> {
        if self.full && self.events.front().is_some_and(|e| e.time_s > from_s) {
            return None;
        }
        let first = self.events.partition_point(|e| e.time_s < from_s);
        let end = self.events.partition_point(|e| e.time_s <= to_s);
        (end - first <= most).then(|| self.events.range(first..end).copied().collect())
    }

    fn push(&mut self, event: CountEvent) {
        if self.events.len() == LENGTH {
            self.events.pop_front();
            self.full = true;
        }
        self.events.push_back(event);
    }
}

impl Tap for CountLog {
    fn sample(&mut self, sample: &Sample) {
        let levels = |s: &Sample| (s.square_a, s.square_b);
        if let Some(last) = self.last
            && (levels(&last) != levels(sample) || last.count != sample.count)
        {
            self.push(CountEvent {
                time_s: sample.time_s,
                before: levels(&last),
                after: levels(sample),
                change: (sample.count - last.count).clamp(-1_000_000, 1_000_000) as i32,
                illegal: false,
            });
        }
        self.last = Some(*sample);
    }

    fn record(&mut self, record: &Record) {
        let new = record.illegal.saturating_sub(self.illegal);
        self.illegal = record.illegal;
        if new == 0 {
            return;
        }
        // The counter says how many, the samples say where: the newest in which both changed.
        let both = |e: &&mut CountEvent| e.before.0 != e.after.0 && e.before.1 != e.after.1;
        self.events.iter_mut().rev().take(64).filter(both).take(new as usize).for_each(|e| e.illegal = true);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fed(levels: &[(bool, bool)]) -> CountLog {
        let mut log = CountLog::default();
        for (i, (square_a, square_b)) in levels.iter().enumerate() {
            let time_s = i as f64 * 1e-3;
            log.sample(&Sample { time_s, square_a: *square_a, square_b: *square_b, ..Sample::default() });
        }
        log
    }

    // Source: quadrature as every handbook draws it: A leads B going up; x1, x2 and x4 count 1, 2 and 4 a period.
    #[test]
    fn a_period_up_and_down_counts_as_the_handbooks_say() {
        let up = [(false, false), (true, false), (true, true), (false, true), (false, false)];
        let mut there_and_back = up.to_vec();
        there_and_back.extend(up.iter().rev().skip(1));
        let log = fed(&there_and_back);
        let events = log.window(0.0, 1.0, 100).unwrap();
        assert_eq!(events.iter().map(CountEvent::way).collect::<Vec<_>>(), [1, 1, 1, 1, -1, -1, -1, -1]);
        for (mode, counts) in [(1, 1), (2, 2), (4, 4)] {
            let half = |range: std::ops::Range<usize>| events[range].iter().map(|e| e.counts_at(mode)).sum::<i32>();
            assert_eq!((half(0..4), half(4..8)), (counts, -counts), "x{mode}");
        }
    }

    #[test]
    fn what_the_counter_calls_illegal_is_marked_where_both_changed() {
        let mut log = fed(&[(false, false), (true, true), (false, true)]);
        log.record(&Record { illegal: 1, ..Record::default() });
        let events = log.window(0.0, 1.0, 100).unwrap();
        assert_eq!(events.iter().map(|e| e.illegal).collect::<Vec<_>>(), [true, false]);
        assert_eq!(log.window(0.0, 1.0, 1), None, "more than can be drawn");
        assert_eq!(log.window(1.5e-3, 1.0, 1).map(|e| e.len()), Some(1));
    }
}
