//! The signal chain, one file per stage, from light to channel voltages.

pub mod analog;
pub mod light;
pub mod photo;
