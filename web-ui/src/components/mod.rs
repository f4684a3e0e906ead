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
pub mod instrument_compare;
pub mod instrument_count;
pub mod instrument_figure;
pub mod instrument_frame;
pub mod instrument_handle;
pub mod instrument_loop;
pub mod instrument_number;
pub mod instrument_readout;
#[cfg(test)]
mod instrument_tests;
pub mod instrument_traces;
pub mod instrument_travel;
pub mod instrument_trigger;
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
