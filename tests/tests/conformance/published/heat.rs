//! Checks of the heat balance: sun, air, convection, radiation, temperature and current.

use wideberth_physics::weather::{
    Air, Atmosphere, HeatBalance, HeatCapacity, HeatStep, Resistance, SunPosition, Surface, Transient, air,
    declination_rad,
};

use crate::published::data::Inputs;
use crate::published::judge::Computed;
use crate::published::root::bisect;

type Outcome = Result<Computed, String>;

fn balance(inputs: &Inputs) -> Result<HeatBalance, String> {
    let (at, ohm) = (inputs.list("resistance_temperatures"), inputs.list("resistances"));
    let resistance = Resistance::through((at[0], ohm[0]), (at[1], ohm[1])).map_err(|error| error.to_string())?;
    let surface = Surface {
        diameter_m: inputs.si("diameter"),
        emissivity: inputs.si("emissivity"),
        absorptivity: inputs.si("absorptivity"),
        resistance,
    };
    HeatBalance::new(surface).map_err(|error| error.to_string())
}

fn air_of(inputs: &Inputs) -> Air {
    Air {
        ambient_degc: inputs.si("air_temperature"),
        wind_m_per_s: inputs.si("wind"),
        wind_angle_rad: inputs.si("wind_angle"),
        elevation_m: inputs.si("elevation"),
    }
}

fn sun(inputs: &Inputs) -> SunPosition {
    SunPosition::by_solar_time(inputs.si("latitude"), inputs.si("day_of_year"), inputs.si("solar_time") / 3600.0)
}

fn solar_w_per_m(inputs: &Inputs) -> Result<f64, String> {
    let (line, elevation_m) = (inputs.si("line_azimuth"), inputs.si("elevation"));
    Ok(sun(inputs).gain_w_per_m(balance(inputs)?.surface(), line, Atmosphere::Clear, elevation_m))
}

pub fn heat_balance(inputs: &Inputs) -> Outcome {
    let (balance, air_here, sun) = (balance(inputs)?, air_of(inputs), sun(inputs));
    let (temperature, solar) = (inputs.si("wire_temperature"), solar_w_per_m(inputs)?);
    let losses = balance.losses(temperature, &air_here).map_err(|error| error.to_string())?;
    let current = balance.ampacity_a(temperature, &air_here, solar).map_err(|error| error.to_string())?;
    let film = 0.5 * (temperature + air_here.ambient_degc);
    let flux = Atmosphere::Clear.flux_w_per_m2(sun.altitude_rad, air_here.elevation_m);
    Ok(Computed::default()
        .with("film_temperature", film)
        .with("viscosity", air::viscosity_pa_s(film))
        .with("density", air::density_kg_per_m3(film, air_here.elevation_m))
        .with("conductivity", air::conductivity_w_per_mk(film))
        .with("declination", declination_rad(inputs.si("day_of_year")))
        .with("altitude", sun.altitude_rad)
        .with("azimuth", sun.azimuth_rad)
        .with("tangent_of_azimuth", sun.azimuth_rad.tan())
        .with("solar_flux", flux)
        .with("angle_to_the_line", sun.cosine_along(inputs.si("line_azimuth")).acos())
        .with("reynolds", losses.convection.reynolds)
        .with("slow_wind_convection", losses.convection.slow_w_per_m)
        .with("fast_wind_convection", losses.convection.fast_w_per_m)
        .with("natural_convection", losses.convection.natural_w_per_m)
        .with("radiation", losses.radiation_w_per_m)
        .with("solar_gain", solar)
        .with("resistance", balance.surface().resistance.at_ohm_per_m(temperature))
        .with("current", current))
}

pub fn heat_capacity(inputs: &Inputs) -> Outcome {
    let capacity = HeatCapacity::of_metals(inputs.si("aluminium"), inputs.si("steel"), 0.0);
    Ok(Computed::default().with("heat_capacity", capacity.map_err(|error| error.to_string())?.joule_per_mk()))
}

/// The steady temperature for each current, and the current that the temperature gives back.
fn temperatures(inputs: &Inputs, air: &Air) -> Result<Vec<f64>, String> {
    let (balance, solar) = (balance(inputs)?, solar_w_per_m(inputs)?);
    let steady = |current: f64| balance.steady_temperature_degc(current, air, solar).map_err(|error| error.to_string());
    inputs.list("current").into_iter().map(steady).collect()
}

pub fn temperature_by_current(inputs: &Inputs) -> Outcome {
    let air = air_of(inputs);
    Ok(Computed::default()
        .with_list("temperature", temperatures(inputs, &air)?)
        .with_list("temperature_in_still_air", temperatures(inputs, &Air { wind_m_per_s: 0.0, ..air })?))
}

pub fn temperature_in_time(inputs: &Inputs) -> Outcome {
    let (air, solar_w_per_m) = (air_of(inputs), solar_w_per_m(inputs)?);
    let ends = temperatures(inputs, &air)?;
    let capacity = HeatCapacity::new(inputs.si("heat_capacity")).map_err(|error| error.to_string())?;
    let transient = Transient::new(balance(inputs)?, capacity);
    let current_a = inputs.list("current")[1];
    let after = |duration_s: f64| {
        let step = HeatStep { duration_s, current_a, air, solar_w_per_m };
        transient.after_degc(ends[0], &step).map_err(|error| error.to_string())
    };
    let reached = ends[0] + (1.0 - (-1.0_f64).exp()) * (ends[1] - ends[0]);
    let time_s = bisect(1.0, 7200.0, |t| after(t).map_or(f64::NAN, |found| found - reached)).ok_or("never reached")?;
    Ok(Computed::default()
        .with("first_temperature", ends[0])
        .with("last_temperature", ends[1])
        .with_list("temperature", inputs.list("times").into_iter().map(after).collect::<Result<_, _>>()?)
        .with("time_to_63_percent", time_s))
}
