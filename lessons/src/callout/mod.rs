//! Call-outs: a stopped machine, a work order and a clock.
//!
//! ```text
//!  case file ──read──> Case ──arrive(seed)──> Visit ──act──> readings, minutes, hazards
//!                        │                       └──close──> Score and debrief
//!                        └─ script ──> expert, part-swapper, unsafe path (tests of every case)
//! ```
//!
//! Everything that a visit tells is computed from its bench: checks drive it, remedies change it, and the proof run has
//! to come out as on the healthy machine.

pub mod act;
pub mod case;
pub mod code;
pub mod cost;
pub mod debrief;
pub mod done;
pub mod hazard;
pub mod made;
pub mod play;
mod read;
pub mod remedy;
pub mod result;
pub mod score;
pub mod script;
pub mod veil;
pub mod visit;
pub mod write;

pub use act::Act;
pub use case::Case;
pub use code::{Ticket, TicketError};
pub use hazard::Hazard;
pub use read::{CASE_FORMAT, read};
pub use remedy::Remedy;
pub use result::Handed;
pub use score::{Note, Score};
pub use veil::{unveil, veil};
pub use visit::Visit;
pub use write::text_of;
