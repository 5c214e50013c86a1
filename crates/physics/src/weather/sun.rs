//! Where the sun stands and how much of it a wire takes up.
//!
//! Position by the algorithm of Reda and Andreas, *Solar position algorithm for solar radiation applications* (NREL
//! 2003), from a library; heat by IEEE Std 738-2012, equations 8, 9 and 16 to 19.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use solar_positioning::time::JulianDate;
use solar_positioning::{Location, SolarPosition, SolarPositions};
use thiserror::Error;

/// A place on the earth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Latitude, rad, north positive.
    pub latitude_rad: f64,
    /// Longitude, rad, east positive.
    pub longitude_rad: f64,
    /// Elevation above the sea, m.
    pub elevation_m: f64,
}

/// Where the sun stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SunPosition {
    /// Altitude over the horizon, rad, without refraction; negative at night.
    pub altitude_rad: f64,
    /// Azimuth, rad, clockwise from north, 0..2π.
    pub azimuth_rad: f64,
}

/// How clear the air is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Atmosphere {
    /// Clear: the hot side.
    Clear,
    /// Of an industrial area.
    Industrial,
}

/// What a weather station or a climate file says of the sun.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Irradiance {
    /// Direct beam on a plane that faces the sun, W/m².
    pub direct_normal_w_per_m2: f64,
    /// Diffuse light on a level plane, W/m².
    pub diffuse_w_per_m2: f64,
    /// Reflection of the ground (albedo), 0..1.
    pub ground_reflection: f64,
}

/// Why the sun's place cannot be told.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
pub enum SunError {
    /// No such place.
    #[error("{quantity} {value_deg} degrees is outside -{max_deg}..{max_deg}: check the place")]
    Place {
        /// Latitude or longitude.
        quantity: &'static str,
        /// Its value, degrees.
        value_deg: f64,
        /// Greatest allowed magnitude, degrees.
        max_deg: f64,
    },
    /// A time too far from ours for the algorithm.
    #[error("the time {unix_s} s from 1970 is outside the years -2000 to 6000, for which the sun's place is known")]
    Time {
        /// Seconds since 1970-01-01 00:00 UTC.
        unix_s: f64,
    },
}

/// Julian date of 1970-01-01 00:00 UTC.
const UNIX_EPOCH_JD: f64 = 2_440_587.5;
/// Terrestrial time less universal time, s: 69.2 in 2020 to 2026. An error of a minute turns the sun by less than 2e-5 rad.
const DELTA_T_S: f64 = 69.2;

impl SunPosition {
    /// The sun at a place and a time in seconds since 1970-01-01 00:00 UTC.
    ///
    /// # Errors
    /// When there is no such place or the time is outside the years -2000 to 6000.
    pub fn at(place: &Place, unix_s: f64) -> Result<Self, SunError> {
        check_angle("latitude", place.latitude_rad, FRAC_PI_2)?;
        check_angle("longitude", place.longitude_rad, PI)?;
        Self::by_library(place, unix_s).ok_or(SunError::Time { unix_s })
    }

    fn by_library(place: &Place, unix_s: f64) -> Option<Self> {
        if !(-1.3e11..=1.3e11).contains(&unix_s) {
            return None;
        }
        let time = JulianDate::new(UNIX_EPOCH_JD + unix_s / 86_400.0, DELTA_T_S).ok()?;
        // Turning π/2 into degrees may round beyond 90.
        let latitude = place.latitude_rad.to_degrees().clamp(-90.0, 90.0);
        let longitude = place.longitude_rad.to_degrees().clamp(-180.0, 180.0);
        let location = Location { latitude, longitude };
        let found = SolarPositions::new().at_from_julian(time, location, place.elevation_m, None).ok()?;
        Some(Self::from_library(&found))
    }

    fn from_library(found: &SolarPosition) -> Self {
        Self {
            altitude_rad: found.elevation_angle().to_radians(),
            azimuth_rad: found.azimuth().to_radians().rem_euclid(TAU),
        }
    }

    /// The sun by the standard's own formulas: a latitude (rad), the day of the year (1 to 366) and the local solar time
    /// (h, 12 at noon).
    ///
    /// δ = 23.46°·sin((284 + N)/365·360°), ω = 15°·(t − 12),
    /// sin H = cos φ·cos δ·cos ω + sin φ·sin δ, tan Z = sin ω/(sin φ·cos ω − cos φ·tan δ), Z from the south.
    #[must_use]
    pub fn by_solar_time(latitude_rad: f64, day_of_year: f64, solar_time_h: f64) -> Self {
        let declination = declination_rad(day_of_year);
        let hour_angle = (15.0 * (solar_time_h - 12.0)).to_radians();
        let (sin_latitude, cos_latitude) = latitude_rad.sin_cos();
        let sine = cos_latitude * declination.cos() * hour_angle.cos() + sin_latitude * declination.sin();
        let toward_south = sin_latitude * hour_angle.cos() - cos_latitude * declination.tan();
        let azimuth_rad = (PI + hour_angle.sin().atan2(toward_south)).rem_euclid(TAU);
        Self { altitude_rad: sine.clamp(-1.0, 1.0).asin(), azimuth_rad }
    }

