//! A closest approach that exists: one pose and one state of the wire inside the job's own ranges, solved exactly.
//!
//! The search finds a pose and a state of its own ranges, less all margins. Here the wire takes the nearest state that the job
//! allows, in weather that may differ along it, its attachments moved toward the machine by their tolerance; then pose and
//! state climb to where they come closest. Every result is a true distance; none is a bound.

use nalgebra::{Point3, Vector3};

use super::bound::whole_pose;
use super::hull::{PlacedFeature, nearest_on_hull};
use super::limiter::{self, Limiter, Tops};
use super::posed::{Carried, Joints, Posed};
use super::types::{Approach, ApproachError, Witness};
use crate::interval::Interval;
use crate::line::{
    CatenaryError, Conditions, History, LoadPiece, LoadPieces, PieceCurve, RealWire, SectionState, SpanState,
    WindDirection, Wire, WireSpan,
};
use crate::machine::{Body, Machine};

/// A pose and a real state of the wire, and how close they come.
#[derive(Clone, Debug, PartialEq)]
pub struct Attained {
    /// Pose, state and nearest points; its distance has nothing subtracted.
    pub witness: Witness,
    /// The wire in that state.
    pub wire: RealWire,
}

/// A pose and a state that the job allows, about the closest that there are near those that a search has found.
///
/// # Errors
/// When the wire has no shape in the state that was found.
pub fn attained(machine: &Machine, wire: &Wire, found: &Approach) -> Result<Attained, ApproachError> {
    let witness = &found.witness;
    let (Some(span), Some(body)) = (wire.spans().get(witness.span), machine.bodies().get(witness.body)) else {
        return Err(ApproachError::NothingToAssess);
    };
    let carried = Carried::new(machine, body);
    let tops = if machine.is_limited() { Tops::of(machine) } else { Tops::default() };
    let limiters = Limiter::all(machine, &tops, &carried);
    let scene = Scene { span, body, carried: &carried, limiters: &limiters, found: witness };
    match &witness.section {
        Some(section) => scene.strung(section),
        None => scene.rigid(),
    }
}

/// A body and a span.
struct Scene<'a> {
    span: &'a WireSpan,
    body: &'a Body,
    carried: &'a Carried<'a>,
    limiters: &'a [Limiter<'a>],
    /// What the search found.
    found: &'a Witness,
}

/// The nearest points of a body and a wire.
#[derive(Clone, Copy)]
struct Meeting {
    /// Share of the unstretched length.
    share: f64,
    on_axis: Point3<f64>,
    on_hull: Point3<f64>,
    wire_m: f64,
    /// Between the surfaces; negative where they overlap.
    distance_m: f64,
}

/// A trial: where it is and how close it comes.
#[derive(Clone)]
struct Trial {
    choice: Choice,
    meeting: Meeting,
    /// Force in the wire at its near end, N.
    near_n: Vector3<f64>,
}

/// Weather of a piece, as shares of the job's ranges.
#[derive(Clone, Copy)]
struct Weather {
    speed: f64,
    bearing: f64,
    ice: f64,
}

/// A pose and a state by numbers that may be changed one by one; shares of ranges but for the joints.
#[derive(Clone)]
struct Choice {
    joints: Joints,
    slack: f64,
    core: f64,
    inside: Weather,
    outside: Weather,
    /// The piece with the weather inside: shares of the unstretched length.
    from: f64,
    to: f64,
}

/// Numbers of a choice beside the joints.
const NUMBERS: usize = 10;
/// First step of the climb, as a share of each range, and the last.
const FIRST_STEP: f64 = 0.125;
const LAST_STEP: f64 = 1e-5;
/// Most trials of a climb.
const TRIALS: usize = 1500;
/// Bearings tried for a wind with a given part across.
const BEARINGS: usize = 64;
/// Shortest piece, as a share of the wire.
const SHORTEST: f64 = 1e-4;

impl Choice {
    fn number(&mut self, index: usize) -> &mut f64 {
        match index {
            0 => &mut self.slack,
            1 => &mut self.core,
            2 => &mut self.inside.speed,
            3 => &mut self.inside.bearing,
            4 => &mut self.inside.ice,
            5 => &mut self.outside.speed,
            6 => &mut self.outside.bearing,
            7 => &mut self.outside.ice,
            8 => &mut self.from,
            _ => &mut self.to,
        }
    }
}

