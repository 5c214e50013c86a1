//! Wires as a scenario knows them, ready to be put into any weather: what each may be, and which conditions hold for it.

use std::f64::consts::FRAC_PI_2;

use wideberth_physics::interval::Interval;
use wideberth_physics::line::{
    Conditions, Conductor, ConductorProperties, InAnyLoad, KnownBy, KnownError, LoadsAlongSpan, Span, SuspensionString,
    WindDirection, Wire, WireDescription, WireError, WireSurface,
};
use wideberth_physics::weather::HeatError;

use crate::climate::{Climate, ClimateHour, hull};
use crate::heating::Heating;
use crate::job::ConductorInfo;

/// A wire.
#[derive(Clone, Debug, PartialEq)]
pub struct WireModel {
    /// Name.
    pub name: String,
    /// What it may be: one, or several where nobody knows.
    pub variants: Vec<WireVariant>,
    /// The string that it hangs on at each support; none where it is held rigidly.
    pub strings: Vec<Option<SuspensionString>>,
    /// What holds for it.
    pub states: LineStates,
}

/// One thing that a wire may be.
#[derive(Clone, Debug, PartialEq)]
pub struct WireVariant {
    /// The conductor, for reports.
    pub conductor: ConductorInfo,
    /// Everything that gives its shape.
    pub description: WireDescription,
    /// What heats it; none where temperatures are given.
    pub heating: Option<Heating>,
}

/// The conditions of a line, and which of them come from the weather.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineStates {
    /// The ranges that are given; those that come from the weather are replaced by each hour's.
    pub base: Conditions,
    /// Whether temperatures come from the weather.
    pub temperature_from_weather: bool,
    /// Whether the wind comes from the weather.
    pub wind_from_weather: bool,
    /// The wind above which no work is done, m/s, where a control limits that of the weather.
    pub wind_cut_off_m_per_s: Option<f64>,
    /// Whether the wind that swings a wire also cools it.
    pub coupled: bool,
    /// What the wind meets on the wires, where drag goes by Reynolds number.
    pub drag_surface: Option<WireSurface>,
    /// Whether the wind comes from where the weather says.
    pub direction_from_weather: bool,
    /// The wire temperature above which no work is done, °C, where a control limits those of the weather.
    pub temperature_cut_off_degc: Option<f64>,
}

/// Conditions of each variant of a wire: one set, or one for each band of wind.
pub type VariantConditions = Vec<Vec<Conditions>>;

/// Bands into which the wind is cut where it is coupled with the temperature.
const BANDS: u32 = 6;

impl LineStates {
    /// Whether anything changes with the hour.
    #[must_use]
    pub fn follow_weather(&self) -> bool {
        self.temperature_from_weather || self.wind_from_weather || self.direction_from_weather
    }

    /// The wind through some hours, m/s: any up to the strongest gust or the cut-off, where it comes from the weather.
    #[must_use]
    pub fn wind_m_per_s(&self, hours: &[ClimateHour]) -> Interval {
        if !self.wind_from_weather {
            return self.base.wind_m_per_s;
        }
        let gust = hours.iter().fold(0.0_f64, |most, hour| most.max(hour.weather.gust_m_per_s));
        let most = self.wind_cut_off_m_per_s.map_or(gust, |cut_off| gust.min(cut_off));
        Interval::new(0.0, most).unwrap_or(self.base.wind_m_per_s)
    }
}

impl LineStates {
    /// What a temperature cut-off leaves of a range, °C; of one that lies above it, the cut-off itself: no work is done in the rest.
    #[must_use]
    pub fn worked_degc(&self, degc: Interval) -> Interval {
        let most = self.temperature_cut_off_degc.unwrap_or(f64::INFINITY);
        // Both ends are finite and in order.
        Interval::new(degc.low().min(most), degc.high().min(most)).unwrap_or(degc)
    }

    /// Where the wind comes from through some hours.
    #[must_use]
    pub fn wind_direction(&self, hours: &[ClimateHour]) -> WindDirection {
        let all = hours.iter().map(|hour| hour.weather.wind_from).reduce(WindDirection::hull);
        all.filter(|_| self.direction_from_weather).unwrap_or(self.base.wind_direction)
    }
}

impl WireVariant {
    /// The least angle between the wind of an hour and any of its spans, rad; 0, along it, where the weather does not tell.
    fn least_angle_rad(&self, states: &LineStates, hour: &ClimateHour) -> f64 {
        if !states.direction_from_weather {
            return 0.0;
        }
        let angle = |span: &Span| hour.weather.wind_from.least_angle_rad(span.chord().x.atan2(span.chord().y));
        self.description.spans.iter().map(angle).fold(FRAC_PI_2, f64::min)
    }

