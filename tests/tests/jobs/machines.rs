//! The machine library: every file loads and lowers, its points lie where trigonometry puts them, its joints turn the way
//! that the docs say, and it is as tall and as far-reaching as the trade's figures.

use std::collections::BTreeMap;

use approx::assert_abs_diff_eq;
use nalgebra::Point3;
use wideberth_physics::machine::{Machine, Placement};
use wideberth_scenario::machine::{JointKind, Library, MachineModel, Use, read_text};
use wideberth_tests::extent;

const TOLERANCE_M: f64 = 1e-9;

fn level() -> Placement {
    Placement::level(Point3::origin())
}

fn model(id: &str) -> MachineModel {
    let entry = Library::embedded().find(id).unwrap_or_else(|| panic!("no {id}"));
    entry.model().unwrap_or_else(|problems| panic!("{id}:\n{problems}"))
}

fn placed(model: &MachineModel) -> Machine {
    let equipped = model.equip(&Use::default()).unwrap_or_else(|errors| panic!("{}: {errors:?}", model.id));
    Machine::new(&*model.id, &level(), equipped.frames, equipped.bodies).unwrap_or_else(|e| panic!("{}: {e}", model.id))
}

/// Where a point of a frame lies; joints in degrees or metres, those left out at 0.
fn point(id: &str, joints: &[(&str, f64)], frame: &str, at: [f64; 3]) -> Point3<f64> {
    let model = model(id);
    let machine = placed(&model);
    let pose: Vec<f64> = machine
        .movers()
        .iter()
        .map(|mover| {
            let frame = &machine.frames()[mover.0];
            let value = joints.iter().find(|(name, _)| *name == frame.name).map_or(0.0, |(_, value)| *value);
            let hinge = matches!(frame.motion, wideberth_physics::machine::Motion::Hinge { .. });
            if hinge { value.to_radians() } else { value }
        })
        .collect();
    for (name, _) in joints {
        assert!(machine.movers().iter().any(|m| machine.frames()[m.0].name == *name), "{id} has no joint {name}");
    }
    let index = machine.frames().iter().rposition(|f| f.name == frame).unwrap_or_else(|| panic!("{id}: no {frame}"));
    machine.place(&pose)[index] * Point3::from(at)
}

fn sc(degrees: f64) -> (f64, f64) {
    degrees.to_radians().sin_cos()
}

#[test]
fn the_library_is_the_folder() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../assets/machines");
    let mut files: Vec<String> = std::fs::read_dir(folder)
        .expect("the folder of machines")
        .map(|file| file.expect("a file").path().file_stem().expect("a name").to_string_lossy().into_owned())
        .collect();
    files.sort();
    let ids: Vec<&str> = Library::embedded().ids().collect();
    assert_eq!(ids, files);
    assert!(ids.len() >= 13);
}

#[test]
fn every_machine_loads_under_its_own_id_with_sources() {
    for entry in Library::embedded().entries() {
        let model = model(entry.id);
        assert_eq!(model.id, entry.id);
        assert!(!model.sources.is_empty() && model.about.contains("reference point"), "{}", entry.id);
        let machine = placed(&model);
        assert!(!machine.bodies().is_empty() && machine.movers().len() <= 8, "{}", entry.id);
    }
}

#[test]
fn names_that_are_nearly_right_are_offered() {
    let library = Library::embedded();
    assert_eq!(library.nearest("grain-augre"), Some("grain-auger"));
    assert_eq!(library.nearest("mobile crane"), Some("mobile-crane"));
    assert!(library.find("grain-augre").is_none());
    assert_eq!(library.nearest("zzzzzzz"), None);
}

/// Tip = foot + length × (cos, sin) of the luff, turned to the left by the slew.
#[test]
fn boom_tips_lie_where_trigonometry_puts_them() {
    let cranes = [
        ("mobile-crane", -1.2, 2.8, [11.0, 30.0, 48.0]),
        ("crane-with-shell", -1.2, 2.6, [10.0, 20.0, 35.0]),
        ("boom-platform", -1.0, 2.1, [6.0, 15.0, 22.0]),
    ];
    for (id, foot_y, foot_z, lengths) in cranes {
        for (slew, luff, length) in [(0.0, 0.0, lengths[0]), (90.0, 30.0, lengths[1]), (-135.0, 72.5, lengths[2])] {
            let ((sin, cos), (turn_sin, turn_cos)) = (sc(luff), sc(slew));
            let out = foot_y + length * cos;
            let expected = Point3::new(-out * turn_sin, out * turn_cos, foot_z + length * sin);
            let found = point(id, &[("slew", slew), ("luff", luff), ("telescope", length)], "telescope", [0.0; 3]);
            assert_abs_diff_eq!(found, expected, epsilon = TOLERANCE_M);
        }
    }
}

