//! What is taken where nobody knows better, always on the side that makes a wire hotter.

/// Emissivity of a wire whose surface nobody has measured.
///
/// The standard's examples use 0.8 for an aged wire; emissivity grows from about 0.2 (new) to 0.9 (old, industrial air).
/// Common practice (CIGRE guidance on base temperatures, from memory) takes it 0.1 to 0.2 below the absorptivity, which is
/// the hot side: a wire that sheds less heat.
pub const EMISSIVITY: f64 = 0.7;

/// Absorptivity of a wire whose surface nobody has measured: 0.9, the blackest that IEEE Std 738 speaks of (from memory).
pub const ABSORPTIVITY: f64 = 0.9;

/// Wind speed where nobody knows the wind, m/s: 2 ft/s, the common base of static ratings. A calm is hotter still; for a
/// proof over "any weather" take a range that starts at 0.
pub const WIND_M_PER_S: f64 = 0.61;

/// Angle between wind and wire where nobody knows it, rad: across, as static ratings take it. For a proof over any
/// direction take the range from 0.
pub const WIND_ANGLE_RAD: f64 = std::f64::consts::FRAC_PI_2;

/// Coefficient of resistance of hard-drawn aluminium at 20 °C, 1/K (IEC 60889, from memory).
pub const ALUMINIUM_RESISTANCE_PER_K: f64 = 0.004_03;

/// Coefficient of resistance of copper at 20 °C, 1/K (IEC 60028: 0.00393 for annealed copper, from memory).
pub const COPPER_RESISTANCE_PER_K: f64 = 0.003_93;

/// Reflection of the ground (albedo) for measured irradiance: 0.2, grass and soil; the common value of solar practice.
pub const GROUND_REFLECTION: f64 = 0.2;
