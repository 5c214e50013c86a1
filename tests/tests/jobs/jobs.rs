//! What a scenario says is what the physics and the reports get: places, tautness, conditions, limits, defaults.

use approx::assert_relative_eq;
use nalgebra::Point3;
use wideberth_physics::line::{Conditions, SpanState, WindDirection};
use wideberth_rules::Voltage;
use wideberth_scenario::job::{JointUnit, LimitBasis};
use wideberth_scenario::{Code, Context, Job, Problems};

const BASE: &str = include_str!("../../scenarios/valid/base.json");

fn read(text: &str) -> Result<Job, Problems> {
    Job::from_text(text, &Context::without_files().expect("the built-in catalogue is right"))
}

fn job(text: &str) -> Job {
    read(text).unwrap_or_else(|problems| panic!("refused:\n{problems}"))
}

/// The base scenario with one text replaced, which must be there.
fn changed(from: &str, to: &str) -> String {
    assert!(BASE.contains(from), "{from}");
    BASE.replacen(from, to, 1)
}

fn start(job: &Job, line: usize, wire: usize, span: usize) -> Point3<f64> {
    job.study.lines[line].wires[wire].spans()[span].span().from()
}

#[test]
fn attachments_stand_where_the_file_says() {
    let job = job(BASE);
    // Looking east, right is south: an offset of -1.1 m lies north.
    assert_relative_eq!(start(&job, 0, 0, 0), Point3::new(0.0, 1.1, 10.5), epsilon = 1e-12);
    assert_relative_eq!(start(&job, 0, 1, 0), Point3::new(0.0, -1.1, 34.0 * 0.3048), epsilon = 1e-12);
    // At the angle, the crossarm is square to the bisector; the height is above that support's ground.
    let middle = start(&job, 0, 0, 1);
    let bisector = nalgebra::Vector2::new(1.0, 0.0) + nalgebra::Vector2::new(85.0, 10.0).normalize();
    let arm = middle.xy() - nalgebra::Point2::new(90.0, 0.0);
    assert_relative_eq!(arm.norm(), 1.1, epsilon = 1e-12);
    assert_relative_eq!(arm.dot(&bisector), 0.0, epsilon = 1e-12);
    assert_relative_eq!(middle.z, 11.0, epsilon = 1e-12);
}

#[test]
fn a_stated_crossarm_direction_is_that_of_its_right_end() {
    // On the road line, which runs east, 180 deg is to the right: a positive offset lies south.
    let text = changed(
        "{\"support\": \"R1\", \"height\": \"9 m\"}, {\"support\": \"R2\", \"height\": \"9 m\"}",
        "{\"support\": \"R1\", \"height\": \"9 m\", \"offset\": \"2 m\"}, {\"support\": \"R2\", \"height\": \"9 m\", \"offset\": \"2 m\"}",
    );
    let end = job(&text).study.lines[1].wires[0].spans()[0].span().to();
    assert_relative_eq!(end, Point3::new(60.0, 78.0, 9.0), epsilon = 1e-9);
}

#[test]
fn a_measured_height_is_met_at_its_temperature() {
    // Without tolerances there is one state but for what "at" may mean on an arm that turns at a bend; that range holds the
    // measurement, and its middle lies within a millimetre of it.
    let exact =
        changed("\"height\": \"8.6 m\", \"tolerance\": \"0.2 m\"", "\"height\": \"8.6 m\", \"tolerance\": \"0 m\"");
    let exact = exact.replacen(
        "\"permanent_strain\": [\"0 %\", \"0.02 %\"]",
        "\"attachment_tolerance\": \"0 m\", \"permanent_strain\": \"0 %\"",
        1,
    );
    let job = job(&exact);
    let span = &job.study.lines[0].wires[1].spans()[0];
    let shape = span.shape(&span.nominal_state(25.0, 0.0, 0.0)).expect("has a shape");
    // 8.6 m above ground that lies, halfway, at 0.25 m.
    assert_relative_eq!(span.point(&shape, 0.5).z, 8.85, epsilon = 1e-3);
    let heights = [span.states().unstretched_m.low(), span.states().unstretched_m.high()].map(|unstretched_m| {
        let shape =
            span.shape(&SpanState { unstretched_m, ..span.nominal_state(25.0, 0.0, 0.0) }).expect("has a shape");
        span.point(&shape, 0.5).z
    });
    assert!(heights[1] - 1e-6 <= 8.85 && 8.85 <= heights[0] + 1e-6, "{heights:?}");
}

