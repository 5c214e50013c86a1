//! One pose and one state, held while the machine is put elsewhere.

use nalgebra::Vector3;

use super::hull::PlacedFeature;
use super::strand::Curve;
use super::types::{ApproachError, Witness};
use crate::line::{StateShape, Wire};
use crate::machine::{Feature, Machine};

/// The pose and the state of a witness. Wherever the machine stands, it may take that pose and the wire that state, so
/// the distance then is an upper bound of its closest approach there.
#[derive(Clone, Debug)]
pub struct Held {
    features: Vec<PlacedFeature>,
    shape: StateShape,
    thickness_m: f64,
}

impl Held {
    /// Holds the pose and the state of a witness that was found for this machine and this wire.
    ///
    /// # Errors
    /// When the state has no shape, or the witness is one of another machine or wire.
    pub fn new(machine: &Machine, wire: &Wire, witness: &Witness) -> Result<Self, ApproachError> {
        let body = machine.bodies().get(witness.body).filter(|_| witness.pose.len() == machine.movers().len());
        let (Some(body), Some(span)) = (body, wire.spans().get(witness.span)) else {
            return Err(ApproachError::NothingToAssess);
        };
        let frames = machine.place(&witness.pose);
        let placed = |feature: &Feature| PlacedFeature::new(feature, &frames[feature.frame.0]);
        let state = &witness.state;
        let alone = || span.placed(&[state.unstretched_m, state.wind_m_per_s, state.ice_m]);
        let placed_in = witness.section.as_ref().and_then(|section| span.placed_in(section));
        let shape = placed_in.unwrap_or_else(alone)?.shape;
        let features = body.features.iter().map(placed).collect();
        Ok(Self { features, shape, thickness_m: body.radius_m + shape.radius_m + span.margin_m() })
    }

    /// Distance between the surfaces, less margins, with the machine `offset_m` from where it stood, m; not positive in
    /// contact.
    #[must_use]
    pub fn distance_m(&self, offset_m: &Vector3<f64>) -> f64 {
        let features: Vec<_> = self.features.iter().map(|f| PlacedFeature { at: f.at + offset_m, ..*f }).collect();
        let curve = Curve::new(&self.shape.span, &self.shape.catenary, self.shape.swing_rad);
        curve.close_pair(&features, 0.0, 1.0, TRIES).distance_m() - self.thickness_m
    }
}

/// Steps for the nearest points of wire and body.
const TRIES: usize = 30;
