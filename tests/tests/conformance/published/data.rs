//! The data files of published values, as they are written.

use std::collections::BTreeMap;

use serde::Deserialize;

use crate::published::units::Unit;

/// One published example.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Check {
    pub id: String,
    pub kind: Kind,
    pub what: String,
    pub tag: String,
    pub source: String,
    #[serde(default)]
    pub url: String,
    #[serde(default)]
    pub note: String,
    #[serde(default)]
    pub catalogue_id: String,
    pub inputs: Inputs,
    pub outputs: Vec<Output>,
}

/// What is computed from the inputs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    LevelByTension,
    LevelBySag,
    LevelByGreatestTension,
    ByLengthAndSag,
    SagAtPoint,
    WeightInSpan,
    UnlevelByTension,
    TensionFromMidHeight,
    SagFromMeanTension,
    ChangeOfState,
    ThermalElongation,
    StateConstant,
    DistrictLoads,
    LoadedSag,
    SpanForSag,
    WindPressure,
    TowerLoad,
    Swing,
    StringSwing,
    RulingSpan,
    ElasticCatenary,
    GroundedLine,
    CatalogueRow,
    RuleOfMixtures,
    CableFrequency,
    SpanFrequencies,
    Knee,
    InitialLine,
    HeatBalance,
    HeatCapacity,
    TemperatureByCurrent,
    TemperatureInTime,
    Later,
}

/// One printed result, or one list of results.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Output {
    pub name: String,
    pub printed: OneOrMany<String>,
    pub unit: Unit,
    pub tolerance: f64,
    #[serde(default)]
    pub method: Method,
    #[serde(default)]
    pub expect: Expect,
    #[serde(default)]
    pub why: String,
    /// Where it differs from the tag of the check.
    #[serde(default)]
    pub tag: String,
}

/// What the printed number is compared with.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Method {
    /// The product.
    #[default]
    Catenary,
    /// The parabola, since the source uses it and the catenary differs by more than the tolerance.
    Parabola,
}

/// What is expected of the comparison.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Expect {
    #[default]
    Agrees,
    /// A known misprint.
    Disagrees,
    /// Outside what the product is proven for; it must say so.
    Refused,
    /// Kept for a part of the product that does not exist yet.
    Later,
}

/// A value or a list of values.
#[derive(Clone, Debug, Deserialize)]
#[serde(untagged)]
pub enum OneOrMany<T> {
    One(T),
    Many(Vec<T>),
}

impl<T> OneOrMany<T> {
    pub fn as_slice(&self) -> &[T] {
        match self {
            Self::One(value) => std::slice::from_ref(value),
            Self::Many(values) => values,
        }
    }
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Quantity {
    value: OneOrMany<f64>,
    unit: Unit,
}

/// Named inputs, given out in SI.
#[derive(Debug, Deserialize)]
#[serde(transparent)]
pub struct Inputs(BTreeMap<String, Quantity>);

impl Inputs {
    /// A list of values in SI; panics if the data file lacks it.
    pub fn list(&self, name: &str) -> Vec<f64> {
        self.maybe_list(name).unwrap_or_else(|| panic!("the data file lacks the input {name}"))
    }

    /// One value in SI; panics if the data file lacks it.
    pub fn si(&self, name: &str) -> f64 {
        self.list(name)[0]
    }

    /// One value in SI, if the data file has it.
    pub fn maybe(&self, name: &str) -> Option<f64> {
        self.maybe_list(name).map(|values| values[0])
    }

    /// One value in SI or another.
    pub fn or(&self, name: &str, otherwise: f64) -> f64 {
        self.maybe(name).unwrap_or(otherwise)
    }

    fn maybe_list(&self, name: &str) -> Option<Vec<f64>> {
        let quantity = self.0.get(name)?;
        Some(quantity.value.as_slice().iter().map(|value| quantity.unit.to_si(*value)).collect())
    }
}

/// The data files, in the order of the generated document.
pub const FILES: [(&str, &str, &str); 11] = [
    ("catenary", "Level spans", include_str!("../../../data/published/catenary.json")),
    ("unlevel", "Unlevel spans", include_str!("../../../data/published/unlevel.json")),
    ("state-change", "Sag and tension, change of state", include_str!("../../../data/published/state-change.json")),
    ("loads", "Weight, ice and wind", include_str!("../../../data/published/loads.json")),
    ("wind", "Wind pressure", include_str!("../../../data/published/wind.json")),
    ("swing", "Swing", include_str!("../../../data/published/swing.json")),
    ("elastic", "Elastic catenary", include_str!("../../../data/published/elastic.json")),
    ("conductors", "Conductor data", include_str!("../../../data/published/conductors.json")),
    ("heat", "Conductor temperature", include_str!("../../../data/published/heat.json")),
    ("sway", "Frequencies of swaying wires", include_str!("../../../data/published/sway.json")),
    ("later", "Kept for later", include_str!("../../../data/published/later.json")),
];

/// The checks of one file.
pub fn checks(file: &str) -> Vec<Check> {
    let (_, _, text) = FILES.iter().find(|(name, ..)| *name == file).expect("the file is listed");
    serde_json::from_str(text).unwrap_or_else(|error| panic!("{file}.json: {error}"))
}
