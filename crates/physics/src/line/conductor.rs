//! What a wire is made of, as far as sag and swing depend on it.

use thiserror::Error;

use super::{Core, WireSurface};

/// Properties of a bare conductor, as a catalogue states them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ConductorProperties {
    /// Outside diameter, m.
    pub diameter_m: f64,
    /// Mass per unit unstretched length, kg/m.
    pub mass_kg_per_m: f64,
    /// Axial stiffness E·A, N: final modulus times total metal area.
    pub axial_stiffness_n: f64,
    /// Coefficient of linear thermal expansion, 1/K.
    pub expansion_per_k: f64,
    /// Rated tensile strength, N, where known.
    pub rated_strength_n: Option<f64>,
}

/// A conductor whose properties have been found possible.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conductor {
    properties: ConductorProperties,
    core: Option<Core>,
    surface: Option<WireSurface>,
}

/// Why properties cannot be those of a conductor.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[error("{quantity} {value} {unit} is outside {min}..{max} {unit}: check the number and its unit")]
pub struct ConductorError {
    /// Which property.
    pub quantity: &'static str,
    /// Its value.
    pub value: f64,
    /// Its unit.
    pub unit: &'static str,
    /// Least allowed value.
    pub min: f64,
    /// Greatest allowed value.
    pub max: f64,
}

impl Conductor {
    /// A conductor with these properties.
    ///
    /// # Errors
    /// When a property is not finite or outside the range that any overhead wire has.
    pub fn new(p: ConductorProperties) -> Result<Self, ConductorError> {
        within("diameter", p.diameter_m, "m", 0.001, 0.1)?;
        within("mass", p.mass_kg_per_m, "kg/m", 0.005, 20.0)?;
        within("axial stiffness", p.axial_stiffness_n, "N", 1e4, 1e9)?;
        within("thermal expansion", p.expansion_per_k, "1/K", 1e-6, 5e-5)?;
        if let Some(strength_n) = p.rated_strength_n {
            within("rated strength", strength_n, "N", 100.0, 2e6)?;
        }
        Ok(Self::unchecked(p))
    }

    pub(super) fn unchecked(properties: ConductorProperties) -> Self {
        Self { properties, core: None, surface: None }
    }

    /// The same conductor with a core that carries alone once the wires around it are slack. Without this the conductor
    /// is taken as of one piece, which hangs lower in the heat.
    ///
    /// # Errors
    /// When the core is stiffer than nine tenths of the conductor, expands more than it does, or no core is so.
    pub fn with_core(self, core: Core) -> Result<Self, ConductorError> {
        core.check(self.properties.axial_stiffness_n, self.properties.expansion_per_k)?;
        Ok(Self { core: Some(core), ..self })
    }

    /// The same conductor with the drag of its surface by Reynolds number instead of a coefficient.
    #[must_use]
    pub fn with_surface(self, surface: WireSurface) -> Self {
        Self { surface: Some(surface), ..self }
    }

    /// What the wind meets, where drag goes by Reynolds number.
    #[must_use]
    pub fn surface(&self) -> Option<WireSurface> {
        self.surface
    }

    /// The properties.
    #[must_use]
    pub fn properties(&self) -> &ConductorProperties {
        &self.properties
    }

    /// Its core, where it is known.
    #[must_use]
    pub fn core(&self) -> Option<&Core> {
        self.core.as_ref()
    }
}

pub(super) fn within(
    quantity: &'static str,
    value: f64,
    unit: &'static str,
    min: f64,
    max: f64,
) -> Result<(), ConductorError> {
    if (min..=max).contains(&value) { Ok(()) } else { Err(ConductorError { quantity, value, unit, min, max }) }
}
