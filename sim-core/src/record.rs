//! What comes out of the bench: samples within a step, one record at the end of each, and events.
//! Instruments read these and nothing else, so looking never changes a run.

use crate::chain::loss::SignalFault;
use crate::event::Event;

/// Length of one step of the model, s (see the axis model: fixed step, motion straight within it).
pub const STEP_S: f64 = 50e-6;

/// The head's signals at one instant within a step.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Sample {
    /// Model time, s.
    pub time_s: f64,
    /// Where the table is, m from machine zero.
    pub table_m: f64,
    /// Channel A at the input, V; the difference of its pair where the head sends square waves.
    pub a_v: f64,
    /// Channel B at the input, V (0 when not plugged in).
    pub b_v: f64,
    /// Squared A.
    pub square_a: bool,
    /// Squared B.
    pub square_b: bool,
    /// Count so far.
    pub count: i64,
}

/// What the axis is doing, in plain words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Doing {
    /// Drive off.
    #[default]
    Off,
    /// Holding its place.
    Holding,
    /// Moving by command.
    Moving,
    /// Looking for zero.
    Homing,
    /// Being stopped by an alarm.
    Stopping,
    /// Stopped by an alarm, drive off.
    Tripped,
}

/// Everything worth knowing at the end of a step.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Record {
    /// Number of the step that ended.
    pub step: u64,
    /// Model time, s.
    pub time_s: f64,
    /// Where the table is, m from machine zero.
    pub table_m: f64,
    /// Table speed, m/s.
    pub speed_mps: f64,
    /// Where the command is, m.
    pub command_m: f64,
    /// Commanded speed, m/s.
    pub command_mps: f64,
    /// Where the count of the scale says the table is, m from machine zero.
    pub counted_m: f64,
    /// What the readout shows: `counted_m` less the place that it calls zero, m.
    pub readout_m: f64,
    /// Where the motor encoder says the table is, m.
    pub motor_m: f64,
    /// Following error by the control's own feedback, m.
    pub error_m: f64,
    /// What the control expects as following error, m.
    pub expected_m: f64,
    /// Alarm band of the following error (lower, upper), m.
    pub band_m: (f64, f64),
    /// Motor current, A.
    pub current_a: f64,
    /// Gap under the head, m.
    pub gap_m: f64,
    /// Light on each sensor field, 0..1 of the brightest the clean nominal head reaches.
    pub lit: [f64; 4],
    /// Photocurrents, A.
    pub photocurrent_a: [f64; 4],
    /// Share of the lines' light pattern that gets through the dirt here, 0..1.
    pub contrast: f64,
    /// Brightness of the lamp behind the head's window, 1 nominal.
    pub light: f64,
    /// How much of the lamp's drive is used up, 0..1; 1 with a fixed drive.
    pub lamp_used: f64,
    /// Supply at the head, V.
    pub head_supply_v: f64,
    /// Amplitude of channel A that the present light gives, V (half of peak to peak).
    pub amplitude_a_v: f64,
    /// Amplitude of channel B, V.
    pub amplitude_b_v: f64,
    /// Amplitude that the input needs to switch, V.
    pub needed_v: f64,
    /// Count of the scale.
    pub count: i64,
    /// Which way the last count went: 1 up, -1 down, 0 none yet.
    pub direction: i8,
    /// Illegal transitions so far.
    pub illegal: u64,
    /// Whether the count stands although the table has moved by more than a period.
    pub blind: bool,
    /// What the axis is doing.
    pub doing: Doing,
    /// Whether an alarm is latched.
    pub alarm: bool,
    /// Whether zero has been taken from the reference mark since it was last lost.
    pub referenced: bool,
    /// Whether the home switch is pressed.
    pub home_switch: bool,
    /// Whether channel A, as it arrives, can switch the input: strong enough, not too far off its middle, over the
    /// wires. Of a head that sends square waves: strong enough in the head, and both levels reach the receiver.
    pub a_ok: bool,
    /// The same of channel B; true where B is not plugged in.
    pub b_ok: bool,
    /// What the control has told of a bad signal and not taken back.
    pub signal: Option<SignalFault>,
}

/// A read-only tap. Every method has an empty default; `()` is the tap that sees nothing.
pub trait Tap {
    /// Whether samples within steps are wanted (skipped otherwise).
    const SAMPLES: bool = true;
    /// One sample within a step.
    fn sample(&mut self, _sample: &Sample) {}
    /// The end of a step.
    fn record(&mut self, _record: &Record) {}
    /// Something happened.
    fn event(&mut self, _event: &Event) {}
}

impl Tap for () {
    const SAMPLES: bool = false;
}

impl<A: Tap, B: Tap> Tap for (A, B) {
    const SAMPLES: bool = A::SAMPLES || B::SAMPLES;
    fn sample(&mut self, sample: &Sample) {
        self.0.sample(sample);
        self.1.sample(sample);
    }
    fn record(&mut self, record: &Record) {
        self.0.record(record);
        self.1.record(record);
    }
    fn event(&mut self, event: &Event) {
        self.0.event(event);
        self.1.event(event);
    }
}

impl<T: Tap> Tap for &mut T {
    const SAMPLES: bool = T::SAMPLES;
    fn sample(&mut self, sample: &Sample) {
        (**self).sample(sample);
    }
    fn record(&mut self, record: &Record) {
        (**self).record(record);
    }
    fn event(&mut self, event: &Event) {
        (**self).event(event);
    }
}

/// A tap behind a pointer. A step is generic over its tap, so it is compiled wherever it is used; who watches through
/// this shares the one that is compiled here, at the price of a call through a pointer for each sample.
pub trait Watcher {
    /// One sample within a step.
    fn watch_sample(&mut self, sample: &Sample);
    /// The end of a step.
    fn watch_record(&mut self, record: &Record);
    /// Something happened.
    fn watch_event(&mut self, event: &Event);
}

impl<T: Tap> Watcher for T {
    fn watch_sample(&mut self, sample: &Sample) {
        self.sample(sample);
    }
    fn watch_record(&mut self, record: &Record) {
        self.record(record);
    }
    fn watch_event(&mut self, event: &Event) {
        self.event(event);
    }
}

/// A [`Watcher`] as a tap.
pub(crate) struct Watched<'a>(pub(crate) &'a mut dyn Watcher);

impl Tap for Watched<'_> {
    fn sample(&mut self, sample: &Sample) {
        self.0.watch_sample(sample);
    }
    fn record(&mut self, record: &Record) {
        self.0.watch_record(record);
    }
    fn event(&mut self, event: &Event) {
        self.0.watch_event(event);
    }
}
