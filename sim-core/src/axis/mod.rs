//! axis
pub mod friction;
pub mod homing;
pub mod machine;
pub mod motion;
pub mod motor_encoder;
pub mod plant;
pub mod profile;
pub mod servo;
pub mod velocity;
