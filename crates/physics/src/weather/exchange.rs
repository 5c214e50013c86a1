//! What one wire gives to one air: convection and radiation, with their rates by temperature.

use super::air::{
    ZERO_DEGC_K, conductivity_rate, conductivity_w_per_mk, density_at_zero_degc_kg_per_m3, density_kg_per_m3,
    density_rate_per_k, viscosity_pa_s, viscosity_rate_per_k,
};
use super::{Air, Surface};

/// Heat that a wire loses, W/m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Losses {
    /// By convection, each formula.
    pub convection: Convection,
    /// By radiation.
    pub radiation_w_per_m: f64,
}

impl Losses {
    /// All of it, W/m.
    #[must_use]
    pub fn total_w_per_m(&self) -> f64 {
        self.convection.greatest_w_per_m() + self.radiation_w_per_m
    }
}

/// Convection by the three formulas of the standard, of which the greatest counts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Convection {
    /// Reynolds number of the wind.
    pub reynolds: f64,
    /// Forced, for low wind speeds (equation 3a), W/m.
    pub slow_w_per_m: f64,
    /// Forced, for high wind speeds (equation 3b), W/m.
    pub fast_w_per_m: f64,
    /// Natural, in still air (equation 5), W/m.
    pub natural_w_per_m: f64,
}

impl Convection {
    /// The greatest of the three, W/m.
    #[must_use]
    pub fn greatest_w_per_m(&self) -> f64 {
        self.slow_w_per_m.max(self.fast_w_per_m).max(self.natural_w_per_m)
    }
}

/// A wire in an air, with everything worked out that does not depend on the wire's temperature.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Exchange {
    ambient_degc: f64,
    ambient_k4: f64,
    density_at_zero: f64,
    reynolds_factor: f64,
    angle_factor: f64,
    natural_factor: f64,
    radiation_factor: f64,
}

/// Film temperature and what follows from it.
struct Film {
    rise_k: f64,
    conductivity: f64,
    reynolds: f64,
    log_reynolds: f64,
    root_density: f64,
    degc: f64,
}

impl Exchange {
    pub fn new(surface: &Surface, elevation_m: f64, air: &Air) -> Self {
        let density_at_zero = density_at_zero_degc_kg_per_m3(elevation_m);
        Self {
            ambient_degc: air.ambient_degc,
            ambient_k4: fourth_power(air.ambient_degc + ZERO_DEGC_K),
            density_at_zero,
            reynolds_factor: surface.diameter_m * air.wind_m_per_s * density_at_zero,
            angle_factor: angle_factor(air.wind_angle_rad),
            natural_factor: 3.645 * surface.diameter_m.powf(0.75),
            radiation_factor: 17.8e-8 * surface.diameter_m * surface.emissivity,
        }
    }

    fn film(&self, temperature_degc: f64) -> Film {
        let degc = 0.5 * (temperature_degc + self.ambient_degc);
        let thinning = density_kg_per_m3(degc, 0.0) / density_at_zero_degc_kg_per_m3(0.0);
        let reynolds = self.reynolds_factor * thinning / viscosity_pa_s(degc);
        Film {
            rise_k: temperature_degc - self.ambient_degc,
            conductivity: conductivity_w_per_mk(degc),
            reynolds,
            log_reynolds: reynolds.ln(),
            root_density: (self.density_at_zero * thinning).sqrt(),
            degc,
        }
    }

    /// Every term at a wire temperature that is not below the air's.
    ///
    /// q_c1 = K·(1.01 + 1.35·Re^0.52)·k·ΔT, q_c2 = 0.754·K·Re^0.6·k·ΔT, q_cn = 3.645·ρ^0.5·D^0.75·ΔT^1.25,
    /// q_r = 17.8·D·ε·[((T + 273)/100)⁴ − ((T_a + 273)/100)⁴].
    pub fn losses(&self, temperature_degc: f64) -> Losses {
        let film = self.film(temperature_degc);
        let (slow, fast) = self.forced_per_k(&film);
        let convection = Convection {
            reynolds: film.reynolds,
            slow_w_per_m: slow * film.rise_k,
            fast_w_per_m: fast * film.rise_k,
            natural_w_per_m: self.natural_per_k(&film) * film.rise_k,
        };
        let radiation_w_per_m =
            self.radiation_factor * (fourth_power(temperature_degc + ZERO_DEGC_K) - self.ambient_k4);
        Losses { convection, radiation_w_per_m }
    }

    /// Total loss (W/m) and its rate by the wire's temperature, W/(m·K).
    pub fn loss_with_rate(&self, temperature_degc: f64) -> (f64, f64) {
        let film = self.film(temperature_degc);
        let (convection, rate) = self.convection_with_rate(&film);
        let kelvin = temperature_degc + ZERO_DEGC_K;
        let radiation = self.radiation_factor * (fourth_power(kelvin) - self.ambient_k4);
        let radiation_rate = 4.0 * self.radiation_factor * kelvin * kelvin * kelvin;
        (convection + radiation, rate + radiation_rate)
    }

    /// The greatest of the three formulas: q = h·ΔT with dq/dT = h + ΔT·h·½·d(ln h)/dT_film.
    fn convection_with_rate(&self, film: &Film) -> (f64, f64) {
        let (slow, fast) = self.forced_per_k(film);
        let natural = self.natural_per_k(film);
        let half_rise = 0.5 * film.rise_k;
        let thinning = density_rate_per_k(film.degc);
        if natural >= slow && natural >= fast {
            return (natural * film.rise_k, natural * (1.25 + half_rise * 0.5 * thinning));
        }
        let by_conductivity = conductivity_rate(film.degc) / film.conductivity;
        let by_reynolds = thinning - viscosity_rate_per_k(film.degc);
        let (h, power) = if fast >= slow {
            (fast, 0.6)
        } else {
            (slow, 0.52 * (1.0 - 1.01 * self.angle_factor * film.conductivity / slow))
        };
        (h * film.rise_k, h * (1.0 + half_rise * (by_conductivity + power * by_reynolds)))
    }

    /// Both forced formulas per kelvin, W/(m·K).
    fn forced_per_k(&self, film: &Film) -> (f64, f64) {
        let factor = self.angle_factor * film.conductivity;
        let slow = factor * (1.01 + 1.35 * (0.52 * film.log_reynolds).exp());
        (slow, factor * 0.754 * (0.6 * film.log_reynolds).exp())
    }

    /// Natural convection per kelvin, W/(m·K); a wire colder than the air takes up heat as a hotter one sheds it.
    fn natural_per_k(&self, film: &Film) -> f64 {
        self.natural_factor * film.root_density * film.rise_k.abs().sqrt().sqrt()
    }
}

/// K = 1.194 − cos φ + 0.194·cos 2φ + 0.368·sin 2φ for the angle φ between wind and wire (equation 4a): 0.388 along the wire,
/// 1 across it, rising between. Any angle is folded into 0..π/2 first.
pub(crate) fn angle_factor(wind_angle_rad: f64) -> f64 {
    let angle = folded_rad(wind_angle_rad);
    1.194 - angle.cos() + 0.194 * (2.0 * angle).cos() + 0.368 * (2.0 * angle).sin()
}

/// The acute angle between two lines of directions that differ by `angle_rad`.
pub(crate) fn folded_rad(angle_rad: f64) -> f64 {
    let turn = angle_rad.rem_euclid(std::f64::consts::PI);
    turn.min(std::f64::consts::PI - turn)
}

fn fourth_power(x: f64) -> f64 {
    let square = x * x;
    square * square
}
