//! Comparing a file with the JSON Schema of its format: unknown, missing and misplaced keys, wrong types and words, and
//! every quantity, all at once; then the typed values.

mod quantities;
mod schema;
mod walk;

use schemars::JsonSchema;
use serde::de::DeserializeOwned;

use crate::code::Code;
use crate::path::Path;
use crate::problem::Problems;
use crate::source::Source;

pub use schema::schema_of;

/// Reads the value at a path as a `T`.
///
/// # Errors
/// Everything in which it departs from the schema of `T`.
pub fn read<T: DeserializeOwned + JsonSchema>(source: &Source, at: &Path) -> Result<T, Problems> {
    let Some(value) = source.get(at) else {
        return Err(source.problem(Code::MissingKey, at, "there is no such value", "add it").into());
    };
    let problems = walk::compare(source, at, value, &schema_of::<T>());
    if !problems.is_empty() {
        return problems.into_result(()).and_then(|()| unreadable(source, at, "its structure is wrong"));
    }
    serde_json::from_value(value.clone()).or_else(|error| unreadable(source, at, &error.to_string()))
}

fn unreadable<T>(source: &Source, at: &Path, why: &str) -> Result<T, Problems> {
    Err(source
        .problem(Code::Structure, at, format!("this cannot be read: {why}"), "compare it with docs/formats.md")
        .into())
}

/// Checks "format" and "version" before anything else, so that another kind of file gives one problem, not many.
///
/// # Errors
/// When the file says that it is of another format or version, or is no object at all.
pub fn check_format(source: &Source, format: &str, version: u64) -> Result<(), Problems> {
    let root = Path::root();
    if !source.value().is_object() {
        let message = "the file must hold one object { ... }";
        return Err(source.problem(Code::WrongType, &root, message, "see docs/formats.md").into());
    }
    let (at, found) = (root.key("format"), source.value().get("format"));
    if let Some(found) = found.filter(|found| found.as_str() != Some(format)) {
        let message = format!("the format is {found}, not \"{format}\"");
        let help = format!("if this is such a file, write \"format\": \"{format}\"");
        return Err(source.problem(Code::WrongFormat, &at, message, help).into());
    }
    let (at, found) = (root.key("version"), source.value().get("version"));
    if let Some(found) = found.filter(|found| found.as_u64() != Some(version)) {
        let message = format!("the version is {found}; this program reads version {version}");
        let help = format!("write \"version\": {version} if the file follows it");
        return Err(source.problem(Code::WrongVersion, &at, message, help).into());
    }
    Ok(())
}
