//! Limits of approach: every row of every table at, just below and just above each edge, and what selection must say
//! or refuse. `tests/data/limits/edges.csv` is a transcription of its own, made apart from the tables of the program.

use approx::assert_relative_eq;
use serde::Deserialize;
use wideberth_rules::*;

const FT: f64 = 0.3048;

#[derive(Debug, Deserialize)]
struct EdgeCase {
    rule: String,
    voltage_kv: f64,
    current: String,
    basis: String,
    work: String,
    crew: String,
    mode: String,
    printed: String,
    expected_m: String,
}

impl EdgeCase {
    fn query(&self) -> Query {
        let basis = match (self.current.as_str(), self.basis.as_str()) {
            ("dc", "to ground") => VoltageBasis::PoleToGround,
            ("dc", _) => VoltageBasis::PoleToPole,
            (_, "to ground") => VoltageBasis::PhaseToGround,
            _ => VoltageBasis::PhaseToPhase,
        };
        let current = Current::from_words(&self.current).expect("a current");
        let voltage = Voltage::Known { voltage_kv: self.voltage_kv, basis, current, confirmed_by: None };
        let work = Work::from_words(&self.work).expect("a kind of work");
        Query::named(&self.rule, voltage, work).by(Crew::from_words(&self.crew).expect("a crew"))
    }

    /// The largest distance of the rows that hold the voltage, for tables that are never a limit themselves.
    fn row_distance_m(&self, book: &RuleBook) -> Option<f64> {
        let rows = &book.rule_set(&self.rule).expect("a rule").rows;
        let fixed_m = rows.iter().filter(|row| row.holds(self.voltage_kv)).filter_map(|row| match &row.distance {
            Distance::Fixed(length) => Some(length.length_m),
            _ => None,
        });
        fixed_m.max_by(f64::total_cmp)
    }
}

fn edge_cases() -> Vec<EdgeCase> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/data/limits/edges.csv");
    let mut reader = csv::Reader::from_path(path).expect("edges.csv");
    reader.deserialize().map(|case| case.expect("a complete line")).collect()
}

fn check_selected(book: &RuleBook, case: &EdgeCase) -> Result<(), String> {
    let got = book.select(&case.query());
    let fits = match (case.expected_m.as_str(), &got) {
        ("above", Err(LimitError::AboveTable { .. })) => true,
        ("below", Err(LimitError::BelowTable { .. })) => true,
        ("none", Err(LimitError::NoNumber { .. })) => true,
        (expected, Ok(choice)) => {
            expected.parse::<f64>().is_ok_and(|expected_m| (choice.distance_m - expected_m).abs() < 2e-6)
        }
        _ => false,
    };
    if fits {
        Ok(())
    } else {
        Err(format!("{case:?}\n    got {:?}", got.map(|choice| (choice.distance_m, choice.row))))
    }
}

#[test]
fn every_row_holds_at_and_around_its_edges() {
    let book = RuleBook::embedded();
    let cases = edge_cases();
    let (direct, selected): (Vec<_>, Vec<_>) = cases.iter().partition(|case| case.mode == "rows");
    let wrong: Vec<String> = selected.into_iter().filter_map(|case| check_selected(&book, case).err()).collect();
    assert!(wrong.is_empty(), "{} of {} differ:\n{}", wrong.len(), cases.len(), wrong.join("\n"));
    for case in direct {
        assert_eq!(case.row_distance_m(&book), case.expected_m.parse().ok(), "{case:?}");
    }
}

#[test]
fn the_transcription_covers_every_table_with_numbers() {
    let book = RuleBook::embedded();
    let cases = edge_cases();
    // One depends on a height and is tested below, the other has no voltages.
    let apart = ["us-nesc-bin-portable", "ab-heights"];
    let numbers = book.rule_sets().iter().filter(|rule| !rule.rows.is_empty() && !apart.contains(&rule.id.as_str()));
    let uncovered: Vec<_> =
        numbers.filter(|rule| !cases.iter().any(|case| case.rule == rule.id)).map(|rule| &rule.id).collect();
    assert_eq!(uncovered, Vec::<&String>::new());
    assert_eq!(book.rule_sets().len(), 53);
    assert!(cases.iter().all(|case| !case.printed.is_empty()));
}

fn ask(name: &str, voltage: Voltage, work: Work) -> Result<LimitChoice, LimitError> {
    RuleBook::embedded().select(&Query::named(name, voltage, work))
}

