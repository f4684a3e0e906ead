//! The one error of the program: what went wrong, where, and how to mend it.

/// A failure that a person can act on. Every verb ends with exit code 1 on it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("error: {what}\n  where: {place}\n  to mend: {mend}")]
pub struct Error {
    /// What failed, in one sentence without a full stop.
    pub what: String,
    /// The file, folder, address or command concerned.
    pub place: String,
    /// What the reader can do about it.
    pub mend: String,
}

impl Error {
    /// Makes an error from its three parts.
    pub fn new(what: impl Into<String>, place: impl ToString, mend: impl Into<String>) -> Self {
        Self { what: what.into(), place: place.to_string(), mend: mend.into() }
    }

    /// An error of the file system at `path`.
    pub fn file(doing: &str, path: &std::path::Path, cause: &std::io::Error) -> Self {
        Self::new(
            format!("cannot {doing}: {cause}"),
            path.display(),
            "check that the path exists, that you may use it and that the disk is not full",
        )
    }
}

/// A result with the program's [`Error`].
pub type Result<T> = std::result::Result<T, Error>;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_message_names_all_three_parts() {
        let text = Error::new("it broke", "/tmp/x", "do this").to_string();
        assert_eq!(text, "error: it broke\n  where: /tmp/x\n  to mend: do this");
    }
}
