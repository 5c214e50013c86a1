//! Running the program.

use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Stdio};

use crate::generated::repository_root;

/// What a run gave.
pub struct Run {
    /// Exit code.
    pub code: i32,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
}

/// The program, without colours or width of the surrounding terminal.
pub fn program() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_wideberth"));
    command.env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE").env("COLUMNS", "100").current_dir(repository_root());
    command
}

/// Runs it with arguments.
pub fn run(arguments: &[&str]) -> Run {
    run_with(arguments, "")
}

/// Runs it with arguments and a text on standard input.
pub fn run_with(arguments: &[&str], input: &str) -> Run {
    let mut command = program();
    command.args(arguments).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().expect("the program starts");
    let mut stdin = child.stdin.take().expect("a pipe");
    let text = input.to_string();
    // A program that does not read its input may close the pipe first.
    let writer = std::thread::spawn(move || drop(stdin.write_all(text.as_bytes())));
    let output = child.wait_with_output().expect("the program ends");
    writer.join().expect("the writer ends");
    Run {
        code: output.status.code().expect("an exit code"),
        out: String::from_utf8(output.stdout).expect("text"),
        err: String::from_utf8(output.stderr).expect("text"),
    }
}

/// The text of a demonstration.
pub fn demonstration(name: &str) -> String {
    let path: PathBuf = repository_root().join("scenarios").join(name).with_extension("json");
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// Path of a demonstration from the root of the repository.
pub fn scenario(name: &str) -> String {
    format!("scenarios/{name}.json")
}
