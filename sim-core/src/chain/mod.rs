//! The signal chain, one file per stage: from light to channel voltages, from voltages to counts.

pub mod alignment;
pub mod analog;
pub mod count_limits;
pub mod counter;
pub mod interpolate;
pub mod light;
pub mod photo;
pub mod square;
