//! What the workspace-level tests share.

pub mod generated;
