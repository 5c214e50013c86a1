//! How long a hung load is, and the same load shortened.
//!
//! The length is the load's greatest level extent, along its x or its y axis. A shorter load keeps everything else: width,
//! height, rigging, and how thick its ends are. A load that is round about its rope has its greatest diameter as length, and a
//! shorter one is narrower all round.

use wideberth_physics::machine::{Body, Feature};

use super::model::{HungLoad, Part};

/// How long a load is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoadLength {
    /// Its length, m.
    pub length_m: f64,
    /// A load as thick at its ends is no shorter than this, m.
    pub least_m: f64,
    /// The axis along which it is long, 0 or 1; none where it is round about its rope.
    axis: Option<usize>,
}

/// Points closer than this count as one, m.
const SAME_M: f64 = 1e-6;

impl HungLoad {
    /// How long the load is; none where it has no length that could be less.
    #[must_use]
    pub fn length(&self) -> Option<LoadLength> {
        let along = [0, 1].map(|axis| self.along(axis));
        let longest = if along[0].length_m > along[1].length_m { along[0] } else { along[1] };
        let shrinks = longest.length_m - longest.least_m > SAME_M;
        if shrinks { Some(longest) } else { self.round() }
    }

    fn own(&self) -> impl Iterator<Item = (&Body, &Feature)> {
        let own = self.parts.iter().skip(self.rigging);
        own.flat_map(|part| part.body.features.iter().map(|feature| (&part.body, feature)))
    }

    /// Extent along a level axis, and what of it its points do not make.
    fn along(&self, axis: usize) -> LoadLength {
        let mut ends = [(f64::INFINITY, f64::NEG_INFINITY); 2];
        for (body, feature) in self.own() {
            let ring_m =
                feature.ring.map_or(0.0, |ring| ring.radius_m * (1.0 - ring.axis[axis].powi(2)).max(0.0).sqrt());
            let at = feature.at[axis];
            for (end, around_m) in ends.iter_mut().zip([0.0, ring_m + body.radius_m]) {
                *end = (end.0.min(at - around_m), end.1.max(at + around_m));
            }
        }
        let [points_m, length_m] = ends.map(|(low, high)| (high - low).max(0.0));
        LoadLength { length_m, least_m: length_m - points_m, axis: Some(axis) }
    }

    /// The diameter of a load of upright rings about its rope.
    fn round(&self) -> Option<LoadLength> {
        let about_rope = |feature: &Feature| {
            let level_m = feature.at.x.hypot(feature.at.y);
            level_m < SAME_M && feature.ring.is_some_and(|ring| ring.axis.z.abs() > 1.0 - 1e-12)
        };
        let widest = self
            .own()
            .map(|(body, feature)| (feature.ring.map_or(0.0, |ring| ring.radius_m) + body.radius_m, body.radius_m))
            .max_by(|a, b| a.0.total_cmp(&b.0))?;
        let all = self.own().all(|(_, feature)| about_rope(feature));
        all.then_some(LoadLength { length_m: 2.0 * widest.0, least_m: 2.0 * widest.1, axis: None })
    }

    /// The load with another length; none where it is not shorter, or thinner than its ends are thick.
    #[must_use]
    pub fn shortened(&self, to_m: f64) -> Option<Self> {
        let length = self.length().filter(|length| to_m < length.length_m && to_m > length.least_m)?;
        let share = (to_m - length.least_m) / (length.length_m - length.least_m);
        let middle_m = length.axis.map_or(0.0, |axis| {
            let at = || self.own().map(|(_, feature)| feature.at[axis]);
            0.5 * (at().fold(f64::INFINITY, f64::min) + at().fold(f64::NEG_INFINITY, f64::max))
        });
        let shrink = |feature: &mut Feature| match (length.axis, &mut feature.ring) {
            (Some(axis), _) => feature.at[axis] = middle_m + share * (feature.at[axis] - middle_m),
            (None, Some(ring)) => ring.radius_m *= share,
            (None, None) => {}
        };
        let mut shorter = self.clone();
        let own = shorter.parts.iter_mut().skip(self.rigging);
        own.for_each(|Part { body, .. }| body.features.iter_mut().for_each(shrink));
        Some(shorter)
    }
}
