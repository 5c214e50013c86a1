//! How a job narrows, widens and loads a machine, and what a machine file is refused for.

use std::collections::BTreeMap;
use std::f64::consts::{FRAC_PI_2, PI};

use approx::assert_abs_diff_eq;
use nalgebra::{Point3, Vector3};
use wideberth_physics::interval::Interval;
use wideberth_physics::machine::{Machine, Placement};
use wideberth_scenario::machine::{HungLoad, Joint, Library, MachineModel, Named, Part, Use, UseError, Yaw, read_text};
use wideberth_tests::interval::range;

const TOLERANCE: f64 = 1e-12;

fn model(id: &str) -> MachineModel {
    Library::embedded().find(id).expect("in the library").model().unwrap_or_else(|problems| panic!("{id}:\n{problems}"))
}

fn degrees(low: f64, high: f64) -> Interval {
    range(low.to_radians(), high.to_radians())
}

fn named<T>(name: &str, value: T) -> BTreeMap<String, T> {
    BTreeMap::from([(name.to_string(), value)])
}

/// The range of a joint after lowering.
fn lowered(model: &MachineModel, job: &Use, joint: &str) -> Interval {
    let equipped = model.equip(job).unwrap_or_else(|errors| panic!("{errors:?}"));
    let joints: Vec<_> = equipped.frames.iter().filter_map(Joint::of).collect();
    joints.into_iter().find(|j| j.name == joint).unwrap_or_else(|| panic!("no {joint}")).range
}

fn assert_range(found: Interval, low: f64, high: f64) {
    assert_abs_diff_eq!(found.low(), low, epsilon = TOLERANCE);
    assert_abs_diff_eq!(found.high(), high, epsilon = TOLERANCE);
}

fn working(joint: &str, given: Interval, overrun: f64) -> Use {
    Use { working: named(joint, given), overrun: named(joint, overrun), ..Use::default() }
}

#[test]
fn overrun_widens_up_to_the_stops_of_the_machine() {
    let crane = model("mobile-crane");
    let luff = |low: f64, high: f64, overrun: f64| {
        lowered(&crane, &working("luff", degrees(low, high), overrun.to_radians()), "luff")
    };
    assert_range(luff(20.0, 60.0, 3.0), 17_f64.to_radians(), 63_f64.to_radians());
    assert_range(luff(1.0, 81.0, 3.0), 0.0, 82_f64.to_radians());
    let telescope = lowered(&crane, &working("telescope", range(20.0, 47.9), 0.5), "telescope");
    assert_range(telescope, 19.5, 48.0);
}

#[test]
fn the_machines_own_overrun_counts_unless_the_job_says_otherwise() {
    let crane = model("mobile-crane");
    let job = Use { working: named("slew", degrees(-60.0, 60.0)), ..Use::default() };
    assert_range(lowered(&crane, &job, "slew"), -62_f64.to_radians(), 62_f64.to_radians());
    let none = working("slew", degrees(-60.0, 60.0), 0.0);
    assert_range(lowered(&crane, &none, "slew"), -60_f64.to_radians(), 60_f64.to_radians());
}

/// A slew without stops runs on past 180°: cutting it there would hide poses.
#[test]
fn a_hinge_without_stops_runs_on_past_any_angle() {
    let crane = model("mobile-crane");
    let slew = |low: f64, high: f64| lowered(&crane, &working("slew", degrees(low, high), 0.1), "slew");
    assert_range(slew(100.0, 180.0), 100_f64.to_radians() - 0.1, PI + 0.1);
    assert_range(slew(150.0, 210.0), 150_f64.to_radians() - 0.1, 210_f64.to_radians() + 0.1);
    assert_range(slew(-180.0, 180.0), -PI, PI);
    assert_range(slew(0.0, 359.0), 179.5_f64.to_radians() - PI, 179.5_f64.to_radians() + PI);
}