    /// Whether the sun is up.
    #[must_use]
    pub fn is_up(&self) -> bool {
        self.altitude_rad > 0.0
    }

    /// Cosine of the angle between the sun and a level line of an azimuth (rad, clockwise from north):
    /// cos θ = cos H·cos(Z − Z_l).
    #[must_use]
    pub fn cosine_along(&self, line_azimuth_rad: f64) -> f64 {
        self.altitude_rad.cos() * (self.azimuth_rad - line_azimuth_rad).cos()
    }

    /// Sine of that angle: the share of the sun's beam that a wire's flank takes up.
    #[must_use]
    pub fn sine_across(&self, line_azimuth_rad: f64) -> f64 {
        let cosine = self.cosine_along(line_azimuth_rad);
        (1.0 - cosine * cosine).max(0.0).sqrt()
    }

    /// Solar gain of a wire by the standard, W/m: q_s = α·Q_se·sin θ·D; none at night.
    #[must_use]
    pub fn gain_w_per_m(
        &self,
        surface: &super::Surface,
        line_azimuth_rad: f64,
        atmosphere: Atmosphere,
        elevation_m: f64,
    ) -> f64 {
        let flux = atmosphere.flux_w_per_m2(self.altitude_rad, elevation_m);
        surface.absorptivity * flux * self.sine_across(line_azimuth_rad) * surface.diameter_m
    }

    /// The most that the gain can be for a wire of any direction, W/m.
    #[must_use]
    pub fn greatest_gain_w_per_m(&self, surface: &super::Surface, atmosphere: Atmosphere, elevation_m: f64) -> f64 {
        surface.absorptivity * atmosphere.flux_w_per_m2(self.altitude_rad, elevation_m) * surface.diameter_m
    }

    /// Solar gain from measured light, W/m, in the form of CIGRE Technical Brochure 601 (from memory):
    /// q_s = α·D·[B·(sin θ + π/2·F·sin H) + π/2·I_d·(1 + F)], B the direct beam, I_d the diffuse light, F the ground's
    /// reflection.
    #[must_use]
    pub fn gain_from_w_per_m(&self, surface: &super::Surface, line_azimuth_rad: f64, light: &Irradiance) -> f64 {
        let reflection = light.ground_reflection;
        let sine = self.altitude_rad.sin().max(0.0);
        let beam = if self.is_up() { light.direct_normal_w_per_m2 } else { 0.0 };
        let direct = beam * (self.sine_across(line_azimuth_rad) + FRAC_PI_2 * reflection * sine);
        let diffuse = FRAC_PI_2 * light.diffuse_w_per_m2 * (1.0 + reflection);
        surface.absorptivity * surface.diameter_m * (direct + diffuse)
    }
}

/// Declination of the sun on a day of the year, rad (IEEE Std 738-2012 equation 16b).
#[must_use]
pub fn declination_rad(day_of_year: f64) -> f64 {
    (23.46 * ((284.0 + day_of_year) / 365.0 * TAU).sin()).to_radians()
}

/// Coefficients of the heat flux by altitude in degrees, lowest power first (IEEE Std 738-2012 table 3, SI).
const CLEAR: [f64; 7] = [-42.2391, 63.8044, -1.9220, 3.469_21e-2, -3.611_18e-4, 1.943_18e-6, -4.076_08e-9];
const INDUSTRIAL: [f64; 7] = [53.1821, 14.2110, 6.6138e-1, -3.1658e-2, 5.4654e-4, -4.3446e-6, 1.3236e-8];

impl Atmosphere {
    /// Heat flux of the sun on a plane that faces it, at sea level, W/m²: none where the sun is down, and none where the
    /// clear sky's polynomial is negative (below 0.7 degrees).
    #[must_use]
    pub fn sea_level_flux_w_per_m2(&self, altitude_rad: f64) -> f64 {
        if altitude_rad <= 0.0 {
            return 0.0;
        }
        let coefficients = match self {
            Self::Clear => &CLEAR,
            Self::Industrial => &INDUSTRIAL,
        };
        let degrees = altitude_rad.to_degrees();
        coefficients.iter().rev().fold(0.0, |sum, c| sum * degrees + c).max(0.0)
    }

    /// The same at an elevation (m): Q_se = Q_s·(1 + 1.148·10⁻⁴·H − 1.108·10⁻⁸·H²).
    #[must_use]
    pub fn flux_w_per_m2(&self, altitude_rad: f64, elevation_m: f64) -> f64 {
        let thinner_air = 1.0 + 1.148e-4 * elevation_m - 1.108e-8 * elevation_m * elevation_m;
        self.sea_level_flux_w_per_m2(altitude_rad) * thinner_air
    }
}

fn check_angle(quantity: &'static str, angle_rad: f64, max_rad: f64) -> Result<(), SunError> {
    if angle_rad.abs() <= max_rad + 1e-12 {
        Ok(())
    } else {
        Err(SunError::Place { quantity, value_deg: angle_rad.to_degrees(), max_deg: max_rad.to_degrees() })
    }
}
