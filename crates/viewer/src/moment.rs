//! A moment: a pose of every machine, and the weather on the wires; and the gaps in it, asked of the physics crate.

use std::f64::consts::{PI, TAU};
use std::sync::Arc;

use wideberth_physics::approach::{ApproachError, Gap, Hanging, Standing, gap};
use wideberth_physics::assess::{Assessment, Finding};
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
    /// The wire that is shown in a witness's own state; none where all wires hang by the weather alone.
    pub pinned: Option<Pinned>,
}

/// A wire in the state of a witness of the search.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pinned {
    /// Index of the line.
    pub line: usize,
    /// Index of the wire.
    pub wire: usize,
    /// Its unstretched length as a share of the range of the answer that is shown; it may lie outside 0..1 where the witness is of
    /// another answer, such as that of an hour. None where the tautness of the weather holds for it too.
    pub share: Option<f64>,
    /// The state of its section, where it hangs on strings.
    pub section: Option<SectionState>,
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

    /// The proven worst case: the witness of the finding with the least spare. Machines that it does not concern keep
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
        let (pairing, pinned) = (found.pairing, pinned(&job.study, found));
        moment.poses[pairing.machine] = found.approach.witness.pose.clone();
        moment.weather = Weather {
            tautness: Tautness::Share(pinned.share.unwrap_or(0.5)),
            pinned: Some(Pinned { share: None, ..pinned }),
            ..Weather::met_by(&job.study, found)
        };
        moment
    }

    /// The witness of a finding of another answer about the same job, such as that of an hour: its wire in its own state, the others as
    /// stated in its weather.
    #[must_use]
    pub fn of_other(job: &Job, found: &Finding) -> Self {
        let mut moment = Self::start(job);
        moment.poses[found.pairing.machine] = found.approach.witness.pose.clone();
        moment.weather = Weather { pinned: Some(pinned(&job.study, found)), ..Weather::met_by(&job.study, found) };
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

/// The wire of a finding in the state of its witness.
fn pinned(study: &Study, found: &Finding) -> Pinned {
    let (pairing, witness) = (found.pairing, &found.approach.witness);
    let lengths = study.lines[pairing.line].wires[pairing.wire].spans()[witness.span].states().unstretched_m;
    let share =
        if lengths.width() > 0.0 { (witness.state.unstretched_m - lengths.low()) / lengths.width() } else { 0.5 };
    Pinned { line: pairing.line, wire: pairing.wire, share: Some(share), section: witness.section }
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
            pinned: None,
        }
    }

    /// What the wire of a finding meets in its witness; wires as stated.
    fn met_by(study: &Study, found: &Finding) -> Self {
        let (pairing, witness) = (found.pairing, &found.approach.witness);
        let span = &study.lines[pairing.line].wires[pairing.wire].spans()[witness.span];
        let wind = witness.state.wind_m_per_s;
        Self {
            temperature_degc: witness.temperature_degc,
            wind_m_per_s: wind.abs(),
            wind_from_rad: bearing_from_rad(span, wind),
            ice_m: witness.state.ice_m,
            tautness: Tautness::AsStated,
            hour: None,
            pinned: None,
        }
    }

    /// The same wires in the ranges of another answer: shares of ranges of unstretched lengths become those of the other's ranges.
    #[must_use]
    pub fn rebased(&self, from: &Study, to: &Study) -> Self {
        let share = |share: f64, (line, wire): (usize, usize)| {
            let range = |study: &Study| {
                let span = study.lines.get(line)?.wires.get(wire)?.spans().first()?;
                Some(span.states().unstretched_m)
            };
            match range(from).zip(range(to)) {
                Some((from, to)) if to.width() > 0.0 => (from.at(share) - to.low()) / to.width(),
                _ => share,
            }
        };
        let at = self.pinned.map_or((0, 0), |pinned| (pinned.line, pinned.wire));
        Self {
            tautness: match self.tautness {
                Tautness::AsStated => Tautness::AsStated,
                Tautness::Share(own) => Tautness::Share(share(own, at)),
            },
            pinned: self.pinned.map(|pinned| Pinned { share: pinned.share.map(|own| share(own, at)), ..pinned }),
            ..self.clone()
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
        let own = self.pinned.filter(|pinned| (pinned.line, pinned.wire) == at).and_then(|pinned| pinned.share);
        match own.map_or(self.tautness, Tautness::Share) {
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
        let own = self.pinned.filter(|pinned| (pinned.line, pinned.wire) == at);
        let section = own.and_then(|pinned| pinned.section);
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
