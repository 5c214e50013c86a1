//! Placeholder.

pub mod catalogue;
