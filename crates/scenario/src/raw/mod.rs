//! The scenario file as it is written: typed, in SI, not yet checked for sense.

mod conditions;
mod history;
mod line;
mod placed;
mod scenario;
mod weather;

pub use conditions::{CouplingWord, RawConditions, RawConditionsChange, RawWindFrom, RawWindSector, WindWord};
pub use history::{RawCore, RawHeaviestLoad};
pub use line::{
    CurrentWord, RawAttachment, RawConductor, RawConductorRef, RawKnownBy, RawKnownVoltage, RawLine, RawStatedLimit,
    RawString, RawSupport, RawVoltage, RawVoltageBound, RawWire, RawWireClass, UnknownTensionWord, UnknownVoltageWord,
    VoltageBasisWord, WireClassWord,
};
pub use placed::{CrewWord, RawMachineFile, RawMachineRef, RawPlacedMachine, RawSlope, WorkWord};
pub use scenario::{RawRule, RawSagPoint, RawScenario, RawSearch, SCENARIO_FORMAT, SCENARIO_VERSION, ScenarioFormat};
pub use weather::{
    RawForecast, RawHour, RawLineLoad, RawSite, RawSurface, RawTemperature, RawWeather, RawWind, SkyWord, WeatherWord,
};

use crate::bounds::Coordinate;
use crate::quantity::Quantity;

/// A place on the map: east and north of the site's origin.
pub type RawPlace = [Quantity<Coordinate>; 2];
