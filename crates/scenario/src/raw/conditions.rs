//! Conditions as they are written.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{RawTemperature, RawWind, WeatherWord};
use crate::bounds::{AirDensity, Bearing, Drag, Ice, IceDensity, MeanWindSpeed, SwayAllowance};
use crate::quantity::{Number, Quantity, Span};

/// Temperatures, wind and ice that the job may meet; any combination may occur.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(extend("x-one-of" = ["wind_speed", "mean_wind"]))]
pub struct RawConditions {
    /// Temperature of the wires, not of the air: sun and current heat them. A range, or "from the weather".
    pub conductor_temperature: RawTemperature,
    /// Wind speed at the wires, gusts included: a range, or "from the weather".
    pub wind_speed: Option<RawWind>,
    /// Instead of it the mean wind of a forecast, from which the gusts at the wires follow.
    pub mean_wind: Option<RawMeanWind>,
    /// Where the wind comes from; "any" where left out.
    pub wind_from: Option<RawWindFrom>,
    /// Radial ice on the wires; none where left out.
    pub ice: Option<Span<Ice>>,
    /// Density of the ice; 913 kg/m3 (glaze) where left out.
    pub ice_density: Option<Quantity<IceDensity>>,
    /// Density of the air; 1.225 kg/m3 (15 degC at sea level) where left out. Cold air is denser.
    pub air_density: Option<Quantity<AirDensity>>,
    /// Drag coefficient of the wires, or "by Reynolds number"; 1.0 where left out.
    pub drag: Option<RawDrag>,
    /// How far gusts make the wires sway beyond the shapes that they take in steady wind of the greatest speed; 0 m where left out.
    pub sway_allowance: Option<Quantity<SwayAllowance>>,
    /// Whether temperature and wind go together; "independent" where left out.
    pub coupling: Option<CouplingWord>,
}

/// Drag of the wires.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum RawDrag {
    /// By Reynolds number, from a table.
    Law(DragWord),
    /// A coefficient.
    Coefficient(Number<Drag>),
}

/// Drag by Reynolds number, for what the wind meets.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
pub enum DragWord {
    /// Any round wire: the greatest of the others.
    #[serde(rename = "by Reynolds number")]
    Any,
    /// A smooth cover or a single wire.
    #[serde(rename = "by Reynolds number, smooth")]
    Smooth,
    /// More than seven wires.
    #[serde(rename = "by Reynolds number, fine strand")]
    FineStrand,
    /// Seven wires.
    #[serde(rename = "by Reynolds number, coarse strand")]
    CoarseStrand,
}

/// Whether hot wires and strong wind may come together.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
pub enum CouplingWord {
    /// Any temperature with any wind: the safe side.
    #[serde(rename = "independent")]
    Independent,
    /// The wind that swings a wire also cools it.
    #[serde(rename = "heat balance")]
    HeatBalance,
}

/// What is different for one line; what is left out holds as for all.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawConditionsChange {
    /// Temperature of the wires.
    pub conductor_temperature: Option<RawTemperature>,
    /// Wind speed, gusts included.
    pub wind_speed: Option<RawWind>,
    /// Where the wind comes from.
    pub wind_from: Option<RawWindFrom>,
    /// Radial ice on the wires.
    pub ice: Option<Span<Ice>>,
    /// Density of the ice.
    pub ice_density: Option<Quantity<IceDensity>>,
    /// Density of the air.
    pub air_density: Option<Quantity<AirDensity>>,
    /// Drag coefficient of the wires, or "by Reynolds number".
    pub drag: Option<RawDrag>,
    /// How far gusts make the wires sway beyond the shapes that they take in steady wind of the greatest speed.
    pub sway_allowance: Option<Quantity<SwayAllowance>>,
}

/// The wind of a forecast.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawMeanWind {
    /// Greatest mean over 10 minutes, 10 m above open country.
    pub speed: Quantity<MeanWindSpeed>,
    /// What covers the ground upwind of the wires.
    pub terrain: TerrainWord,
}

/// What covers the ground.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum TerrainWord {
    /// Open sea or a coast facing it.
    Sea,
    /// Lakes, flat country without obstacles.
    Flat,
    /// Low plants, single trees and buildings.
    Open,
    /// Villages, suburbs, forest.
    Suburb,
    /// Largely built over.
    Town,
}

/// Where the wind comes from: "any", "from the weather", or a sector of bearings.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum RawWindFrom {
    /// Any direction.
    Any(WindWord),
    /// From the weather.
    Weather(WeatherWord),
    /// A sector.
    Sector(RawWindSector),
}

/// Any direction.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum WindWord {
    /// Any direction.
    Any,
}

/// Bearings from which the wind comes, clockwise from one to the other.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawWindSector {
    /// First bearing.
    pub from: Quantity<Bearing>,
    /// Last bearing, clockwise from the first.
    pub to: Quantity<Bearing>,
}
