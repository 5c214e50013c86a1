//! The conductor catalogue: the rows of `assets/conductors.csv`, embedded, parsed to SI and looked up by id.
//!
//! Every row says where it was read and whether it was seen there or written from memory; modulus and
//! expansion carry their own source, because many tables print neither. `docs/conductors.md` tells how the
//! ids are made and which rows were left out. The catalogue knows nothing of spans or tensions.

use std::fmt;

use serde::Deserialize;
use wideberth_physics::line::ConductorProperties;

/// The text of the embedded catalogue.
const EMBEDDED_CSV: &str = include_str!("../../../assets/conductors.csv");

/// Below this similarity (Jaro-Winkler, 0 to 1) an id is no plausible misspelling of another.
const LEAST_SIMILARITY: f64 = 0.75;

/// Whether a figure was read in the cited source or written down from memory.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
pub enum Provenance {
    /// Read in the cited source.
    #[serde(rename = "seen")]
    Seen,
    /// Written from memory; the source is where it is believed to stand.
    #[serde(rename = "from memory")]
    FromMemory,
}

impl fmt::Display for Provenance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Seen => "seen",
            Self::FromMemory => "from memory",
        })
    }
}

/// Where a figure comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Citation {
    /// Document, table and edition.
    pub source: String,
    /// Seen there, or from memory.
    pub provenance: Provenance,
}

/// What a conductor is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ConductorType {
    /// Aluminium wires over a steel core.
    Acsr,
    /// All aluminium.
    Aac,
    /// All aluminium alloy.
    Aaac,
    /// Bare copper.
    Copper,
    /// Steel wires with a copper cover.
    CopperCoveredSteel,
    /// Galvanized steel or iron.
    Steel,
}

/// One bare conductor, in SI units.
///
/// # Source
///
/// [`citation`](Self::citation) for size, mass, strength and resistance; the modulus and the expansion have
/// their own citations.
#[derive(Clone, Debug, PartialEq)]
pub struct CatalogueEntry {
    /// Unique kebab-case name, such as `acsr-drake-795-26-7`.
    pub id: String,
    /// Trade code word or standard designation; empty where there is none.
    pub code: String,
    /// What it is made of.
    pub conductor_type: ConductorType,
    /// Nominal size as the trade writes it.
    pub size: String,
    /// Wires, aluminium over steel, such as `26/7`; `solid` for one wire.
    pub stranding: String,
    /// Metal cross-section.
    pub area_m2: f64,
    /// Overall diameter.
    pub diameter_m: f64,
    /// Mass per length.
    pub mass_kg_per_m: f64,
    /// Rated breaking strength, where the source prints one.
    pub rated_strength_n: Option<f64>,
    /// Final modulus of elasticity of the whole section.
    pub modulus_pa: f64,
    /// Coefficient of linear thermal expansion.
    pub expansion_per_k: f64,
    /// Direct-current resistance at 20 °C.
    pub dc_resistance_20degc_ohm_per_m: Option<f64>,
    /// Largest direct-current resistance at 20 °C that the standard allows.
    pub dc_resistance_max_20degc_ohm_per_m: Option<f64>,
    /// Alternating-current resistance at 25 °C.
    pub ac_resistance_25degc_ohm_per_m: Option<f64>,
    /// Alternating-current resistance at 50 °C.
    pub ac_resistance_50degc_ohm_per_m: Option<f64>,
    /// Alternating-current resistance at 75 °C.
    pub ac_resistance_75degc_ohm_per_m: Option<f64>,
    /// Metal of the steel core, where a source tells it.
    pub core_area_m2: Option<f64>,
    /// Source of the row.
    pub citation: Citation,
    /// Source of the modulus.
    pub modulus_citation: Citation,
    /// Source of the expansion.
    pub expansion_citation: Citation,
    /// Source of the core's area, where one is known.
    pub core_citation: Option<Citation>,
    /// Remarks on the row; empty where there are none.
    pub note: String,
}