impl Scene<'_> {
    fn conditions(&self) -> &Conditions {
        self.span.conditions()
    }

    /// A wire on strings: in the state of its section that the search found.
    fn strung(&self, section: &SectionState) -> Result<Attained, ApproachError> {
        let posed = self.posed(&self.own_joints(&self.found.pose));
        let hang = |shift_m: &Vector3<f64>| -> Result<Option<(RealWire, SectionState, Meeting)>, CatenaryError> {
            let Some(real) = self.span.real_in(section, shift_m) else { return Ok(None) };
            let (real, section) = real?;
            let meeting = self.closest(&posed, &real.curve()?);
            Ok(Some((real, section, meeting)))
        };
        let mut best = hang(&Vector3::zeros())?.ok_or(ApproachError::NothingToAssess)?;
        for shift_m in self.shifts(&best.2) {
            best = hang(&shift_m)?.filter(|next| next.2.distance_m < best.2.distance_m).unwrap_or(best);
        }
        let (real, section, meeting) = best;
        let witness = Witness { section: Some(section), ..self.found.clone() };
        Ok(self.attained(witness, real, &meeting))
    }

    /// A wire between rigid attachments.
    fn rigid(&self) -> Result<Attained, ApproachError> {
        let start = self.even_start();
        let even = self.trial(start.clone(), None).ok_or(CatenaryError::NotConverged {
            unstretched_m: self.found.state.unstretched_m,
            chord_m: self.span.span().chord().norm(),
        })?;
        let starts = self.starts(&start, even.meeting.share).into_iter().filter_map(|choice| self.trial(choice, None));
        let best = self.climb(starts.fold(even, nearer));
        self.moved(&best)
    }

    /// The even weather of the job that is most like that of the search's state.
    fn even_start(&self) -> Choice {
        let state = &self.found.state;
        let (speed, bearing) = self.wind_like(state.wind_m_per_s);
        let weather = Weather { speed, bearing, ice: share_of(self.conditions().ice_m, state.ice_m) };
        let slack = self.span.slack_of(0.0, state.unstretched_m);
        let joints = self.own_joints(&self.found.pose);
        Choice { joints, slack, core: 0.0, inside: weather, outside: weather, from: 0.0, to: 1.0 }
    }

    /// Shares of speed and bearing of the job's wind whose part across the span is nearest to a speed.
    fn wind_like(&self, across_m_per_s: f64) -> (f64, f64) {
        let (conditions, left) = (self.conditions(), self.span.span().lateral());
        let tries = (0..=BEARINGS).map(|k| {
            let bearing = k as f64 / BEARINGS as f64;
            let rad = conditions.wind_direction.at(bearing);
            let across = -(left.x * rad.sin() + left.y * rad.cos());
            let speeds = conditions.wind_m_per_s;
            let wanted = if across == 0.0 { speeds.low() } else { across_m_per_s / across };
            let speed_m_per_s = wanted.clamp(speeds.low(), speeds.high());
            let off_m_per_s = (speed_m_per_s * across - across_m_per_s).abs();
            // Of winds with the same part across, the one with the least along.
            (off_m_per_s + 1e-6 * speed_m_per_s, share_of(speeds, speed_m_per_s), bearing)
        });
        let best = tries.min_by(|a, b| a.0.total_cmp(&b.0));
        best.map_or((0.0, 0.0), |(_, speed, bearing)| (speed, bearing))
    }

    /// Choices to begin with, for a place along the wire: the strong weather on a piece and the weakest elsewhere, and the other
    /// way round. None where the job's weather is one.
    fn starts(&self, even: &Choice, t: f64) -> Vec<Choice> {
        if !self.is_free(8, even) {
            return Vec::new();
        }
        let calm = Weather { speed: 0.0, ice: 0.0, ..even.inside };
        let pieces = [(0.0, 0.5), (0.5, 1.0), (t - 0.25, t + 0.25), (t - 0.4, t + 0.1), (t - 0.1, t + 0.4)];
        let pieces = pieces.map(|(from, to): (f64, f64)| (from.max(0.0), to.min(1.0)));
        let with = |(from, to)| {
            let strong = Choice { outside: calm, from, to, ..even.clone() };
            let weak = Choice { inside: calm, outside: even.inside, from, to, ..even.clone() };
            [strong, weak]
        };
        pieces.into_iter().flat_map(with).collect()
    }

    fn own_joints(&self, pose: &[f64]) -> Joints {
        let mut joints = Joints::default();
        for (own, &joint) in joints.iter_mut().zip(self.carried.joints()) {
            *own = pose.get(joint).copied().unwrap_or_default();
        }
        joints
    }

    fn posed(&self, joints: &Joints) -> Posed {
        let mut posed = self.carried.blank();
        self.carried.pose(joints, &mut posed);
        posed
    }

    fn weather(&self, choice: &Choice) -> Option<LoadPieces> {
        let piece = |to_share: f64, weather: &Weather| {
            let conditions = self.conditions();
            let (sin, cos) = conditions.wind_direction.at(weather.bearing).sin_cos();
            let wind_m_per_s = Vector3::new(sin, cos, 0.0) * -conditions.wind_m_per_s.at(weather.speed);
            LoadPiece { to_share, wind_m_per_s, ice_m: conditions.ice_m.at(weather.ice) }
        };
        let mut pieces = Vec::with_capacity(3);
        if choice.from > 0.0 {
            pieces.push(piece(choice.from, &choice.outside));
        }
        pieces.push(piece(choice.to, &choice.inside));
        if choice.to < 1.0 {
            pieces.push(piece(1.0, &choice.outside));
        }
        LoadPieces::new(pieces)
    }

    fn real(&self, choice: &Choice, shift_m: Vector3<f64>) -> Option<RealWire> {
        let history = History { slack: choice.slack, core: choice.core, shift_m };
        self.span.real(&history, &self.weather(choice)?)
    }

    /// How close a choice comes with the attachments where they are stated; none where there is no such state or limiters keep the
    /// machine from that pose.
    ///
    /// Beside a known trial its force is where the wire's is sought from, and its nearest place where the nearest is.
    fn trial(&self, choice: Choice, beside: Option<&Trial>) -> Option<Trial> {
        if !self.limiters.iter().all(|limiter| limiter.admits(&choice.joints)) {
            return None;
        }
        let real = self.real(&choice, Vector3::zeros())?;
        let curve = real.wire.bearing_from(&real.forces, beside.map(|trial| trial.near_n)).ok()?;
        let posed = self.posed(&choice.joints);
        let meeting = match beside {
            Some(trial) => self.closest_beside(&posed, &curve, trial.meeting.share),
            None => self.closest(&posed, &curve),
        };
        let near_n = curve.near_force_n();
        meeting.distance_m.is_finite().then_some(Trial { choice, meeting, near_n })
    }

    /// From a trial to a closer one: each number a step up or down, and shorter steps where none helps.
    fn climb(&self, start: Trial) -> Trial {
        let count = self.carried.joints().len();
        let (mut best, mut step, mut trials) = (start, FIRST_STEP, 0);
        while step > LAST_STEP && trials < TRIALS {
            let before_m = best.meeting.distance_m;
            for index in 0..count + NUMBERS {
                for way in [step, -step] {
                    let Some(choice) = self.stepped(&best.choice, index, way) else { continue };
                    trials += 1;
                    let Some(next) = self.trial(choice, Some(&best)) else { continue };
                    if next.meeting.distance_m < best.meeting.distance_m {
                        best = next;
                        break;
                    }
                }
            }
            if best.meeting.distance_m >= before_m - 0.01 * step {
                step *= 0.5;
            }
        }
        best
    }

    /// A choice with one of its numbers moved by a share of its range; none where that changes nothing.
    fn stepped(&self, from: &Choice, index: usize, step: f64) -> Option<Choice> {
        let mut next = from.clone();
        let count = self.carried.joints().len();
        if index < count {
            let range = self.carried.ranges()[index];
            let value = (next.joints[index] + step * range.width()).clamp(range.low(), range.high());
            if value == next.joints[index] {
                return None;
            }
            next.joints[index] = value;
            let (center, half) = self.box_of_poses();
            next.joints = limiter::admitted(self.limiters, next.joints, &center, &half)?;
            return Some(next);
        }
        let number = index - count;
        if !self.is_free(number, from) {
            return None;
        }
        let turns = matches!(number, 3 | 6) && self.conditions().wind_direction == WindDirection::Any;
        let value = next.number(number);
        let moved = *value + step;
        let moved = if turns { moved.rem_euclid(1.0) } else { moved.clamp(0.0, 1.0) };
        if moved == *value {
            return None;
        }
        *value = moved;
        (next.to - next.from >= SHORTEST).then_some(next)
    }

    /// Whether one of the numbers of a choice changes its state at all.
    fn is_free(&self, number: usize, choice: &Choice) -> bool {
        let conditions = self.conditions();
        let (wind, ice) = (conditions.wind_m_per_s, conditions.ice_m);
        let differs = choice.from > 0.0 || choice.to < 1.0;
        match number {
            0 => true,
            1 => self.span.strand().has_core(),
            2 => wind.width() > 0.0,
            3 => wind.high() > 0.0,
            4 => ice.width() > 0.0,
            5 => differs && wind.width() > 0.0,
            6 => differs && wind.high() > 0.0,
            7 => differs && ice.width() > 0.0,
            _ => wind.high() > 0.0 || ice.width() > 0.0,
        }
    }

    fn box_of_poses(&self) -> (Joints, Joints) {
        let (mut center, mut half) = (Joints::default(), Joints::default());
        for (joint, range) in self.carried.ranges().iter().enumerate() {
            (center[joint], half[joint]) = (range.center(), range.half_width());
        }
        (center, half)
    }

    /// The attachments moved, both alike, by their tolerance toward the machine or level toward it, where that brings the wire
    /// closer with what is then known of it.
    fn moved(&self, trial: &Trial) -> Result<Attained, ApproachError> {
        let posed = self.posed(&trial.choice.joints);
        let hang = |shift_m: Vector3<f64>| -> Option<(RealWire, Meeting)> {
            let real = self.real(&trial.choice, shift_m)?;
            let meeting = self.closest(&posed, &real.curve().ok()?);
            Some((real, meeting))
        };
        let plain = hang(Vector3::zeros()).ok_or(ApproachError::NothingToAssess)?;
        let shifts = self.shifts(&plain.1).into_iter().filter_map(hang);
        let (real, meeting) =
            shifts.fold(plain, |best, next| if next.1.distance_m < best.1.distance_m { next } else { best });
        let pose = whole_pose(self.carried, &trial.choice.joints, &self.found.pose);
        let witness = Witness { pose, section: None, ..self.found.clone() };
        Ok(self.attained(witness, real, &meeting))
    }

    /// Shifts that may bring the wire closer, m: straight toward the body, and level.
    fn shifts(&self, meeting: &Meeting) -> Vec<Vector3<f64>> {
        let tolerance_m = self.span.position_tolerance_m();
        let toward = (meeting.on_hull - meeting.on_axis).try_normalize(1e-9);
        let Some(toward) = toward.filter(|_| tolerance_m > 0.0) else { return Vec::new() };
        // No more than to where the axes touch.
        let most_m = tolerance_m.min((meeting.on_hull - meeting.on_axis).norm());
        let level = self.span.is_known_by_height().then(|| Vector3::new(toward.x, toward.y, 0.0));
        let level = level.and_then(|way| way.try_normalize(1e-9)).map(|way| way * most_m);
        std::iter::once(toward * most_m).chain(level).collect()
    }

    /// The pose of a witness with the wire in a real state.
    fn attained(&self, pose: Witness, real: RealWire, meeting: &Meeting) -> Attained {
        let apart = meeting.on_hull - meeting.on_axis;
        let toward = apart.try_normalize(1e-9).unwrap_or_default();
        let left = self.span.span().lateral();
        let piece = real.forces.iter().position(|force| meeting.share <= force.to_share).unwrap_or(0);
        let force = &real.forces[piece];
        let state = SpanState {
            unstretched_m: real.wire.unstretched_m,
            wind_m_per_s: real.winds_m_per_s[piece].dot(&left),
            ice_m: force.ice_m,
        };
        let witness = Witness {
            fraction: real.fraction_of(&meeting.on_axis),
            state,
            temperature_degc: real.history.temperature_degc,
            swing_rad: force.force_n_per_m.dot(&left).atan2(-force.force_n_per_m.z),
            on_body: meeting.on_hull - toward * self.body.radius_m.min(apart.norm()),
            on_wire: meeting.on_axis + toward * meeting.wire_m,
            distance_m: meeting.distance_m.max(0.0),
            ..pose
        };
        Attained { witness, wire: real }
    }

    /// Nearest points of the body and the wire about a share of its length.
    fn closest_beside(&self, posed: &Posed, curve: &PieceCurve, share: f64) -> Meeting {
        let at = |share: f64| self.meeting(&posed.features, curve, share);
        let fine = golden_section(&at, (share - BESIDE).max(0.0), (share + BESIDE).min(1.0), SECTIONS_BESIDE);
        let same = at(share);
        if fine.distance_m < same.distance_m { fine } else { same }
    }

    /// The nearest points of the body and the wire, by places along it and golden sections about the nearest.
    fn closest(&self, posed: &Posed, curve: &PieceCurve) -> Meeting {
        let features = &posed.features;
        let at = |share: f64| self.meeting(features, curve, share);
        let mut places: Vec<f64> = (0..=PLACES).map(|k| k as f64 / PLACES as f64).collect();
        places.extend(curve.breaks());
        places.sort_by(f64::total_cmp);
        let met: Vec<Meeting> = places.iter().map(|share| at(*share)).collect();
        let nearest = (0..met.len()).min_by(|a, b| met[*a].distance_m.total_cmp(&met[*b].distance_m)).unwrap_or(0);
        let (low, high) = (places[nearest.saturating_sub(1)], places[(nearest + 1).min(places.len() - 1)]);
        let fine = golden_section(&at, low, high, SECTIONS);
        if fine.distance_m < met[nearest].distance_m { fine } else { met[nearest] }
    }

    fn meeting(&self, features: &[PlacedFeature], curve: &PieceCurve, share: f64) -> Meeting {
        let on_axis = curve.point(share);
        let on_hull = nearest_on_hull(features, &on_axis);
        let wire_m = self.span.strand().load().radius_m(curve.ice_m(share));
        let distance_m = (on_hull - on_axis).norm() - self.body.radius_m - wire_m;
        Meeting { share, on_axis, on_hull, wire_m, distance_m }
    }
}

