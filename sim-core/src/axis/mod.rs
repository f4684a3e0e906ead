//! axis
pub mod friction;
pub mod machine;
pub mod motion;
pub mod plant;
pub mod profile;
