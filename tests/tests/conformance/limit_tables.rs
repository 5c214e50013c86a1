//! The format of rule tables: what a user may supply, what is refused and how, and that the page about the tables is
//! the same as the data.

use serde_json::{Value, json};
use wideberth_rules::*;

fn table(rule: Value) -> Value {
    json!({ "format": "wideberth-rules", "version": 1, "title": "works rules", "rule_sets": [rule] })
}

fn rule() -> Value {
    json!({
        "id": "works-cranes", "place": "Northholm", "instrument": "works rule", "section": "4", "edition": "2025",
        "force": "contract rule", "status": "current", "scope": "general", "purpose": "limit", "work": ["operate"],
        "crew": "ordinary", "who": "cranes on the works", "basis": "phase to phase", "current": "ac",
        "measured": "any direction", "between_rows": "larger", "below_first_row": "first row", "provenance": "seen",
        "rows": [
            { "up_to": "50 kV", "distance": "4 m" },
            { "over": "50 kV", "up_to": "200 kV", "distance": "5 m" },
        ],
        "unknown_voltage": { "defaults": [] },
        "source": ["works rule 4, paper copy"],
    })
}

fn with(change: impl Fn(&mut Value)) -> String {
    let mut rule = rule();
    change(&mut rule);
    table(rule).to_string()
}

fn problems(text: &str) -> Vec<Problem> {
    match RuleBook::embedded().with_user_tables(text) {
        Err(TableErrors::Problems(problems)) => problems,
        other => panic!("must be refused with problems, got {:?}", other.map(|book| book.rule_sets().len())),
    }
}

/// The only problem of a table.
fn only(text: &str) -> (String, Fault) {
    let mut found = problems(text);
    assert_eq!(found.len(), 1, "{found:#?}");
    let Problem { path, fault } = found.remove(0);
    (path, fault)
}

#[test]
fn a_user_table_is_asked_like_any_other_and_marked() {
    let book = RuleBook::embedded().with_user_tables(&table(rule()).to_string()).unwrap();
    let voltage = Voltage::ac(110.0, VoltageBasis::PhaseToPhase);
    for name in ["works-cranes", "Northholm"] {
        let choice = book.select(&Query::named(name, voltage.clone(), Work::Operate)).unwrap();
        assert_eq!((choice.distance_m, choice.origin), (5.0, Origin::User));
        assert!(choice.provenance_line().ends_with("table supplied by the user"));
    }
    assert_eq!(book.rule_sets().len(), RuleBook::embedded().rule_sets().len() + 1);
}

#[test]
fn embedded_files_are_valid_as_user_tables_except_for_their_ids() {
    for file in RuleBook::embedded_files() {
        let found = problems(file.json);
        assert!(found.iter().all(|problem| matches!(problem.fault, Fault::UsedId { .. })), "{}: {found:#?}", file.name);
    }
}

#[test]
fn text_that_is_not_json_is_refused_with_its_place() {
    let cut = &table(rule()).to_string()[..200];
    assert!(matches!(
        RuleBook::embedded().with_user_tables(cut),
        Err(TableErrors::Syntax { line: 1, column: 200, .. })
    ));
    let deep = "[".repeat(100_000);
    assert!(matches!(RuleBook::embedded().with_user_tables(&deep), Err(TableErrors::Syntax { .. })));
    assert!(matches!(RuleBook::embedded().with_user_tables(""), Err(TableErrors::Syntax { .. })));
}

#[test]
fn other_formats_and_versions_are_refused() {
    let mut other = table(rule());
    other["format"] = json!("something");
    other["version"] = json!(2);
    let found = problems(&other.to_string());
    let paths: Vec<_> = found.iter().map(|problem| problem.path.as_str()).collect();
    assert_eq!(paths, ["$.format", "$.version"]);
    assert!(found.iter().all(|problem| matches!(problem.fault, Fault::WrongFormat { .. })));
    assert!(matches!(problems("[]").as_slice(), [Problem { fault: Fault::WrongKind { .. }, .. }]));
}

#[test]
fn all_problems_come_at_once_with_their_paths() {
    let text = with(|rule| {
        rule["crew"] = json!("anybody");
        rule["rows"][0]["distance"] = json!(4);
        rule["rows"][1]["up_to"] = json!("200 volts");
        rule["colour"] = json!("red");
        rule.as_object_mut().unwrap().remove("section");
    });
    let mut paths: Vec<_> = problems(&text).into_iter().map(|problem| problem.path).collect();
    paths.sort();
    let expected = [
        "$.rule_sets[0]",
        "$.rule_sets[0]",
        "$.rule_sets[0].crew",
        "$.rule_sets[0].rows[0].distance",
        "$.rule_sets[0].rows[1].up_to",
    ];
    assert_eq!(paths, expected);
    let errors = RuleBook::embedded().with_user_tables(&text).unwrap_err().to_string();
    assert!(errors.starts_with("the rule table has 5 problem(s):\n") && errors.lines().count() == 6, "{errors}");
}

#[test]
fn unknown_keys_and_words_name_the_nearest_known_ones() {
    let (_, fault) = only(&with(|rule| rule["rows"][0]["labell"] = json!("x")));
    assert_eq!(fault, Fault::UnknownKey { key: "labell".into(), nearest: vec!["label".into()] });
    let (path, fault) = only(&with(|rule| rule["work"] = json!(["operat"])));
    assert_eq!(path, "$.rule_sets[0].work[0]");
    assert!(matches!(fault, Fault::UnknownWord { nearest, .. } if nearest == ["operate"]));
}

