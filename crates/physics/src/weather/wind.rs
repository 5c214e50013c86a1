//! Wind at the height of a wire from the mean wind of a forecast: profile over the ground, gusts, share of a span.
//!
//! Source: EN 1991-1-4:2005, 4.3 to 4.5 and Table 4.1 (written from memory), with orography factor and turbulence factor 1.
//! A forecast's wind is the mean over 10 minutes at 10 m over open country, which is that standard's basic wind.

use thiserror::Error;

/// What covers the ground upwind, by the standard's terrain categories.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Terrain {
    /// Category 0: open sea or a coast facing it.
    Sea,
    /// Category I: lakes, flat country without obstacles.
    Flat,
    /// Category II: low plants, isolated trees and buildings.
    Open,
    /// Category III: villages, suburbs, forest.
    Suburb,
    /// Category IV: at least 15 % built over, on average above 15 m.
    Town,
}

/// The mean wind of a forecast over a terrain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeanWind {
    /// Mean over 10 minutes at 10 m over open country, m/s.
    pub basic_m_per_s: f64,
    /// What covers the ground upwind.
    pub terrain: Terrain,
}

/// Why there is no wind at a height.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[error("{quantity} {value} {unit} is outside {min}..{max} {unit}")]
pub struct WindError {
    /// Which quantity.
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

/// Height of the forecast's wind, m.
pub const FORECAST_HEIGHT_M: f64 = 10.0;
/// The standard's profile holds up to here, m.
const HIGHEST_M: f64 = 200.0;
/// Roughness length of open country, m.
const OPEN_ROUGHNESS_M: f64 = 0.05;
/// How many standard deviations the gust lies above the mean pressure, twice: the 7 of equation 4.8.
const PEAK: f64 = 7.0;

impl Terrain {
    /// Roughness length z₀, m (Table 4.1).
    #[must_use]
    pub fn roughness_m(self) -> f64 {
        match self {
            Self::Sea => 0.003,
            Self::Flat => 0.01,
            Self::Open => OPEN_ROUGHNESS_M,
            Self::Suburb => 0.3,
            Self::Town => 1.0,
        }
    }

    /// Height below which the wind is taken as there, m (Table 4.1).
    #[must_use]
    pub fn least_height_m(self) -> f64 {
        match self {
            Self::Sea | Self::Flat => 1.0,
            Self::Open => 2.0,
            Self::Suburb => 5.0,
            Self::Town => 10.0,
        }
    }

    /// Mean wind at a height over the basic wind: c_r = k_r·ln(z/z₀), k_r = 0.19·(z₀/0.05)^0.07 (equations 4.4, 4.5).
    ///
    /// Never falls with height.
    ///
    /// # Errors
    /// When the height is none that the profile holds for.
    pub fn roughness_factor(self, height_m: f64) -> Result<f64, WindError> {
        let factor = 0.19 * (self.roughness_m() / OPEN_ROUGHNESS_M).powf(0.07);
        Ok(factor * self.log_height(height_m)?)
    }

    /// Standard deviation of the wind over its mean: I_v = 1/ln(z/z₀) (equation 4.7).
    ///
    /// # Errors
    /// When the height is none that the profile holds for.
    pub fn turbulence_intensity(self, height_m: f64) -> Result<f64, WindError> {
        Ok(1.0 / self.log_height(height_m)?)
    }

    /// Gust over the basic wind: v_p = v_m·√(1 + 7·I_v), whose pressure is the peak pressure of equation 4.8.
    ///
    /// With k = ln(z/z₀) it is k_r·√(k² + 7k), which never falls with height.
    ///
    /// # Errors
    /// When the height is none that the profile holds for.
    pub fn gust_factor(self, height_m: f64) -> Result<f64, WindError> {
        let (mean, intensity) = (self.roughness_factor(height_m)?, self.turbulence_intensity(height_m)?);
        Ok(mean * (1.0 + PEAK * intensity).sqrt())
    }

