//! Optical causes, from the dirt on the lines to the angles of the head.

mod dirt;
mod head;
mod scale;

pub(super) use dirt::DIRT;
pub(super) use head::HEAD;
pub(super) use scale::SCALE;
