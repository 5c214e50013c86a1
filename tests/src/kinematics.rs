//! Where the parts of a machine are, by products of matrices alone: nothing of `Machine::place`.

use nalgebra::{Isometry3, Matrix4, Rotation3, Unit};
use wideberth_physics::machine::{Machine, Motion};

/// Where the frames of a machine are, with a value for each joint.
///
/// # Panics
/// When there are fewer values than joints.
#[must_use]
pub fn frames(machine: &Machine, joints: &[f64]) -> Vec<Isometry3<f64>> {
    let mut placed: Vec<Matrix4<f64>> = Vec::new();
    let mut values = joints.iter();
    for frame in machine.frames() {
        let parent = frame.parent.map_or(Matrix4::identity(), |parent| placed[parent.0]);
        let rest = parent * frame.offset.to_homogeneous();
        let next = |values: &mut std::slice::Iter<'_, f64>| *values.next().expect("a value for each joint");
        placed.push(match frame.motion {
            Motion::Fixed => rest,
            Motion::Hinge { axis, .. } => {
                rest * Rotation3::from_axis_angle(&Unit::new_normalize(*axis), next(&mut values)).to_homogeneous()
            }
            Motion::Slide { axis, .. } => rest * Matrix4::new_translation(&(*axis * next(&mut values))),
            Motion::Plumb => Matrix4::new_translation(&rest.fixed_view::<3, 1>(0, 3).into_owned()),
        });
    }
    let rigid = |matrix: &Matrix4<f64>| {
        let turn = Rotation3::from_matrix_unchecked(matrix.fixed_view::<3, 3>(0, 0).into_owned());
        Isometry3::from_parts(matrix.fixed_view::<3, 1>(0, 3).into_owned().into(), turn.into())
    };
    placed.iter().map(rigid).collect()
}
