//! The scenario file as it is written: typed, in SI, not yet checked for sense.

mod conditions;
mod control;
mod falling;
mod ground;
mod history;
mod lesson;
mod line;
mod placed;
mod record;
mod scenario;
mod weather;

pub use conditions::{
    CouplingWord, DragWord, RawConditions, RawConditionsChange, RawDrag, RawMeanWind, RawWindFrom, RawWindSector,
    TerrainWord, WindWord,
};
pub use control::{ControlStateWord, RawControl, RawControlKind, RawEvidence};
pub use falling::{RawLift, RawTopple, ShapeWord};
pub use ground::{
    DugWord, RawBuried, RawDepth, RawDiggingPart, RawGroundPoint, RawGroundWork, RawMeasuredDepth, RawTicket,
};
pub use history::{RawCore, RawHeaviestLoad};
pub use lesson::{
    LessonCameraWord, LessonFromWord, LessonPlayWord, RawLesson, RawLessonQuestion, RawLessonStep, RawLessonWeather,
};
pub use line::{
    CatalogueWord, CurrentWord, RawAttachment, RawConductor, RawConductorRef, RawCoreRef, RawKnownBy, RawKnownVoltage,
    RawLine, RawStatedLimit, RawString, RawSupport, RawVoltage, RawVoltageBound, RawWire, RawWireClass,
    UnknownTensionWord, UnknownVoltageWord, VoltageBasisWord, WireClassWord,
};
pub use placed::{CrewWord, RawMachineFile, RawMachineRef, RawPlacedMachine, RawSlope, WorkWord};
pub use record::{RawAcknowledged, RawAcknowledgedRole, RawBriefing, RawDutyDone, RawRecord};
pub use scenario::{RawRule, RawSagPoint, RawScenario, RawSearch, SCENARIO_FORMAT, SCENARIO_VERSION, ScenarioFormat};
pub use weather::{
    RawForecast, RawHour, RawLineLoad, RawSite, RawSurface, RawTemperature, RawWeather, RawWind, SkyWord, WeatherWord,
};

use crate::bounds::Coordinate;
use crate::quantity::Quantity;

/// A place on the map: east and north of the site's origin.
pub type RawPlace = [Quantity<Coordinate>; 2];