/// Permanent stretch lengthens the wire for good: L₀(T) = L₀·(1 + α·ΔT)·(1 + ε_p), so that ε_p counts as ε_p / α kelvin more
/// (docs/theory/catenary.md), to the product of the two.
#[test]
fn stated_creep_is_in_the_nominal_state() {
    let at = |strain: &str, degc: f64| {
        let text =
            changed("\"permanent_strain\": [\"0 %\", \"0.02 %\"]", &format!("\"permanent_strain\": \"{strain}\""));
        let job = job(&text);
        let span = &job.study.lines[0].wires[1].spans()[0];
        span.point(&span.shape(&span.nominal_state(degc, 0.0, 0.0)).expect("has a shape"), 0.5).z
    };
    let penguin_per_k = wideberth_scenario::catalogue::Catalogue::embedded()
        .expect("is read")
        .find("acsr-penguin-4-0-6-1")
        .expect("is there")
        .expansion_per_k;
    assert_relative_eq!(at("0.05 %", 25.0), at("0 %", 25.0 + 0.0005 / penguin_per_k), epsilon = 1e-4);
    assert!(at("0.05 %", 25.0) < at("0 %", 25.0) - 0.1);
}

#[test]
fn a_known_tension_is_met_at_its_temperature() {
    let text = changed("\"tolerance\": \"5 %\"", "\"tolerance\": \"0 %\"");
    let job = job(&text);
    let span = &job.study.lines[0].wires[0].spans()[0];
    let shape = span.shape(&span.nominal_state(15.0, 0.0, 0.0)).expect("has a shape");
    assert_relative_eq!(shape.horizontal_n(), 3900.0, max_relative = 1e-9);
}

#[test]
fn conditions_are_ranges_in_si_and_lines_may_differ() {
    let job = job(BASE);
    let Conditions { temperature_degc, wind_m_per_s, wind_direction, .. } = job.lines[0].conditions;
    assert_eq!((temperature_degc.low(), temperature_degc.high()), (-10.0, 75.0));
    assert_eq!((wind_m_per_s.low(), wind_m_per_s.high()), (0.0, 20.0));
    let WindDirection::Sector { from_rad, sweep_rad } = wind_direction else { panic!("a sector") };
    assert_relative_eq!(from_rad.to_degrees(), 200.0, epsilon = 1e-9);
    assert_relative_eq!(sweep_rad.to_degrees(), 90.0, epsilon = 1e-9);
    assert_eq!(job.lines[1].conditions.wind_direction, WindDirection::Any);
    assert_relative_eq!(job.lines[1].conditions.ice_m.high(), 0.005, epsilon = 1e-15);
    assert_eq!(job.lines[1].conditions.temperature_degc, temperature_degc);
}

#[test]
fn a_sector_may_run_through_north() {
    let text = changed("{\"from\": \"200 deg\", \"to\": \"290 deg\"}", "{\"from\": \"350 deg\", \"to\": \"10 deg\"}");
    let WindDirection::Sector { sweep_rad, .. } = job(&text).lines[0].conditions.wind_direction else {
        panic!("a sector")
    };
    assert_relative_eq!(sweep_rad.to_degrees(), 20.0, epsilon = 1e-9);
}

