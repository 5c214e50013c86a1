//! Machines against general-purpose libraries: poses against the kinematics crate `k`, built from the files by an
//! independent little reader; distances of bodies against the shapes of the collision crate `parry3d`.
#![expect(clippy::print_stdout, reason = "the agreement reached is worth reading: run with --nocapture")]

use approx::assert_abs_diff_eq;
use k::nalgebra as na30;
use nalgebra::{Isometry3, Point3, UnitQuaternion, Vector3};
use parry3d_f64::math::{Pose, Vector};
use parry3d_f64::query;
use parry3d_f64::shape::{Ball, Capsule, Cone, Cuboid, Cylinder, Segment, Shape};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde_json::Value;
use wideberth_physics::approach::{PlacedFeature, nearest_on_hull};
use wideberth_physics::machine::{Body, FrameId, Machine, Motion, Placement};
use wideberth_scenario::machine::{Library, Use, read_text};

const POSES: usize = 200;
const TOLERANCE_M: f64 = 1e-9;

fn level() -> Placement {
    Placement::level(Point3::origin())
}

fn placed(text: &str) -> Machine {
    let model = read_text(text).unwrap_or_else(|problems| panic!("{problems}"));
    let equipped = model.equip(&Use::default()).unwrap_or_else(|errors| panic!("{errors:?}"));
    Machine::new(&*model.id, &level(), equipped.frames, equipped.bodies).expect("a machine")
}

fn random_pose(machine: &Machine, random: &mut ChaCha8Rng) -> Vec<f64> {
    machine.ranges().iter().map(|range| range.at(random.random())).collect()
}

// ---- poses against `k` ----

fn number(value: &Value, unit: &str) -> f64 {
    let text = value.as_str().and_then(|text| text.strip_suffix(unit)).expect("a quantity in the expected unit");
    text.trim().parse().expect("a number")
}

fn at(frame: &Value) -> na30::Translation3<f64> {
    let [x, y, z] = [0, 1, 2].map(|axis| frame.get("at").map_or(0.0, |at| number(&at[axis], "m")));
    na30::Translation3::new(x, y, z)
}

fn axis(value: &Value) -> na30::Unit<na30::Vector3<f64>> {
    let vector = match value.as_str() {
        Some("x") => na30::Vector3::x(),
        Some("y") => na30::Vector3::y(),
        Some("z") => na30::Vector3::z(),
        _ => na30::Vector3::from([0, 1, 2].map(|axis| value[axis].as_f64().expect("a component"))),
    };
    na30::Unit::new_normalize(vector)
}

/// The frames of a file as nodes of `k`, with their names, up to those that hang plumb (which `k` does not have).
fn nodes(text: &str) -> Vec<(String, k::Node<f64>)> {
    let file: Value = serde_json::from_str(text).expect("JSON");
    let mut nodes: Vec<(String, k::Node<f64>)> =
        vec![("ground".into(), k::NodeBuilder::new().name("ground").into_node())];
    for frame in file["frames"].as_array().expect("frames").iter().filter(|frame| frame.get("plumb").is_none()) {
        let name = frame["name"].as_str().expect("a name");
        let turn = frame.get("turn").map_or_else(na30::UnitQuaternion::identity, |turn| {
            na30::UnitQuaternion::from_axis_angle(&axis(&turn["axis"]), number(&turn["angle"], "deg").to_radians())
        });
        let joint_type = match (frame.get("hinge"), frame.get("slide")) {
            (Some(hinge), _) => k::JointType::Rotational { axis: axis(&hinge["axis"]) },
            (_, Some(slide)) => k::JointType::Linear { axis: axis(&slide["axis"]) },
            _ => k::JointType::Fixed,
        };
        let node =
            k::NodeBuilder::new().name(name).translation(at(frame)).rotation(turn).joint_type(joint_type).into_node();
        let parent = frame.get("on").and_then(Value::as_str).unwrap_or("ground");
        node.set_parent(&nodes.iter().find(|(known, _)| known == parent).expect("a parent").1);
        nodes.push((name.into(), node));
    }
    nodes
}

#[test]
fn poses_agree_with_the_kinematics_library() {
    let mut random = ChaCha8Rng::seed_from_u64(20);
    let (mut compared, mut worst_m) = (0, 0.0_f64);
    for entry in Library::embedded().entries() {
        let machine = placed(entry.text);
        let nodes = nodes(entry.text);
        let chain = k::Chain::from_root(nodes[0].1.clone());
        for _ in 0..POSES {
            let pose = random_pose(&machine, &mut random);
            let ours = machine.place(&pose);
            for (joint, mover) in machine.movers().iter().enumerate() {
                let name = &machine.frames()[mover.0].name;
                if let Some((_, node)) = nodes.iter().find(|(known, _)| known == name) {
                    node.set_joint_position_unchecked(pose[joint]);
                }
            }
            chain.update_transforms();
            for (name, node) in &nodes[1..] {
                let index = machine.frames().iter().position(|frame| frame.name == *name).expect("the frame");
                let theirs = node.world_transform().expect("a transform");
                // A point away from the origin shows the orientation too.
                let (a, b) = (ours[index] * Point3::new(3.0, -5.0, 7.0), theirs * na30::Point3::new(3.0, -5.0, 7.0));
                let apart = Vector3::new(a.x - b.x, a.y - b.y, a.z - b.z).norm();
                assert!(apart < TOLERANCE_M, "{} {name}: {apart:e} m", entry.id);
                worst_m = worst_m.max(apart);
                compared += 1;
            }
        }
    }
    assert!(compared > 5_000);
    println!("{compared} frames, worst {worst_m:.1e} m");
}

