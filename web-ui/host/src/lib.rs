//! Parts of the native program `countlight`: set up the wasm toolchain, build the page, serve it, put it into one
//! file, run and check scenes, list the causes of faults.
//!
//! ```text
//!  toolchain ─> compile ─> glue ─┐
//!              (nested cargo)    ├─> build::page ─> serve    (addresses of the page on 127.0.0.1)
//!  web-ui/assets ────────────────┤        │    └──> build    (a folder for any web server)
//!  lessons ─────> content ───────┘        └───────> bundle   (one HTML file, no server, no network)
//! ```
//!
//! Four more verbs need no page: [`trace`] runs a scene on the terminal, [`check`] reads scenes and says what is wrong,
//! [`causes`] lists the fault catalogue, [`link`] turns a scene into a link and back.
//!
//! One file per verb of the command line (`serve`, `build`, `bundle`, `trace`, `check`, `causes`, `link`); everything below them
//! knows no command line.
//! The system tests call the same functions in their own process.

pub mod build;
pub mod bundle;
pub mod causes;
pub mod check;
pub mod cli;
pub mod compile;
pub mod content;
pub mod error;
pub mod glue;
pub mod inline;
pub mod link;
pub mod mime;
pub mod nested;
pub mod offline;
pub mod parts;
pub mod policy;
pub mod progress;
pub mod scene_file;
pub mod serve;
pub mod site;
pub mod target_file;
pub mod toolchain;
pub mod trace;
pub mod workspace;

pub use error::{Error, Result};
