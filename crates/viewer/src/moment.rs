//! A moment: a pose of every machine, and the weather on the wires; and the gaps in it, asked of the physics crate.

use std::f64::consts::{PI, TAU};
use std::sync::Arc;

use wideberth_physics::approach::{ApproachError, Gap, Hanging, Standing, gap};
use wideberth_physics::assess::Assessment;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{Conditions, LoadsAlongSpan, SectionState, SpanState, WindDirection, Wire, WireSpan};
use wideberth_physics::study::Study;
use wideberth_scenario::Job;

use crate::hours::HourWeather;

/// A pose of every machine, and the weather.
#[derive(Clone, Debug, PartialEq)]
pub struct Moment {
    /// Joint values of each machine, rad or m.
    pub poses: Vec<Vec<f64>>,
    /// The weather.
    pub weather: Weather,
}

/// What the wires meet.
#[derive(Clone, Debug, PartialEq)]
pub struct Weather {
    /// Conductor temperature, °C; in an hour of the job's weather, that of the hottest wire.
    pub temperature_degc: f64,
    /// Wind speed, m/s.
    pub wind_m_per_s: f64,
    /// Bearing from which it blows, rad.
    pub wind_from_rad: f64,
    /// Radial ice, m.
    pub ice_m: f64,
    /// How taut the wires are within what is known of them.
    pub tautness: Tautness,
    /// The hour of the job's weather that gives each wire its own temperature; none where all have the same.
    pub hour: Option<Arc<HourWeather>>,
    /// The state of its section that a witness of the search has for a wire on strings: line, wire, state.
    pub section: Option<(usize, usize, SectionState)>,
}

/// How taut the wires are within what is known of them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tautness {
    /// As stated, at the conductor temperature.
    AsStated,
    /// As in a witness of the search: at this share of the range of unstretched lengths, temperature and tolerances together.
    Share(f64),
}

/// The gaps of a moment, one for each pairing of the study.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Gaps {
    /// The gap of each pairing.
    pub each: Vec<Gap>,
    /// The pairing with the least spare.
    pub least: usize,
}

impl Moment {
    /// Where the work starts: each joint at zero or at the end of its range that is nearest to it; wires as stated, at the
    /// middle temperature, in the least wind.
    #[must_use]
    pub fn start(job: &Job) -> Self {
        let rest = |range: &Interval| 0.0_f64.max(range.low()).min(range.high());
        let poses = job.study.machines.iter().map(|machine| machine.ranges().iter().map(rest).collect());
        Self { poses: poses.collect(), weather: Weather::calm(&conditions(job)) }
    }

    /// The certified worst case: the witness of the finding with the least spare. Machines that it does not concern keep
    /// their start.
    #[must_use]
    pub fn worst(job: &Job, assessment: &Assessment) -> Self {
        Self::of_finding(job, assessment, assessment.worst)
    }

    /// The witness of a finding.
    #[must_use]
    pub fn of_finding(job: &Job, assessment: &Assessment, finding: usize) -> Self {
        let mut moment = Self::start(job);
        let Some(found) = assessment.findings.get(finding) else { return moment };
        let (pairing, witness) = (found.pairing, &found.approach.witness);
        moment.poses[pairing.machine] = witness.pose.clone();
        let span = &job.study.lines[pairing.line].wires[pairing.wire].spans()[witness.span];
        let wind = witness.state.wind_m_per_s;
        let lengths = span.states().unstretched_m;
        let share =
            if lengths.width() > 0.0 { (witness.state.unstretched_m - lengths.low()) / lengths.width() } else { 0.5 };
        moment.weather = Weather {
            temperature_degc: witness.temperature_degc,
            wind_m_per_s: wind.abs(),
            wind_from_rad: bearing_from_rad(span, wind),
            ice_m: witness.state.ice_m,
            tautness: Tautness::Share(share),
            hour: None,
            section: witness.section.map(|section| (pairing.line, pairing.wire, section)),
        };
        moment
    }

    /// The machines in their poses.
    #[must_use]
    pub fn standing<'a>(&self, study: &'a Study) -> Vec<Standing<'a>> {
        study.machines.iter().zip(&self.poses).map(|(machine, pose)| Standing::new(machine, pose)).collect()
    }

    /// The gaps between every machine and every wire that it is paired with.
    ///
    /// # Errors
    /// When a wire has no shape in this weather.
    pub fn gaps(&self, study: &Study) -> Result<Gaps, ApproachError> {
        let machines = self.standing(study);
        let lines = study.lines.iter().enumerate().map(|(line, each)| {
            each.wires.iter().enumerate().map(|(wire, each)| self.weather.hang((line, wire), each)).collect()
        });
        let lines: Vec<Vec<Hanging<'_>>> = lines.collect::<Result<_, _>>()?;
        let found = study
            .pairings
            .iter()
            .map(|p| gap(&machines[p.machine], &lines[p.line][p.wire]).ok_or(ApproachError::NoSuchPair(*p)));
        Ok(Gaps::of(study, found.collect::<Result<Vec<_>, _>>()?))
    }
}