#[test]
fn the_telehandlers_forks_tilt_at_the_end_of_its_boom() {
    for (luff, length, tilt) in [(0.0, 5.5, 0.0), (40.0, 10.0, -40.0), (72.0, 16.5, -90.0)] {
        let ((sin, cos), (tilt_sin, tilt_cos)) = (sc(luff), sc(luff + tilt));
        let expected = Point3::new(
            0.0,
            length * cos + 1.2 * tilt_cos + 0.8 * tilt_sin,
            2.1 + length * sin + 1.2 * tilt_sin - 0.8 * tilt_cos,
        );
        let joints = [("luff", luff), ("telescope", length), ("tilt", tilt)];
        assert_abs_diff_eq!(point("telehandler", &joints, "tilt", [0.0, 1.2, -0.8]), expected, epsilon = TOLERANCE_M);
    }
}

/// A chain in one plane: angles add up along it.
fn planar_tip(foot: (f64, f64), links: &[(f64, f64)]) -> Point3<f64> {
    let mut total = 0.0;
    let mut tip = Point3::new(0.0, foot.0, foot.1);
    for (angle, length) in links {
        total += angle;
        let (sin, cos) = sc(total);
        tip += nalgebra::Vector3::new(0.0, length * cos, length * sin);
    }
    tip
}

#[test]
fn chains_of_hinges_add_up_their_angles() {
    for a in [[90.0, 0.0, 0.0, 0.0], [0.0, 0.0, 0.0, 0.0], [75.0, -60.0, -120.0, 150.0], [30.0, -10.0, -20.0, -30.0]] {
        let links = [(a[0], 8.6), (a[1], 7.8), (a[2], 7.8), (a[3], 7.9)];
        let joints = [("section 1", a[0]), ("section 2", a[1]), ("section 3", a[2]), ("section 4", a[3])];
        let found = point("concrete-boom", &joints, "end hose", [0.0; 3]);
        assert_abs_diff_eq!(found, planar_tip((0.0, 3.9), &links), epsilon = TOLERANCE_M);
    }
    for a in [[60.0, -25.0, 45.0], [0.0, -90.0, 0.0], [-50.0, -150.0, -130.0]] {
        let joints = [("boom", a[0]), ("stick", a[1]), ("bucket", a[2])];
        let found = point("excavator", &joints, "bucket", [0.0, 1.5, 0.0]);
        let expected = planar_tip((0.2, 1.8), &[(a[0], 5.7), (a[1], 2.9), (a[2], 1.5)]);
        assert_abs_diff_eq!(found, expected, epsilon = TOLERANCE_M);
    }
    let jib = [("luff", 75.0), ("telescope", 22.0), ("jib", -75.0)];
    let expected = planar_tip((-1.0, 2.1), &[(75.0, 22.0), (-75.0, 1.8)]);
    assert_abs_diff_eq!(point("boom-platform", &jib, "basket", [0.0; 3]), expected, epsilon = TOLERANCE_M);
}

/// Points (forward, up) of a part that turns up about a level axis through (0, hinge).
#[test]
fn tipped_and_raised_parts_turn_about_their_hinge() {
    let parts = [
        ("end-dump-trailer", "raise", 1.25, 11.9, 1.7, [0.0, 45.0, 50.0]),
        ("rigid-tipper", "raise", 1.2, 7.6, 2.2, [0.0, 20.0, 52.0]),
        ("grain-auger", "raise", 0.4, 25.6, 0.0, [7.0, 25.0, 40.0]),
        ("mast-rig", "tilt", 1.8, 20.8, 1.4, [0.0, 60.0, 95.0]),
        ("bin-shell-tilt", "tilt", 0.0, 8.0, 2.3, [0.0, 45.0, 90.0]),
        ("hand-pipe", "raise", 0.0, 12.2, 0.0, [0.0, 45.0, 90.0]),
        ("ladder", "raise", 0.0, 10.0, 0.0, [0.0, 90.0, 180.0]),
    ];
    for (id, joint, hinge, along, above, angles) in parts {
        for angle in angles {
            let (sin, cos) = sc(angle);
            let expected = Point3::new(0.0, along * cos - above * sin, hinge + along * sin + above * cos);
            assert_abs_diff_eq!(
                point(id, &[(joint, angle)], joint, [0.0, along, above]),
                expected,
                epsilon = TOLERANCE_M
            );
        }
    }
}

