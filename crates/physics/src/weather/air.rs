//! Properties of the air film around a warm wire.
//!
//! Source: IEEE Std 738-2012, equations 13 to 15 (SI form). The film temperature is the mean of wire and air.

/// Zero of the Celsius scale as the standard rounds it, K.
pub(crate) const ZERO_DEGC_K: f64 = 273.0;

/// Density of air, kg/m³, at a film temperature (°C) and an elevation (m).
///
/// ρ = (1.293 − 1.525·10⁻⁴·H + 6.379·10⁻⁹·H²)/(1 + 0.00367·T).
#[must_use]
pub fn density_kg_per_m3(film_degc: f64, elevation_m: f64) -> f64 {
    density_at_zero_degc_kg_per_m3(elevation_m) / (1.0 + EXPANSION_PER_K * film_degc)
}

/// Density of air at 0 °C and an elevation (m), kg/m³: the numerator of [`density_kg_per_m3`].
#[must_use]
pub fn density_at_zero_degc_kg_per_m3(elevation_m: f64) -> f64 {
    1.293 - 1.525e-4 * elevation_m + 6.379e-9 * elevation_m * elevation_m
}

/// Dynamic viscosity of air, Pa·s (kg/(m·s)), at a film temperature (°C): µ = 1.458·10⁻⁶·(T + 273)^1.5/(T + 383.4).
#[must_use]
pub fn viscosity_pa_s(film_degc: f64) -> f64 {
    let kelvin = film_degc + ZERO_DEGC_K;
    1.458e-6 * kelvin * kelvin.sqrt() / (film_degc + VISCOSITY_OFFSET_K)
}

/// Thermal conductivity of air, W/(m·K), at a film temperature (°C): k = 2.424·10⁻² + 7.477·10⁻⁵·T − 4.407·10⁻⁹·T².
#[must_use]
pub fn conductivity_w_per_mk(film_degc: f64) -> f64 {
    2.424e-2 + 7.477e-5 * film_degc - 4.407e-9 * film_degc * film_degc
}

/// Relative change of density by film temperature, 1/K: d(ln ρ)/dT.
pub(crate) fn density_rate_per_k(film_degc: f64) -> f64 {
    -EXPANSION_PER_K / (1.0 + EXPANSION_PER_K * film_degc)
}

/// Relative change of viscosity by film temperature, 1/K: d(ln µ)/dT.
pub(crate) fn viscosity_rate_per_k(film_degc: f64) -> f64 {
    1.5 / (film_degc + ZERO_DEGC_K) - 1.0 / (film_degc + VISCOSITY_OFFSET_K)
}

/// Change of conductivity by film temperature, W/(m·K²): dk/dT.
pub(crate) fn conductivity_rate(film_degc: f64) -> f64 {
    7.477e-5 - 8.814e-9 * film_degc
}

const EXPANSION_PER_K: f64 = 0.003_67;
const VISCOSITY_OFFSET_K: f64 = 383.4;
