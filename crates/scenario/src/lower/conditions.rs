//! Conditions: ranges with their defaults, and what differs for one line.

use std::f64::consts::TAU;

use wideberth_physics::interval::Interval;
use wideberth_physics::line::{Conditions, LoadsAlongSpan, WindDirection, WireSurface};
use wideberth_physics::weather::wind::{MeanWind, Terrain};

use crate::bounds::{Bounded, WindSpeed};
use crate::code::Code;
use crate::defaults::{AIR_DENSITY_KG_PER_M3, DRAG, Defaults, ICE_DENSITY_KG_PER_M3, SWAY_ALLOWANCE_M};
use crate::here::Here;
use crate::problem::Problems;
use crate::raw::{
    CouplingWord, DragWord, RawConditions, RawConditionsChange, RawDrag, RawMeanWind, RawTemperature, RawWind,
    RawWindFrom, TerrainWord,
};
use crate::wires::LineStates;

/// The conditions of the scenario at wires up to a height above ground, m.
pub(super) fn shared(
    raw: &RawConditions,
    height_m: f64,
    here: &Here<'_>,
    defaults: &mut Defaults,
) -> Result<LineStates, Problems> {
    let direction_from_weather = raw.wind_from.as_ref().is_some_and(from_weather);
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
    let (drag, drag_surface) = raw.drag.map_or_else(
        || {
            defaults.note(&here.key("drag"), "1.0", "drag coefficient of a stranded wire");
            (DRAG, None)
        },
        |raw| drag(raw, ice_m),
    );
    let words =
        "wires follow a steady wind of the greatest speed; the sway of a wire in gusts says how much more is needed";
    let sway_allowance_m =
        defaults.take(raw.sway_allowance.as_ref(), &here.key("sway_allowance"), SWAY_ALLOWANCE_M, "0 m", words);
    let nothing = zero(here)?;
    let base = Conditions {
        temperature_degc: temperature(&raw.conductor_temperature).unwrap_or(nothing),
        wind_m_per_s: wind_at(raw, height_m, here)?.unwrap_or(nothing),
        wind_direction,
        ice_m,
        ice_density_kg_per_m3,
        air_density_kg_per_m3,
        drag,
        wind_rise_rad: Interval::ZERO,
        loads_along_span: LoadsAlongSpan::Uniform,
        sway_allowance_m,
    };
    Ok(LineStates {
        base,
        temperature_from_weather: temperature(&raw.conductor_temperature).is_none(),
        wind_from_weather: wind_at(raw, height_m, here)?.is_none(),
        wind_cut_off_m_per_s: raw.wind_speed.as_ref().and_then(cut_off),
        coupled: raw.coupling == Some(CouplingWord::HeatBalance),
        drag_surface,
        direction_from_weather,
        temperature_cut_off_degc: hottest(&raw.conductor_temperature),
    })
}

/// The range that is given; none where it comes from the weather.
pub(super) fn temperature(raw: &RawTemperature) -> Option<Interval> {
    match raw {
        RawTemperature::Weather(_) | RawTemperature::WeatherUpTo(_) => None,
        RawTemperature::Range(range) => Some(range.si),
    }
}

/// The temperature above which no work is done, °C, where a cut-off limits those of the weather.
fn hottest(raw: &RawTemperature) -> Option<f64> {
    match raw {
        RawTemperature::WeatherUpTo(most) => Some(most.si),
        RawTemperature::Weather(_) | RawTemperature::Range(_) => None,
    }
}

/// Wind at the wires: as given, or from calm to the gusts of the mean wind at the height of the highest wire; none where it
/// comes from the weather.
fn wind_at(raw: &RawConditions, height_m: f64, here: &Here<'_>) -> Result<Option<Interval>, Problems> {
    match (&raw.wind_speed, &raw.mean_wind) {
        (Some(speed), _) => Ok(wind(speed)),
        (None, Some(mean)) => gusts(mean, height_m, &here.key("mean_wind")).map(Some),
        (None, None) => {
            Err(here.problem(Code::OneOf, "no wind is given", "give \"wind_speed\" or \"mean_wind\"").into())
        }
    }
}

