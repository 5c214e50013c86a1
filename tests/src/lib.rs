//! What the workspace-level tests share.

pub mod extent;
pub mod generated;
pub mod reference;
