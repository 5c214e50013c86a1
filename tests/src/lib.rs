//! What the workspace-level tests share.

pub mod adversary;
pub mod extent;
pub mod generate;
pub mod generated;
pub mod oracle;
pub mod reference;