    /// Length scale of the turbulence: L = 300 m·(z/200 m)^α, α = 0.67 + 0.05·ln z₀ (annex B.1).
    ///
    /// # Errors
    /// When the height is none that the profile holds for.
    pub fn gust_scale_m(self, height_m: f64) -> Result<f64, WindError> {
        within("height above ground", height_m, "m", 0.0, HIGHEST_M)?;
        let exponent = 0.67 + 0.05 * self.roughness_m().ln();
        Ok(300.0 * (height_m.max(self.least_height_m()) / 200.0).powf(exponent))
    }

    fn log_height(self, height_m: f64) -> Result<f64, WindError> {
        within("height above ground", height_m, "m", 0.0, HIGHEST_M)?;
        Ok((height_m.max(self.least_height_m()) / self.roughness_m()).ln())
    }
}

/// Share of the gust's pressure that a whole span feels: G = (1 + 6·I_v·B)/(1 + 7·I_v), B² = 1/(1 + 1.5·ℓ/L) (EN 50341-1:2012,
/// 4.4.1.2, from memory). The clearance takes 1 instead, which is the safe side.
///
/// # Errors
/// When the height is none that the profile holds for, or the span is not of 0 to 5,000 m.
pub fn span_factor(terrain: Terrain, height_m: f64, span_m: f64) -> Result<f64, WindError> {
    within("span", span_m, "m", 0.0, 5000.0)?;
    let (intensity, scale_m) = (terrain.turbulence_intensity(height_m)?, terrain.gust_scale_m(height_m)?);
    let share = (1.0 + 1.5 * span_m / scale_m).sqrt().recip();
    Ok((1.0 + 6.0 * intensity * share) / (1.0 + PEAK * intensity))
}

impl MeanWind {
    /// Speed of the gusts at a height above ground, m/s.
    ///
    /// # Errors
    /// When speed or height are none that the profile holds for.
    pub fn gust_m_per_s(&self, height_m: f64) -> Result<f64, WindError> {
        within("mean wind", self.basic_m_per_s, "m/s", 0.0, 60.0)?;
        Ok(self.basic_m_per_s * self.terrain.gust_factor(height_m)?)
    }

    /// Mean speed at a height above ground, m/s.
    ///
    /// # Errors
    /// When speed or height are none that the profile holds for.
    pub fn mean_m_per_s(&self, height_m: f64) -> Result<f64, WindError> {
        within("mean wind", self.basic_m_per_s, "m/s", 0.0, 60.0)?;
        Ok(self.basic_m_per_s * self.terrain.roughness_factor(height_m)?)
    }
}

/// How far a free hanging load leans in a steady wind, rad: tan θ = ½·ρ·C_d·A·v²/(m·g).
///
/// The load hangs on a rope without weight and turns all its sail to the wind.
#[must_use]
pub fn hanging_lean_rad(sail: &Sail, wind_m_per_s: f64, air_density_kg_per_m3: f64) -> f64 {
    let push_n = 0.5 * air_density_kg_per_m3 * sail.drag * sail.area_m2 * wind_m_per_s * wind_m_per_s;
    push_n.atan2(sail.mass_kg * crate::GRAVITY_M_PER_S2)
}

/// What a hanging load turns to the wind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sail {
    /// Greatest area across the wind, m².
    pub area_m2: f64,
    /// Drag coefficient.
    pub drag: f64,
    /// Mass with its rigging, kg.
    pub mass_kg: f64,
}