#[test]
fn a_range_outside_the_machines_own_is_refused() {
    let crane = model("mobile-crane");
    for (joint, given) in [
        ("luff", degrees(20.0, 82.1)),
        ("luff", degrees(-0.1, 20.0)),
        ("telescope", range(5.0, 20.0)),
        ("slew", degrees(-200.0, 200.0)),
        ("swing", degrees(0.0, 6.0)),
        ("rope", range(1.5, 26.0)),
    ] {
        let errors = crane.equip(&Use { working: named(joint, given), ..Use::default() }).expect_err(joint);
        let [UseError::OutsideOwnRange { joint: found, .. }] = &errors[..] else { panic!("{joint}: {errors:?}") };
        assert_eq!(found, joint);
    }
}

#[test]
fn all_wrong_names_and_allowances_are_reported_at_once() {
    let job = Use {
        working: named("luf", degrees(0.0, 10.0)),
        overrun: BTreeMap::from([("slew".into(), -0.1), ("telescop".into(), 0.1)]),
        deflection: BTreeMap::from([("boom".into(), f64::NAN), ("bom".into(), 0.1), ("rope".into(), 0.1)]),
        load: None,
    };
    let errors = model("mobile-crane").equip(&job).expect_err("six mistakes");
    assert_eq!(errors.len(), 6, "{errors:?}");
    let luff = errors.iter().find(|error| error.name() == "luf").expect("the joint");
    assert_eq!(luff.to_string(), "the machine has no joint \"luf\"");
    assert_eq!(luff.help(), "did you mean \"luff\"?");
}

fn radius_of(model: &MachineModel, job: &Use, body: &str) -> f64 {
    let equipped = model.equip(job).unwrap_or_else(|errors| panic!("{errors:?}"));
    equipped.bodies.iter().find(|b| b.name == body).unwrap_or_else(|| panic!("no {body}")).radius_m
}

#[test]
fn deflection_thickens_bodies_and_all_that_hangs() {
    let crane = model("mobile-crane");
    let own = Use::default();
    assert_abs_diff_eq!(radius_of(&crane, &own, "boom"), 0.6 + 0.4, epsilon = TOLERANCE);
    assert_abs_diff_eq!(radius_of(&crane, &own, "rope"), 0.15 + 0.4, epsilon = TOLERANCE);
    assert_abs_diff_eq!(radius_of(&crane, &own, "hook block"), 0.35 + 0.4, epsilon = TOLERANCE);
    let job = Use { deflection: BTreeMap::from([("boom".into(), 0.7), ("hook".into(), 0.9)]), ..own };
    assert_abs_diff_eq!(radius_of(&crane, &job, "boom"), 0.6 + 0.7, epsilon = TOLERANCE);
    assert_abs_diff_eq!(radius_of(&crane, &job, "rope"), 0.15 + 0.9, epsilon = TOLERANCE);
    assert_abs_diff_eq!(radius_of(&crane, &job, "hook block"), 0.35 + 0.9, epsilon = TOLERANCE);
}

/// A beam that is not round about its rope.
fn beam(swing_deg: f64, yaw: Yaw) -> HungLoad {
    let text = r#"{ "format": "wideberth-machine", "version": 1, "id": "beam", "title": "Beam",
        "bodies": [{ "name": "beam", "box": { "from": ["-0.2 m", "-6 m", "-3 m"], "to": ["0.2 m", "6 m", "-2.5 m"] } }] }"#;
    let parts: Vec<Part> = read_text(text).expect("a beam").parts;
    HungLoad {
        name: "beam".into(),
        hangs_from: "hook".into(),
        rope_m: range(2.0, 9.0),
        rope_radius_m: 0.1,
        swing_rad: swing_deg.to_radians(),
        swing_stated: true,
        sail: None,
        yaw,
        parts,
        rigging: 0,
    }
}

