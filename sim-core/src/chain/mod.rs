//! The signal chain, one file per stage: from light to channel voltages, from voltages to counts.

pub mod absolute;
pub mod alignment;
pub mod analog;
pub mod conductor;
pub mod count_limits;
pub mod counter;
pub mod distance_code;
pub mod edge_filter;
pub mod interference;
pub mod interpolate;
pub mod lamp;
pub mod light;
pub mod line;
pub mod loss;
pub mod mark;
pub mod photo;
pub mod square;
pub mod square_line;
pub mod squaring;
pub mod supply;
pub mod wiring;
