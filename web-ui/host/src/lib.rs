//! Parts of the native program.
