//! Instruments: read-only taps on the bench.

pub mod black_box;
pub mod digest;
pub mod edges;
pub mod figure;
#[cfg(test)]
mod fixture;
pub mod iso_230_2;
#[cfg(test)]
mod laws;
pub mod levels;
pub mod position;
pub mod readings;
pub mod scope;
pub mod spectrum;
pub mod still;
pub mod summary;
pub mod table;
pub mod track;
pub mod travel;
pub mod volts;
pub mod waveform;