fn operate(name: &str, voltage: Voltage) -> LimitChoice {
    ask(name, voltage, Work::Operate).expect("a limit")
}

fn pp(voltage_kv: f64) -> Voltage {
    Voltage::ac(voltage_kv, VoltageBasis::PhaseToPhase)
}

fn pg(voltage_kv: f64) -> Voltage {
    Voltage::ac(voltage_kv, VoltageBasis::PhaseToGround)
}

fn not_above(top_kv: f64) -> Voltage {
    Voltage::Unknown { not_above_kv: Some(top_kv) }
}

#[test]
fn an_edge_printed_twice_takes_the_larger_and_says_so() {
    for (rule, voltage_kv, larger_m, smaller_m) in [("ca-qc-521", 250.0, 8.0, 5.0), ("ca-on-188", 150.0, 4.5, 3.0)] {
        let choice = operate(rule, pp(voltage_kv));
        assert_eq!(choice.distance_m, larger_m);
        assert!(choice.resolutions.contains(&Resolution::EdgePrintedTwice { voltage_kv, smaller_m }));
    }
}

#[test]
fn a_gap_takes_the_larger_neighbour_and_says_so() {
    let alberta = operate("ca-ab-sch4", pp(115.0));
    assert_eq!(alberta.distance_m, 4.0);
    assert!(alberta.resolutions.contains(&Resolution::BetweenRows { voltage_kv: 115.0, smaller_m: Some(3.5) }));
    let neither_row = ask("us-osha-600a6-transit", pp(50.0), Work::TravelUnder).unwrap();
    assert_relative_eq!(neither_row.distance_m, 10.0 * FT);
}

#[test]
fn two_figures_for_one_row_take_the_larger() {
    let corps = operate("us-usace-em385", pp(115.0));
    assert_relative_eq!(corps.distance_m, 4.6); // printed 15 ft (4.572 m) and 4.6 m
    assert!(
        corps.resolutions.iter().any(|one| matches!(one, Resolution::TwoPrints { larger, .. } if larger == "4.6 m"))
    );
    assert_relative_eq!(operate("au-qld", pp(400.0)).distance_m, 10.0); // 8 m in one place, 10 m in another
}

#[test]
fn below_the_table_its_first_row_stands_in() {
    let ontario = operate("ca-on-188", pp(0.6));
    assert_eq!(ontario.distance_m, 3.0);
    assert!(ontario.resolutions.contains(&Resolution::BelowFirstRow { voltage_kv: 0.6, first_kv: 0.75 }));
}

#[test]
fn formulas_grow_as_printed() {
    // 10 ft + 0.4 in per kV over 50 kV at 138 kV: 10 ft + 35.2 in
    assert_relative_eq!(operate("us-wa-24-960", pp(138.0)).distance_m, 10.0 * FT + 35.2 * 0.0254, epsilon = 1e-12);
    // 10 ft + 4 in for every 10 kV to ground over 50 kV; 61 kV is two steps
    let choice = operate("us-osha-333-op", pg(61.0));
    assert_relative_eq!(choice.distance_m, 10.0 * FT + 8.0 * 0.0254, epsilon = 1e-12);
    assert_eq!(choice.printed, "10.667 ft");
}

#[test]
fn a_bin_site_grows_with_the_height_of_the_bin() {
    // D = 2.5 h + 18 ft: worked values of a utility table
    for (height_ft, expected_ft) in [(15.0, 55.5), (35.0, 105.5), (80.0, 218.0)] {
        let query =
            Query::named("us-nesc-bin-portable", pg(7.2), Work::SiteStructure).for_structure_height_m(height_ft * FT);
        let choice = RuleBook::embedded().select(&query).unwrap();
        assert_relative_eq!(choice.distance_m, expected_ft * FT, epsilon = 1e-12);
        assert_eq!(choice.measured, Measured::Horizontal);
    }
}

#[test]
fn interpolation_only_where_the_rule_allows_it() {
    let query = Query::named("eu-en50110-DL", pp(25.0), Work::Operate).by(Crew::Qualified);
    let choice = RuleBook::embedded().select(&query).unwrap();
    assert_relative_eq!(choice.distance_m, 0.27, epsilon = 1e-12); // between 220 mm at 20 kV and 320 mm at 30 kV
    assert!(matches!(choice.resolutions.as_slice(), [Resolution::Interpolated { .. }]));
}

