//! The voltmeter: supply at the drive and at the head, with the lowest and highest seen since it was set back.
//!
//! The record carries no supply by itself, so the meter is told where to read it. It neither loads the supply nor
//! averages: a dip of one step shows in the lowest reading.

use crate::record::{Record, Tap};

/// Lowest supply at which a 5 V head works as promised, V: 5 V less 5 % (common practice).
pub const LOWEST_V: f64 = 4.75;
/// Highest supply that a 5 V head may get, V: 5 V and 5 % (common practice).
pub const HIGHEST_V: f64 = 5.25;

/// What to think of a voltage.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Below 4.75 V.
    Low,
    /// 4.75 to 5.25 V.
    Good,
    /// Above 5.25 V.
    High,
    /// Not a finite number: nothing is connected.
    NoReading,
}

/// The verdict on a 5 V supply.
#[must_use]
pub fn verdict(supply_v: f64) -> Verdict {
    if !supply_v.is_finite() {
        Verdict::NoReading
    } else if supply_v < LOWEST_V {
        Verdict::Low
    } else if supply_v > HIGHEST_V {
        Verdict::High
    } else {
        Verdict::Good
    }
}

/// Supply at both ends of the cable, V.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Supply {
    /// At the drive's terminals, V.
    pub drive_v: f64,
    /// At the head, V.
    pub head_v: f64,
}

impl Supply {
    /// What the cable takes, V.
    #[must_use]
    pub fn drop_v(&self) -> f64 {
        self.drive_v - self.head_v
    }

    /// Verdicts at the drive and at the head.
    #[must_use]
    pub fn verdicts(&self) -> (Verdict, Verdict) {
        (verdict(self.drive_v), verdict(self.head_v))
    }
}

/// Present, lowest and highest supply.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VoltsReading {
    /// Now.
    pub now: Supply,
    /// Lowest of each since the meter was set back.
    pub lowest: Supply,
    /// Highest of each since the meter was set back.
    pub highest: Supply,
}

/// The voltmeter; `probe` takes both voltages from the record or from wherever they are known.
pub struct Volts<F: FnMut(&Record) -> Supply> {
    probe: F,
    reading: Option<VoltsReading>,
}

impl<F: FnMut(&Record) -> Supply> Volts<F> {
    /// A meter with its probe.
    pub fn new(probe: F) -> Self {
        Self { probe, reading: None }
    }

    /// The reading; `None` before the first step.
    #[must_use]
    pub fn reading(&self) -> Option<VoltsReading> {
        self.reading
    }

    /// Forgets the lowest and the highest.
    pub fn clear(&mut self) {
        self.reading = None;
    }
}

impl<F: FnMut(&Record) -> Supply> Tap for Volts<F> {
    const SAMPLES: bool = false;

    fn record(&mut self, record: &Record) {
        let now = (self.probe)(record);
        let (low, high) = self.reading.map_or((now, now), |r| (r.lowest, r.highest));
        self.reading = Some(VoltsReading {
            now,
            lowest: Supply { drive_v: low.drive_v.min(now.drive_v), head_v: low.head_v.min(now.head_v) },
            highest: Supply { drive_v: high.drive_v.max(now.drive_v), head_v: high.head_v.max(now.head_v) },
        });
    }
}

#[cfg(test)]
mod tests {
    use super::{Supply, Verdict, Volts, verdict};
    use crate::record::{Record, Tap};

    #[test]
    fn verdicts_change_at_the_limits_and_not_on_them() {
        assert_eq!((verdict(4.75), verdict(5.0), verdict(5.25)), (Verdict::Good, Verdict::Good, Verdict::Good));
        assert_eq!((verdict(4.749), verdict(5.251)), (Verdict::Low, Verdict::High));
        assert_eq!((verdict(f64::NAN), verdict(f64::INFINITY)), (Verdict::NoReading, Verdict::NoReading));
    }

    // Source: Kirchhoff, row V37: 30 m of AWG 24 at 0.15 A take 0.757919 V, so a good supply is low at the head.
    #[test]
    fn a_long_thin_cable_is_good_at_the_drive_and_low_at_the_head() {
        let mut dip = 0.0;
        let mut meter = Volts::new(|_: &Record| {
            dip += 0.1;
            Supply { drive_v: 5.1, head_v: 5.1 - 0.757_919 - if dip > 0.15 && dip < 0.25 { 1.0 } else { 0.0 } }
        });
        assert_eq!(meter.reading(), None);
        (0..3).for_each(|_| meter.record(&Record::default()));
        let r = meter.reading().unwrap();
        assert_eq!(r.now.verdicts(), (Verdict::Good, Verdict::Low));
        assert!((r.now.drop_v() - 0.757_919).abs() < 1e-12);
        assert!((r.lowest.head_v - 3.342_081).abs() < 1e-12 && (r.highest.head_v - 4.342_081).abs() < 1e-12);
        meter.clear();
        meter.record(&Record::default());
        assert!((meter.reading().unwrap().lowest.head_v - 4.342_081).abs() < 1e-12);
    }
}
