//! monitor