#[test]
fn plumb_frames_keep_their_place_and_the_sites_axes() {
    let mut random = ChaCha8Rng::seed_from_u64(21);
    let mut seen = 0;
    for entry in Library::embedded().entries() {
        let machine = placed(entry.text);
        for (index, frame) in machine.frames().iter().enumerate().filter(|(_, frame)| frame.motion == Motion::Plumb) {
            let ours = machine.place(&random_pose(&machine, &mut random));
            let FrameId(parent) = frame.parent.expect("a parent");
            assert_abs_diff_eq!(ours[index].rotation, UnitQuaternion::identity(), epsilon = 1e-15);
            let place = ours[parent] * Point3::from(frame.offset.translation.vector);
            assert_abs_diff_eq!(Point3::from(ours[index].translation.vector), place, epsilon = TOLERANCE_M);
            seen += 1;
        }
    }
    assert!(seen >= 5);
}

// ---- distances against `parry3d` ----

/// A shape of the collision library where it stands: its own frame, and rounding about it, m.
struct Peer {
    shape: Box<dyn Shape>,
    frame: Isometry3<f64>,
    rounding_m: f64,
}

fn vector(v: &Vector3<f64>) -> Vector {
    Vector::new(v.x, v.y, v.z)
}

impl Peer {
    /// The library's own shape for a body, by its features; none where it has no such shape.
    fn of(body: &Body, placed: &[Isometry3<f64>]) -> Option<Self> {
        let at: Vec<Point3<f64>> = body.features.iter().map(|f| placed[f.frame.0] * f.at).collect();
        let rings: Vec<f64> = body.features.iter().map(|f| f.ring.map_or(0.0, |ring| ring.radius_m)).collect();
        let rounding_m = body.radius_m;
        match (&at[..], &rings[..]) {
            ([only], [0.0]) => {
                Some(Self { shape: Box::new(Ball::new(rounding_m)), frame: moved(only), rounding_m: 0.0 })
            }
            ([from, to], [0.0, 0.0]) => {
                let shape = Capsule::new(vector(&from.coords), vector(&to.coords), rounding_m);
                Some(Self { shape: Box::new(shape), frame: Isometry3::identity(), rounding_m: 0.0 })
            }
            ([from, to], [a, b]) if a == b => {
                let shape = Box::new(Cylinder::new((to - from).norm() / 2.0, *a));
                Some(Self { shape, frame: along(from, to), rounding_m })
            }
            ([from, to], [a, b]) if *a == 0.0 || *b == 0.0 => {
                let (from, to) = if *b == 0.0 { (from, to) } else { (to, from) };
                let shape = Box::new(Cone::new((to - from).norm() / 2.0, a.max(*b)));
                Some(Self { shape, frame: along(from, to), rounding_m })
            }
            (corners, _) if corners.len() == 8 && rings.iter().all(|ring| *ring == 0.0) => {
                let rotation = placed[body.features[0].frame.0].rotation;
                let half = (body.features[7].at - body.features[0].at) / 2.0;
                let frame =
                    Isometry3::from_parts(moved(&nalgebra::center(&corners[0], &corners[7])).translation, rotation);
                Some(Self { shape: Box::new(Cuboid::new(vector(&half.abs()))), frame, rounding_m })
            }
            _ => None,
        }
    }

    fn to_point_m(&self, point: &Point3<f64>) -> f64 {
        let local = self.frame.inverse_transform_point(point);
        (self.shape.distance_to_local_point(vector(&local.coords), true) - self.rounding_m).max(0.0)
    }

    fn to_segment_m(&self, ends: &[Point3<f64>; 2]) -> f64 {
        let [from, to] = ends.map(|end| vector(&self.frame.inverse_transform_point(&end).coords));
        let segment = Segment::new(from, to);
        let distance = query::distance(&Pose::IDENTITY, &*self.shape, &Pose::IDENTITY, &segment).expect("a distance");
        (distance.distance - self.rounding_m).max(0.0)
    }
}

fn moved(to: &Point3<f64>) -> Isometry3<f64> {
    Isometry3::translation(to.x, to.y, to.z)
}

/// The frame whose y axis runs along a line, at its middle: how the library lays out cylinders and cones.
fn along(from: &Point3<f64>, to: &Point3<f64>) -> Isometry3<f64> {
    let half_turn = UnitQuaternion::from_axis_angle(&Vector3::x_axis(), std::f64::consts::PI);
    let rotation = UnitQuaternion::rotation_between(&Vector3::y(), &(to - from)).unwrap_or(half_turn);
    Isometry3::from_parts(moved(&nalgebra::center(from, to)).translation, rotation)
}

