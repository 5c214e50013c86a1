//! Where and in what state a distance is attained.

use nalgebra::Point3;
use wideberth_physics::approach::Witness;
use wideberth_physics::assess::Finding;
use wideberth_physics::line::WireSpan;
use wideberth_scenario::job::{Job, JointInfo, JointUnit, LineInfo};

use crate::document::{JointResult, StringResult, WitnessResult};

/// The witness of a finding.
pub(crate) fn witness(job: &Job, finding: &Finding) -> WitnessResult {
    let pairing = finding.pairing;
    let (found, line) = (&finding.approach.witness, &job.lines[pairing.line]);
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
    }
}

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
    JointResult { name: joint.name.clone(), angle_rad, length_m }
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
