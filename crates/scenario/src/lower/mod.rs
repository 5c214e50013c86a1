//! From checked raw values to the job: lines, machines and limits.

mod conditions;
mod conductor;
mod controls;
mod ground;
mod history;
mod known;
mod limits;
mod line;
mod machine;
mod record;
mod scenario;
mod topple;
mod wire;

pub(crate) use conductor::conductor_of;
