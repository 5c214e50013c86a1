//! The built program: exit codes, streams, forms of the answer, and its text compared with what is committed.

mod answers;
mod batch;
mod every_command;
mod files;
mod generated_pages;
mod names;
mod planning;
mod refusals;
mod run;
mod text;

#[path = "../../../../tests/src/generated.rs"]
mod generated;
