//! Drag of a wire by Reynolds number. Table, envelope and proof: `docs/theory/drag.md`.

use crate::weather::air::viscosity_pa_s;

/// What the wind meets on a wire.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WireSurface {
    /// Any round wire: the greatest of the others.
    Any,
    /// A smooth cover or a single round wire.
    Smooth,
    /// More than seven wires.
    FineStrand,
    /// Seven wires.
    CoarseStrand,
}

impl WireSurface {
    /// Knots (Reynolds number, drag coefficient), straight between them and level outside: nowhere below EN 1993-3-1:2006,
    /// Table B.2.1 (from memory), and for smooth wires nowhere below DNV-RP-C205 (seen); never rising, while Re·C_d never falls.
    #[must_use]
    pub fn knots(self, iced: bool) -> &'static [(f64, f64)] {
        match (self, iced) {
            (Self::Any, false) => &[(4e4, 1.3), (5e4, 1.22), (2.4e5, 1.22), (4e5, 1.1)],
            (Self::Any, true) => &[(4e4, 1.3), (5e4, 1.25), (1e5, 1.25), (1.2e5, 1.22), (2.4e5, 1.22), (4e5, 1.1)],
            (Self::Smooth, false) => &[(2.4e5, 1.22), (9.4e5, 0.7)],
            (Self::Smooth, true) => &[(1e5, 1.25), (1.2e5, 1.22), (2.4e5, 1.22), (9.4e5, 0.7)],
            (Self::FineStrand, false) => &[(6e4, 1.2), (1e5, 0.9)],
            (Self::FineStrand, true) => &[(1e5, 1.25), (2e5, 1.0)],
            (Self::CoarseStrand, false) => &[(4e4, 1.3), (5e4, 1.1)],
            (Self::CoarseStrand, true) => &[(4e4, 1.3), (5e4, 1.25), (1e5, 1.25), (1.6e5, 1.1)],
        }
    }

    /// The drag coefficient at a Reynolds number.
    #[must_use]
    pub fn coefficient(self, iced: bool, reynolds: f64) -> f64 {
        let knots = self.knots(iced);
        let next = knots.partition_point(|(at, _)| *at < reynolds);
        match (next.checked_sub(1).and_then(|before| knots.get(before)), knots.get(next)) {
            (Some((from, high)), Some((to, low))) => high + (low - high) * (reynolds - from) / (to - from),
            (Some((_, level)), None) | (None, Some((_, level))) => *level,
            (None, None) => 0.0,
        }
    }

    /// The greatest drag coefficient: that of slow wind.
    #[must_use]
    pub fn greatest(self, iced: bool) -> f64 {
        self.coefficient(iced, 0.0)
    }
}

/// Hottest air whose viscosity counts, °C: thicker air keeps the Reynolds number low and the drag high.
const HOTTEST_AIR_DEGC: f64 = 60.0;

/// The drag of one wire in one air, as a multiple of a coefficient.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct DragLaw {
    surface: WireSurface,
    iced: bool,
    /// Re = this·v·D: density over viscosity, s/m².
    reynolds_per_m2_per_s: f64,
    coefficient: f64,
}

impl DragLaw {
    pub fn new(surface: WireSurface, air_density_kg_per_m3: f64, coefficient: f64) -> Self {
        let reynolds_per_m2_per_s = air_density_kg_per_m3 / viscosity_pa_s(HOTTEST_AIR_DEGC);
        Self { surface, iced: false, reynolds_per_m2_per_s, coefficient }
    }

    pub fn with_ice(self, iced: bool) -> Self {
        Self { iced, ..self }
    }

    /// C_d(ρ·|v|·D/µ) over the coefficient.
    pub fn share(&self, wind_m_per_s: f64, width_m: f64) -> f64 {
        let reynolds = self.reynolds_per_m2_per_s * wind_m_per_s.abs() * width_m;
        self.surface.coefficient(self.iced, reynolds) / self.coefficient
    }
}