#[test]
fn the_harvesters_spout_swings_out_to_the_left() {
    let end = |angle| point("harvester", &[("spout", angle)], "spout", [0.0, 7.3, 2.2]);
    assert_abs_diff_eq!(end(0.0), Point3::new(-1.6, -1.0 - 7.3, 5.5), epsilon = TOLERANCE_M);
    assert_abs_diff_eq!(end(90.0), Point3::new(-1.6 - 7.3, -1.0, 5.5), epsilon = TOLERANCE_M);
    let lids = point("harvester", &[("lids", 1.7)], "lids", [0.0; 3]);
    assert_abs_diff_eq!(lids, Point3::new(0.0, -1.5, 5.7), epsilon = TOLERANCE_M);
}

/// Hook = tip + rope × (swing turned to its direction, down); the load's origin is the hook.
#[test]
fn a_hung_load_swings_about_its_hang_point() {
    for (direction, swing, rope) in [(0.0, 0.0, 2.0), (0.0, 10.0, 15.0), (90.0, 10.0, 8.0), (200.0, 4.0, 5.0)] {
        let base = [("slew", 30.0), ("luff", 60.0), ("telescope", 30.0)];
        let tip = point("crane-with-shell", &base, "telescope", [0.0; 3]);
        let joints = [&base[..], &[("swing direction", direction), ("swing", swing), ("rope", rope)]].concat();
        let hook = point("crane-with-shell", &joints, "rope", [0.0; 3]);
        let ((sin, cos), (turn_sin, turn_cos)) = (sc(swing), sc(direction));
        // A positive turn about x carries the hook forward (down turns to forward), then the direction turns it left.
        let expected = tip + nalgebra::Vector3::new(-sin * turn_sin, sin * turn_cos, -cos) * rope;
        assert_abs_diff_eq!(hook, expected, epsilon = TOLERANCE_M);
    }
}

/// The docs promise: positive raises, positive slew and turn go left, positive lean goes right.
#[test]
fn joints_turn_the_way_that_the_docs_say() {
    let raising = [
        ("mobile-crane", "luff", "telescope"),
        ("crane-with-shell", "luff", "telescope"),
        ("telehandler", "luff", "telescope"),
        ("boom-platform", "luff", "telescope"),
        ("boom-platform", "jib", "basket"),
        ("concrete-boom", "section 1", "section 2"),
        ("concrete-boom", "section 2", "section 3"),
        ("concrete-boom", "section 3", "section 4"),
        ("concrete-boom", "section 4", "end hose"),
        ("excavator", "boom", "stick"),
        ("excavator", "stick", "bucket"),
        ("grain-auger", "raise", "discharge"),
        ("ladder", "raise", "extend"),
    ];
    for (id, joint, frame) in raising {
        let base = [("telescope", 10.0), ("extend", 5.0)];
        let base: Vec<_> = base.into_iter().filter(|(n, _)| model(id).joints().iter().any(|j| j.name == *n)).collect();
        let at = |angle| point(id, &[&base[..], &[(joint, angle)]].concat(), frame, [0.0; 3]).z;
        assert!(at(5.0) > at(0.0) + 0.1, "{id} {joint}");
    }
    for (id, joint) in [("end-dump-trailer", "raise"), ("rigid-tipper", "raise"), ("mast-rig", "tilt")] {
        let at = |angle| point(id, &[(joint, angle)], joint, [0.0, 5.0, 0.0]).z;
        assert!(at(5.0) > at(0.0) + 0.1, "{id} {joint}");
    }
    for (id, joint) in [("mobile-crane", "slew"), ("excavator", "slew"), ("grain-auger", "turn"), ("ladder", "turn")] {
        assert!(point(id, &[(joint, 10.0)], joint, [0.0, 5.0, 0.0]).x < -0.5, "{id} {joint}");
    }
    assert!(point("mast-rig", &[("lean", 5.0), ("tilt", 90.0)], "tilt", [0.0, 20.0, 0.0]).x > 1.0);
}

#[test]
fn feet_and_metres_give_the_same_machine() {
    for entry in Library::embedded().entries() {
        let mut value: serde_json::Value = serde_json::from_str(entry.text).expect("JSON");
        to_feet(&mut value);
        let metric = model(entry.id);
        let imperial = read_text(&value.to_string()).unwrap_or_else(|problems| panic!("{}:\n{problems}", entry.id));
        let [metric, imperial] = [metric, imperial].map(|model| placed(&model));
        for (a, b) in metric.ranges().iter().zip(imperial.ranges()) {
            assert_abs_diff_eq!(a.low(), b.low(), epsilon = TOLERANCE_M);
            assert_abs_diff_eq!(a.high(), b.high(), epsilon = TOLERANCE_M);
        }
        for (a, b) in metric.bodies().iter().zip(imperial.bodies()) {
            assert_abs_diff_eq!(a.radius_m, b.radius_m, epsilon = TOLERANCE_M);
            for (a, b) in a.features.iter().zip(&b.features) {
                assert_abs_diff_eq!(a.at, b.at, epsilon = TOLERANCE_M);
            }
        }
    }
}