#[test]
fn a_voltage_to_ground_is_converted_for_tables_between_phases_and_back() {
    let rural = operate("us-osha-1408-tableA", pg(7.2));
    assert_relative_eq!(rural.table_voltage_kv.unwrap(), 12.470_765_814_495_916, epsilon = 1e-12); // 7.2 √3
    assert_eq!(rural.conversions.len(), 1);
    // 39.8 kV to ground is 68.9 kV between phases: the row above 50 kV, not the one below
    assert_relative_eq!(operate("us-osha-1408-tableA", pg(39.8)).distance_m, 15.0 * FT);
    // 138 kV between phases is 79.7 kV to ground: three steps
    let industry = operate("us-osha-333-op", pp(138.0));
    assert_relative_eq!(industry.distance_m, 10.0 * FT + 12.0 * 0.0254, epsilon = 1e-12);
    assert!(industry.conversions[0].note.contains("unearthed"));
}

#[test]
fn a_converted_voltage_near_an_edge_counts_as_beyond_it() {
    let choice = operate("us-osha-1408-tableA", pg(28.8)); // 49.88 kV
    assert_relative_eq!(choice.distance_m, 15.0 * FT);
    assert!(choice.resolutions.iter().any(|one| matches!(one, Resolution::NearEdge { .. })));
    assert_relative_eq!(operate("us-osha-1408-tableA", pp(49.88)).distance_m, 10.0 * FT);
}

#[test]
fn unknown_voltage_takes_the_rules_own_default() {
    let cases = [
        ("us-osha-1408-tableA", Voltage::unknown(), 50.0 * FT),
        ("us-osha-1408-tableA", not_above(345.0), 20.0 * FT),
        ("us-osha-1408-tableA", not_above(351.0), 50.0 * FT),
        ("ca-ab-sch4", Voltage::unknown(), 7.0),
        ("ca-mb-utility", Voltage::unknown(), 20.0 * FT),
        ("de-dguv", Voltage::unknown(), 5.0),
    ];
    for (rule, voltage, expected_m) in cases {
        let choice = operate(rule, voltage);
        assert_relative_eq!(choice.distance_m, expected_m, epsilon = 1e-12);
        assert_eq!(choice.unknown_voltage, Some(UnknownVoltageBasis::RuleDefault), "{rule}");
    }
    assert_eq!(operate("nz-ecp34", Voltage::unknown()).unknown_voltage, Some(UnknownVoltageBasis::SameForAll));
}

#[test]
fn unknown_voltage_without_a_default_is_at_least_seven_metres() {
    let ontario = operate("ca-on-188", Voltage::unknown());
    assert_eq!((ontario.distance_m, ontario.unknown_voltage), (7.0, Some(UnknownVoltageBasis::CommonPractice)));
    assert!(ontario.provenance_line().contains("common practice"));
    let quebec = operate("ca-qc-521", Voltage::unknown());
    assert_eq!((quebec.distance_m, quebec.unknown_voltage), (12.0, Some(UnknownVoltageBasis::LargestRow)));
}

#[test]
fn an_unknown_voltage_is_never_better_than_any_known_one_unless_the_rule_says_so() {
    let book = RuleBook::embedded();
    let no_default = |case: &&EdgeCase| {
        case.mode == "select" && book.rule_set(&case.rule).is_ok_and(|rule| rule.unknown_voltage.defaults.is_empty())
    };
    let mut compared = 0;
    for case in edge_cases().iter().filter(no_default) {
        let query = Query { voltage: Voltage::unknown(), ..case.query() };
        if let (Ok(known), Ok(unknown)) = (book.select(&case.query()), book.select(&query)) {
            assert!(unknown.distance_m >= known.distance_m, "{case:?}");
            compared += 1;
        }
    }
    assert!(compared > 100, "only {compared} compared");
}

