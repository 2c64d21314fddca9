//! Demonstrations.