#[test]
fn every_machine_is_paired_with_every_wire() {
    let job = job(BASE);
    let pairs: Vec<_> = job.study.pairings.iter().map(|p| (p.machine, p.line, p.wire)).collect();
    assert_eq!(pairs, [(0, 0, 0), (0, 0, 1), (0, 1, 0), (1, 0, 0), (1, 0, 1), (1, 1, 0)]);
    for (pairing, limit) in job.study.pairings.iter().zip(&job.limits) {
        assert_relative_eq!(pairing.limit_m, limit.distance_m);
    }
}

#[test]
fn limits_come_from_the_rule_of_the_place_or_of_the_machine() {
    let job = job(BASE);
    // O. Reg. 213/91 s. 188: 3 m from 750 V up to 150 kV (see assets/rules/canada.json).
    assert_relative_eq!(job.limits[0].distance_m, 3.0);
    assert_eq!(job.limits[0].rule().map(|r| r.rule_id.as_str()), Some("ca-on-188"));
    assert_eq!(job.limits[3].rule().map(|r| r.rule_id.as_str()), Some("us-osha-1408-20ft"));
    assert!(matches!(&job.lines[0].voltage, Voltage::Known { confirmed_by: Some(who), .. } if who.contains("owner")));
    assert_eq!(job.lines[1].voltage, Voltage::unknown());
}

#[test]
fn a_stated_distance_counts_where_it_is_the_larger() {
    let limit = &job(BASE).limits[2];
    assert_relative_eq!(limit.distance_m, 8.0);
    assert!(matches!(&limit.basis, LimitBasis::Stated { rule: Some(rule), .. } if rule.distance_m <= 8.0));
    assert!(limit.source_line().contains("the line's owner"));
    let job = job(&changed("\"distance\": \"8 m\"", "\"distance\": \"2 m\""));
    let limit = &job.limits[2];
    // Unknown voltage where the rule says nothing: 7 m, common practice.
    assert_relative_eq!(limit.distance_m, 7.0);
    assert!(limit.rule().is_some() && limit.notes[0].contains("larger distance holds"), "{:?}", limit.notes);
}

#[test]
fn a_stated_distance_without_a_rule_counts_only_where_it_is_more_than_any_known_one() {
    let text = changed("\"rule\": {\"place\": \"Ontario\"},", "");
    let problems = read(&text).expect_err("the field line has no distance");
    assert!(problems.iter().all(|p| p.code == Code::NoRule));
    let voltage = "\"name\": \"field line\",";
    let both = text
        .replace(voltage, &format!("{voltage} \"limit\": {{\"distance\": \"5 m\", \"stated_by\": \"its owner\"}},"));
    let whispered = job(&both);
    assert_relative_eq!(whispered.limits[0].distance_m, 7.0);
    assert!(whispered.limits[0].notes[0].contains("the larger distance holds"));
    let careful = job(&both.replace("\"distance\": \"5 m\"", "\"distance\": \"9 m\""));
    assert_relative_eq!(careful.limits[0].distance_m, 9.0);
}

#[test]
fn a_wire_may_have_a_voltage_of_its_own() {
    let own = "\"name\": \"south\",\n          \"voltage\": {\"value\": \"230 kV\", \"basis\": \"phase to phase\", \"current\": \"ac\"},";
    let job = job(&changed("\"name\": \"south\",", own));
    assert_relative_eq!(job.limits[0].distance_m, 3.0);
    // Over 150 kV up to 250 kV: 4.5 m.
    assert_relative_eq!(job.limits[1].distance_m, 4.5);
}

