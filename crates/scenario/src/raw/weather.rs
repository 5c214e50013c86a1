//! Site, weather and load as they are written.

use schemars::JsonSchema;
use serde::Deserialize;

use crate::bounds::{
    Absorptivity, AirTemperature, Bearing, ConductorTemperature, Elevation, Emissivity, GustFactor, Latitude,
    LineCurrent, LoadShare, Longitude, WindSpeed, WindTurn,
};
use crate::quantity::{Number, Quantity, Span};

/// Something that follows from the weather.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
pub enum WeatherWord {
    /// From the scenario's weather.
    #[serde(rename = "from the weather")]
    FromTheWeather,
}

/// Temperature of a wire: a range, or from the weather by the heat balance.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum RawTemperature {
    /// From the weather.
    Weather(WeatherWord),
    /// A range.
    Range(Span<ConductorTemperature>),
    /// From the weather, but work stops above this: what a temperature cut-off makes of it, never written.
    #[serde(skip)]
    WeatherUpTo(Quantity<ConductorTemperature>),
}

/// Wind speed: a range, or from the weather.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum RawWind {
    /// From the weather.
    Weather(WeatherWord),
    /// A range.
    Range(Span<WindSpeed>),
    /// From the weather, but work stops above this: what a wind cut-off makes of it, never written.
    #[serde(skip)]
    WeatherUpTo(Quantity<WindSpeed>),
}

/// Where the job is on the earth.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawSite {
    /// Latitude, north positive.
    pub latitude: Quantity<Latitude>,
    /// Longitude, east positive, so negative in the Americas.
    pub longitude: Quantity<Longitude>,
    /// Height above sea level.
    pub elevation: Quantity<Elevation>,
    /// The clock that people there read on the day, as an offset such as "UTC-05:00"; with summer time where that holds.
    #[schemars(length(min = 1, max = 20))]
    pub time_zone: String,
}

/// The weather through the job: a file, a forecast of a day's high and low, or hours written in place.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(extend("x-one-of" = ["file", "forecast", "hourly"]))]
pub struct RawWeather {
    /// An hourly table (its name ends in .csv) or a climate file (.epw), relative to the folder of the scenario.
    #[schemars(length(min = 1, max = 1000))]
    pub file: Option<String>,
    /// The day's high and low.
    pub forecast: Option<RawForecast>,
    /// The weather at each full hour.
    #[schemars(length(min = 2, max = 10000))]
    pub hourly: Option<Vec<RawHour>>,
    /// How many times the mean wind a gust may reach, where no gusts are given; 2.0 where left out.
    pub gust_factor: Option<Number<GustFactor>>,
    /// How clear the air is; "clear", the hot side, where left out.
    pub sky: Option<SkyWord>,
    /// How far the wind may turn from the direction that the weather states, either way; 30 deg where left out.
    pub wind_turn: Option<Quantity<WindTurn>>,
}

/// A day's high and low.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawForecast {
    /// Highest temperature of the air.
    pub high: Quantity<AirTemperature>,
    /// Lowest temperature of the air.
    pub low: Quantity<AirTemperature>,
    /// Mean wind through the day.
    pub wind_speed: Span<WindSpeed>,
    /// Strongest gust.
    pub gust: Option<Quantity<WindSpeed>>,
}

/// The weather at an hour.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawHour {
    /// Time on the clock of the site, such as "05:00" on the scenario's date, or with its own date and offset.
    #[schemars(length(min = 1, max = 40))]
    pub time: String,
    /// Temperature of the air.
    pub air: Quantity<AirTemperature>,
    /// Mean wind speed.
    pub wind_speed: Quantity<WindSpeed>,
    /// Gusts.
    pub gust: Option<Quantity<WindSpeed>>,
    /// Bearing from which the wind blows; left out in a calm and where it varies.
    pub wind_from: Option<Quantity<Bearing>>,
}

/// How clear the air is.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum SkyWord {
    /// Clear: the hot side.
    Clear,
    /// Of an industrial area.
    Industrial,
}

/// What the wires of a line carry.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(extend("x-one-of" = ["current", "rated_current", "rated_temperature"]))]
pub struct RawLineLoad {
    /// Current in each wire.
    pub current: Option<Span<LineCurrent>>,
    /// Rated current of each wire, as its owner states it.
    pub rated_current: Option<Quantity<LineCurrent>>,
    /// Temperature that the wires are rated for: they may carry what heats them to it in air of 40 degC, a wind of 0.61 m/s across
    /// and full sun.
    pub rated_temperature: Option<Quantity<ConductorTemperature>>,
    /// With a rating: the share of the rated current that may flow; 0 % to 100 % where left out.
    pub share: Option<Span<LoadShare>>,
}

/// How the wires of a line take up and shed heat.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawSurface {
    /// Emissivity; 0.7 where left out.
    pub emissivity: Option<Number<Emissivity>>,
    /// Absorptivity; 0.9, a black old wire, where left out.
    pub absorptivity: Option<Number<Absorptivity>>,
}
