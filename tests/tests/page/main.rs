//! The page as people work it: pointer, keyboard, finger. Every test compares what the model computed with what the
//! page shows. One program, so that the page is built and served once.

mod access;
mod bits;
mod cable;
mod calls;
mod clock;
mod counting;
mod course;
mod cover;
mod dirt;
mod files;
mod head;
mod instruments;
mod jobs;
mod keep;
mod keyboard;
mod later;
mod lesson;
mod pen;
mod phone;
mod policy;
mod poll;
mod present;
mod recording;
mod recovery;
mod screens;
mod spanish;
mod surprise;
mod theme;
mod tour;
mod undo;
mod units;
mod views;