#[test]
fn what_is_left_out_is_listed() {
    let job = job(BASE);
    let taken: Vec<_> = job.defaults_taken.iter().map(|d| (d.path.as_str(), d.value.as_str())).collect();
    for wanted in [
        ("machines[1].setting_out_tolerance", "0.5 m"),
        ("machines[1].heading_tolerance", "5 deg"),
        ("machines[1].work", "operate"),
        ("machines[1].crew", "ordinary"),
        ("lines[0].wires[1].attachment_tolerance", "0.2 m"),
        ("lines[0].wires[0].permanent_strain", "0 %"),
        ("lines[1].supports[0].ground", "0 m"),
    ] {
        assert!(taken.contains(&wanted), "{wanted:?} is not in {taken:?}");
    }
    assert!(!taken.iter().any(|(path, _)| path.starts_with("machines[0].heading")), "{taken:?}");
}

#[test]
fn joints_are_in_the_order_of_a_pose() {
    let job = job(BASE);
    for (machine, info) in job.study.machines.iter().zip(&job.machines) {
        assert_eq!(machine.ranges().len(), info.joints.len());
    }
    let joints: Vec<_> = job.machines[0].joints.iter().map(|j| (j.name.as_str(), j.unit)).collect();
    assert_eq!(
        joints[..3],
        [("slew", JointUnit::Radian), ("luff", JointUnit::Radian), ("telescope", JointUnit::Metre)]
    );
    // -60..60 deg, widened by an overrun of 2 deg.
    let slew = job.study.machines[0].ranges()[0];
    assert_relative_eq!(slew.high().to_degrees(), 62.0, epsilon = 1e-9);
}

#[test]
fn own_files_are_read_and_their_problems_name_them() {
    let machine = "{\"format\": \"wideberth-machine\", \"version\": 1, \"id\": \"mast\", \"title\": \"A mast\", \"bodies\": \
        [{\"name\": \"mast\", \"cylinder\": {\"from\": [\"0 m\", \"0 m\", \"0 m\"], \"to\": [\"0 m\", \"0 m\", \"9 m\"], \"radius\": \"0.2 m\"}}]}";
    let text = BASE.replacen("\"machine\": \"mobile-crane\"", "\"machine\": {\"file\": \"mast.json\"}", 1);
    let from = text.find("\"working\"").expect("there");
    let to = text.find("    {\n      \"name\": \"the pole\"").expect("there");
    let text = format!(
        "{}\"crew\": \"ordinary\"\n    }},\n{}",
        text[..from].replacen("\"crew\": \"ordinary\",\n", "", 1),
        &text[to..]
    );
    let with = |file: String| {
        Context::embedded(move |name| if name == "mast.json" { Ok(file.clone()) } else { Err("none".into()) })
    };
    let read = |file: &str| Job::from_text(&text, &with(file.into()).expect("the catalogue is right"));
    let job = read(machine).unwrap_or_else(|problems| panic!("refused:\n{problems}"));
    assert_eq!(job.machines[0].title, "A mast");
    let problems = read(&machine.replace("0.2 m", "0.2 s")).expect_err("a wrong unit");
    let found: Vec<_> = problems.iter().map(|p| (p.code, p.file.as_deref())).collect();
    assert_eq!(found, [(Code::UnknownUnit, Some("mast.json"))]);
}

#[test]
fn the_study_can_be_assessed() {
    let job = job(BASE);
    let options = wideberth_physics::approach::Options { tolerance_m: 0.5, max_cells: 20_000, ..job.options };
    let machine = &job.study.machines[1];
    let wire = &job.study.lines[0].wires[0];
    let approach = wideberth_physics::approach::closest_approach(machine, wire, &options).expect("an answer");
    // The pole's foot stands 20 m south of the line; it is 6 m long and turns about its foot.
    assert!(approach.distance.lower_m > 10.0 && approach.distance.upper_m < 22.0, "{:?}", approach.distance);
}

#[test]
fn a_voltage_may_be_known_by_an_upper_bound() {
    let bound = "\"voltage\": {\"not_above\": \"50 kV\", \"confirmed_by\": \"the line's owner\"}";
    let job = job(&changed("\"voltage\": \"unknown\"", bound));
    assert_eq!(job.lines[1].voltage, Voltage::Unknown { not_above_kv: Some(50.0) });
}
