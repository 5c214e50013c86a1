//! What one wire may be, and its shape in the conditions of the job.

use wideberth_physics::interval::Interval;
use wideberth_physics::line::{Wire, WireDescription, WireError};

use super::conductor::Candidate;
use super::wire::{Common, refusal};
use super::{climate, heating, history, known};
use crate::climate::{Climate, hull};
use crate::code::Code;
use crate::defaults::Defaults;
use crate::heating::Heating;
use crate::here::Here;
use crate::problem::Problems;
use crate::raw::{RawConductorRef, RawLine, RawTemperature, RawWire};
use crate::wires::{LineStates, WireModel, WireVariant, possible};

/// What is known around a wire.
pub(super) struct Around<'a> {
    pub line: &'a RawLine,
    pub line_here: &'a Here<'a>,
    pub climate: Option<&'a Climate>,
    pub states: LineStates,
}

/// A wire of several variants, with the temperature at which it was seen where that comes from the weather.
pub(super) struct Variants {
    pub model: WireModel,
    pub seen_degc: Option<Interval>,
}

impl Around<'_> {
    /// Everything that a wire may be.
    pub fn variants(
        &self,
        raw: &RawWire,
        candidates: Vec<Candidate>,
        common: &Common,
        here: &Here<'_>,
        defaults: &mut Defaults,
    ) -> Result<Variants, Problems> {
        let unknown = matches!(raw.conductor, RawConductorRef::Class(_));
        let (mut variants, mut seen) = (Vec::new(), None::<Interval>);
        let mut noted = Some(defaults);
        for candidate in candidates {
            // What is taken for one variant is taken for all.
            let mut again = Defaults::default();
            let defaults = noted.take().unwrap_or(&mut again);
            let heating = self.heating(raw, &candidate, here, defaults)?;
            let seen_degc = self.seen_degc(raw, heating.as_ref(), here)?;
            let along = (self.line.supports.as_slice(), common.spans.as_slice());
            let known_by = known::lower(&raw.known_by, along, seen_degc, &here.key("known_by"))?;
            let Candidate { conductor, info, core_area_m2, .. } = candidate;
            let conductor = history::cored(raw, (conductor, core_area_m2), here, defaults)?;
            let conductor = self.states.drag_surface.map_or(conductor, |surface| conductor.with_surface(surface));
            let stretched = (&self.states.base, common.position_tolerance_m);
            let permanent_strain =
                history::permanent_strain(raw, &conductor, &common.spans, &known_by, stretched, here, defaults)?;
            let description = WireDescription {
                name: raw.name.clone(),
                conductor,
                spans: common.spans.clone(),
                known_by,
                permanent_strain,
                position_tolerance_m: common.position_tolerance_m,
            };
            seen = seen.map_or(seen_degc, |before| seen_degc.map(|degc| hull(before, degc)));
            let possible = if unknown { possible(description) } else { Some(description) };
            variants.extend(possible.map(|description| WireVariant { conductor: info, description, heating }));
        }
        if variants.is_empty() {
            let message = "no conductor of this class can hang as it was measured";
            let help = "check the class, the height, its place and the attachments";
            return Err(here.key("conductor").problem(Code::WireClass, message, help).into());
        }
        let (name, strings) = (raw.name.clone(), common.strings.clone());
        Ok(Variants { model: WireModel { name, variants, strings, states: self.states }, seen_degc: seen })
    }

    /// What heats the wire, where any temperature comes from the weather.
    fn heating(
        &self,
        raw: &RawWire,
        candidate: &Candidate,
        here: &Here<'_>,
        defaults: &mut Defaults,
    ) -> Result<Option<Heating>, Problems> {
        let seen = matches!(raw.known_by.conductor_temperature, Some(RawTemperature::Weather(_)));
        if !(seen || self.states.temperature_from_weather) {
            return Ok(None);
        }
        let climate = self.climate.ok_or_else(|| {
            let message = "a conductor temperature is to come from the weather, which is not given";
            here.problem(Code::NeedsWeather, message, "give \"site\", \"date\" and \"weather\", or the range itself")
        })?;
        let unknown = matches!(raw.conductor, RawConductorRef::Class(_));
        let elevation_m = climate.place.elevation_m;
        heating::lower(self.line, &candidate.metal, unknown, elevation_m, self.line_here, defaults).map(Some)
    }

    /// The temperature at the time when the wire was seen.
    fn seen_degc(
        &self,
        raw: &RawWire,
        heating: Option<&Heating>,
        here: &Here<'_>,
    ) -> Result<Option<Interval>, Problems> {
        let (Some(climate), Some(heating), Some(text)) = (self.climate, heating, &raw.known_by.seen_at) else {
            return Ok(None);
        };
        let here = here.key("known_by").key("seen_at");
        let needs = |message: String| {
            here.problem(Code::NeedsWeather, message, "use weather of that day, or state the temperature")
        };
        if climate.typical {
            let message = "a typical year does not tell what the weather was when the wire was seen";
            return Err(needs(message.into()).into());
        }
        let at = climate::instant(text, climate.date, climate.offset);
        let at = at.ok_or_else(|| {
            let help = "write such as \"07:10\" with \"date\" given, or \"2026-07-14T07:10\"";
            here.problem(Code::Date, format!("\"{text}\" is not a time"), help)
        })?;
        let hours = climate.around(at);
        let Some(last) = hours.clone().last() else {
            return Err(needs(format!("the weather does not cover {text}")).into());
        };
        let run_up = hours.start.saturating_sub(6);
        let all = heating.through_degc(&climate.hours[run_up..=last]);
        let all = all.map_err(|e| here.problem(Code::HeatBalance, e.to_string(), "check load and conductor"))?;
        Ok(all.into_iter().skip(hours.start - run_up).reduce(hull))
    }

    /// The wire through the hours of the job.
    pub fn wire(&self, model: &WireModel, raw: &RawWire, here: &Here<'_>) -> Result<Wire, Problems> {
        let heat = |error: wideberth_physics::weather::HeatError| -> Problems {
            let here = self.line_here.key("load");
            here.problem(Code::HeatBalance, error.to_string(), "check the load and the conductor").into()
        };
        let of = |variant: &WireVariant| match self.climate.filter(|_| self.states.follow_weather()) {
            None => Ok(vec![self.states.base]),
            Some(climate) => {
                let by_hour = variant.heating.as_ref().map(|heating| heating.job_degc(climate)).transpose();
                let by_hour = by_hour.map_err(heat)?.unwrap_or_default();
                variant.conditions(&self.states, climate, climate.job_hours(), &by_hour).map_err(heat)
            }
        };
        let conditions = model.variants.iter().map(of).collect::<Result<Vec<_>, Problems>>()?;
        model.under(&conditions).map_err(|error| self.refusal(&error, raw, here))
    }

    fn refusal(&self, error: &WireError, raw: &RawWire, here: &Here<'_>) -> Problems {
        if matches!(raw.conductor, RawConductorRef::Class(_)) {
            let message = format!("one of the conductors of this class does not fit: {error}");
            let help = "check the conditions and the height, or find out which conductor it is";
            return here.key("conductor").problem(Code::WireClass, message, help).into();
        }
        refusal(error, raw, &self.line.supports, here)
    }
}