fn load_joints(load: HungLoad) -> Vec<String> {
    let job = Use { load: Some(load), ..Use::default() };
    let joints = model("mobile-crane").joints_in(&job).expect("a hook");
    joints.into_iter().map(|joint| joint.name).skip(3).collect()
}

#[test]
fn a_load_has_the_joints_that_can_change_something() {
    let held = Yaw::Held(degrees(-10.0, 10.0));
    assert_eq!(load_joints(beam(5.0, Yaw::Free)), ["swing direction", "swing", "rope", "yaw"]);
    assert_eq!(load_joints(beam(0.0, Yaw::Free)), ["rope", "yaw"]);
    assert_eq!(load_joints(beam(5.0, held)), ["swing fore and aft", "swing sideways", "rope", "yaw"]);
    let shell = model("crane-with-shell").load.expect("a shell");
    assert_eq!(load_joints(shell), ["swing direction", "swing", "rope"]);
}

fn level(heading_rad: f64) -> Placement {
    Placement {
        position: Point3::origin(),
        heading_rad,
        slope_rad: 0.0,
        downhill_rad: 0.0,
        position_tolerance_m: 0.0,
        heading_tolerance_rad: 0.0,
    }
}

/// The two crossed axes of a held load reach every direction of the cone, and leave its y axis on its bearing.
#[test]
fn a_held_load_swings_in_the_whole_cone_and_keeps_its_bearing() {
    let swing = 12_f64.to_radians();
    let job = Use { load: Some(beam(12.0, Yaw::Held(range(0.0, 0.0)))), ..Use::default() };
    let equipped = model("mobile-crane").equip(&job).expect("a beam on a crane");
    let machine = Machine::new("crane", &level(1.0), equipped.frames, equipped.bodies).expect("a crane");
    let ranges = machine.ranges();
    for k in 0..=360 {
        let (sin, cos) = f64::from(k).to_radians().sin_cos();
        let rope = Vector3::new(swing.sin() * sin, swing.sin() * cos, -swing.cos());
        // Turning about x by a and then about y by b takes −z to (−sin b, sin a cos b, −cos a cos b).
        let (a, b) = (rope.y.atan2(-rope.z), (-rope.x).asin());
        let pose = [0.3, 1.0, 30.0, a, b, 5.0, 0.0];
        assert!(ranges[3].widened_contains(a) && ranges[4].widened_contains(b), "{k}: {a} {b}");
        let placed = machine.place(&pose);
        let hook = placed.last().expect("the load");
        assert_abs_diff_eq!(-(hook.rotation * Vector3::z()), rope, epsilon = 1e-12);
        let y = hook.rotation * Vector3::y();
        assert_abs_diff_eq!(y.x, 0.0, epsilon = 1e-12);
        assert!(y.y > 0.9);
    }
}

trait WidenedContains {
    /// Inside but for rounding.
    fn widened_contains(&self, value: f64) -> bool;
}

impl WidenedContains for Interval {
    fn widened_contains(&self, value: f64) -> bool {
        value >= self.low() - 1e-12 && value <= self.high() + 1e-12
    }
}

#[test]
fn a_load_that_hangs_nowhere_is_refused() {
    let load = HungLoad { hangs_from: "hok".into(), ..beam(5.0, Yaw::Free) };
    let errors = model("mobile-crane").equip(&Use { load: Some(load), ..Use::default() }).expect_err("no such point");
    assert!(matches!(&errors[..], [UseError::Unknown { what: Named::HangPoint, .. }]), "{errors:?}");
    assert_eq!(errors[0].help(), "did you mean \"hook\"?");
}

#[test]
fn a_free_yaw_is_all_round_and_a_held_one_its_range() {
    let yaw = |yaw| lowered(&model("mobile-crane"), &Use { load: Some(beam(0.0, yaw)), ..Use::default() }, "yaw");
    assert_range(yaw(Yaw::Free), -PI, PI);
    assert_range(yaw(Yaw::Held(degrees(80.0, 90.0))), 80_f64.to_radians(), FRAC_PI_2);
}

