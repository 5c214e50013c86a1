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

/// Resistivity at 20 °C, Ω·m: hard-drawn aluminium (IEC 60889), hard-drawn copper, steel wire with a cover of copper and 30 % of its
/// conductivity, galvanized steel (all from memory).
const ALUMINIUM_OHM_M: f64 = 2.826e-8;
const COPPER_OHM_M: f64 = 1.777e-8;
const COPPER_COVERED_STEEL_OHM_M: f64 = 5.86e-8;
const STEEL_OHM_M: f64 = 2.0e-7;
/// Alternating over direct current for rows that print only the latter (common practice, from memory; the rows of the catalogue that
/// print both have at most 1.05 at the same temperature).
const AC_OVER_DC: f64 = 1.1;
/// The same for one layer of aluminium, which magnetises its steel core: the rows that print both have at most 1.23.
const AC_OVER_DC_ONE_LAYER: f64 = 1.25;
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
    /// What its printed resistance to direct current was multiplied by, where its row prints no other.
    pub factor: Option<f64>,
}

impl Metal {
    /// The metal of a row, with its own resistance: nowhere below a figure of the row.
    pub fn of_entry(entry: &CatalogueEntry) -> Self {
        let printed = Printed::of(entry);
        let resistance = printed.resistance(coefficient_per_k(entry.conductor_type));
        Self {
            diameter_m: entry.diameter_m,
            mass_kg_per_m: entry.mass_kg_per_m,
            estimated: resistance.is_none(),
            factor: printed.factor.filter(|_| printed.alternating.is_empty()),
            resistance: resistance.unwrap_or_else(|| estimate(entry)),
        }
    }

    pub fn of_own(own: &RawConductor) -> Self {
        let stated = own.resistance.as_ref().map(|r| Resistance::new(r.si, ALUMINIUM_RESISTANCE_PER_K));
        Self {
            diameter_m: own.diameter.si,
            mass_kg_per_m: own.mass.si,
            estimated: stated.is_none(),
            factor: None,
            resistance: stated.unwrap_or_else(|| by_area(own.area.si, ALUMINIUM_RESISTANCE_PER_K)),
        }
    }
}

/// What a row of the catalogue prints of its resistance.
struct Printed {
    /// Temperature, °C, and resistance to alternating current, Ω/m, the coolest first.
    alternating: Vec<(f64, f64)>,
    /// Resistance to direct current at 20 °C, Ω/m: the largest that is allowed, where the row prints it.
    direct_20degc_ohm_per_m: Option<f64>,
    /// Alternating over direct current where only the latter is printed.
    factor: Option<f64>,
}

impl Printed {
    fn of(entry: &CatalogueEntry) -> Self {
        let direct = entry.dc_resistance_max_20degc_ohm_per_m.or(entry.dc_resistance_20degc_ohm_per_m);
        let alternating = [
            (25.0, entry.ac_resistance_25degc_ohm_per_m),
            (50.0, entry.ac_resistance_50degc_ohm_per_m),
            (75.0, entry.ac_resistance_75degc_ohm_per_m),
        ];
        Self {
            alternating: alternating.into_iter().filter_map(|(degc, printed)| Some((degc, printed?))).collect(),
            direct_20degc_ohm_per_m: direct,
            factor: direct.map(|_| if one_layer(entry) { AC_OVER_DC_ONE_LAYER } else { AC_OVER_DC }),
        }
    }

    /// R(T) through the coolest and the warmest figure for alternating current, through one of them with the coefficient of the metal, or
    /// through that for direct current times a factor; then raised until it is nowhere below a printed figure.
    fn resistance(&self, coefficient_per_k: f64) -> Option<Result<Resistance, HeatError>> {
        let line = match self.alternating[..] {
            [cool, .., warm] => Resistance::through(cool, warm),
            [(degc, ohm_per_m)] => {
                Resistance::new(ohm_per_m / (1.0 + coefficient_per_k * (degc - 20.0)), coefficient_per_k)
            }
            [] => Resistance::new(self.direct_20degc_ohm_per_m? * self.factor?, coefficient_per_k),
        };
        let direct = self.direct_20degc_ohm_per_m.map(|ohm_per_m| (20.0, ohm_per_m));
        Some(line.and_then(|line| above(line, self.alternating.iter().copied().chain(direct))))
    }
}

/// The line raised in proportion until it is nowhere below some figures (°C, Ω/m).
fn above(line: Resistance, figures: impl Iterator<Item = (f64, f64)>) -> Result<Resistance, HeatError> {
    let share = figures.map(|(degc, ohm_per_m)| ohm_per_m / line.at_ohm_per_m(degc)).fold(1.0, f64::max);
    let at_20_ohm_per_m = line.at_ohm_per_m(20.0);
    Resistance::new(share * at_20_ohm_per_m, line.rate_ohm_per_mk() / at_20_ohm_per_m)
}

/// Whether aluminium lies over a core of steel in one layer.
fn one_layer(entry: &CatalogueEntry) -> bool {
    let aluminium = entry.stranding.split('/').next().and_then(|wires| wires.trim().parse::<u32>().ok());
    entry.conductor_type == ConductorType::Acsr && aluminium.is_none_or(|wires| wires <= 12)
}