#[test]
fn direct_current_needs_rows_for_it() {
    let dc = |voltage_kv| Voltage::dc(voltage_kv, VoltageBasis::PoleToGround);
    let refused = ask("us-osha-1408-tableA", dc(250.0), Work::Operate);
    assert!(matches!(refused, Err(LimitError::CurrentNotCovered { current: Current::Dc, .. })), "{refused:?}");
    assert!(matches!(ask("California", dc(250.0), Work::Operate), Err(LimitError::PlaceRefused { .. })));
    assert_eq!(operate("ca-ab-sch4", dc(500.0)).distance_m, 7.0);
    assert!(matches!(ask("ca-ab-sch4", dc(501.0), Work::Operate), Err(LimitError::AboveTable { .. })));
    // France names the voltage of the line: 320 kV from pole to ground is a 640 kV line, above its table
    assert!(matches!(ask("fr-2024", dc(320.0), Work::Operate), Err(LimitError::AboveTable { .. })));
    let electrode = Query::named("ca-mb-utility", dc(10.0), Work::Operate).confirming("hvdc electrode line");
    assert_eq!(RuleBook::embedded().select(&electrode).unwrap().distance_m, 3.0);
    let mixed =
        Voltage::Known { voltage_kv: 25.0, basis: VoltageBasis::PoleToPole, current: Current::Ac, confirmed_by: None };
    assert!(matches!(ask("ca-on-188", mixed, Work::Operate), Err(LimitError::BasisMismatch { .. })));
}

#[test]
fn tables_for_qualified_workers_are_never_offered_to_others() {
    let book = RuleBook::embedded();
    let qualified: Vec<_> = book.rule_sets().iter().filter(|rule| rule.crew == Crew::Qualified).collect();
    assert_eq!(qualified.len(), 4);
    for (rule, work) in qualified.iter().flat_map(|rule| Work::ALL.iter().map(move |work| (rule, *work))) {
        assert!(matches!(ask(&rule.id, pp(25.0), work), Err(LimitError::QualifiedOnly { .. })));
    }
    for (place, work) in book.places().iter().flat_map(|place| Work::ALL.iter().map(move |work| (*place, *work))) {
        assert!(book.for_place(place, work).unwrap().iter().all(|candidate| candidate.rule.crew == Crew::Ordinary));
        let chosen = book.select(&Query::named(place, pp(25.0), work).by(Crew::Qualified));
        assert!(chosen.map_or(true, |choice| !qualified.iter().any(|rule| rule.id == choice.rule_id)));
    }
}

#[test]
fn what_is_no_limit_is_refused() {
    let book = RuleBook::embedded();
    assert!(matches!(ask("uk-heights", pp(33.0), Work::Operate), Err(LimitError::NotALimit { .. })));
    assert!(matches!(
        ask("ca-bc-191B", pp(25.0), Work::TravelUnder),
        Err(LimitError::Unconfirmed { instead: Some(_), .. })
    ));
    let old = Query::named("us-osha-269-R6-pre2014", pp(25.0), Work::Operate).by(Crew::Qualified);
    assert!(matches!(book.select(&old), Err(LimitError::Superseded { instead: Some(_), .. })));
    let bin = Query::named("us-nesc-bin-portable", pg(7.2), Work::SiteStructure);
    assert!(matches!(book.select(&bin), Err(LimitError::NeedsStructureHeight { .. })));
    assert!(matches!(book.select(&bin.for_structure_height_m(f64::NAN)), Err(LimitError::BadStructureHeight { .. })));
}

#[test]
fn rules_without_numbers_say_so() {
    for (rule, place) in [("za-emr19", "South Africa"), ("ie-code-of-practice", "Ireland")] {
        for voltage in [pp(11.0), Voltage::unknown()] {
            let refused = ask(rule, voltage.clone(), Work::Operate).unwrap_err();
            assert!(matches!(refused, LimitError::NoNumber { .. }));
            assert!(refused.to_string().contains("sets no number here: ask the owner"));
            assert!(matches!(ask(place, voltage, Work::Operate), Err(LimitError::PlaceRefused { .. })));
        }
    }
}

#[test]
fn senseless_voltages_are_refused() {
    for voltage_kv in [0.0, -11.0, 2001.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(ask("ca-on-188", pp(voltage_kv), Work::Operate), Err(LimitError::BadVoltage { .. })));
        assert!(matches!(ask("ca-on-188", not_above(voltage_kv), Work::Operate), Err(LimitError::BadVoltage { .. })));
    }
}

