//! The Countlight bench as a deterministic model.

pub mod chain;
pub mod num;
pub mod scale;
pub mod surface;
