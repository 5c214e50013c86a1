//! Lessons as they are written.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use crate::bounds::{Bearing, ConductorTemperature, JointAngle, JointTravel, WindSpeed};
use crate::quantity::{Either, Quantity};

/// A lesson that the viewer runs like a presentation. The verdict does not depend on it.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawLesson {
    /// Its name; the scenario's title where left out.
    #[schemars(length(min = 1, max = 200))]
    pub title: Option<String>,
    /// Its steps, in order.
    #[schemars(length(min = 1, max = 100))]
    pub steps: Vec<RawLessonStep>,
}

/// A step of a lesson: what is said, and the moment that is shown.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawLessonStep {
    /// What is said.
    #[schemars(length(min = 1, max = 400))]
    pub caption: String,
    /// The moment that the step changes: "start" of the work, where left out, or the proven "worst" case.
    pub from: Option<LessonFromWord>,
    /// Joint values, by machine and joint.
    #[serde(default)]
    pub joints: BTreeMap<String, BTreeMap<String, Either<JointAngle, JointTravel>>>,
    /// Weather on the wires.
    pub conditions: Option<RawLessonWeather>,
    /// Where to look from; as before where left out.
    pub camera: Option<LessonCameraWord>,
    /// What plays; nothing where left out.
    pub play: Option<LessonPlayWord>,
    /// A question with its answer, which stays hidden until asked for.
    pub question: Option<RawLessonQuestion>,
}

/// The moment that a step begins with.
#[derive(Clone, Copy, Debug, Default, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum LessonFromWord {
    /// The start of the work.
    #[default]
    Start,
    /// The proven worst case.
    Worst,
}

/// The weather of a step; what is left out stays.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawLessonWeather {
    /// Temperature of the wires.
    pub conductor_temperature: Option<Quantity<ConductorTemperature>>,
    /// Wind speed.
    pub wind_speed: Option<Quantity<WindSpeed>>,
    /// Bearing from which the wind blows.
    pub wind_from: Option<Quantity<Bearing>>,
}

/// Where to look from.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum LessonCameraWord {
    /// From outside.
    Orbit,
    /// From above.
    Plan,
    /// Along the line.
    Along,
    /// Across the line.
    Across,
    /// From the operator's seat.
    Operator,
    /// From where a spotter stands.
    Spotter,
}

/// What plays.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum LessonPlayWord {
    /// The joints, from start through the worst pose and on.
    Work,
    /// The wind across the line and back.
    Sway,
    /// The conductor temperature from cold to hot and back.
    Heat,
}

/// A question with its answer.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawLessonQuestion {
    /// The question.
    #[schemars(length(min = 1, max = 300))]
    pub ask: String,
    /// Its answer.
    #[schemars(length(min = 1, max = 400))]
    pub answer: String,
}
