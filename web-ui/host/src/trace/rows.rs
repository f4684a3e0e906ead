//! The table of a run as comma-separated values after RFC 4180: a heading line, CR LF at the end of each line.

use std::io;

use sim_core::instrument::table::{HEADINGS, Row, cells};

use crate::target_file::Writing;
use crate::{Error, Result};

/// Writes rows; the first failure stops the writing and is told at the end.
pub struct Rows {
    writer: csv::Writer<Writing>,
    failure: Option<csv::Error>,
}

impl Rows {
    /// Begins with the headings.
    pub fn new(writing: Writing) -> Self {
        let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(writing);
        let failure = writer.write_record(HEADINGS).err();
        Self { writer, failure }
    }

    /// One row.
    pub fn put(&mut self, row: &Row) {
        if self.failure.is_none() {
            self.failure = self.writer.write_record(cells(row)).err();
        }
    }

    /// Completes the file.
    ///
    /// # Errors
    /// The first row that could not be written; then there is no file.
    pub fn finish(mut self) -> Result<()> {
        let flushed = self.failure.map_or(Ok(()), |e| Err(cause(e))).and_then(|()| self.writer.flush());
        match flushed {
            Ok(()) => self
                .writer
                .into_inner()
                .map_err(|e| e.into_error())
                .map_or_else(|e| Err(Error::file("write the table", "the table".as_ref(), &e)), Writing::finish),
            Err(e) if self.writer.get_ref().reader_left(&e) => Ok(()),
            Err(e) => Err(Error::file("write the table", self.writer.get_ref().place(), &e)),
        }
    }
}

/// What the file system said; its kind is lost in the usual conversion.
fn cause(error: csv::Error) -> io::Error {
    match error.into_kind() {
        csv::ErrorKind::Io(cause) => cause,
        other => io::Error::other(format!("{other:?}")),
    }
}
