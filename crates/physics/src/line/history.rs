//! What the heaviest load of its life has done to a wire: from the initial to the final state.
//!
//! A new wire stretches along a softer line, here straight: E_i·A. When the load goes, it shortens along the final one, E·A,
//! and keeps the difference. `docs/theory/bimetal.md`, section 5.

use super::conductor::within;
use super::{Catenary, CatenaryError, Conductor, ConductorError, LoadModel, Span};
use crate::GRAVITY_M_PER_S2;

/// A load that a wire has borne.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeaviestLoad {
    /// Temperature of the wire then, °C.
    pub temperature_degc: f64,
    /// Wind across the span, m/s.
    pub wind_m_per_s: f64,
    /// Radial ice, m.
    pub ice_m: f64,
}

/// A new wire between two dead ends, as it was strung: bare, in still air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NewWire {
    conductor: Conductor,
    initial_stiffness_n: f64,
    load: LoadModel,
}

impl NewWire {
    /// A new wire with its initial axial stiffness (N) and how it is loaded.
    ///
    /// # Errors
    /// When the initial stiffness is above the final one or below a fifth of it.
    pub fn new(conductor: Conductor, initial_stiffness_n: f64, load: LoadModel) -> Result<Self, ConductorError> {
        let final_n = conductor.properties().axial_stiffness_n;
        within("initial axial stiffness", initial_stiffness_n, "N", 0.2 * final_n, final_n)?;
        Ok(Self { conductor, initial_stiffness_n, load })
    }

    /// The wire under a load, still on its initial line, after it was strung to a horizontal tension (N) at a
    /// temperature (°C).
    ///
    /// # Errors
    /// When it has no shape then.
    pub fn under(
        &self,
        span: &Span,
        strung_n: f64,
        strung_degc: f64,
        load: &HeaviestLoad,
    ) -> Result<(Catenary, f64), CatenaryError> {
        let p = self.conductor.properties();
        let weight_n_per_m = p.mass_kg_per_m * GRAVITY_M_PER_S2;
        let chord = span.chord_in_plane(0.0);
        let strung = Catenary::with_tension(chord, strung_n, weight_n_per_m, self.initial_stiffness_n)?;
        let expansion = 1.0 + p.expansion_per_k * (load.temperature_degc - strung_degc);
        let loaded = self.load.load(load.wind_m_per_s, load.ice_m);
        let chord = span.chord_in_plane(loaded.swing_rad());
        let unstretched_m = strung.unstretched_m() * expansion;
        let load_n_per_m = loaded.total_n_per_m();
        let shape = Catenary::with_length(chord, unstretched_m, load_n_per_m, self.initial_stiffness_n)?;
        Ok((shape, shape.constant_m() * load_n_per_m))
    }

    /// Permanent strain that the heaviest load has left, counted from the state in which the wire was strung:
    ///
    /// 1 + ε = (1 + H/E_iA)/(1 + H/EA) · (1 + H₁/EA)/(1 + H₁/E_iA), H the greatest horizontal tension, H₁ that at stringing;
    /// none where the load pulled less than the stringing.
    ///
    /// # Errors
    /// When the wire has no shape in one of the states.
    pub fn permanent_strain(
        &self,
        span: &Span,
        strung_n: f64,
        strung_degc: f64,
        heaviest: &HeaviestLoad,
    ) -> Result<f64, CatenaryError> {
        let (_, greatest_n) = self.under(span, strung_n, strung_degc, heaviest)?;
        let final_n = self.conductor.properties().axial_stiffness_n;
        let set = |tension_n: f64| (1.0 + tension_n / self.initial_stiffness_n) / (1.0 + tension_n / final_n);
        Ok((set(greatest_n) / set(strung_n) - 1.0).max(0.0))
    }
}
