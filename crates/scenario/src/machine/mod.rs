//! Machines as files: reading and checking them, the library that comes with the programs, hung loads, and lowering to
//! frames and bodies of the physics for a job.

mod equip;
mod frames;
mod hung;
mod library;
mod load;
mod model;
mod place;
mod raw;
mod read;
mod shapes;
mod shorter;

pub use equip::{Equipped, JointRange, Named, Use, UseError};
pub use frames::GROUND;
pub use library::{Entry, Library};
pub use load::build_load;
pub use model::{HangPoint, HungLoad, Joint, JointKind, MachineModel, Part, Source, Yaw};
pub use raw::{
    AxisName, MachineFormat, RawAxis, RawBody, RawBox, RawCapsule, RawCylinder, RawEnd, RawFrame, RawFrustum,
    RawHangPoint, RawHinge, RawLoad, RawMachine, RawOverrun, RawPoint, RawPoints, RawSlide, RawSource, RawSphere,
    RawTurn, RawYaw, SourceTag, YawWord,
};
pub use read::{FORMAT, VERSION, build, overrun_of, read_file, read_text};
pub use shorter::LoadLength;
