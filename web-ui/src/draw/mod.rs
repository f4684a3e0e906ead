//! Drawings: pure functions from plain numbers to shapes, and the one file that puts shapes on a canvas.

pub mod axes;
pub mod canvas;
mod carriage;
pub mod chain;
pub mod channels;
pub mod count_strip;
pub mod covered;
pub mod error;
pub mod figure;
pub mod head_scale;
pub mod instrument_view;
pub mod kit;
pub mod loop_strip;
pub mod machine;
mod machine_inset;
pub mod machine_layout;
pub mod numbers;
pub mod plan;
mod plan_track;
pub mod positions;
pub mod room;
pub mod ruler;
pub mod samples;
pub mod scene_words;
pub mod section;
mod section_extra;
mod section_head;
pub mod section_layout;
mod section_light;
mod section_scale;
pub mod shape;
pub mod squares;
pub mod svg;
pub mod tokens;
pub mod trace;
pub mod traces;
pub mod travel;
pub mod view;
pub mod words;
pub mod xy;

#[cfg(test)]
mod chart_tests;

#[cfg(test)]
mod check;
#[cfg(test)]
mod head_tests;
#[cfg(test)]
mod instrument_tests;
#[cfg(test)]
mod machine_tests;
