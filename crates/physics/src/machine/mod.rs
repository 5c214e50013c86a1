//! Machines: frames that move, bodies that are carried, where they stand, how they are posed.

mod body;
mod frame;
#[expect(clippy::module_inception, reason = "the machine is what this module is about")]
mod machine;
mod placement;

pub use body::{Body, BodyRole, Feature, Ring};
pub use frame::{Frame, FrameId, FrameRole, Motion};
pub use machine::{MAX_JOINTS, Machine, MachineError};
pub use placement::{Placement, PlacementError};
