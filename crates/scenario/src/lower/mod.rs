//! From checked raw values to the job: lines, machines and limits.

mod conditions;
mod conductor;
mod history;
mod known;
mod limits;
mod line;
mod machine;
mod sail;
mod scenario;
mod wire;

pub(crate) use conductor::conductor_of;
