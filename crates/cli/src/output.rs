//! Writing: the answer to standard output, files whole or not at all, everything else to standard error. Nothing that an input
//! says can move the cursor, hide or forge a line here.

use std::borrow::Cow;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use anstream::{AutoStream, ColorChoice};
use wideberth_scenario::invisible::{escaped, is_invisible};

use crate::args::Color;
use crate::exit::{Outcome, Trouble};
use crate::input::Input;

/// Writes an answer. A reader who has gone away, as in `wideberth ... | head`, is no failure.
pub fn answer(text: &str, color: Color) -> Outcome {
    if is_closed() {
        remark("wideberth: standard output is closed, so that nobody sees the answer: let it lead somewhere\n", color);
        return Outcome::File;
    }
    let mut stream = AutoStream::new(io::stdout().lock(), choice(color));
    written(stream.write_all(harmless(text).as_bytes()).and_then(|()| stream.flush()), color)
}

/// What became of writing to standard output.
pub fn written(result: io::Result<()>, color: Color) -> Outcome {
    match result {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            remark(&format!("wideberth: the answer cannot be written: {error}\n"), color);
            Outcome::File
        }
        _ => Outcome::Done,
    }
}

/// Writes a remark or a refusal. Where even that cannot be written there is nobody to tell.
pub fn remark(text: &str, color: Color) {
    let mut stream = AutoStream::new(io::stderr().lock(), choice(color));
    let _ = stream.write_all(harmless(text).as_bytes()).and_then(|()| stream.flush());
}

fn choice(color: Color) -> ColorChoice {
    match color {
        Color::Auto => ColorChoice::Auto,
        Color::Always => ColorChoice::Always,
        Color::Never => ColorChoice::Never,
    }
}

/// Whether standard output was closed when the program began. The runtime then puts the null device in its place, open for reading too,
/// which nobody does who throws an answer away with `> /dev/null`.
pub fn is_closed() -> bool {
    let flags = || {
        let info = fs::read_to_string("/proc/self/fdinfo/1").ok()?;
        let flags = info.lines().find_map(|line| line.strip_prefix("flags:"))?;
        u32::from_str_radix(flags.trim(), 8).ok()
    };
    cfg!(target_os = "linux")
        && fs::read_link("/proc/self/fd/1").is_ok_and(|target| target == Path::new("/dev/null"))
        && flags().is_some_and(|flags| flags & 0o3 == 0o2)
}

/// A text whose only control characters are line ends, tabs and the colours of this program.
fn harmless(text: &str) -> Cow<'_, str> {
    let own = |c: char| c == '\n' || c == '\t';
    if !text.chars().any(|c| is_invisible(c) && !own(c)) {
        return text.into();
    }
    let mut clean = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let length = if c == '\u{1b}' { look(rest).unwrap_or(0) } else { 0 };
        if length > 0 {
            clean.push_str(&rest[..length]);
            rest = &rest[length..];
            continue;
        }
        if is_invisible(c) && !own(c) {
            clean.push_str(&escaped(c))
        } else {
            clean.push(c)
        }
        rest = &rest[c.len_utf8()..];
    }
    clean.into()
}

/// Bytes of the sequence that sets a colour or bold type at the beginning of a text; none for any other, for instance one that hides.
fn look(text: &str) -> Option<usize> {
    let body = text.strip_prefix("\u{1b}[")?;
    let (codes, _) = body.split_once('m')?;
    let plain = codes.bytes().all(|byte| byte.is_ascii_digit() || byte == b';');
    let hides = codes.split(';').any(|code| matches!(code, "5" | "6" | "7" | "8"));
    let indexed = codes.starts_with("38;5;");
    (plain && (indexed || !hides)).then_some(2 + codes.len() + 1)
}

/// A file that a command may write: it is no input and no other output.
#[derive(Clone, Debug)]
pub struct Output(PathBuf);

