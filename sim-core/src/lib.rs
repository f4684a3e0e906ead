//! The Countlight bench as a deterministic model.

pub mod axis;
pub mod chain;
pub mod monitor;
pub mod num;
pub mod scale;
pub mod surface;
