//! Structures that may topple, and loads that the wind pushes, as they are written.

use schemars::JsonSchema;
use serde::Deserialize;

use super::RawPlace;
use crate::bounds::{BodyCoordinate, Level, LoadMass, SailArea, SettingOut, StructureSize, WindSpeed};
use crate::quantity::Quantity;

/// A standing structure that may topple: before it is anchored, or when its bracing fails.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawTopple {
    /// Name.
    #[schemars(length(min = 1, max = 120))]
    pub name: String,
    /// Middle of its base on the map.
    pub position: RawPlace,
    /// Level of the ground there; 0 m where left out.
    pub ground: Option<Quantity<Level>>,
    /// Diameter, or the width of its wider side.
    pub width: Quantity<StructureSize>,
    /// Width of its narrower side, over which it topples most easily; as wide as "width" where left out.
    pub narrow_width: Option<Quantity<StructureSize>>,
    /// Height above its base.
    pub height: Quantity<StructureSize>,
    /// How far it may stand from its place; 0.5 m where left out.
    pub setting_out_tolerance: Option<Quantity<SettingOut>>,
    /// Its mass as it stands then: empty, without what is fitted later.
    pub mass: Quantity<LoadMass>,
    /// Its shape, which says how hard the wind pushes.
    pub shape: ShapeWord,
    /// How far its middle of mass may lie off its middle, toward the edge over which it topples; 0 m where left out.
    pub eccentricity: Option<Quantity<BodyCoordinate>>,
}

/// A shape in the wind.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum ShapeWord {
    /// A round shell.
    Cylinder,
    /// Flat sides.
    Box,
    /// Anything else.
    Unknown,
}

/// What a machine lifts, for the wind that it may be lifted in.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawLift {
    /// Mass of the load with its rigging.
    pub mass: Quantity<LoadMass>,
    /// Largest area that it can turn to the wind.
    pub sail_area: Quantity<SailArea>,
    /// Its shape, which says how hard the wind pushes.
    pub shape: ShapeWord,
    /// The wind up to which the machine's own chart allows full loads.
    pub chart_wind: Quantity<WindSpeed>,
}
