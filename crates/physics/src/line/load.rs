//! Forces on a wire per unit of its unstretched length: weight, ice, wind.

use std::f64::consts::PI;

use super::Conductor;
use super::drag::DragLaw;
use crate::GRAVITY_M_PER_S2;

/// A uniform load in the plane across the span, N per metre of unstretched wire.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Downward part, N/m: weight of metal and ice. Positive.
    pub down_n_per_m: f64,
    /// Sideways part, N/m: wind; positive toward the span's left (see `Span::lateral`).
    pub lateral_n_per_m: f64,
}

impl Load {
    /// Magnitude, N/m.
    #[must_use]
    pub fn total_n_per_m(&self) -> f64 {
        (self.down_n_per_m * self.down_n_per_m + self.lateral_n_per_m * self.lateral_n_per_m).sqrt()
    }

    /// Angle of the load from straight down, rad; positive toward the span's left.
    #[must_use]
    pub fn swing_rad(&self) -> f64 {
        self.lateral_n_per_m.atan2(self.down_n_per_m)
    }
}

/// How air and ice load a given conductor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoadModel {
    diameter_m: f64,
    weight_n_per_m: f64,
    ice_density_kg_per_m3: f64,
    /// ½·ρ·C_d, with the greatest coefficient where it depends on the Reynolds number.
    pressure_factor_kg_per_m3: f64,
    law: Option<DragLaw>,
}

impl LoadModel {
    /// The model of one conductor in air of a density, with a drag coefficient, and ice of a density. A conductor whose
    /// surface is known takes its drag by Reynolds number instead; strings keep the coefficient.
    #[must_use]
    pub fn new(conductor: &Conductor, air_density_kg_per_m3: f64, drag: f64, ice_density_kg_per_m3: f64) -> Self {
        let p = conductor.properties();
        Self {
            diameter_m: p.diameter_m,
            weight_n_per_m: p.mass_kg_per_m * GRAVITY_M_PER_S2,
            ice_density_kg_per_m3,
            pressure_factor_kg_per_m3: 0.5 * air_density_kg_per_m3 * drag,
            law: conductor.surface().map(|surface| DragLaw::new(surface, air_density_kg_per_m3, drag)),
        }
    }

    /// The same for a wire that ice may cover: its drag by Reynolds number is then that of bare and iced wires together.
    #[must_use]
    pub fn with_ice(self, iced: bool) -> Self {
        Self { law: self.law.map(|law| law.with_ice(iced)), ..self }
    }

    /// Whether the drag depends on the Reynolds number.
    #[must_use]
    pub fn by_reynolds(&self) -> bool {
        self.law.is_some()
    }

    /// The drag coefficient at a speed as a multiple of the stated one.
    #[must_use]
    pub fn drag_share(&self, wind_m_per_s: f64, ice_m: f64) -> f64 {
        self.law.map_or(1.0, |law| law.share(wind_m_per_s, self.diameter_m + 2.0 * ice_m))
    }

    /// The load under a wind speed across the span (signed, m/s) and a radial ice thickness (m).
    #[must_use]
    pub fn load(&self, wind_m_per_s: f64, ice_m: f64) -> Load {
        Load { down_n_per_m: self.down_n_per_m(ice_m), lateral_n_per_m: self.lateral_n_per_m(wind_m_per_s, ice_m) }
    }

    /// Weight of metal and of an ice sleeve: w = m·g + ρᵢ·g·π·t·(d + t).
    #[must_use]
    pub fn down_n_per_m(&self, ice_m: f64) -> f64 {
        let ice_area_m2 = PI * ice_m * (self.diameter_m + ice_m);
        self.weight_n_per_m + self.ice_density_kg_per_m3 * GRAVITY_M_PER_S2 * ice_area_m2
    }

    /// Wind on the sleeve's width: p = ½·ρ·v·|v|·C_d·(d + 2t).
    #[must_use]
    pub fn lateral_n_per_m(&self, wind_m_per_s: f64, ice_m: f64) -> f64 {
        let push = self.pressure_factor_kg_per_m3 * wind_m_per_s * wind_m_per_s.abs() * (self.diameter_m + 2.0 * ice_m);
        push * self.drag_share(wind_m_per_s, ice_m)
    }

    /// Wind on the sleeve's width by two parts of the wind square to the wire, m/s: p = ½·ρ·C_d·(d + 2t)·|w|·w; C_d by |w|.
    #[must_use]
    pub fn push_n_per_m(&self, wind_m_per_s: [f64; 2], ice_m: f64) -> [f64; 2] {
        let speed_m_per_s = wind_m_per_s[0].hypot(wind_m_per_s[1]);
        let width_m = self.diameter_m + 2.0 * ice_m;
        let share = self.drag_share(speed_m_per_s, ice_m);
        wind_m_per_s.map(|part| self.pressure_factor_kg_per_m3 * part * speed_m_per_s * width_m * share)
    }

    /// ½·ρ·C_d with the stated coefficient, kg/m³.
    pub(super) fn pressure_factor_kg_per_m3(&self) -> f64 {
        self.pressure_factor_kg_per_m3
    }

    /// Wind force per metre and speed squared in slow wind: ½·ρ·C_d·(d + 2t), kg/m².
    #[must_use]
    pub fn slow_drag_kg_per_m2(&self, ice_m: f64) -> f64 {
        self.pressure_factor_kg_per_m3 * (self.diameter_m + 2.0 * ice_m) * self.drag_share(0.0, ice_m)
    }

    /// The same wire with every load multiplied by a factor.
    pub(super) fn scaled(&self, factor: f64) -> Self {
        Self {
            weight_n_per_m: factor * self.weight_n_per_m,
            ice_density_kg_per_m3: factor * self.ice_density_kg_per_m3,
            pressure_factor_kg_per_m3: factor * self.pressure_factor_kg_per_m3,
            ..*self
        }
    }

    /// Pressure with the stated coefficient: ½·ρ·C_d·v·|v|, Pa.
    #[must_use]
    pub fn pressure_pa(&self, wind_m_per_s: f64) -> f64 {
        self.pressure_factor_kg_per_m3 * wind_m_per_s * wind_m_per_s.abs()
    }

    /// The weight at an ice thickness, its slope there, and a bound on what it has beside them within `reach` of it.
    pub(super) fn down_spread(&self, ice_m: f64, reach: f64) -> (f64, f64, f64) {
        let factor = self.ice_density_kg_per_m3 * GRAVITY_M_PER_S2 * PI;
        (self.down_n_per_m(ice_m), factor * (self.diameter_m + 2.0 * ice_m), factor * reach * reach)
    }

    /// Radius of the wire with its ice, m.
    #[must_use]
    pub fn radius_m(&self, ice_m: f64) -> f64 {
        0.5 * self.diameter_m + ice_m
    }
}
