//! Keeping and sharing: the exact bench as a file or in the browser, the bench as a link with its code, pictures,
//! tables and a report. What can be tested without a browser knows none; `browser.rs` alone talks to it.

pub mod autosave;
pub mod browser;
pub mod code;
pub mod folder;
pub mod kept;
pub mod names;
pub mod open;
pub mod picture;
pub mod record;
pub mod report;
pub mod shelf;
pub mod table;
pub mod when;
pub mod worksheet;
