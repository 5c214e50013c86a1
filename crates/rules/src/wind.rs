//! What published sources say about the wind on loads and standing shells: drag by shape, and the sail that crane charts
//! take for granted. Data in `assets/rules/wind.json`; the formulas that use them are not here.

use serde::Deserialize;

use crate::words::Provenance;

/// A shape in the wind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Shape {
    /// A round shell.
    Cylinder,
    /// Flat sides.
    Box,
    /// Anything else.
    Unknown,
}

/// A drag coefficient with its source.
#[derive(Clone, Debug, PartialEq)]
pub struct DragRow {
    /// The shape.
    pub shape: Shape,
    /// The coefficient, on the area that the shape turns to the wind.
    pub drag: f64,
    /// How it came here.
    pub provenance: Provenance,
    /// Where it was read, or where it stands.
    pub source: String,
}

/// Everything about wind on loads.
#[derive(Clone, Debug, PartialEq)]
pub struct WindLoads {
    /// Area times drag for each tonne of load that crane charts take for granted, m²/t.
    pub sail_per_mass_m2_per_t: f64,
    /// Drag of a load that hangs.
    pub lifting: Vec<DragRow>,
    /// Drag of a shell that stands; sources disagree, so that a shape may have several.
    pub standing: Vec<DragRow>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    format: String,
    version: u32,
    sail_per_mass: RawSail,
    lifting: Vec<RawDrag>,
    standing: Vec<RawDrag>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawSail {
    value_m2_per_t: f64,
    provenance: String,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawDrag {
    shape: Shape,
    drag: f64,
    provenance: String,
    source: String,
}

impl WindLoads {
    /// The values delivered with the program.
    ///
    /// # Panics
    /// Never in a tested build: the embedded file does not depend on any input, and a test reads it.
    #[must_use]
    pub fn embedded() -> Self {
        let text = include_str!("../../../assets/rules/wind.json");
        read(text).unwrap_or_else(|problem| panic!("assets/rules/wind.json: {problem}"))
    }

    /// The drag of a hanging load: the largest that is printed for its shape.
    #[must_use]
    pub fn lifting_drag(&self, shape: Shape) -> Option<&DragRow> {
        of(&self.lifting, shape).max_by(|a, b| a.drag.total_cmp(&b.drag))
    }

    /// The smallest and the largest drag that is printed for a standing shape.
    #[must_use]
    pub fn standing_drags(&self, shape: Shape) -> Option<(&DragRow, &DragRow)> {
        let least = of(&self.standing, shape).min_by(|a, b| a.drag.total_cmp(&b.drag));
        least.zip(of(&self.standing, shape).max_by(|a, b| a.drag.total_cmp(&b.drag)))
    }
}

fn of(rows: &[DragRow], shape: Shape) -> impl Iterator<Item = &DragRow> {
    rows.iter().filter(move |row| row.shape == shape)
}

fn read(text: &str) -> Result<WindLoads, String> {
    let file: File = serde_json::from_str(text).map_err(|error| error.to_string())?;
    if (file.format.as_str(), file.version) != ("wideberth-wind-loads", 1) {
        return Err(format!("unknown format {} {}", file.format, file.version));
    }
    let RawSail { value_m2_per_t, provenance, source } = file.sail_per_mass;
    provenance_of(&provenance, &source)?;
    let rows = |raw: Vec<RawDrag>| raw.into_iter().map(row).collect::<Result<Vec<_>, String>>();
    Ok(WindLoads {
        sail_per_mass_m2_per_t: value_m2_per_t,
        lifting: rows(file.lifting)?,
        standing: rows(file.standing)?,
    })
}

fn row(raw: RawDrag) -> Result<DragRow, String> {
    let provenance = provenance_of(&raw.provenance, &raw.source)?;
    Ok(DragRow { shape: raw.shape, drag: raw.drag, provenance, source: raw.source })
}

fn provenance_of(words: &str, source: &str) -> Result<Provenance, String> {
    if source.is_empty() {
        return Err("a row names no source".into());
    }
    Provenance::from_words(words).ok_or_else(|| format!("\"{words}\" is no way in which a value came here"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_shape_has_its_drags() {
        let loads = WindLoads::embedded();
        for shape in [Shape::Cylinder, Shape::Box, Shape::Unknown] {
            assert!(loads.lifting_drag(shape).is_some_and(|row| row.drag > 0.0), "{shape:?}");
            assert!(loads.standing_drags(shape).is_some_and(|(a, b)| a.drag <= b.drag), "{shape:?}");
        }
        assert_eq!(loads.sail_per_mass_m2_per_t, 1.2);
    }
}