#[test]
fn a_key_written_twice_is_refused() {
    let text = with(|_| {}).replacen("\"distance\":\"4 m\"", "\"distance\":\"4 m\",\"distance\":\"3 m\"", 1);
    let (path, fault) = only(&text);
    assert_eq!((path.as_str(), fault), ("$.rule_sets[0].rows[0]", Fault::TwiceKey { key: "distance".into() }));
}

#[test]
fn quantities_need_a_number_a_unit_and_sense() {
    for bad in ["4", "4m", "m", "-4 m", "4 yd", "NaN m", "inf m", "1e1 m", "", "4 m "] {
        let (path, fault) = only(&with(|rule| rule["rows"][0]["distance"] = json!(bad)));
        assert_eq!(path, "$.rule_sets[0].rows[0].distance");
        assert!(matches!(fault, Fault::Quantity(QuantityError::NotAQuantity { .. })), "{bad}: {fault}");
    }
    for far in ["0 m", "0.0001 m", "201 m", "1000 ft"] {
        let (_, fault) = only(&with(|rule| rule["rows"][0]["distance"] = json!(far)));
        assert!(matches!(fault, Fault::Quantity(QuantityError::OutOfRange { .. })), "{far}: {fault}");
    }
    let (_, fault) = only(&with(|rule| rule["rows"][0]["up_to"] = json!("50000 kV")));
    assert!(matches!(fault, Fault::Quantity(QuantityError::OutOfRange { .. })));
}

#[test]
fn rows_that_contradict_each_other_are_refused() {
    let (path, fault) = only(&with(|rule| rule["rows"][1]["over"] = json!("40 kV")));
    assert_eq!((path.as_str(), fault), ("$.rule_sets[0].rows[1]", Fault::Overlap { other: 0 }));
    let (_, fault) = only(&with(|rule| rule["rows"][1]["distance"] = json!("3 m")));
    assert!(matches!(fault, Fault::Falls { other: 0, .. }));
    let (_, fault) = only(&with(|rule| rule["rows"][1]["over"] = json!("200 kV")));
    assert!(matches!(fault, Fault::EmptyRow { .. }));
    let (_, fault) = only(&with(|rule| rule["rows"][1]["from"] = json!("50 kV")));
    assert!(matches!(fault, Fault::TwoEdges { first: "over", second: "from" }));
}

#[test]
fn a_row_states_its_distance_exactly_once() {
    let (_, fault) = only(&with(|rule| rule["rows"][0]["words"] = json!("ask")));
    assert!(matches!(fault, Fault::OneOf { given: 2, .. }));
    let (_, fault) = only(&with(|rule| {
        rule["rows"][0].as_object_mut().unwrap().remove("distance");
    }));
    assert!(matches!(fault, Fault::OneOf { given: 0, .. }));
    let formula =
        json!({ "base": "5 m", "above": "60 kV", "add": "1 cm", "per": "1 kV", "part_steps": "in proportion" });
    let (_, fault) = only(&with(|rule| rule["rows"][1] = json!({ "over": "50 kV", "per_kv": formula })));
    assert_eq!(fault, Fault::FormulaStart { above_kv: 60.0, lower_kv: 50.0 });
}

#[test]
fn the_whole_table_must_make_sense() {
    let (path, fault) = only(&with(|rule| rule["work"] = json!([])));
    assert_eq!((path.as_str(), fault), ("$.rule_sets[0].work", Fault::WorkAndPurpose));
    let narrow = json!({ "defaults": [{ "distance": "6 m", "not_above": "350 kV" }] });
    let (_, fault) = only(&with(|rule| rule["unknown_voltage"] = narrow.clone()));
    assert_eq!(fault, Fault::OpenDefault { given: 0 });
    let (path, _) = only(&with(|rule| rule["source"] = json!([])));
    assert_eq!(path, "$.rule_sets[0].source");
    let (_, fault) = only(&with(|rule| rule["who"] = json!(" ")));
    assert_eq!(fault, Fault::Empty);
}

#[test]
fn ids_are_unique_and_references_exist() {
    for used in ["ca-on-188", "CA-ON-188", "Ontario"] {
        let (path, fault) = only(&with(|rule| rule["id"] = json!(used)));
        assert_eq!((path.as_str(), fault), ("$.rule_sets[0].id", Fault::UsedId { id: used.into() }));
    }
    let (_, fault) = only(&with(|rule| rule["instead"] = json!("ca-on-18")));
    assert!(matches!(fault, Fault::NoSuchRule { nearest, .. } if nearest.contains(&"ca-on-188".to_string())));
}

#[test]
fn every_embedded_rule_names_its_source_and_tag() {
    for rule in RuleBook::embedded().rule_sets() {
        assert!(!rule.source.is_empty() && !rule.edition.is_empty() && !rule.who.is_empty(), "{}", rule.id);
        assert_eq!(rule.origin, Origin::Embedded);
    }
}

/// Set `WIDEBERTH_WRITE_DOCS=1` to write the page anew.
#[test]
fn the_page_about_the_tables_is_the_same_as_the_data() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../docs/rules.md");
    let page = std::fs::read_to_string(path).expect("docs/rules.md");
    let mark = "<!-- made from the tables: everything below -->\n\n";
    let (intro, _) = page.split_once(mark).expect("the mark in docs/rules.md");
    let fresh = format!("{intro}{mark}{}", markdown_guide(&RuleBook::embedded()));
    if std::env::var_os("WIDEBERTH_WRITE_DOCS").is_some() {
        std::fs::write(path, &fresh).expect("docs/rules.md can be written");
    }
    assert!(page == fresh, "docs/rules.md is stale; run this test with WIDEBERTH_WRITE_DOCS=1 and commit the page");
}