fn within(quantity: &'static str, value: f64, unit: &'static str, min: f64, max: f64) -> Result<(), WindError> {
    if (min..=max).contains(&value) { Ok(()) } else { Err(WindError { quantity, value, unit, min, max }) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const ALL: [Terrain; 5] = [Terrain::Sea, Terrain::Flat, Terrain::Open, Terrain::Suburb, Terrain::Town];

    /// Exposure factors c_e(z) read from EN 1991-1-4:2005, Figure 4.2 (from memory, to the width of its lines).
    #[test]
    fn gust_pressure_is_the_exposure_factor_of_the_standard() {
        let printed = [
            (Terrain::Open, 10.0, 2.35),
            (Terrain::Suburb, 10.0, 1.7),
            (Terrain::Town, 10.0, 1.2),
            (Terrain::Flat, 10.0, 2.8),
            (Terrain::Open, 20.0, 2.8),
        ];
        for (terrain, height_m, exposure) in printed {
            let factor = terrain.gust_factor(height_m).expect("a height of the profile");
            assert_relative_eq!(factor * factor, exposure, epsilon = 0.05);
        }
    }

    /// The mean wind of a forecast at its own height over open country is itself: k_r·ln(10/0.05) = 1.0067.
    #[test]
    fn open_country_at_ten_metres_is_the_reference() {
        let factor = Terrain::Open.roughness_factor(FORECAST_HEIGHT_M).expect("a height of the profile");
        assert_relative_eq!(factor, 1.0067, epsilon = 1e-4);
    }

    #[test]
    fn gusts_never_fall_with_height_and_exceed_the_mean() {
        for terrain in ALL {
            let wind = MeanWind { basic_m_per_s: 8.0, terrain };
            let speeds: Vec<f64> = (0..=200).map(|z| wind.gust_m_per_s(f64::from(z)).expect("in range")).collect();
            assert!(speeds.windows(2).all(|pair| pair[1] >= pair[0]), "{terrain:?}");
            let (gust, mean) = (wind.gust_m_per_s(12.0), wind.mean_m_per_s(12.0));
            assert!(gust.expect("in range") > mean.expect("in range"));
        }
    }

    #[test]
    fn refuses_what_the_profile_does_not_hold_for() {
        assert!(Terrain::Open.gust_factor(-1.0).is_err());
        assert!(Terrain::Open.gust_factor(201.0).is_err());
        assert!(Terrain::Open.gust_factor(f64::NAN).is_err());
        assert!(MeanWind { basic_m_per_s: 61.0, terrain: Terrain::Open }.gust_m_per_s(10.0).is_err());
        assert!(MeanWind { basic_m_per_s: -1.0, terrain: Terrain::Open }.gust_m_per_s(10.0).is_err());
    }

    /// A long span feels less of a gust; at the height of its mean wind the scale of open country is 300 m at 200 m.
    #[test]
    fn long_spans_feel_a_smaller_share() {
        let factor = |span_m| span_factor(Terrain::Open, 10.0, span_m).expect("in range");
        assert!(factor(0.0) < 1.0 && factor(300.0) < factor(100.0) && factor(5000.0) > 0.4);
        // By hand: I = 1/ln 200 = 0.18874, L = 300·(0.05)^0.52021 = 63.14 m, B = 0.35078 at 300 m.
        assert_relative_eq!(factor(300.0), (1.0 + 6.0 * 0.18874 * 0.35078) / (1.0 + 7.0 * 0.18874), epsilon = 1e-4);
        assert_relative_eq!(Terrain::Open.gust_scale_m(200.0).expect("in range"), 300.0);
        assert!(span_factor(Terrain::Open, 10.0, -1.0).is_err());
    }

    /// An empty bin shell of 4.3 m by 7.5 m and 2 t leans 4.6 degrees at 9 m/s with the drag of a cylinder, the upper end of
    /// what such shells are reckoned to do (computed for orientation, not published).
    #[test]
    fn an_empty_shell_leans_as_reckoned() {
        let shell = Sail { area_m2: 4.3 * 7.5, drag: 1.0, mass_kg: 2000.0 };
        assert_relative_eq!(hanging_lean_rad(&shell, 9.0, 1.225).to_degrees(), 4.6, epsilon = 0.1);
        assert_relative_eq!(hanging_lean_rad(&shell, 0.0, 1.225), 0.0);
    }
}
