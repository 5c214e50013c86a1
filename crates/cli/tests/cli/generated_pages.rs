//! Pages made from the program: help and schema.

use crate::generated::{compare_or_bless, repository_root};
use crate::run::run;

const COMMANDS: [&str; 13] = [
    "check",
    "fixes",
    "stand",
    "chart",
    "drivers",
    "sag",
    "day",
    "sway",
    "limit",
    "new",
    "explain",
    "schema",
    "completions",
];

#[test]
fn help_page() {
    let mut page = "# Command line\n\nMade from the program's own help; a test compares it.\n".to_string();
    let mut add = |title: &str, arguments: &[&str]| {
        let help = run(arguments).out;
        let help: String = help.lines().map(|line| line.trim_end().to_string() + "\n").collect();
        page += &format!("\n## {title}\n\n```text\n{help}```\n");
    };
    add("wideberth", &["--help"]);
    for command in COMMANDS {
        add(&format!("wideberth {command}"), &[command, "--help"]);
    }
    compare_or_bless("docs/help.md", &page);
}

#[test]
fn every_command_shows_examples_that_its_arguments_allow() {
    for command in COMMANDS {
        let help = run(&[command, "--help"]).out;
        let (_, examples) = help.split_once("Examples:\n").unwrap_or_else(|| panic!("{command} has no example"));
        assert!(
            examples.lines().all(|line| line.trim_start().starts_with(&format!("wideberth {command}"))),
            "{examples}"
        );
        for line in examples.lines() {
            let line = line.split(" > ").next().unwrap_or_default().replace("jobs/*.json", "job.json");
            let mut words: Vec<&str> = Vec::new();
            for (index, part) in line.split('"').enumerate() {
                if index % 2 == 1 { words.push(part) } else { words.extend(part.split_whitespace()) }
            }
            // The scenario is not there: the arguments were taken.
            let code = run(&words[1..]).code;
            assert!(matches!(code, 0 | 21), "{line}: {code}");
        }
    }
}

#[test]
fn result_schemas() {
    compare_or_bless("docs/result.schema.json", &run(&["schema", "result"]).out);
    compare_or_bless("docs/day.schema.json", &run(&["schema", "day"]).out);
    compare_or_bless("docs/sag.schema.json", &run(&["schema", "sag"]).out);
    compare_or_bless("docs/sway.schema.json", &run(&["schema", "sway"]).out);
    for name in ["fixes", "stand", "chart", "drivers", "refusal"] {
        compare_or_bless(&format!("docs/{name}.schema.json"), &run(&["schema", name]).out);
    }
}

#[test]
fn completions_exist_for_every_shell() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let script = run(&["completions", shell]);
        assert_eq!(script.code, 0);
        assert!(script.out.contains("wideberth") && script.out.contains("check"), "{shell}");
    }
}

#[test]
fn the_guide_names_every_column() {
    let guide = std::fs::read_to_string(repository_root().join("docs/guide.md")).expect("the guide");
    let rows = wideberth_report::rows::COLUMNS.iter().map(|(name, words)| format!("| `{name}` | {words} |\n"));
    let table = format!(
        "<!-- generated: columns -->\n| column | meaning |\n|---|---|\n{}<!-- end -->",
        rows.collect::<String>()
    );
    assert!(guide.contains(&table), "docs/guide.md should hold:\n{table}");
}
