//! A recorder of smooth values, one a step, kept at several distances so that every window costs the same to draw.

/// Points kept at each level.
const RING: usize = 1024;
/// So many points of one level are one of the next.
const STRIDE: u64 = 4;
/// Levels: the longest covers 1024 x 50 us x 4^8 = 56 minutes.
const LEVELS: usize = 9;

/// The recorder.
#[derive(Clone, Debug)]
pub struct Strip<T> {
    levels: Vec<Vec<T>>,
    pushed: u64,
}

impl<T> Default for Strip<T> {
    fn default() -> Self {
        Self { levels: (0..LEVELS).map(|_| Vec::new()).collect(), pushed: 0 }
    }
}

impl<T: Copy> Strip<T> {
    /// Takes in the next value.
    pub fn push(&mut self, value: T) {
        let mut index = self.pushed;
        self.pushed += 1;
        for level in &mut self.levels {
            if level.len() < RING {
                level.push(value);
            } else {
                level[(index % RING as u64) as usize] = value;
            }
            if !index.is_multiple_of(STRIDE) {
                return;
            }
            index /= STRIDE;
        }
    }

    /// The values from the finest level that still holds `from_s`, oldest first, up to `to_s`; `time_of` tells the
    /// moment of a value.
    pub fn window(&self, from_s: f64, to_s: f64, time_of: impl Fn(&T) -> f64) -> Vec<T> {
        let mut pushed = self.pushed;
        for (i, level) in self.levels.iter().enumerate() {
            let oldest = if level.len() < RING { 0 } else { (pushed % RING as u64) as usize };
            let whole = level.len() < RING || level.get(oldest).is_some_and(|first| time_of(first) <= from_s);
            if whole || i + 1 == LEVELS {
                let ordered = level[oldest..].iter().chain(&level[..oldest]);
                return ordered.filter(|v| (from_s..=to_s).contains(&time_of(v))).copied().collect();
            }
            pushed = pushed.div_ceil(STRIDE);
        }
        Vec::new()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_window_comes_back_in_order_and_reaches_both_ends() {
        let mut strip = Strip::default();
        let n = 300_000;
        (0..n).for_each(|i| strip.push(f64::from(i)));
        for span in [100.0, 1000.0, 4000.0, 30_000.0, 290_000.0] {
            let to = f64::from(n - 1);
            let got = strip.window(to - span, to, |v| *v);
            assert!(got.len() > 99 && got.len() <= RING, "{span}: {}", got.len());
            assert!(got.windows(2).all(|w| w[0] < w[1]), "{span}");
            let step = got[1] - got[0];
            assert!(got[0] - (to - span) <= step && to - got[got.len() - 1] <= step, "{span}: {step}");
        }
    }

    #[test]
    fn a_young_strip_gives_all_it_has() {
        let mut strip = Strip::default();
        (0..10).for_each(|i| strip.push(f64::from(i)));
        assert_eq!(strip.window(-5.0, 6.5, |v| *v), [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0]);
        assert!(Strip::<f64>::default().window(0.0, 1.0, |v| *v).is_empty());
    }
}
