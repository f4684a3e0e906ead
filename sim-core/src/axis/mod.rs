//! axis
pub mod friction;
pub mod motion;
pub mod profile;