impl Gaps {
    /// The gaps of a study's pairings, in their order.
    #[must_use]
    pub fn of(study: &Study, each: Vec<Gap>) -> Self {
        let spare_m = |index: usize| each[index].distance_m - study.pairings[index].limit_m;
        let least = (0..each.len()).min_by(|a, b| spare_m(*a).total_cmp(&spare_m(*b))).unwrap_or_default();
        Self { each, least }
    }
}

/// The scenario's conditions as the first line has them; every scenario has a line.
#[must_use]
pub fn conditions(job: &Job) -> Conditions {
    job.lines[0].conditions
}

/// Bearing from which a wind blows that pushes a span to its left (positive) or right, rad.
fn bearing_from_rad(span: &WireSpan, wind_m_per_s: f64) -> f64 {
    let from = -span.span().lateral() * if wind_m_per_s < 0.0 { -1.0 } else { 1.0 };
    from.x.atan2(from.y).rem_euclid(TAU)
}

impl Weather {
    /// Wires as stated, at the middle of the temperatures, in the least wind and ice.
    #[must_use]
    pub fn calm(conditions: &Conditions) -> Self {
        let wind_from_rad = match conditions.wind_direction {
            WindDirection::Any => 1.5 * PI,
            WindDirection::Sector { from_rad, sweep_rad } => (from_rad + 0.5 * sweep_rad).rem_euclid(TAU),
        };
        Self {
            temperature_degc: conditions.temperature_degc.center(),
            wind_m_per_s: conditions.wind_m_per_s.low(),
            wind_from_rad,
            ice_m: conditions.ice_m.low(),
            tautness: Tautness::AsStated,
            hour: None,
            section: None,
        }
    }

    /// Conductor temperature of a wire of a line, °C.
    #[must_use]
    pub fn wire_degc(&self, (line, wire): (usize, usize)) -> f64 {
        let own = self.hour.as_ref().and_then(|hour| hour.hottest_degc(line, wire));
        own.unwrap_or(self.temperature_degc)
    }

    /// The state of a span of a line's wire in this weather.
    #[must_use]
    pub fn state(&self, at: (usize, usize), span: &WireSpan) -> SpanState {
        let wind_m_per_s = self.wind_across_m_per_s(span);
        match self.tautness {
            Tautness::AsStated => span.nominal_state(self.wire_degc(at), wind_m_per_s, self.ice_m),
            Tautness::Share(share) => {
                SpanState { unstretched_m: span.states().unstretched_m.at(share), wind_m_per_s, ice_m: self.ice_m }
            }
        }
    }

    /// A wire of a line in this weather.
    ///
    /// # Errors
    /// When it has no shape.
    pub fn hang<'a>(&self, at: (usize, usize), wire: &'a Wire) -> Result<Hanging<'a>, ApproachError> {
        let section = self.section.filter(|(line, wire, _)| (*line, *wire) == at).map(|(.., section)| section);
        Hanging::shaped(wire, |_, span| match section.and_then(|section| span.placed_in(&section)) {
            Some(placed) => placed.map(|placed| placed.shape),
            None => span.shape(&self.state(at, span)),
        })
    }

    /// The wind across a span, m/s, positive when it pushes to the span's left.
    fn wind_across_m_per_s(&self, span: &WireSpan) -> f64 {
        let Ok(wind_m_per_s) = Interval::point(self.wind_m_per_s) else { return 0.0 };
        let still = Interval::point(0.0).unwrap_or(wind_m_per_s);
        let wind = Conditions {
            temperature_degc: still,
            wind_m_per_s,
            wind_direction: WindDirection::Sector { from_rad: self.wind_from_rad, sweep_rad: 0.0 },
            ice_m: still,
            ice_density_kg_per_m3: 913.0,
            air_density_kg_per_m3: 1.225,
            drag: 1.0,
            wind_rise_rad: Interval::ZERO,
            loads_along_span: LoadsAlongSpan::Uniform,
            sway_allowance_m: 0.0,
        };
        wind.wind_across(span.span()).center()
    }
}
