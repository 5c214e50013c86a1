//! What heats the wires of a line: surface, resistance and current.

use std::f64::consts::FRAC_PI_2;

use wideberth_physics::interval::Interval;
use wideberth_physics::weather::defaults::{
    ABSORPTIVITY, ALUMINIUM_RESISTANCE_PER_K, COPPER_RESISTANCE_PER_K, EMISSIVITY,
};
use wideberth_physics::weather::{Air, HeatBalance, HeatCapacity, HeatError, Resistance, Surface};

use crate::catalogue::{CatalogueEntry, ConductorType};
use crate::code::Code;
use crate::defaults::{Defaults, RATED_TEMPERATURE_DEGC};
use crate::heating::{Heating, SHELTERED_WIND_M_PER_S};
use crate::here::Here;
use crate::problem::Problems;
use crate::raw::{RawConductor, RawLine, RawLineLoad};

/// Resistivity of hard-drawn aluminium at 20 °C, Ω·m (IEC 60889, from memory).
const ALUMINIUM_OHM_M: f64 = 2.826e-8;
/// Alternating over direct current, for tables that print only the latter: the steel core of one layer of aluminium is the worst
/// case (common practice, from memory).
const AC_OVER_DC: f64 = 1.1;
/// Specific heat of aluminium, J/(kg·K), the largest of the metals in wires (IEEE Std 738-2012, from memory).
const MOST_J_PER_KGK: f64 = 955.0;
/// Least share of aluminium in the metal of a wire whose resistance nobody prints; steel carries next to nothing.
const LEAST_ALUMINIUM: f64 = 0.7;
/// Weather that ratings are made for: air, °C, and sun, W/m² (common practice).
const RATING_AIR_DEGC: f64 = 40.0;
const RATING_SUN_W_PER_M2: f64 = 1000.0;

/// The part of a conductor that counts for heat.
#[derive(Clone, Copy, Debug)]
pub(super) struct Metal {
    pub diameter_m: f64,
    pub mass_kg_per_m: f64,
    /// Resistance, and whether it was estimated from the area.
    pub resistance: Result<Resistance, HeatError>,
    pub estimated: bool,
}

impl Metal {
    pub fn of_entry(entry: &CatalogueEntry) -> Self {
        let copper = matches!(entry.conductor_type, ConductorType::Copper | ConductorType::CopperCoveredSteel);
        let coefficient_per_k = if copper { COPPER_RESISTANCE_PER_K } else { ALUMINIUM_RESISTANCE_PER_K };
        let pair = entry.ac_resistance_25degc_ohm_per_m.zip(entry.ac_resistance_75degc_ohm_per_m);
        let direct = entry.dc_resistance_max_20degc_ohm_per_m.or(entry.dc_resistance_20degc_ohm_per_m);
        let at_20 = direct.map(|ohm_per_m| ohm_per_m * AC_OVER_DC);
        let through = pair.and_then(|(cool, warm)| Resistance::through((25.0, cool), (75.0, warm)).ok());
        let estimate = || by_area(entry.area_m2, coefficient_per_k);
        let stated = at_20.map(|ohm_per_m| Resistance::new(ohm_per_m, coefficient_per_k));
        Self {
            diameter_m: entry.diameter_m,
            mass_kg_per_m: entry.mass_kg_per_m,
            estimated: through.is_none() && stated.is_none(),
            resistance: through.map(Ok).or(stated).unwrap_or_else(estimate),
        }
    }

    pub fn of_own(own: &RawConductor) -> Self {
        let stated = own.resistance.as_ref().map(|r| Resistance::new(r.si, ALUMINIUM_RESISTANCE_PER_K));
        Self {
            diameter_m: own.diameter.si,
            mass_kg_per_m: own.mass.si,
            estimated: stated.is_none(),
            resistance: stated.unwrap_or_else(|| by_area(own.area.si, ALUMINIUM_RESISTANCE_PER_K)),
        }
    }
}

/// The most that the resistance of a wire with an area of metal (m²) may be.
fn by_area(area_m2: f64, coefficient_per_k: f64) -> Result<Resistance, HeatError> {
    Resistance::new(AC_OVER_DC * ALUMINIUM_OHM_M / (LEAST_ALUMINIUM * area_m2), coefficient_per_k)
}