fn ours_to_point_m(body: &Body, placed: &[Isometry3<f64>], point: &Point3<f64>) -> f64 {
    let features: Vec<_> = body
        .features
        .iter()
        .map(|feature| {
            let place = placed[feature.frame.0];
            let (axis, ring_m) = feature.ring.map_or((Vector3::z(), 0.0), |r| (r.axis.into_inner(), r.radius_m));
            PlacedFeature { at: place * feature.at, axis: place * axis, ring_m }
        })
        .collect();
    ((point - nearest_on_hull(&features, point)).norm() - body.radius_m).max(0.0)
}

/// The least of a convex function of the place along a segment: golden-section search.
fn least_along(ends: &[Point3<f64>; 2], to_point_m: impl Fn(&Point3<f64>) -> f64) -> f64 {
    let value = |t: f64| to_point_m(&(ends[0] + (ends[1] - ends[0]) * t));
    let golden = (5.0_f64.sqrt() - 1.0) / 2.0;
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..80 {
        let (a, b) = (high - golden * (high - low), low + golden * (high - low));
        if value(a) < value(b) { high = b } else { low = a }
    }
    [low, high, 0.0, 1.0].map(value).into_iter().fold(f64::INFINITY, f64::min)
}

/// Bodies of the shapes that the library machines lack, beside all that they have.
const SHAPES: &str = r#"{
  "format": "wideberth-machine", "version": 1, "id": "shapes", "title": "Every shape",
  "frames": [
    { "name": "turn", "at": ["1 m", "2 m", "3 m"], "hinge": { "axis": [0.3, -0.5, 0.8], "range": ["-180 deg", "180 deg"] } },
    { "name": "slide", "on": "turn", "turn": { "axis": "y", "angle": "35 deg" }, "slide": { "axis": [0.1, 0.9, 0.2], "range": ["1 m", "7 m"] } }
  ],
  "bodies": [
    { "name": "sphere", "sphere": { "frame": "turn", "at": ["1 m", "0 m", "2 m"], "radius": "0.7 m" } },
    { "name": "capsule", "capsule": { "from": { "frame": "turn" }, "to": { "frame": "slide" }, "radius": "0.4 m" } },
    { "name": "box", "box": { "frame": "slide", "from": ["-1 m", "-2 m", "-0.5 m"], "to": ["2 m", "1 m", "0.5 m"] } },
    { "name": "cylinder", "cylinder": { "frame": "slide", "from": ["0 m", "1 m", "0 m"], "to": ["2 m", "4 m", "1 m"], "radius": "1.5 m" } },
    { "name": "cone", "frustum": { "frame": "turn", "from": ["0 m", "0 m", "0 m"], "to": ["1 m", "5 m", "0 m"], "from_radius": "2 m", "to_radius": "0 m" } },
    { "name": "cone, tip first", "frustum": { "frame": "slide", "from": ["3 m", "0 m", "0 m"], "to": ["3 m", "0 m", "-4 m"], "from_radius": "0 m", "to_radius": "1 m" },
      "deflection": "0.2 m" }
  ]
}"#;

#[test]
fn distances_agree_with_the_collision_library() {
    let mut random = ChaCha8Rng::seed_from_u64(22);
    let texts = Library::embedded().entries().iter().map(|entry| entry.text).chain([SHAPES]);
    let (mut points, mut segments, mut pairs) = (Vec::new(), Vec::new(), Vec::new());
    for machine in texts.map(placed) {
        for _ in 0..40 {
            let placed = machine.place(&random_pose(&machine, &mut random));
            for body in machine.bodies() {
                let Some(peer) = Peer::of(body, &placed) else { continue };
                let mut anywhere =
                    || Point3::from([40.0, 40.0, 40.0].map(|side| side * (random.random::<f64>() - 0.4)));
                let (point, ends) = (anywhere(), [anywhere(), anywhere()]);
                let ours = |point: &Point3<f64>| ours_to_point_m(body, &placed, point);
                points.push((peer.to_point_m(&point) - ours(&point)).abs());
                let along = least_along(&ends, ours);
                segments.push((least_along(&ends, |point| peer.to_point_m(point)) - along).abs());
                pairs.push(peer.to_segment_m(&ends) - along);
            }
        }
    }
    assert!(points.len() > 2_000);
    let points = worst(points, "body to point");
    let segments = worst(segments, "body to segment, least of points");
    assert!(points < TOLERANCE_M && segments < TOLERANCE_M);
    // The library's search between two shapes stops early, on the far side: it can only give the greater distance.
    assert!(pairs.iter().all(|more| *more > -TOLERANCE_M));
    worst(pairs, "body to segment, the library's own search");
}

/// The worst of the disagreements, which are printed.
fn worst(mut apart: Vec<f64>, what: &str) -> f64 {
    apart.sort_by(f64::total_cmp);
    let share = |part: f64| apart[((apart.len() - 1) as f64 * part) as usize];
    let [median, most, worst] = [0.5, 0.99, 1.0].map(share);
    println!("{what}: {} compared, median {median:.1e}, 99 % {most:.1e}, worst {worst:.1e} m", apart.len());
    worst
}
