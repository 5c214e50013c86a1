//! From the JSON text of a table file to checked rule sets, with all problems at once.

mod check;
mod file;
mod json;
mod node;

pub(crate) use file::rule_sets;