    /// Its conditions through some hours of the job, whose temperatures are known (°C, from [`Heating::job_degc`]).
    ///
    /// # Errors
    /// When an hour has no steady temperature.
    pub fn conditions(
        &self,
        states: &LineStates,
        climate: &Climate,
        hours: &[ClimateHour],
        temperatures_degc: &[Interval],
    ) -> Result<Vec<Conditions>, HeatError> {
        let wind_m_per_s = states.wind_m_per_s(hours);
        let worked = temperatures_degc.iter().map(|degc| states.worked_degc(*degc));
        let all = worked.reduce(hull).filter(|_| states.temperature_from_weather);
        let temperature_degc = all.unwrap_or(states.base.temperature_degc);
        let wind_direction = states.wind_direction(hours);
        let whole = Conditions { temperature_degc, wind_m_per_s, wind_direction, ..states.base };
        let Some(heating) = self.heating.as_ref().filter(|_| states.coupled) else { return Ok(vec![whole]) };
        let bands = bands(wind_m_per_s);
        let banded =
            heating.banded_degc(hours, &bands, climate.gust_factor, &|hour| self.least_angle_rad(states, hour))?;
        let pieces = bands.into_iter().zip(banded);
        Ok(pieces
            .map(|(wind_m_per_s, degc)| (wind_m_per_s, states.worked_degc(degc)))
            .map(|(wind_m_per_s, temperature_degc)| Conditions { temperature_degc, wind_m_per_s, ..whole })
            .collect())
    }
}

/// A range of wind cut into equal bands.
fn bands(wind_m_per_s: Interval) -> Vec<Interval> {
    let edge = |i: u32| wind_m_per_s.at(f64::from(i) / f64::from(BANDS));
    (0..BANDS).filter_map(|i| Interval::new(edge(i), edge(i + 1)).ok()).collect()
}

impl WireModel {
    /// The wire under conditions for each of its variants, with what it is under loads that differ along its spans.
    ///
    /// # Errors
    /// When a variant has no shape, or is torn, in some state.
    pub fn under(&self, conditions: &VariantConditions) -> Result<Wire, WireError> {
        let even = self.loaded(conditions, LoadsAlongSpan::Uniform)?;
        let differs = |c: &Conditions| c.wind_m_per_s.high() > 0.0 || c.ice_m.width() > 0.0;
        if !conditions.iter().flatten().any(differs) {
            return Ok(even);
        }
        let uneven = self.loaded(conditions, LoadsAlongSpan::Differ);
        Ok(even.with_any_load(uneven.map_or(InAnyLoad::Unbounded, |uneven| InAnyLoad::Wire(Box::new(uneven)))))
    }

    fn loaded(&self, conditions: &VariantConditions, loads_along_span: LoadsAlongSpan) -> Result<Wire, WireError> {
        let pairs = self.variants.iter().zip(conditions);
        let wires = pairs.flat_map(|(variant, sets)| {
            let under = move |conditions: &Conditions| {
                let conditions = Conditions { loads_along_span, ..*conditions };
                Wire::with_strings(variant.description.clone(), &self.strings, &conditions)
            };
            sets.iter().map(under)
        });
        Wire::any_of(self.name.clone(), wires.collect::<Result<_, _>>()?)
    }
}

/// A candidate as far as it can hang as it was measured: tensions above its strength are left out, because nothing hangs so. None when
/// nothing remains.
#[must_use]
pub fn possible(description: WireDescription) -> Option<WireDescription> {
    let WireDescription { conductor, spans, position_tolerance_m, .. } = &description;
    let strength_n = conductor.properties().rated_strength_n?;
    let tension_n = |conductor: &Conductor| description.known_by.horizontal_n(conductor, spans, *position_tolerance_m);
    match tension_n(conductor) {
        Ok(_) => Some(description),
        // Perhaps the slack end of the range holds, and only the taut end does not.
        Err(KnownError::Tension { .. }) => {
            let endless = ConductorProperties { rated_strength_n: None, ..*conductor.properties() };
            let all_n = tension_n(&Conductor::new(endless).ok()?).ok()?;
            let horizontal_n = Interval::new(all_n.low(), strength_n).ok()?;
            let temperature_degc = description.known_by.temperature_degc();
            Some(WireDescription { known_by: KnownBy::Tension { horizontal_n, temperature_degc }, ..description })
        }
        Err(KnownError::NoSag { .. }) => Some(description),
        Err(_) => None,
    }
}
