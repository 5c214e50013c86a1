//! The built program: exit codes, streams, forms of the answer, and its text compared with what is committed.

mod answers;
mod generated_pages;
mod planning;
mod refusals;
mod run;
mod text;

#[path = "../../../../tests/src/generated.rs"]
mod generated;