/// Places along a wire at which its distance is measured first.
const PLACES: usize = 24;
/// Golden sections about the nearest: to 10⁻⁶ of the step between.
const SECTIONS: usize = 30;
/// How far about a known place the nearest is sought, as a share of the length, and sections there.
const BESIDE: f64 = 0.05;
const SECTIONS_BESIDE: usize = 18;

fn golden_section(at: &impl Fn(f64) -> Meeting, mut low: f64, mut high: f64, sections: usize) -> Meeting {
    const SHARE: f64 = 0.618_033_988_749_894_9;
    let inner = |low: f64, high: f64| [high - SHARE * (high - low), low + SHARE * (high - low)];
    let [mut a, mut b] = inner(low, high).map(at);
    for _ in 0..sections {
        if a.distance_m <= b.distance_m {
            (high, b) = (b.share, a);
            a = at(inner(low, high)[0]);
        } else {
            (low, a) = (a.share, b);
            b = at(inner(low, high)[1]);
        }
    }
    if a.distance_m <= b.distance_m { a } else { b }
}

fn nearer(a: Trial, b: Trial) -> Trial {
    if b.meeting.distance_m < a.meeting.distance_m { b } else { a }
}

/// The share of a range at which a value lies; 0 where the range is a single value.
fn share_of(range: Interval, value: f64) -> f64 {
    if range.width() > 0.0 { ((value - range.low()) / range.width()).clamp(0.0, 1.0) } else { 0.0 }
}