/// Rewrites every "… m" as feet and every "… deg" as radians.
fn to_feet(value: &mut serde_json::Value) {
    match value {
        serde_json::Value::String(text) => {
            let number = |unit: &str| text.strip_suffix(unit).and_then(|number| number.parse::<f64>().ok());
            if let Some(metres) = number(" m") {
                *text = format!("{} ft", metres / 0.3048);
            } else if let Some(degrees) = number(" deg") {
                *text = format!("{} rad", degrees.to_radians());
            }
        }
        serde_json::Value::Array(items) => items.iter_mut().for_each(to_feet),
        serde_json::Value::Object(object) => object.values_mut().for_each(to_feet),
        _ => {}
    }
}

/// One row of tests/data/machines/figures.csv: what the trade says, and how much more ours may be.
#[derive(serde::Deserialize)]
struct Figure {
    id: String,
    trade_height_m: f64,
    above_m: f64,
    words: String,
    tag: String,
}

fn figures() -> Vec<Figure> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/data/machines/figures.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).expect("the figures");
    reader.deserialize().collect::<Result<_, _>>().expect("rows")
}

#[test]
fn heights_cover_the_trades_figures_and_not_much_more() {
    let figures = figures();
    let ids: Vec<_> = figures.iter().map(|figure| figure.id.as_str()).collect();
    assert_eq!(ids, Library::embedded().ids().collect::<Vec<_>>());
    for Figure { id, trade_height_m, above_m, .. } in &figures {
        let height_m = extent::height_m(&placed(&model(id)));
        let window = trade_height_m - 1e-6..=trade_height_m + above_m;
        assert!(window.contains(&height_m), "{id}: {height_m:.2} m against {trade_height_m} m and {above_m} m more");
    }
}

#[test]
fn the_docs_show_the_computed_tables() {
    let docs = include_str!("../../../docs/machines.md");
    let figures: BTreeMap<_, _> = figures().into_iter().map(|figure| (figure.id.clone(), figure)).collect();
    let mut sizes =
        String::from("| machine | what | height | reach | trade figure for the height |\n|---|---|---|---|---|\n");
    let mut joints = String::from("| machine | joints and their own ranges | hang points |\n|---|---|---|\n");
    for entry in Library::embedded().entries() {
        let model = model(entry.id);
        let machine = placed(&model);
        let (figure, title) = (&figures[entry.id], &model.title);
        let (height_m, reach_m) = (extent::height_m(&machine), extent::reach_m(&machine));
        let Figure { words, tag, .. } = figure;
        sizes += &format!("| `{}` | {title} | {height_m:.1} m | {reach_m:.1} m | {words} ({tag}) |\n", entry.id);
        let ranges: Vec<_> = model
            .joints_in(&Use::default())
            .expect("joints")
            .iter()
            .map(|joint| format!("`{}` {}", joint.name, joint.kind.shown(&joint.range)))
            .collect();
        let hang_points: Vec<_> = model.hang_points.iter().map(|point| format!("`{}`", point.name)).collect();
        joints += &format!("| `{}` | {} | {} |\n", entry.id, ranges.join(", "), hang_points.join(", "));
    }
    for table in [&sizes, &joints] {
        assert!(docs.contains(table), "docs/machines.md needs these tables:\n{sizes}\n{joints}");
    }
}

#[test]
fn the_worked_example_of_the_docs_is_a_machine() {
    let docs = include_str!("../../../docs/machines.md");
    let (_, after) = docs.split_once("## Your own machine").expect("the section");
    let example: String = after
        .lines()
        .skip_while(|line| !line.starts_with("    {"))
        .take_while(|line| line.starts_with("    "))
        .map(|line| format!("{line}\n"))
        .collect();
    let model = read_text(&example).unwrap_or_else(|problems| panic!("{problems}"));
    let joints: Vec<_> = model.joints().iter().map(|joint| (joint.name.clone(), joint.kind)).collect();
    assert_eq!(joints, [("arms".to_string(), JointKind::Hinge), ("clamp".to_string(), JointKind::Hinge)]);
    // Arms at their highest, the post turned so that its far end points straight up: 1.6 + 2.4 sin 45° + |(0.3, 8)| + 0.2 + rim.
    let height_m = extent::height_m(&placed(&model));
    assert!((11.4..11.8).contains(&height_m), "{height_m}");
}