#[test]
fn other_work_falls_back_only_to_the_stricter_operating_limit() {
    let travel = ask("us-osha-1408-tableA", pp(12.47), Work::TravelUnder).unwrap();
    assert_relative_eq!(travel.distance_m, 10.0 * FT);
    assert!(travel.resolutions.contains(&Resolution::OperatingLimit { work: Work::TravelUnder }));
    let table_a = "us-osha-1408-tableA".to_string();
    let refused = ask("us-osha-1411-tableT", pp(12.47), Work::Operate);
    assert!(matches!(refused, Err(LimitError::WorkNotCovered { instead, .. }) if instead.contains(&table_a)));
    assert!(matches!(
        ask("us-osha-1408-tableA", pp(12.47), Work::SiteStructure),
        Err(LimitError::WorkNotCovered { .. })
    ));
    assert!(matches!(ask("ca-on-setback", pp(12.47), Work::Operate), Err(LimitError::WorkNotCovered { .. })));
}

#[test]
fn conditions_count_only_when_confirmed_and_controls_never() {
    let book = RuleBook::embedded();
    let house = |name: &str| Query::named(name, pp(0.4), Work::Operate);
    assert_eq!(book.select(&house("ca-ab-sch4")).unwrap().distance_m, 1.0);
    let insulated = house("ca-ab-sch4").confirming("insulated full length");
    assert_eq!(book.select(&insulated).unwrap().distance_m, 0.3);
    // An insulated low-voltage wire says nothing about a voltage that nobody knows.
    assert_eq!(book.select(&Query { voltage: Voltage::unknown(), ..insulated }).unwrap().distance_m, 7.0);
    assert!(matches!(
        book.select(&house("ca-ab-sch4").confirming("painted")),
        Err(LimitError::UnknownCondition { .. })
    ));
    for (rule, control) in [("au-vic-poles", "spotter in place"), ("nz-lv", "owner consent")] {
        assert!(matches!(book.select(&house(rule).confirming(control)), Err(LimitError::NotConfirmable { .. })));
    }
    for (place, control) in [("Victoria", "spotter in place"), ("New Zealand", "owner consent")] {
        assert!(matches!(book.select(&house(place).confirming(control)), Err(LimitError::NotConfirmable { .. })));
    }
    assert!(matches!(book.select(&house("Alberta").confirming("painted")), Err(LimitError::UnknownCondition { .. })));
    assert_eq!(book.select(&house("Alberta").confirming("insulated full length")).unwrap().distance_m, 0.3);
    // 600 kV is above every unconditional row of Alberta; the row for insulated wire must not stand in.
    assert!(matches!(ask("ca-ab-sch4", pp(600.0), Work::Operate), Err(LimitError::AboveTable { .. })));
}

#[test]
fn consulting_distances_go_by_support() {
    assert_eq!(ask("Great Britain", Voltage::unknown(), Work::Consult).unwrap().distance_m, 15.0);
    let poles = Query::named("Great Britain", Voltage::unknown(), Work::Consult).confirming("on poles");
    assert_eq!(RuleBook::embedded().select(&poles).unwrap().distance_m, 9.0);
}

#[test]
fn a_place_takes_its_largest_rule_and_names_the_others() {
    let california = operate("california", pp(115.0));
    assert_eq!(california.rule_id, "us-osha-1408-tableA"); // 15 ft, above the 13 ft of the state table
    let other = |id: &str| california.others.iter().find(|other| other.rule_id == id).expect("named");
    assert_relative_eq!(other("us-ca-2946-boom").distance_m.unwrap(), 13.0 * FT);
    assert!(!other("us-concrete-pump-trade").general);
    assert!(
        california
            .others
            .iter()
            .filter(|other| other.general)
            .all(|other| other.distance_m.is_none_or(|m| m <= california.distance_m))
    );
    // The travel rows of the country must not undercut a state rule that has none.
    assert_relative_eq!(ask("California", pp(12.47), Work::TravelUnder).unwrap().distance_m, 10.0 * FT);
    assert_relative_eq!(ask("USA", pp(12.47), Work::TravelUnder).unwrap().distance_m, 6.0 * FT);
    assert_eq!(ask("British Columbia", pp(25.0), Work::TravelUnder).unwrap().rule_id, "ca-bc-191A");
}

#[test]
fn a_rule_that_leaves_the_number_to_the_owner_decides_for_the_place() {
    let refused = ask("United States", pp(1100.0), Work::Operate).unwrap_err();
    assert!(matches!(refused, LimitError::PlaceRefused { .. }));
    assert!(refused.to_string().contains("ask the owner"));
    assert!(matches!(ask("Victoria", pp(100.0), Work::Operate), Err(LimitError::PlaceRefused { .. })));
    assert_eq!(operate("Victoria", pp(220.0)).rule_id, "au-vic-towers");
}

