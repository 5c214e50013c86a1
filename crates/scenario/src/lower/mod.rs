//! From checked raw values to the job: lines, machines and limits.

mod class;
mod climate;
mod conditions;
mod conductor;
mod controls;
mod free;
mod ground;
mod heating;
mod history;
mod known;
mod lesson;
mod limits;
mod line;
mod machine;
mod record;
mod rests;
mod sail;
mod scenario;
mod topple;
mod variants;
mod wire;

pub(crate) use conductor::conductor_of;
pub use controls::Counted;
pub use free::FreeEnd;
