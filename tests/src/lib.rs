//! What the system tests share: the real page, served from this process, in a real browser.
//!
//! ```no_run
//! # use system_tests::{Page, Result};
//! #[tokio::test]
//! async fn the_gap_can_be_set() -> Result<()> {
//!     let page = Page::open().await?;
//!     let gap = page.by_role("spinbutton", "Scanning gap").await?;
//!     gap.send_keys("0.8").await?;
//!     page.until_js("the gap is taken over", "return document.querySelector('#gap').value === '0.8'").await?;
//!     page.expect_quiet_console().await
//! }
//! ```
//!
//! The page is built once, in the first test that needs it; test programs that run at once wait for each other's
//! build. A missing browser is installed where we may, and is otherwise an error that names the command: no test is
//! skipped.

mod access;
mod bench;
mod browser;
mod command;
mod console;
mod controls;
mod driver;
mod files;
mod find;
pub mod http;
mod page;
mod pixels;
mod pointer;
mod served;
mod shot;
mod strip;
pub mod table;

pub use bench::{Dirt, Figures, Seen};
pub use console::Entry;
pub use fantoccini::elements::Element;
pub use fantoccini::key::Key;
pub use page::Page;
pub use pointer::Frame;
pub use served::{Served, serve, site};
pub use shot::{Theme, View};
pub use strip::Strip;

/// A result with any error; tests return it, so that `?` shows what went wrong.
pub type Result<T> = std::result::Result<T, Box<dyn std::error::Error + Send + Sync>>;
