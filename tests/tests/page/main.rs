//! The page as people work it: pointer, keyboard, finger. Every test compares what the model computed with what the
//! page shows. One program, so that the page is built and served once.

mod bits;
mod clock;
mod counting;
mod cover;
mod dirt;
mod files;
mod head;
mod keyboard;
mod pen;
mod phone;
mod poll;
mod present;
mod screens;
mod surprise;
mod theme;
mod tour;
