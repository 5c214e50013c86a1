//! A wire's core and what it has been through, as they are written.

use schemars::JsonSchema;
use serde::Deserialize;

use crate::bounds::{
    ConductorTemperature, Expansion, Ice, InitialStiffness, MetalArea, Modulus, PermanentStrain, WindSpeed,
};
use crate::quantity::{Quantity, Span};

/// The core of a wire of two metals. Above its knee the outer wires are slack and the core carries alone: the wire hangs
/// higher than one of one piece.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawCore {
    /// Area of the core's metal.
    pub area: Quantity<MetalArea>,
    /// Its modulus of elasticity; 190 GPa (steel) where left out.
    pub modulus: Option<Quantity<Modulus>>,
    /// Its coefficient of linear thermal expansion; 11.5e-6 /degC (steel) where left out.
    pub expansion: Option<Quantity<Expansion>>,
    /// Temperature at which neither part pulls the other in the wire as made; 0 degC to 40 degC where left out.
    pub free_at: Option<Span<ConductorTemperature>>,
    /// Permanent stretch that the wire had gained when its tautness became known; 0 % to 0.1 % where left out.
    pub permanent_set: Option<Span<PermanentStrain>>,
}

/// The heaviest load that a wire has borne since its tautness became known, when it was new.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawHeaviestLoad {
    /// Initial modulus of elasticity as a share of the final one.
    pub initial_stiffness: Quantity<InitialStiffness>,
    /// Temperature of the wire then.
    pub conductor_temperature: Quantity<ConductorTemperature>,
    /// Wind across the wire then, gusts included.
    pub wind_speed: Quantity<WindSpeed>,
    /// Radial ice then.
    pub ice: Quantity<Ice>,
}
