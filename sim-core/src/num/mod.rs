//! Numbers: deterministic mathematics and named random streams.
//!
//! Everything here gives the same bits natively and in WebAssembly. The rest of the
//! model gets its sines, logarithms and random numbers from here and nowhere else.

pub mod crossings;
pub mod ellipse;
pub mod harmonics;
pub mod least_squares;
pub mod math;
pub mod normal;
pub mod random;
