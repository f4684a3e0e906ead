//! page shows. One program, so that the page is built and served once.

mod bits;
mod clock;
mod counting;
mod dirt;
mod files;
mod head;
