//! Reference problem R1: a boom beside three wires, the same for every peer (see `tests/peers`).

use nalgebra::{Isometry3, Point3, Vector3};
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{
    Conditions, Conductor, ConductorProperties, KnownBy, LoadsAlongSpan, Span, WindDirection, Wire, WireDescription,
};
use wideberth_physics::machine::{Body, Frame, FrameId, FrameRole, Machine, Motion, Placement};
use wideberth_physics::study::{Line, Pairing, Study};

fn range(low: f64, high: f64) -> Interval {
    Interval::new(low, high).expect("ordered numbers")
}

/// The conditions of R1.
#[must_use]
pub fn conditions() -> Conditions {
    Conditions {
        temperature_degc: range(-10.0, 75.0),
        wind_m_per_s: range(0.0, 20.0),
        wind_direction: WindDirection::Any,
        ice_m: range(0.0, 0.0),
        ice_density_kg_per_m3: 913.0,
        air_density_kg_per_m3: 1.225,
        drag: 1.0,
        wind_rise_rad: Interval::ZERO,
        loads_along_span: LoadsAlongSpan::Uniform,
        sway_allowance_m: 0.0,
    }
}

/// Level span of 90 m along x; conductor temperature −10..75 °C, wind −20..20 m/s across.
#[must_use]
pub fn r1_wires() -> Vec<Wire> {
    let conditions = conditions();
    [-1.1, 0.0, 1.1].map(|y| r1_wire(y, &conditions)).to_vec()
}

/// The wires of R1u: as R1's, but wind may differ along each span.
#[must_use]
pub fn r1u_wires() -> Vec<Wire> {
    let conditions = Conditions { loads_along_span: LoadsAlongSpan::Differ, ..conditions() };
    [-1.1, 0.0, 1.1].map(|y| r1_wire(y, &conditions)).to_vec()
}

/// The wires of R1 over many spans along x, the given one at the place of R1's.
#[must_use]
pub fn long_wires(before: usize, after: usize) -> Vec<Wire> {
    let corner = |k: usize, y: f64| Point3::new((k as f64 - before as f64) * 90.0, y, 10.5);
    let spans = |y: f64| {
        (0..=before + after).map(|k| Span::new(corner(k, y), corner(k + 1, y)).expect("a possible span")).collect()
    };
    [-1.1, 0.0, 1.1].map(|y| wire_of(y, spans(y), &conditions())).to_vec()
}

fn r1_wire(y: f64, conditions: &Conditions) -> Wire {
    let span = Span::new(Point3::new(0.0, y, 10.5), Point3::new(90.0, y, 10.5)).expect("a possible span");
    wire_of(y, vec![span], conditions)
}

fn wire_of(y: f64, spans: Vec<Span>, conditions: &Conditions) -> Wire {
    let conductor = Conductor::new(ConductorProperties {
        diameter_m: 0.0101,
        mass_kg_per_m: 0.2161,
        axial_stiffness_n: 79e9 * 62.4e-6,
        expansion_per_k: 18.9e-6,
        rated_strength_n: None,
    })
    .expect("a possible conductor");
    let known_by = KnownBy::Tension { horizontal_n: range(3900.0, 3900.0), temperature_degc: range(15.0, 15.0) };
    let description = WireDescription {
        name: format!("wire at y = {y}"),
        conductor,
        spans,
        known_by,
        permanent_strain: range(0.0, 0.0),
        position_tolerance_m: 0.0,
    };
    Wire::new(description, conditions).expect("a possible wire")
}

/// Boom: capsule of radius 0.4 m from the pivot (45, −19, 2.5) m; slew ±180°, luff 10..75°, length 8..14 m.
#[must_use]
pub fn r1_machine() -> Machine {
    let placement = Placement::level(Point3::new(45.0, -19.0, 0.0));
    let pi = std::f64::consts::PI;
    let slew = frame("slew", None, 2.5, Motion::Hinge { axis: Vector3::z_axis(), range_rad: range(-pi, pi) });
    let luff_rad = range(10_f64.to_radians(), 75_f64.to_radians());
    let luff = frame("luff", Some(0), 0.0, Motion::Hinge { axis: Vector3::x_axis(), range_rad: luff_rad });
    let tip = frame("telescope", Some(1), 0.0, Motion::Slide { axis: Vector3::y_axis(), range_m: range(8.0, 14.0) });
    let boom = Body::capsule("boom", (FrameId(1), Point3::origin()), (FrameId(2), Point3::origin()), 0.4);
    Machine::new("boom", &placement, vec![slew, luff, tip], vec![boom]).expect("a possible machine")
}

fn frame(name: &str, parent: Option<usize>, up_m: f64, motion: Motion) -> Frame {
    let offset = Isometry3::translation(0.0, 0.0, up_m);
    Frame { name: name.into(), role: FrameRole::Part, parent: parent.map(FrameId), offset, motion }
}

/// R1 as a study, with a limit of 3 m.
#[must_use]
pub fn r1_study() -> Study {
    let pairings = (0..3).map(|wire| Pairing { machine: 0, line: 0, wire, limit_m: 3.0 }).collect();
    Study { lines: vec![Line { name: "R1".into(), wires: r1_wires() }], machines: vec![r1_machine()], pairings }
}
