//! Drawings: pure functions from plain numbers to shapes, and the one file that puts shapes on a canvas.

pub mod axes;
pub mod canvas;
pub mod channels;
pub mod error;
pub mod kit;
pub mod ruler;
pub mod shape;
pub mod squares;
pub mod svg;
pub mod tokens;
pub mod trace;
pub mod view;
pub mod words;
pub mod xy;

#[cfg(test)]
mod chart_tests;
