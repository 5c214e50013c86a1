//! From checked raw values to the job: lines, machines and limits.

mod conditions;
mod conductor;
mod known;
mod lesson;
mod limits;
mod line;
mod machine;
mod scenario;
mod wire;

pub(crate) use conductor::conductor_of;