impl Output {
    /// The files that were asked for, each with its option, in their order; none where the option was not given.
    ///
    /// # Errors
    /// When one is `-`, two are the same file, or one is a file that was read.
    pub fn all<const N: usize>(asked: [(&str, Option<&Path>); N], input: &Input) -> Result<[Option<Self>; N], Trouble> {
        let mut known: Vec<(String, PathBuf)> = Vec::new();
        for (option, path) in asked.iter().filter_map(|(option, path)| Some((option, (*path)?))) {
            if path == Path::new("-") {
                let message = format!("{option} needs the name of a file: - is standard output, which gets the answer");
                return Err(Trouble::Usage(message));
            }
            if let Some(read) = input.files().iter().find(|read| is_same(read, path)) {
                let message = format!(
                    "{option} would overwrite {}, which this answer is read from: name another file",
                    read.display()
                );
                return Err(Trouble::Usage(message));
            }
            if let Some((other, _)) = known.iter().find(|(_, other)| is_same(other, path)) {
                let message = format!("{other} and {option} name the same file, {}: name two", path.display());
                return Err(Trouble::Usage(message));
            }
            known.push(((*option).into(), path.into()));
        }
        Ok(asked.map(|(_, path)| path.map(|path| Self(path.into()))))
    }

    /// Writes the file whole or not at all, and says so.
    pub fn write(&self, bytes: &[u8], color: Color) -> Outcome {
        let name = self.0.display();
        match replaced(&self.0, bytes) {
            Ok(()) => {
                remark(&format!("written: {name}\n"), color);
                Outcome::Done
            }
            Err(error) => {
                remark(&format!("error: {name} cannot be written: {error}; what stood there is as it was\n"), color);
                Outcome::File
            }
        }
    }
}

/// Whether two paths are one file, under whatever name; for a file that is not there yet, one place in one folder.
fn is_same(a: &Path, b: &Path) -> bool {
    same_file::is_same_file(a, b).unwrap_or(false) || place(a).is_some_and(|place_a| place(b) == Some(place_a))
}

/// Folder and name, with every link on the way resolved.
fn place(path: &Path) -> Option<PathBuf> {
    if let Ok(real) = path.canonicalize() {
        return Some(real);
    }
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    Some(folder.canonicalize().ok()?.join(path.file_name()?))
}

/// Writes beside the file, then puts the new one in its place in one step.
fn replaced(path: &Path, bytes: &[u8]) -> io::Result<()> {
    // Behind a link stands the file that is meant.
    let path = if path.is_symlink() { path.canonicalize()? } else { path.to_path_buf() };
    let present = fs::metadata(&path).ok();
    if present.as_ref().is_some_and(|present| !present.is_file()) {
        return Err(io::Error::other("it is no plain file"));
    }
    if present.as_ref().is_some_and(|present| present.permissions().readonly()) {
        return Err(io::Error::other("it is write-protected"));
    }
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut beside = beside(folder)?;
    beside.write_all(bytes)?;
    beside.as_file().sync_all()?;
    if let Some(present) = present {
        fs::set_permissions(beside.path(), present.permissions())?;
    }
    beside.persist(&path)?;
    Ok(())
}

/// An empty file with the permissions of any other new file.
fn beside(folder: &Path) -> io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".wideberth-").suffix(".part");
    builder.make_in(folder, |path| fs::File::create_new(path))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_colours_and_line_ends_pass() {
        assert_eq!(harmless("\u{1b}[1m\u{1b}[31mTOO CLOSE\u{1b}[0m\n"), "\u{1b}[1m\u{1b}[31mTOO CLOSE\u{1b}[0m\n");
        assert_eq!(harmless("\u{1b}[38;5;9mred"), "\u{1b}[38;5;9mred");
        assert_eq!(harmless("a\u{1b}[2Jb\rc"), "a\\u001b[2Jb\\u000dc");
        assert_eq!(harmless("\u{1b}[8mhidden"), "\\u001b[8mhidden");
        assert_eq!(harmless("a\u{202e}b\u{200b}"), "a\\u202eb\\u200b");
        assert_eq!(harmless("plain é"), "plain é");
    }
}