/// What heats a wire of this metal on a line. Of an unknown wire the resistance may be estimated: high for the hot end, while the cold end
/// takes no current.
pub(super) fn lower(
    line: &RawLine,
    metal: &Metal,
    unknown: bool,
    elevation_m: f64,
    here: &Here<'_>,
    defaults: &mut Defaults,
) -> Result<Heating, Problems> {
    let surface = line.surface.clone().unwrap_or_default();
    let mut number = |given: Option<f64>, key: &str, default: f64, words: &str| {
        given.unwrap_or_else(|| {
            defaults.note(&here.key("surface").key(key), &default.to_string(), words);
            default
        })
    };
    let emissivity =
        number(surface.emissivity.map(|n| n.value), "emissivity", EMISSIVITY, "how well the wires radiate heat");
    let words = "share of the sunshine that the wires take up: old and black, the hot side";
    let absorptivity = number(surface.absorptivity.map(|n| n.value), "absorptivity", ABSORPTIVITY, words);
    let load_here = here.key("load");
    if metal.estimated
        && !unknown
        && line.load.as_ref().is_some_and(|load| load.current.is_some() || load.rated_current.is_some())
    {
        let message = "a current is given, but the resistance of the conductor is not known";
        let help =
            "give the conductor's own data with \"resistance\", another row of the catalogue, or \"rated_temperature\"";
        return Err(load_here.problem(Code::HeatBalance, message, help).into());
    }
    let refused = |error: HeatError| -> Problems {
        load_here.problem(Code::HeatBalance, error.to_string(), "check the load and the conductor").into()
    };
    let resistance = metal.resistance.map_err(refused)?;
    let surface = Surface { diameter_m: metal.diameter_m, emissivity, absorptivity, resistance };
    let balance = HeatBalance::new(surface).map_err(refused)?;
    let capacity = HeatCapacity::new(MOST_J_PER_KGK * metal.mass_kg_per_m).map_err(refused)?;
    if line.load.is_none() {
        let words =
            "the wires may carry what heats them to this in air of 40 degC, wind of 0.61 m/s across and full sun";
        defaults.note(&load_here.key("rated_temperature"), "100 degC", words);
    }
    let mut current_a = current(line.load.as_ref(), &balance, elevation_m, &load_here)?;
    if metal.estimated {
        current_a = super::climate::ordered(0.0, current_a.high(), &load_here)?;
    }
    Ok(Heating { balance, capacity, current_a, elevation_m })
}

/// The range of the current, A.
fn current(
    load: Option<&RawLineLoad>,
    balance: &HeatBalance,
    elevation_m: f64,
    here: &Here<'_>,
) -> Result<Interval, Problems> {
    if let Some(current) = load.and_then(|load| load.current.as_ref()) {
        return match load.and_then(|load| load.share.as_ref()) {
            None => Ok(current.si),
            Some(_) => {
                let message = "\"share\" belongs to a rating, but the current itself is given";
                Err(here.key("share").key_problem(Code::Needless, message, "remove it").into())
            }
        };
    }
    let rated_a = match load.and_then(|load| load.rated_current.as_ref()) {
        Some(rated) => rated.si,
        None => {
            let degc = load.and_then(|load| load.rated_temperature.as_ref()).map_or(RATED_TEMPERATURE_DEGC, |t| t.si);
            rated_a(balance, degc, elevation_m)
                .map_err(|error| here.problem(Code::HeatBalance, error.to_string(), "check the rated temperature"))?
        }
    };
    let share = load.and_then(|load| load.share.as_ref()).map(|share| share.si);
    let [low, high] = share.map_or([0.0, 1.0], |share| [share.low(), share.high()]);
    super::climate::ordered(low * rated_a, high * rated_a, here)
}

/// The current that heats a wire to its rated temperature in the weather that ratings are made for, A.
fn rated_a(balance: &HeatBalance, rated_degc: f64, elevation_m: f64) -> Result<f64, HeatError> {
    let air = Air {
        ambient_degc: RATING_AIR_DEGC,
        wind_m_per_s: SHELTERED_WIND_M_PER_S,
        wind_angle_rad: FRAC_PI_2,
        elevation_m,
    };
    let surface = balance.surface();
    let solar_w_per_m = surface.absorptivity * RATING_SUN_W_PER_M2 * surface.diameter_m;
    balance.ampacity_a(rated_degc, &air, solar_w_per_m)
}
