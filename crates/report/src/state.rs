//! Where and in what state a distance is attained.

use nalgebra::Point3;
use wideberth_physics::approach::{Margins, Witness};
use wideberth_physics::assess::Finding;
use wideberth_physics::line::{RealWire, SlackCore, WireSpan};
use wideberth_scenario::job::{Job, JointInfo, JointUnit, LineInfo};

use crate::document::{
    CoreStateResult, JointResult, PieceResult, RoomResult, StringResult, WireStateResult, WitnessResult,
};

/// The witness of a finding.
pub(crate) fn witness(job: &Job, finding: &Finding) -> WitnessResult {
    let pairing = finding.pairing;
    let (found, line) = (&finding.attained.witness, &job.lines[pairing.line]);
    let machine = &job.study.machines[pairing.machine];
    let span = &job.study.lines[pairing.line].wires[pairing.wire].spans()[found.span];
    let joints = job.machines[pairing.machine].joints.iter().zip(&found.pose);
    let wind = found.state.wind_m_per_s;
    WitnessResult {
        body: machine.bodies().get(found.body).map_or_else(String::new, |body| body.name.clone()),
        joints: joints.map(|(joint, value)| joint_of(joint, *value)).collect(),
        span: span.index(),
        between: supports(line, span.index()),
        along_m: found.fraction * span.span().run_m(),
        fraction: found.fraction,
        conductor_temperature_degc: found.temperature_degc,
        wind_across_m_per_s: wind.abs(),
        wind_from_rad: (wind != 0.0).then(|| wind_from_rad(span, wind)),
        ice_m: found.state.ice_m,
        swing_rad: found.swing_rad,
        strings: strings(found, span, &supports(line, span.index())),
        wire_above_ground_m: found.on_wire.z - ground_m(line, span.index(), found.fraction),
        wire_above_zero_m: found.on_wire.z,
        on_body_m: coordinates(&found.on_body),
        on_wire_m: coordinates(&found.on_wire),
        wire: wire_state(&finding.attained.wire, span),
    }
}

/// All that the shape of the wire follows from.
fn wire_state(real: &RealWire, span: &WireSpan) -> WireStateResult {
    let pieces = real.forces.iter().zip(&real.winds_m_per_s).map(|(force, wind)| PieceResult {
        to_share: force.to_share,
        wind_m_per_s: (*wind).into(),
        ice_m: force.ice_m,
        force_n_per_m: force.force_n_per_m.into(),
    });
    let core = |core: SlackCore| CoreStateResult { axial_stiffness_n: core.axial_stiffness_n, shorter: core.shorter };
    WireStateResult {
        ends_m: [coordinates(&real.wire.from), coordinates(&real.wire.to)],
        shift_m: real.shift_m.into(),
        unstretched_m: real.wire.unstretched_m,
        axial_stiffness_n: real.wire.law.axial_stiffness_n,
        core: real.wire.law.core.map(core),
        diameter_m: 2.0 * span.strand().load().radius_m(0.0),
        pull_n: real.history.pull_n,
        known_degc: real.history.known_degc,
        permanent_strain: real.history.permanent_strain,
        pieces: pieces.collect(),
    }
}

/// What the lower end of a finding leaves room for, the largest first; what is below a millimetre is left out.
pub(crate) fn room(margins: &Margins) -> Vec<RoomResult> {
    let all = [
        (margins.attachments_m, ROOM_ATTACHMENTS),
        (margins.sway_m, ROOM_SWAY),
        (margins.rising_m, ROOM_RISING),
        (margins.uneven_m, ROOM_UNEVEN),
        (margins.proof_m, ROOM_PROOF),
    ];
    let named = all.into_iter().filter(|(worth_m, _)| *worth_m >= LEAST_ROOM_M);
    let mut room: Vec<RoomResult> =
        named.map(|(worth_m, [left_for, smaller_by])| RoomResult { left_for, worth_m, smaller_by }).collect();
    room.sort_by(|a, b| b.worth_m.total_cmp(&a.worth_m));
    room
}

/// Less than this is not told, m.
const LEAST_ROOM_M: f64 = 1e-3;
const ROOM_ATTACHMENTS: [&str; 2] = [
    "attachments that lie elsewhere than stated",
    "measure where the wire is attached at both supports and state that tolerance (attachment_tolerance)",
];
const ROOM_SWAY: [&str; 2] =
    ["the sway allowance", "find what gusts need with the command sway and state that (sway_allowance), or less wind"];
const ROOM_RISING: [&str; 2] =
    ["wind along the rising span", "state from where the wind may come, or stop work at less wind"];
const ROOM_UNEVEN: [&str; 2] = [
    "wind or ice that differ along a span, which move a part of it farther than the same load everywhere",
    "stop work at less wind, and with ice on the wires",
];
const ROOM_PROOF: [&str; 2] = [
    "what the proof leaves open",
    "narrow what is least known of the wire and the weather, or search finer (search.tolerance)",
];

/// The strings at the ends of the span in the state of the witness.
fn strings(found: &Witness, span: &WireSpan, names: &[String; 2]) -> Vec<StringResult> {
    let swings = found.section.as_ref().and_then(|section| span.string_swings(section).ok()).unwrap_or_default();
    let result = |(swing, name): (wideberth_physics::line::StringSwing, &String)| StringResult {
        support: name.clone(),
        along_rad: swing.along_rad,
        across_rad: swing.across_rad,
    };
    swings.into_iter().zip(names).filter_map(|(swing, name)| Some((swing?, name))).map(result).collect()
}

fn joint_of(joint: &JointInfo, value: f64) -> JointResult {
    let (angle_rad, length_m) = match joint.unit {
        JointUnit::Radian => (Some(value), None),
        JointUnit::Metre => (None, Some(value)),
    };
    JointResult { name: joint.name.clone(), role: joint.role.into(), angle_rad, length_m }
}

fn coordinates(point: &Point3<f64>) -> [f64; 3] {
    point.coords.into()
}

/// Names of the supports of a span.
pub(crate) fn supports(line: &LineInfo, span: usize) -> [String; 2] {
    [span, span + 1].map(|index| line.supports.get(index).map_or_else(String::new, |support| support.name.clone()))
}

/// Level of the straight line between the feet of a span's supports at a fraction of it, m.
pub(crate) fn ground_m(line: &LineInfo, span: usize, fraction: f64) -> f64 {
    let level = |index: usize| line.supports.get(index).map_or(0.0, |support| support.foot.z);
    level(span) + fraction * (level(span + 1) - level(span))
}

/// Bearing from which a wind blows that pushes a span to its left (positive) or right.
fn wind_from_rad(span: &WireSpan, wind_m_per_s: f64) -> f64 {
    let from = -span.span().lateral() * wind_m_per_s.signum();
    from.x.atan2(from.y).rem_euclid(std::f64::consts::TAU)
}
