//! Scenes and their reader.