impl CatalogueEntry {
    /// Axial stiffness EA in newtons.
    #[must_use]
    pub fn stiffness_n(&self) -> f64 {
        self.modulus_pa * self.area_m2
    }

    /// What the line physics needs of it.
    #[must_use]
    pub fn properties(&self) -> ConductorProperties {
        ConductorProperties {
            diameter_m: self.diameter_m,
            mass_kg_per_m: self.mass_kg_per_m,
            axial_stiffness_n: self.stiffness_n(),
            expansion_per_k: self.expansion_per_k,
            rated_strength_n: self.rated_strength_n,
        }
    }

    /// Seen only if every figure that a sag depends on (row, modulus, expansion) was seen.
    #[must_use]
    pub fn weakest_provenance(&self) -> Provenance {
        let citations = [&self.citation, &self.modulus_citation, &self.expansion_citation];
        if citations.iter().all(|c| c.provenance == Provenance::Seen) {
            Provenance::Seen
        } else {
            Provenance::FromMemory
        }
    }
}

/// Why a catalogue text was refused.
#[derive(Debug, thiserror::Error)]
pub enum CatalogueError {
    /// A row does not parse.
    #[error("conductor catalogue: {0}; correct the row or restore the file")]
    Row(#[from] csv::Error),
    /// A quantity that must be finite and above zero is not.
    #[error("conductor {id}: {column} is {value}, which is not above zero; correct the row")]
    NotPositive {
        /// The row.
        id: String,
        /// The column, with its unit.
        column: &'static str,
        /// What it holds, in the unit of the column.
        value: f64,
    },
    /// Two rows share an id.
    #[error("conductor id {id} occurs twice; give one of the rows another id")]
    DuplicateId {
        /// The id.
        id: String,
    },
}

/// All known conductors, in the order of the file.
#[derive(Clone, Debug, PartialEq)]
pub struct Catalogue {
    entries: Vec<CatalogueEntry>,
}

impl Catalogue {
    /// The catalogue that is built into the program.
    ///
    /// # Errors
    ///
    /// As [`Catalogue::parse`]; the tests of the project show that the embedded text is accepted.
    pub fn embedded() -> Result<Self, CatalogueError> {
        Self::parse(EMBEDDED_CSV)
    }

    /// Reads a catalogue in the format of `assets/conductors.csv`.
    ///
    /// # Errors
    ///
    /// A row that does not parse, a quantity that is not above zero, or an id that occurs twice.
    pub fn parse(text: &str) -> Result<Self, CatalogueError> {
        let mut entries: Vec<CatalogueEntry> = Vec::new();
        for row in csv::Reader::from_reader(text.as_bytes()).deserialize() {
            let row: Row = row?;
            row.refuse_nonsense()?;
            if entries.iter().any(|entry| entry.id == row.id) {
                return Err(CatalogueError::DuplicateId { id: row.id });
            }
            entries.push(row.into());
        }
        Ok(Self { entries })
    }

    /// All entries.
    #[must_use]
    pub fn entries(&self) -> &[CatalogueEntry] {
        &self.entries
    }

    /// The entry of exactly this id.
    #[must_use]
    pub fn find(&self, id: &str) -> Option<&CatalogueEntry> {
        self.entries.iter().find(|entry| entry.id == id)
    }

    /// The entry that `id` is most likely a misspelling of, for messages only, or `None` if nothing comes near.
    #[must_use]
    pub fn nearest(&self, id: &str) -> Option<&CatalogueEntry> {
        let wanted = id.to_lowercase();
        self.entries
            .iter()
            .map(|entry| (strsim::jaro_winkler(&entry.id, &wanted), entry))
            .filter(|(similarity, _)| *similarity >= LEAST_SIMILARITY)
            .reduce(|best, next| if next.0 > best.0 { next } else { best })
            .map(|(_, entry)| entry)
    }
}

/// A row as it stands in the file, in the units of its columns.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    id: String,
    code: String,
    #[serde(rename = "type")]
    conductor_type: ConductorType,
    size: String,
    stranding: String,
    area_mm2: f64,
    diameter_mm: f64,
    mass_kg_per_m: f64,
    rated_strength_kn: Option<f64>,
    modulus_gpa: f64,
    expansion_per_degc: f64,
    dc_resistance_20degc_ohm_per_km: Option<f64>,
    dc_resistance_max_20degc_ohm_per_km: Option<f64>,
    ac_resistance_25degc_ohm_per_km: Option<f64>,
    ac_resistance_50degc_ohm_per_km: Option<f64>,
    ac_resistance_75degc_ohm_per_km: Option<f64>,
    source: String,
    tag: Provenance,
    modulus_source: String,
    modulus_tag: Provenance,
    expansion_source: String,
    expansion_tag: Provenance,
    core_area_mm2: Option<f64>,
    core_source: String,
    core_tag: Option<Provenance>,
    note: String,
}

