//! Refusals: each problem with its place, the line of the file, and what to do.

use std::ops::Range;

use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use wideberth_scenario::invisible::{is_invisible, plain};
use wideberth_scenario::{Problem, Problems};

use crate::input::Input;

/// Most problems shown; the count says how many there are.
const MOST: usize = 100;

/// Every problem of a file.
pub fn render(problems: &Problems, input: &Input) -> String {
    let lines: Vec<&str> = input.text.lines().collect();
    let shown = problems.iter().take(MOST).map(|problem| one(problem, input, &lines) + "\n\n");
    shown.collect::<String>() + &summary(problems.len(), &plain(&input.name))
}

fn summary(count: usize, name: &str) -> String {
    let (problems, them) = if count == 1 { ("problem", "it") } else { ("problems", "them") };
    let most = if count > MOST { format!(" (the first {MOST} are shown)") } else { String::new() };
    format!(
        "{name}: {count} {problems}{most}; nothing was computed. Mend {them} and check again; `wideberth explain CODE` says more.\n"
    )
}

fn one(problem: &Problem, input: &Input, lines: &[&str]) -> String {
    let renderer = Renderer::styled().decor_style(DecorStyle::Ascii).term_width(100);
    let name = plain(problem.file.as_deref().unwrap_or(&input.name));
    let (message, path, help) = (plain(&problem.message), plain(&problem.path), plain(&problem.help));
    let title = Level::ERROR.primary_title(&message).id(problem.code.name());
    let line = lines.get(problem.line.saturating_sub(1)).filter(|_| problem.file.is_none());
    let excerpt = line.map(|line| Excerpt::of(line, problem.column));
    let group = match &excerpt {
        Some(excerpt) => title.element(
            Snippet::source(&excerpt.text)
                .line_start(problem.line)
                .path(&name)
                .annotation(AnnotationKind::Primary.span(token(&excerpt.text, excerpt.column)).label(&path)),
        ),
        None => title.element(origin(&name, problem)),
    };
    renderer.render(&[with_help(group, &help)])
}

/// What is shown of a line: the part about a column, each character that nobody sees replaced by a mark of the same width.
struct Excerpt {
    text: String,
    /// The column in it, in characters from 1.
    column: usize,
}

impl Excerpt {
    /// Most characters shown before and after the column.
    const BEFORE: usize = 120;
    const AFTER: usize = 240;

    fn of(line: &str, column: usize) -> Self {
        let skipped = column.saturating_sub(Self::BEFORE);
        let shown = line.chars().skip(skipped).take(Self::BEFORE + Self::AFTER);
        let text = shown.map(|c| if is_invisible(c) && c != '\t' { '\u{fffd}' } else { c }).collect();
        Self { text, column: column - skipped }
    }
}

fn origin<'a>(name: &'a str, problem: &Problem) -> Origin<'a> {
    Origin::path(name).line(problem.line).char_column(problem.column)
}

fn with_help<'a>(group: Group<'a>, help: &'a str) -> Group<'a> {
    if help.is_empty() { group } else { group.element(Level::HELP.message(help)) }
}

/// Bytes of the value that starts at a column (in characters, from 1).
fn token(line: &str, column: usize) -> Range<usize> {
    let from = line.char_indices().nth(column.saturating_sub(1)).map_or(line.len(), |(at, _)| at);
    let rest = &line[from..];
    let mut characters = rest.char_indices().skip(1);
    let end = match rest.chars().next() {
        Some('"') => characters.find(|(_, c)| *c == '"').map(|(at, _)| at + 1),
        Some('{' | '[') => Some(1),
        _ => characters.find(|(_, c)| !c.is_alphanumeric() && !"+-._".contains(*c)).map(|(at, _)| at),
    };
    from..from + end.unwrap_or(rest.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_the_whole_value() {
        let line = "  \"größe\": \"6 m\", 12.5, [1]";
        assert_eq!(&line[token(line, 3)], "\"größe\"");
        assert_eq!(&line[token(line, 12)], "\"6 m\"");
        assert_eq!(&line[token(line, 19)], "12.5");
        assert_eq!(&line[token(line, 25)], "[");
        assert_eq!(token(line, 99), line.len()..line.len());
    }
}
