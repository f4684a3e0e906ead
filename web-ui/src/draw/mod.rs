//! Drawings: pure functions from plain numbers to shapes, and the one file that puts shapes on a canvas.

pub mod kit;
pub mod shape;
pub mod svg;
pub mod tokens;
pub mod view;
