//! Conditions: ranges with their defaults, and what differs for one line.

use std::f64::consts::TAU;

use wideberth_physics::interval::Interval;
use wideberth_physics::line::{Conditions, WindDirection};

use crate::defaults::{AIR_DENSITY_KG_PER_M3, DRAG, Defaults, ICE_DENSITY_KG_PER_M3};
use crate::here::Here;
use crate::problem::Problems;
use crate::raw::{CouplingWord, RawConditions, RawConditionsChange, RawTemperature, RawWind, RawWindFrom};
use crate::wires::LineStates;

/// The conditions of the scenario.
pub(super) fn shared(raw: &RawConditions, here: &Here<'_>, defaults: &mut Defaults) -> Result<LineStates, Problems> {
    let wind_direction = raw.wind_from.as_ref().map_or_else(
        || {
            defaults.note(&here.key("wind_from"), "any", "the wind may come from any direction");
            WindDirection::Any
        },
        direction,
    );
    let ice_m = match &raw.ice {
        Some(ice) => ice.si,
        None => {
            defaults.note(&here.key("ice"), "0 mm", "no ice on the wires");
            zero(here)?
        }
    };
    let iced = ice_m.high() > 0.0;
    let ice_density_kg_per_m3 = match &raw.ice_density {
        None if iced => defaults.take(
            raw.ice_density.as_ref(),
            &here.key("ice_density"),
            ICE_DENSITY_KG_PER_M3,
            "913 kg/m3",
            "glaze ice",
        ),
        None => ICE_DENSITY_KG_PER_M3,
        Some(density) => density.si,
    };
    let words = "air at 15 degC at sea level; cold air is up to a tenth denser";
    let air_density_kg_per_m3 =
        defaults.take(raw.air_density.as_ref(), &here.key("air_density"), AIR_DENSITY_KG_PER_M3, "1.225 kg/m3", words);
    let drag = raw.drag.map_or_else(
        || {
            defaults.note(&here.key("drag"), "1.0", "drag coefficient of a stranded wire");
            DRAG
        },
        |drag| drag.value,
    );
    let nothing = zero(here)?;
    let base = Conditions {
        temperature_degc: temperature(&raw.conductor_temperature).unwrap_or(nothing),
        wind_m_per_s: wind(&raw.wind_speed).unwrap_or(nothing),
        wind_direction,
        ice_m,
        ice_density_kg_per_m3,
        air_density_kg_per_m3,
        drag,
    };
    Ok(LineStates {
        base,
        temperature_from_weather: temperature(&raw.conductor_temperature).is_none(),
        wind_from_weather: wind(&raw.wind_speed).is_none(),
        wind_cut_off_m_per_s: cut_off(&raw.wind_speed),
        coupled: raw.coupling == Some(CouplingWord::HeatBalance),
    })
}

/// The range that is given; none where it comes from the weather.
pub(super) fn temperature(raw: &RawTemperature) -> Option<Interval> {
    match raw {
        RawTemperature::Weather(_) => None,
        RawTemperature::Range(range) => Some(range.si),
    }
}

fn wind(raw: &RawWind) -> Option<Interval> {
    match raw {
        RawWind::Weather(_) | RawWind::WeatherUpTo(_) => None,
        RawWind::Range(range) => Some(range.si),
    }
}

/// The wind above which no work is done, m/s, where a cut-off limits that of the weather.
fn cut_off(raw: &RawWind) -> Option<f64> {
    match raw {
        RawWind::WeatherUpTo(most) => Some(most.si),
        RawWind::Weather(_) | RawWind::Range(_) => None,
    }
}

/// The conditions of one line.
pub(super) fn changed(shared: &LineStates, change: &RawConditionsChange) -> LineStates {
    let base = Conditions {
        temperature_degc: change
            .conductor_temperature
            .as_ref()
            .and_then(temperature)
            .unwrap_or(shared.base.temperature_degc),
        wind_m_per_s: change.wind_speed.as_ref().and_then(wind).unwrap_or(shared.base.wind_m_per_s),
        wind_direction: change.wind_from.as_ref().map_or(shared.base.wind_direction, direction),
        ice_m: change.ice.as_ref().map_or(shared.base.ice_m, |range| range.si),
        ice_density_kg_per_m3: change.ice_density.as_ref().map_or(shared.base.ice_density_kg_per_m3, |q| q.si),
        air_density_kg_per_m3: change.air_density.as_ref().map_or(shared.base.air_density_kg_per_m3, |q| q.si),
        drag: change.drag.map_or(shared.base.drag, |drag| drag.value),
    };
    let temperature_from_weather = change
        .conductor_temperature
        .as_ref()
        .map_or(shared.temperature_from_weather, |changed| temperature(changed).is_none());
    let wind_from_weather =
        change.wind_speed.as_ref().map_or(shared.wind_from_weather, |changed| wind(changed).is_none());
    let wind_cut_off_m_per_s = change.wind_speed.as_ref().map_or(shared.wind_cut_off_m_per_s, cut_off);
    LineStates { base, temperature_from_weather, wind_from_weather, wind_cut_off_m_per_s, coupled: shared.coupled }
}

fn direction(raw: &RawWindFrom) -> WindDirection {
    match raw {
        RawWindFrom::Any(_) => WindDirection::Any,
        RawWindFrom::Sector(sector) => {
            let sweep_rad = (sector.to.si - sector.from.si).rem_euclid(TAU);
            WindDirection::Sector { from_rad: sector.from.si, sweep_rad }
        }
    }
}

/// The range that holds zero alone.
pub(super) fn zero(here: &Here<'_>) -> Result<Interval, Problems> {
    super::wire::interval(0.0, 0.0, here)
}
