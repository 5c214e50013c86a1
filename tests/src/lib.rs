//! What the workspace-level tests share.

pub mod generated;
pub mod reference;
