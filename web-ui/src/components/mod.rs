//! One component a file; each reads the store and sends actions or commands.

pub mod actions;
pub mod breaks;
pub mod brush;
pub mod chain_strip;
pub mod charts;
pub mod choice;
pub mod dimension;
pub mod drawer;
pub mod field;
pub mod header;
pub mod job_card;
pub mod log_list;
pub mod machine;
pub mod notice;
pub mod number;
pub mod optics;
pub mod picture;
pub mod place;
pub mod settings;
pub mod side;
pub mod sign;
pub mod stroke;
pub mod tabs;
