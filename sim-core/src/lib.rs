//! The Countlight bench as a deterministic model.
