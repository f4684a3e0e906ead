//! Instruments: read-only taps on the bench.

pub mod digest;
pub mod summary;
pub mod table;
pub mod waveform;
