//! What the workspace-level tests share.

pub mod adversary;
pub mod beside;
pub mod blown;
pub mod demonstrations;
pub mod extent;
pub mod followed;
pub mod generate;
pub mod generated;
pub mod hanging;
pub mod interval;
pub mod kinematics;
pub mod many_joints;
pub mod oracle;
pub mod physical;
pub mod reference;
pub mod sections;
pub mod stranger;
pub mod swaying;
