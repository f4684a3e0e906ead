//! A fingerprint of a run: equal runs have equal fingerprints, natively and in the browser.

use crate::event::Event;
use crate::record::{Record, Sample, Tap};

/// FNV-1a over the bits of everything that the bench put out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Digest(u64);

impl Default for Digest {
    fn default() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }
}

impl Digest {
    fn add(&mut self, bits: u64) {
        self.0 = (self.0 ^ bits).wrapping_mul(0x0000_0100_0000_01b3);
    }

    fn add_all(&mut self, values: &[f64]) {
        for value in values {
            self.add(value.to_bits());
        }
    }

    /// The fingerprint so far, 16 hex digits.
    pub fn hex(&self) -> String {
        format!("{:016x}", self.0)
    }
}

impl Tap for Digest {
    fn sample(&mut self, s: &Sample) {
        self.add_all(&[s.time_s, s.table_m, s.a_v, s.b_v]);
        self.add(s.count.cast_unsigned());
    }

    fn record(&mut self, r: &Record) {
        self.add_all(&[r.table_m, r.speed_mps, r.command_m, r.counted_m, r.motor_m, r.error_m, r.expected_m]);
        self.add_all(&[r.current_a, r.gap_m, r.contrast, r.amplitude_a_v]);
        self.add_all(&r.lit);
        self.add_all(&r.photocurrent_a);
        self.add(r.illegal);
    }

    fn event(&mut self, event: &Event) {
        for byte in event.words().bytes() {
            self.add(u64::from(byte));
        }
    }
}