/// A state takes the federal law (29 CFR 1926 names no state), a Canadian territory the largest of its country's tables, any
/// other place the larger of common practice and every table: never less than the law that may hold there.
#[test]
fn a_place_without_a_table_takes_no_less_than_what_may_hold_there() {
    for work in [Work::Operate, Work::Assemble, Work::TravelUnder] {
        for kv in [0.4, 12.47, 25.0, 69.0, 230.0, 500.0] {
            let ask = |name: &str| ask(name, pp(kv), work);
            let minnesota = ask("Minnesota").unwrap();
            assert_relative_eq!(minnesota.distance_m, ask("United States").unwrap().distance_m);
            assert!(matches!(&minnesota.stand_in, Some(StandIn { by: StandInBy::LawAbove { .. }, .. })));
            let Ok(yukon) = ask("Yukon") else { continue };
            for province in ["Ontario", "Alberta", "British Columbia", "Manitoba", "Nova Scotia"] {
                assert!(ask(province).map_or(true, |known| known.distance_m <= yukon.distance_m), "{province} {kv}");
            }
            for name in ["Atlantis far away", "elsewhere", "Spain"] {
                let found = ask(name).unwrap();
                assert!(found.distance_m >= 7.0 && found.distance_m >= yukon.distance_m, "{name} {kv}");
                assert!(found.needs_a_check() && found.duties.is_empty());
            }
        }
    }
}

#[test]
fn unknown_names_get_the_nearest_known_ones() {
    let nearest = |name: &str| match ask(name, pp(25.0), Work::Operate) {
        Err(LimitError::UnknownName { nearest, .. }) => nearest,
        other => panic!("must refuse, got {other:?}"),
    };
    assert_eq!(nearest("Ontaro"), ["Ontario"]);
    assert_eq!(nearest("us-osha-1408-tablA")[0], "us-osha-1408-tableA");
    // A country whose parts have laws of their own takes the largest of them.
    let canada = ask("Canada", pp(25.0), Work::Operate).unwrap();
    let by = |by: &StandInBy| matches!(by, StandInBy::LargestOfCountry { country, .. } if country == "Canada");
    assert!(canada.stand_in.is_some_and(|stand_in| by(&stand_in.by)));
}

#[test]
fn triggers_duties_and_lead_times_come_along() {
    let triggers = |voltage_kv| {
        operate("us-osha-1408-tableA", pp(voltage_kv)).triggers.into_iter().map(|t| t.distance.text).collect::<Vec<_>>()
    };
    assert_eq!(triggers(138.0), ["20 ft"]);
    assert_eq!(triggers(350.0), ["20 ft"]);
    assert_eq!(triggers(500.0), ["50 ft"]);
    let lead_times =
        |rule: &str| operate(rule, pp(25.0)).duties.into_iter().filter_map(|duty| duty.lead_time).collect::<Vec<_>>();
    assert!(lead_times("us-osha-1408-tableA").contains(&"2 working days".to_string()));
    assert_eq!(lead_times("us-georgia"), ["72 hours, weekends and holidays not counted"]);
}

#[test]
fn the_source_is_told_in_one_line() {
    let line = "29 CFR 1926 Subpart CC, 1926.1408 Table A (75 FR 48142, 2010-08-09 (date from memory)), \
                row over 50 kV up to 200 kV: 15 ft; value seen in a copy of the source";
    assert_eq!(operate("us-osha-1408-tableA", pp(138.0)).provenance_line(), line);
    let memory = operate("us-ca-2946-general", pp(25.0));
    assert!(memory.provenance_line().ends_with("value from memory, not seen"));
    assert!(memory.is_from_memory() && memory.warnings.iter().any(|warning| warning.contains("memory")));
    assert_eq!(operate("us-usace-em385", pp(400.0)).provenance, Provenance::Memory);
}

#[test]
fn an_unconfirmed_voltage_is_warned_of() {
    let warns = |choice: &LimitChoice| choice.warnings.iter().any(|warning| warning.contains("confirmed the voltage"));
    assert!(warns(&operate("ca-on-188", pp(27.6))));
    assert!(!warns(&operate("ca-on-188", pp(27.6).confirmed_by("the owner"))));
}
