//! Lower bound of n·p over the points p of a body in a box of poses: the least of its features' expansions.

use nalgebra::Vector3;

use super::expansion::Expansion;
use super::hull::PlacedFeature;
use super::posed::{Carried, CarriedFeature, Joints, Posed};
use crate::machine::MAX_JOINTS;

/// A lower bound of n·p and what it depends on.
#[derive(Clone, Copy, Debug)]
pub struct Support {
    /// The bound, m; the body's radius is not counted.
    pub lower_m: f64,
    /// Derivative by each joint at the middle, for the feature that gives the bound.
    pub rates: Joints,
    /// Part of the looseness that each joint causes, m.
    pub looseness_m: Joints,
    /// How far each joint moves the feature over the box at the middle's speed, m.
    pub moves_m: Joints,
    /// About where the bound is attained, as shares −1..1 of the half-widths.
    pub at: Joints,
    /// Index of the feature that gives the bound.
    pub feature: usize,
}

/// What a body is near to: how far the wire is, and which way the wire runs there. Only a hint for the preferred pose.
#[derive(Clone, Copy, Debug)]
pub struct Near {
    /// Distance to the wire, m.
    pub distance_m: f64,
    /// Unit vector along the wire.
    pub along: Vector3<f64>,
}

/// Lower bound over a body's cell `middle ± half` for a direction n.
pub fn support(carried: &Carried, middle: &Posed, half: &Joints, normal: &Vector3<f64>) -> Support {
    let joints = carried.joints().len();
    let placed = carried.features().iter().zip(&middle.features);
    let expanded: Vec<_> = placed.map(|(feature, at)| Expansion::new(feature, at, middle, half, normal)).collect();
    let second = |(feature, e): (usize, &Expansion)| Support { feature, ..e.second_order() };
    let mut seconds: Vec<Support> = expanded.iter().enumerate().map(second).collect();
    if seconds.len() > 1 {
        seconds.sort_by(|a, b| a.lower_m.total_cmp(&b.lower_m));
    }
    let mut best: Option<Support> = None;
    for second in seconds {
        // The rest lies above the best by its coarser bound already.
        if best.as_ref().is_some_and(|known| second.lower_m >= known.lower_m) {
            break;
        }
        let expansion = &expanded[second.feature];
        let refined = expansion.link_by_link(expansion.third_order(second, joints));
        if best.as_ref().is_none_or(|known| refined.lower_m < known.lower_m) {
            best = Some(refined);
        }
    }
    best.unwrap_or(NOTHING)
}

/// The same for one feature alone.
pub fn feature_support(
    carried: &Carried,
    middle: &Posed,
    half: &Joints,
    normal: &Vector3<f64>,
    feature: usize,
) -> Support {
    let (Some(moved), Some(placed)) = (carried.features().get(feature), middle.features.get(feature)) else {
        return NOTHING;
    };
    let expansion = Expansion::new(moved, placed, middle, half, normal);
    let second = Support { feature, ..expansion.second_order() };
    expansion.link_by_link(expansion.third_order(second, carried.joints().len()))
}

/// About where in the cell the body comes nearest to the wire, as shares −1..1 of the half-widths: where the support's
/// feature does.
pub fn nearest_pose(
    carried: &Carried,
    middle: &Posed,
    half: &Joints,
    (normal, near): (&Vector3<f64>, &Near),
    support: &Support,
) -> Joints {
    let (Some(feature), Some(at)) = (carried.features().get(support.feature), middle.features.get(support.feature))
    else {
        return support.at;
    };
    Expansion::new(feature, at, middle, half, normal).nearest(support.at, carried.joints().len(), near)
}

/// Where the body comes nearest to the wire to second order about its pose, as shares −1..1 of half-widths around it: a
/// step of a local search.
pub fn step(carried: &Carried, at: &Posed, half: &Joints, (normal, near): (&Vector3<f64>, &Near)) -> Joints {
    let along = |feature: &&(&CarriedFeature, &PlacedFeature)| normal.dot(&feature.1.at.coords);
    let features = carried.features().iter().zip(&at.features);
    let foremost = features.min_by(|a, b| along(&a).total_cmp(&along(&b)));
    foremost.map_or([0.0; MAX_JOINTS], |(feature, placed)| {
        Expansion::new(feature, placed, at, half, normal).nearest([0.0; MAX_JOINTS], carried.joints().len(), near)
    })
}

/// The support of a body without features, which [`crate::machine::Machine`] does not allow.
pub const NOTHING: Support = Support {
    lower_m: f64::NEG_INFINITY,
    rates: [0.0; MAX_JOINTS],
    looseness_m: [0.0; MAX_JOINTS],
    moves_m: [0.0; MAX_JOINTS],
    at: [0.0; MAX_JOINTS],
    feature: 0,
};