fn gusts(raw: &RawMeanWind, height_m: f64, here: &Here<'_>) -> Result<Interval, Problems> {
    let terrain = match raw.terrain {
        TerrainWord::Sea => Terrain::Sea,
        TerrainWord::Flat => Terrain::Flat,
        TerrainWord::Open => Terrain::Open,
        TerrainWord::Suburb => Terrain::Suburb,
        TerrainWord::Town => Terrain::Town,
    };
    let help = "give \"wind_speed\", the speed at the wires with its gusts, instead";
    let refuse = |message: String| Problems::from(here.problem(Code::OutOfRange, message, help));
    let wind = MeanWind { basic_m_per_s: raw.speed.si, terrain };
    let gust_m_per_s = wind.gust_m_per_s(height_m).map_err(|error| refuse(error.to_string()))?;
    if gust_m_per_s > WindSpeed::BOUND.max {
        return Err(refuse(format!(
            "its gusts at the wires reach {gust_m_per_s:.0} m/s, more than {}",
            WindSpeed::BOUND.range()
        )));
    }
    super::wire::interval(0.0, gust_m_per_s, here)
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

/// The coefficient, and the surface where drag goes by Reynolds number: strings then take the greatest coefficient of the wires.
fn drag(raw: RawDrag, ice_m: Interval) -> (f64, Option<WireSurface>) {
    let surface = match raw {
        RawDrag::Coefficient(coefficient) => return (coefficient.value, None),
        RawDrag::Law(DragWord::Any) => WireSurface::Any,
        RawDrag::Law(DragWord::Smooth) => WireSurface::Smooth,
        RawDrag::Law(DragWord::FineStrand) => WireSurface::FineStrand,
        RawDrag::Law(DragWord::CoarseStrand) => WireSurface::CoarseStrand,
    };
    (surface.greatest(ice_m.high() > 0.0), Some(surface))
}

/// The conditions of one line.
pub(super) fn changed(shared: &LineStates, change: &RawConditionsChange) -> LineStates {
    let ice_m = change.ice.as_ref().map_or(shared.base.ice_m, |range| range.si);
    let (drag, drag_surface) = change.drag.map_or((shared.base.drag, shared.drag_surface), |raw| drag(raw, ice_m));
    let base = Conditions {
        temperature_degc: change
            .conductor_temperature
            .as_ref()
            .and_then(temperature)
            .unwrap_or(shared.base.temperature_degc),
        wind_m_per_s: change.wind_speed.as_ref().and_then(wind).unwrap_or(shared.base.wind_m_per_s),
        wind_direction: change.wind_from.as_ref().map_or(shared.base.wind_direction, direction),
        ice_m,
        ice_density_kg_per_m3: change.ice_density.as_ref().map_or(shared.base.ice_density_kg_per_m3, |q| q.si),
        air_density_kg_per_m3: change.air_density.as_ref().map_or(shared.base.air_density_kg_per_m3, |q| q.si),
        drag,
        wind_rise_rad: shared.base.wind_rise_rad,
        loads_along_span: shared.base.loads_along_span,
        sway_allowance_m: change.sway_allowance.as_ref().map_or(shared.base.sway_allowance_m, |q| q.si),
    };
    let temperature_from_weather = change
        .conductor_temperature
        .as_ref()
        .map_or(shared.temperature_from_weather, |changed| temperature(changed).is_none());
    let wind_from_weather =
        change.wind_speed.as_ref().map_or(shared.wind_from_weather, |changed| wind(changed).is_none());
    let wind_cut_off_m_per_s = change.wind_speed.as_ref().map_or(shared.wind_cut_off_m_per_s, cut_off);
    LineStates {
        base,
        temperature_from_weather,
        wind_from_weather,
        wind_cut_off_m_per_s,
        coupled: shared.coupled,
        drag_surface,
        temperature_cut_off_degc: change
            .conductor_temperature
            .as_ref()
            .map_or(shared.temperature_cut_off_degc, hottest),
        direction_from_weather: change.wind_from.as_ref().map_or(shared.direction_from_weather, from_weather),
    }
}

pub(super) fn from_weather(raw: &RawWindFrom) -> bool {
    matches!(raw, RawWindFrom::Weather(_))
}

fn direction(raw: &RawWindFrom) -> WindDirection {
    match raw {
        RawWindFrom::Any(_) | RawWindFrom::Weather(_) => WindDirection::Any,
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
