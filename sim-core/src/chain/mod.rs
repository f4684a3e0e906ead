//! The chain from light to counts; this part makes counts out of voltages.

pub mod count_limits;
pub mod counter;
pub mod interpolate;
pub mod square;