impl Row {
    fn refuse_nonsense(&self) -> Result<(), CatalogueError> {
        let required = [
            ("area_mm2", self.area_mm2),
            ("diameter_mm", self.diameter_mm),
            ("mass_kg_per_m", self.mass_kg_per_m),
            ("modulus_gpa", self.modulus_gpa),
            ("expansion_per_degc", self.expansion_per_degc),
        ];
        let optional = [
            ("core_area_mm2", self.core_area_mm2),
            ("rated_strength_kn", self.rated_strength_kn),
            ("dc_resistance_20degc_ohm_per_km", self.dc_resistance_20degc_ohm_per_km),
            ("dc_resistance_max_20degc_ohm_per_km", self.dc_resistance_max_20degc_ohm_per_km),
            ("ac_resistance_25degc_ohm_per_km", self.ac_resistance_25degc_ohm_per_km),
            ("ac_resistance_50degc_ohm_per_km", self.ac_resistance_50degc_ohm_per_km),
            ("ac_resistance_75degc_ohm_per_km", self.ac_resistance_75degc_ohm_per_km),
        ];
        let present = optional.into_iter().filter_map(|(column, value)| Some((column, value?)));
        match required.into_iter().chain(present).find(|(_, value)| !is_positive(*value)) {
            None => Ok(()),
            Some((column, value)) => Err(CatalogueError::NotPositive { id: self.id.clone(), column, value }),
        }
    }
}

fn is_positive(value: f64) -> bool {
    value.is_finite() && value > 0.0
}

impl From<Row> for CatalogueEntry {
    fn from(row: Row) -> Self {
        let per_m = |per_km: Option<f64>| per_km.map(|value| value * 1e-3);
        Self {
            id: row.id,
            code: row.code,
            conductor_type: row.conductor_type,
            size: row.size,
            stranding: row.stranding,
            area_m2: row.area_mm2 * 1e-6,
            diameter_m: row.diameter_mm * 1e-3,
            mass_kg_per_m: row.mass_kg_per_m,
            rated_strength_n: row.rated_strength_kn.map(|value| value * 1e3),
            modulus_pa: row.modulus_gpa * 1e9,
            expansion_per_k: row.expansion_per_degc,
            dc_resistance_20degc_ohm_per_m: per_m(row.dc_resistance_20degc_ohm_per_km),
            dc_resistance_max_20degc_ohm_per_m: per_m(row.dc_resistance_max_20degc_ohm_per_km),
            ac_resistance_25degc_ohm_per_m: per_m(row.ac_resistance_25degc_ohm_per_km),
            ac_resistance_50degc_ohm_per_m: per_m(row.ac_resistance_50degc_ohm_per_km),
            ac_resistance_75degc_ohm_per_m: per_m(row.ac_resistance_75degc_ohm_per_km),
            citation: cite(row.source, row.tag),
            modulus_citation: cite(row.modulus_source, row.modulus_tag),
            expansion_citation: cite(row.expansion_source, row.expansion_tag),
            core_area_m2: row.core_area_mm2.map(|value| value * 1e-6),
            core_citation: row.core_tag.map(|tag| cite(row.core_source, tag)),
            note: row.note,
        }
    }
}

fn cite(source: String, provenance: Provenance) -> Citation {
    Citation { source, provenance }
}
