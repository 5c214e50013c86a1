//! The scenario file as it is written: typed, in SI, not yet checked for sense.

mod conditions;
mod history;
mod line;
mod placed;
mod scenario;

pub use conditions::{
    RawConditions, RawConditionsChange, RawMeanWind, RawWindFrom, RawWindSector, TerrainWord, WindWord,
};
pub use history::{RawCore, RawHeaviestLoad};
pub use line::{
    CurrentWord, RawAttachment, RawConductor, RawConductorRef, RawKnownBy, RawKnownVoltage, RawLine, RawStatedLimit,
    RawString, RawSupport, RawVoltage, RawVoltageBound, RawWire, UnknownVoltageWord, VoltageBasisWord,
};
pub use placed::{CrewWord, RawMachineFile, RawMachineRef, RawPlacedMachine, RawSlope, WorkWord};
pub use scenario::{RawRule, RawSagPoint, RawScenario, RawSearch, SCENARIO_FORMAT, SCENARIO_VERSION, ScenarioFormat};

use crate::bounds::Coordinate;
use crate::quantity::Quantity;

/// A place on the map: east and north of the site's origin.
pub type RawPlace = [Quantity<Coordinate>; 2];