fn coefficient_per_k(conductor_type: ConductorType) -> f64 {
    match conductor_type {
        ConductorType::Copper | ConductorType::CopperCoveredSteel => COPPER_RESISTANCE_PER_K,
        _ => ALUMINIUM_RESISTANCE_PER_K,
    }
}

/// The most that the resistance of a row may be that prints none.
fn estimate(entry: &CatalogueEntry) -> Result<Resistance, HeatError> {
    let coefficient_per_k = coefficient_per_k(entry.conductor_type);
    let ohm_m = match entry.conductor_type {
        ConductorType::Acsr | ConductorType::Aac | ConductorType::Aaac => {
            return by_area(entry.area_m2, coefficient_per_k);
        }
        ConductorType::Copper => COPPER_OHM_M,
        ConductorType::CopperCoveredSteel => COPPER_COVERED_STEEL_OHM_M,
        ConductorType::Steel => STEEL_OHM_M,
    };
    Resistance::new(AC_OVER_DC * ohm_m / entry.area_m2, coefficient_per_k)
}

/// The most that the resistance of a wire with an area of metal (m²) may be, of aluminium with or without a core of steel.
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
    if let Some(factor) = metal.factor {
        let words =
            "resistance to alternating over that to direct current, of a conductor whose row prints only the latter";
        defaults.note(&load_here.key("current"), &factor.to_string(), words);
    }
    let mut current_a = current(line.load.as_ref(), &balance, elevation_m, &load_here)?;
    if metal.estimated {
        // Nobody runs an unknown wire hotter than it is rated for; what a thicker wire of the class carries would melt a thin one.
        let degc = rated_degc(line.load.as_ref());
        let rated_a = rated_a(&balance, degc, elevation_m).map_err(refused)?;
        current_a = super::climate::ordered(0.0, current_a.high().min(rated_a), &load_here)?;
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
        None => rated_a(balance, rated_degc(load), elevation_m)
            .map_err(|error| here.problem(Code::HeatBalance, error.to_string(), "check the rated temperature"))?,
    };
    let share = load.and_then(|load| load.share.as_ref()).map(|share| share.si);
    let [low, high] = share.map_or([0.0, 1.0], |share| [share.low(), share.high()]);
    super::climate::ordered(low * rated_a, high * rated_a, here)
}

/// The temperature that the wires are rated for, °C.
fn rated_degc(load: Option<&RawLineLoad>) -> f64 {
    load.and_then(|load| load.rated_temperature.as_ref()).map_or(RATED_TEMPERATURE_DEGC, |degc| degc.si)
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Catalogue;

    fn ohm_per_m(entry: &CatalogueEntry, degc: f64) -> f64 {
        Metal::of_entry(entry).resistance.unwrap().at_ohm_per_m(degc)
    }

    #[test]
    fn the_resistance_is_nowhere_below_a_figure_of_the_row() {
        let catalogue = Catalogue::embedded().unwrap();
        let mut checked = 0;
        for entry in catalogue.entries() {
            let figures = [
                (20.0, entry.dc_resistance_20degc_ohm_per_m),
                (20.0, entry.dc_resistance_max_20degc_ohm_per_m),
                (25.0, entry.ac_resistance_25degc_ohm_per_m),
                (50.0, entry.ac_resistance_50degc_ohm_per_m),
                (75.0, entry.ac_resistance_75degc_ohm_per_m),
            ];
            for (degc, printed) in figures.into_iter().filter_map(|(degc, printed)| Some((degc, printed?))) {
                assert!(ohm_per_m(entry, degc) >= printed * (1.0 - 1e-12), "{} at {degc} degC", entry.id);
                checked += 1;
            }
        }
        assert!(checked > 100, "{checked}");
    }

    /// Every row whose only figure for alternating current is that at 75 °C goes through it.
    #[test]
    fn the_figure_at_75_degc_alone_counts() {
        let catalogue = Catalogue::embedded().unwrap();
        let alone = |entry: &&CatalogueEntry| entry.ac_resistance_25degc_ohm_per_m.is_none();
        let rows: Vec<_> = catalogue
            .entries()
            .iter()
            .filter(alone)
            .filter_map(|entry| Some((entry, entry.ac_resistance_75degc_ohm_per_m?)))
            .collect();
        assert_eq!(rows.len(), 39);
        for (entry, printed) in rows {
            let share = ohm_per_m(entry, 75.0) / printed;
            assert!((1.0 - 1e-12..1.03).contains(&share), "{}: {share}", entry.id);
        }
    }

    /// IEEE Std 738-2012, the conductor of its numerical example: 7.283e-5 ohm/m at 25 °C and 8.688e-5 ohm/m at 75 °C.
    #[test]
    fn the_row_of_a_published_example_comes_within_two_per_cent_of_it() {
        let catalogue = Catalogue::embedded().unwrap();
        let drake = catalogue.find("acsr-drake-795-26-7").unwrap();
        for (degc, published) in [(25.0, 7.283e-5), (75.0, 8.688e-5)] {
            let share = ohm_per_m(drake, degc) / published;
            assert!((0.98..1.02).contains(&share), "{degc} degC: {share}");
        }
    }
}