/// Fragments that stand in place of a correct one, and the code and path under which they are refused.
const REFUSALS: &[(&str, &str, &str, &str)] = &[
    (r#""version": 1"#, r#""version": 2"#, "wrong-version", "version"),
    (r#""format": "wideberth-machine", "#, "", "missing-key", "the file"),
    (r#""hinge": { "axis": "z""#, r#""hinge": { "axis": "w""#, "unknown-word", "frames[0].hinge.axis"),
    (r#""hinge": { "axis": "z""#, r#""hinge": { "axis": [0, 0, 0]"#, "impossible-machine", "frames[0].hinge.axis"),
    (r#"["-90 deg", "90 deg"]"#, r#"["90 deg", "-90 deg"]"#, "inverted-range", "frames[0].hinge.range"),
    (r#"["-90 deg", "90 deg"]"#, r#"["-90 deg", "9 m"]"#, "wrong-unit", "frames[0].hinge.range[1]"),
    (r#""on": "slew""#, r#""on": "slw""#, "unknown-frame", "frames[1].on"),
    (r#""on": "slew""#, r#""on": "boom""#, "unknown-frame", "frames[1].on"),
    (r#""frames": ["#, r#""frames": [{ "name": "slew" },"#, "duplicate-name", "frames[1].name"),
    (r#""frames": ["#, r#""frames": [{ "name": "rope" },"#, "duplicate-name", "frames[0].name"),
    (r#""frames": ["#, r#""frames": [{ "name": "ground" },"#, "duplicate-name", "frames[0].name"),
    (r#""name": "boom", "on""#, r#""plumb": true, "name": "boom", "on""#, "one-of", "frames[1]"),
    (r#""radius": "0.4 m""#, r#""radius": 0.4"#, "bare-number", "bodies[0].capsule.radius"),
    (r#""radius": "0.4 m""#, r#""radius": "-0.4 m""#, "out-of-range", "bodies[0].capsule.radius"),
    (r#""radius": "0.4 m""#, r#""radius": "NaN m""#, "not-finite", "bodies[0].capsule.radius"),
    (r#""radius": "0.4 m""#, r#""radius": "0.4 m", "raduis": "1 m""#, "unknown-key", "bodies[0].capsule.raduis"),
    (r#""to": { "frame": "boom" }"#, r#""to": { "frame": "bom" }"#, "unknown-frame", "bodies[0].capsule.to.frame"),
    (r#""name": "mast", "cylinder""#, r#""name": "arm", "cylinder""#, "duplicate-name", "bodies[1].name"),
    (r#""name": "mast", "cylinder""#, r#""name": "rope", "cylinder""#, "duplicate-name", "bodies[1].name"),
    (r#""to": ["0 m", "0 m", "3 m"]"#, r#""to": ["0 m", "0 m", "0 m"]"#, "impossible-machine", "bodies[1].cylinder"),
    (r#""to": ["0 m", "0 m", "3 m"]"#, r#""to": ["0 m", "3 m"]"#, "wrong-length", "bodies[1].cylinder.to"),
    (r#""name": "hook", "frame": "boom""#, r#""name": "hook", "frame": "x""#, "unknown-frame", "hang_points[0].frame"),
    (r#""overrun": { "slew""#, r#""overrun": { "turn""#, "unknown-joint", "overrun.turn"),
    (r#""slew": "2 deg""#, r#""slew": "0.2 m""#, "joint-kind", "overrun.slew"),
    (r#""hangs_from": "hook""#, r#""hangs_from": "eye""#, "unknown-hang-point", "load.hangs_from"),
    (r#""yaw": "free""#, r#""yaw": "loose""#, "unreadable-number", "load.yaw"),
    (r#""sphere": {"#, r#""sphere": { "frame": "boom","#, "needless-key", "load.bodies[0].sphere.frame"),
    (r#""name": "weight""#, r#""name": "arm""#, "duplicate-name", "load"),
    (r#""sphere": { "radius": "0.3 m" }"#, r#""deflection": "1 m""#, "one-of", "load.bodies[0]"),
];

const GOOD: &str = r#"{
  "format": "wideberth-machine", "version": 1, "id": "davit", "title": "Davit",
  "frames": [
    { "name": "slew", "at": ["0 m", "0 m", "3 m"], "hinge": { "axis": "z", "range": ["-90 deg", "90 deg"] } },
    { "name": "boom", "on": "slew", "slide": { "axis": "y", "range": ["1 m", "2 m"] } }
  ],
  "bodies": [
    { "name": "arm", "capsule": { "from": { "frame": "slew" }, "to": { "frame": "boom" }, "radius": "0.4 m" } },
    { "name": "mast", "cylinder": { "from": ["0 m", "0 m", "0 m"], "to": ["0 m", "0 m", "3 m"], "radius": "0.2 m" } }
  ],
  "hang_points": [{ "name": "hook", "frame": "boom" }],
  "load": { "name": "weight", "hangs_from": "hook", "rope": "2 m", "rope_radius": "0.01 m", "swing": "5 deg", "yaw": "free",
            "bodies": [{ "name": "weight", "sphere": { "radius": "0.3 m" } }] },
  "overrun": { "slew": "2 deg" }
}"#;

#[test]
fn each_mistake_in_a_machine_file_is_refused_at_its_place() {
    read_text(GOOD).unwrap_or_else(|problems| panic!("{problems}"));
    let mut failures = String::new();
    for (right, wrong, code, path) in REFUSALS {
        assert!(GOOD.contains(right), "{right} is not in the file");
        // The load's own name comes first; its body's name is the one that matters.
        let text = if right.contains("weight") {
            let (head, tail) = GOOD.rsplit_once(right).expect("there");
            format!("{head}{wrong}{tail}")
        } else {
            GOOD.replacen(right, wrong, 1)
        };
        let problems = read_text(&text).map(|_| ()).expect_err(wrong);
        let found: Vec<_> = problems.iter().map(|p| (p.code.name(), p.path.as_str())).collect();
        if found != [(*code, *path)] {
            failures += &format!("{wrong}: wanted {code} at {path}, found\n{problems}\n\n");
        }
    }
    assert!(failures.is_empty(), "{failures}");
}

#[test]
fn a_load_is_shortened_along_its_length_and_a_round_one_all_round() {
    let long = beam(5.0, Yaw::Free);
    let length = long.length().expect("a length");
    assert_abs_diff_eq!(length.length_m, 12.0, epsilon = TOLERANCE);
    assert_abs_diff_eq!(length.least_m, 0.0, epsilon = TOLERANCE);
    let short = long.shortened(7.5).expect("shorter");
    assert_abs_diff_eq!(short.length().expect("a length").length_m, 7.5, epsilon = TOLERANCE);
    for (before, after) in long.parts[0].body.features.iter().zip(&short.parts[0].body.features) {
        assert_abs_diff_eq!(after.at.y, before.at.y * 7.5 / 12.0, epsilon = TOLERANCE);
        assert_eq!((after.at.x, after.at.z), (before.at.x, before.at.z));
    }
    assert!(long.shortened(12.0).is_none() && long.shortened(13.0).is_none() && long.shortened(0.0).is_none());
    let shell = model("crane-with-shell").load.expect("a shell");
    let width_m = shell.length().expect("a diameter").length_m;
    let narrow = shell.shortened(width_m - 1.0).expect("narrower");
    assert_abs_diff_eq!(narrow.length().expect("a diameter").length_m, width_m - 1.0, epsilon = TOLERANCE);
    assert!(narrow.length().expect("a diameter").length_m < width_m);
}
