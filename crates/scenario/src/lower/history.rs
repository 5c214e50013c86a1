//! A wire's core and the permanent stretch that its history leaves.

use wideberth_physics::interval::Interval;
use wideberth_physics::line::{Conditions, Conductor, Core, HeaviestLoad, KnownBy, LoadModel, NewWire, Span};

use super::wire::interval;
use crate::code::Code;
use crate::defaults::{CORE_EXPANSION_PER_K, CORE_FREE_DEGC, CORE_MODULUS_PA, CORE_SET, Defaults};
use crate::here::Here;
use crate::problem::Problems;
use crate::raw::{RawConductorRef, RawCore, RawCoreRef, RawHeaviestLoad, RawWire};

/// The conductor with its core, where the wire states one. Of an unknown conductor those whose core the catalogue does not have stay of
/// one piece, which hangs lower.
pub(super) fn cored(
    raw: &RawWire,
    (conductor, known_area_m2): (Conductor, Option<f64>),
    here: &Here<'_>,
    defaults: &mut Defaults,
) -> Result<Conductor, Problems> {
    let class = matches!(raw.conductor, RawConductorRef::Class(_));
    let here = here.key("core");
    let (given, area_m2) = match (&raw.core, known_area_m2) {
        (None, _) => return Ok(conductor),
        (Some(RawCoreRef::Own(own)), _) => (Some(own.as_ref()), own.area.si),
        (Some(RawCoreRef::Catalogue(_)), Some(area_m2)) => (None, area_m2),
        (Some(RawCoreRef::Catalogue(_)), None) if class => return Ok(conductor),
        (Some(RawCoreRef::Catalogue(_)), None) => {
            let message = "the catalogue has no core for this conductor, or it is of one metal";
            let help = "give the core's own area, or leave \"core\" out: the wire then counts as of one piece, which hangs lower";
            return Err(here.problem(Code::Conductor, message, help).into());
        }
    };
    let core = core(given, area_m2, &here, defaults)?;
    conductor.with_core(core).map_err(|error| {
        here.problem(Code::Conductor, error.to_string(), "give the core's own area, modulus and expansion").into()
    })
}

/// A core of an area, m²; what its own data do not say is taken as of steel, made in any workshop, of any age.
fn core(raw: Option<&RawCore>, area_m2: f64, here: &Here<'_>, defaults: &mut Defaults) -> Result<Core, Problems> {
    let (modulus_at, expansion_at) = (here.key("modulus"), here.key("expansion"));
    let modulus_pa = defaults.take(
        raw.and_then(|raw| raw.modulus.as_ref()),
        &modulus_at,
        CORE_MODULUS_PA,
        "190 GPa",
        "a core of steel",
    );
    let expansion_per_k = defaults.take(
        raw.and_then(|raw| raw.expansion.as_ref()),
        &expansion_at,
        CORE_EXPANSION_PER_K,
        "11.5e-6 /degC",
        "a core of steel",
    );
    let mut range = |given: Option<Interval>, key: &str, (low, high): (f64, f64), value: &str, words: &str| match given
    {
        Some(range) => Ok(range),
        None => {
            defaults.note(&here.key(key), value, words);
            interval(low, high, here)
        }
    };
    let free = raw.and_then(|raw| raw.free_at.as_ref()).map(|span| span.si);
    let set = raw.and_then(|raw| raw.permanent_set.as_ref()).map(|span| span.si);
    Ok(Core {
        axial_stiffness_n: modulus_pa * area_m2,
        expansion_per_k,
        free_degc: range(
            free,
            "free_at",
            CORE_FREE_DEGC,
            "0 degC to 40 degC",
            "the wire was made at such a temperature",
        )?,
        set: range(set, "permanent_set", CORE_SET, "0 % to 0.1 %", "the wire may be new or old")?,
    })
}

/// The range of permanent strain gained since the tautness was known: stated, or from the heaviest load, or none.
pub(super) fn permanent_strain(
    raw: &RawWire,
    conductor: &Conductor,
    spans: &[Span],
    known_by: &KnownBy,
    (conditions, position_tolerance_m): (&Conditions, f64),
    here: &Here<'_>,
    defaults: &mut Defaults,
) -> Result<Interval, Problems> {
    match (&raw.permanent_strain, &raw.heaviest_load) {
        (Some(_), Some(_)) => {
            let message = "\"permanent_strain\" and \"heaviest_load\" both say how far the wire has stretched for good";
            Err(here.key("heaviest_load").key_problem(Code::OneOf, message, "give one of them").into())
        }
        (Some(strain), None) => Ok(strain.si),
        (None, Some(load)) => {
            let tension_n = known_by.horizontal_n(conductor, spans, position_tolerance_m);
            // What is wrong with the tension is reported where the wire is made.
            let Ok(tension_n) = tension_n else { return interval(0.0, 0.0, here) };
            let here = here.key("heaviest_load");
            let most =
                most_strain(load, conductor, spans, (tension_n, known_by.temperature_degc()), conditions, &here)?;
            interval(0.0, most, &here)
        }
        (None, None) => {
            let words = "the wire has not stretched since its tautness was known";
            defaults.note(&here.key("permanent_strain"), "0 %", words);
            interval(0.0, 0.0, here)
        }
    }
}

/// The most that the load can have left in any span, over the range of what is known.
fn most_strain(
    raw: &RawHeaviestLoad,
    conductor: &Conductor,
    spans: &[Span],
    (tension_n, known_degc): (Interval, Interval),
    conditions: &Conditions,
    here: &Here<'_>,
) -> Result<f64, Problems> {
    let Conditions { air_density_kg_per_m3, drag, ice_density_kg_per_m3, .. } = *conditions;
    let model =
        LoadModel::new(conductor, air_density_kg_per_m3, drag, ice_density_kg_per_m3).with_ice(raw.ice.si > 0.0);
    let initial_n = raw.initial_stiffness.si * conductor.properties().axial_stiffness_n;
    let problem =
        |message: String| Problems::from(here.problem(Code::Shape, message, "check load, temperature and stiffness"));
    let wire = NewWire::new(*conductor, initial_n, model).map_err(|error| problem(error.to_string()))?;
    let heaviest = HeaviestLoad {
        temperature_degc: raw.conductor_temperature.si,
        wind_m_per_s: raw.wind_speed.si,
        ice_m: raw.ice.si,
    };
    let mut most = 0.0_f64;
    for span in spans {
        for strung_n in [tension_n.low(), tension_n.high()] {
            for degc in [known_degc.low(), known_degc.high()] {
                let strain = wire.permanent_strain(span, strung_n, degc, &heaviest);
                most = most.max(strain.map_err(|error| problem(error.to_string()))?);
            }
        }
    }
    Ok(most)
}
