//! What every plugin of the scene shares: states, the order of a frame's steps, and the resources that they pass on.

use std::sync::Arc;

use bevy::prelude::*;
use nalgebra::Point3;
use wideberth_physics::approach::{ApproachError, Hanging, gap};
use wideberth_physics::line::{StateShape, Wire, WireSpan};
use wideberth_physics::study::Study;
use wideberth_report::Units;

use crate::frame::SceneFrame;
use crate::gusts::Instant;
use crate::loaded::{LoadError, Loaded, Origin};
use crate::moment::{Gaps, Moment};
use crate::paths::Course;
use crate::view_model::{Judged, Scope, Standing as HowFar};
use crate::views::Subject;

/// Where the program is.
#[derive(States, Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Stage {
    /// A scenario is being read and answered.
    #[default]
    Loading,
    /// It is shown.
    Ready,
    /// There is nothing to show.
    Failed,
}

/// The steps of a frame, in their order.
#[derive(SystemSet, Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Step {
    /// People change what they want to see.
    Input,
    /// What plays moves on.
    Play,
    /// Gaps and shapes of the wanted moment.
    Gaps,
    /// The camera.
    Camera,
    /// The scene follows.
    Draw,
    /// Texts over the scene.
    Text,
}

impl Proven {
    /// Whether it is the answer to what is asked; not while the answer for other ranges is on its way, or refused.
    #[must_use]
    pub fn is_current(&self) -> bool {
        matches!(self.scope, Scope::Stated | Scope::Changed(_))
    }
}

impl Standing {
    /// Whether nothing proves what is seen.
    #[must_use]
    pub fn is_in_doubt(&self) -> bool {
        self.standing == HowFar::Unproven || !self.beyond.is_empty()
    }
}

/// Everything of one scenario; goes when another is loaded.
#[derive(Component, Clone, Copy, Debug, Default)]
pub struct SceneThing;

/// Where the scenario comes from.
#[derive(Resource, Clone, Debug)]
pub struct Source(pub Origin);

/// The scenario that is shown, with its answer. Never changed, only replaced.
#[derive(Resource, Clone, Debug, Deref)]
pub struct Shown(pub Arc<Loaded>);

/// The proven answer that is shown: that of the scenario, or of ranges that somebody changed. Everything on the screen belongs to it:
/// banner, card, table, sliders, ghost.
#[derive(Resource, Clone, Debug, Deref)]
pub struct Proven {
    /// The answer.
    #[deref]
    pub loaded: Arc<Loaded>,
    /// What it is for.
    pub scope: Scope,
}

/// How the moment that is shown stands to the answer that is shown.
#[derive(Resource, Clone, Debug, PartialEq, Eq, Deref)]
pub struct Standing(pub Judged);

/// Why there is nothing to show.
#[derive(Resource, Clone, Debug)]
pub struct Trouble(pub LoadError);

/// The moment that people want to see.
#[derive(Resource, Clone, Debug, PartialEq, Deref, DerefMut)]
pub struct Wanted(pub Moment);

/// The moment that is shown: gaps and shapes, always of the same moment.
#[derive(Resource, Clone, Debug)]
pub struct Now {
    /// The moment.
    pub moment: Moment,
    /// Its gaps.
    pub gaps: Gaps,
    /// Every span as it hangs.
    pub wires: Arc<Vec<SpanCurve>>,
    /// Whether it is the proven worst case.
    pub is_worst: bool,
    /// The instant of gusts that it shows; none where the wires hang still.
    pub instant: Option<Instant>,
}

/// The proven worst case.
#[derive(Resource, Clone, Debug)]
pub struct Worst {
    /// Its moment.
    pub moment: Moment,
    /// Its gaps.
    pub gaps: Gaps,
    /// Every span as it hangs.
    pub wires: Arc<Vec<SpanCurve>>,
    /// What the cameras show.
    pub subject: Subject,
    /// What plays.
    pub course: Course,
}

/// A span as it hangs.
#[derive(Clone, Debug, PartialEq)]
pub struct SpanCurve {
    /// Index of the line.
    pub line: usize,
    /// Index of the wire.
    pub wire: usize,
    /// Place of the span among those of the wire.
    pub place: usize,
    /// Points along it, m.
    pub points: Vec<Point3<f64>>,
    /// Radius of the wire, m.
    pub radius_m: f64,
    /// Its shape while it hangs still.
    pub shape: StateShape,
}

/// How things are shown.
#[derive(Resource, Clone, Debug, PartialEq)]
pub struct Look {
    /// Units of numbers.
    pub units: Units,
    /// Size of text, 1 is normal.
    pub text_size: f32,
    /// Whether the help is open.
    pub help: bool,
    /// Whether the panel is open.
    pub panel: bool,
}

/// Points along a span.
const SPAN_POINTS: usize = 40;

/// Every span of a study in a moment's weather.
///
/// # Errors
/// When a wire has no shape.
pub fn curves(loaded: &Loaded, moment: &Moment) -> Result<Vec<SpanCurve>, ApproachError> {
    let mut curves = Vec::new();
    for (line, each) in loaded.job.study.lines.iter().enumerate() {
        for (wire, strung) in each.wires.iter().enumerate() {
            let hanging = moment.weather.hang((line, wire), strung)?;
            for (place, (span, shape)) in hanging.spans().enumerate() {
                let point = |k: usize| span.point(shape, k as f64 / SPAN_POINTS as f64);
                let points = (0..=SPAN_POINTS).map(point).collect();
                curves.push(SpanCurve { line, wire, place, points, radius_m: shape.radius_m, shape: *shape });
            }
        }
    }
    Ok(curves)
}

/// The gaps of a moment to wires that hang still, whose shapes are known.
///
/// # Errors
/// When a pairing names a machine without bodies.
pub fn gaps_to(study: &Study, moment: &Moment, wires: &[SpanCurve]) -> Result<Gaps, ApproachError> {
    let machines = moment.standing(study);
    let hanging = hanging(study, wires)?;
    let found = study
        .pairings
        .iter()
        .map(|p| gap(&machines[p.machine], &hanging[p.line][p.wire]).ok_or(ApproachError::NoSuchPair(*p)));
    Ok(Gaps::of(study, found.collect::<Result<_, _>>()?))
}

/// Wires that hang still, by line, from the shapes of their spans in the order of [`curves`].
///
/// # Errors
/// When a span that is not among them has no shape.
pub fn hanging<'a>(study: &'a Study, wires: &[SpanCurve]) -> Result<Vec<Vec<Hanging<'a>>>, ApproachError> {
    let mut rest = wires;
    let mut hang = |wire: &'a Wire| {
        let (own, others) = rest.split_at(wire.spans().len().min(rest.len()));
        rest = others;
        Hanging::shaped(wire, |place, span| {
            own.get(place).map_or_else(|| span.shape(&span.states().center()), |curve| Ok(curve.shape))
        })
    };
    study.lines.iter().map(|line| line.wires.iter().map(&mut hang).collect()).collect()
}

/// Every span of a study: line, wire, span.
pub fn spans(loaded: &Loaded) -> impl Iterator<Item = (usize, usize, &WireSpan)> {
    loaded.job.study.lines.iter().enumerate().flat_map(|(line, each)| {
        let wires = each.wires.iter().enumerate();
        wires.flat_map(move |(wire, strung)| strung.spans().iter().map(move |span| (line, wire, span)))
    })
}

/// Reference points of the machines, m.
#[must_use]
pub fn bases(loaded: &Loaded) -> Vec<Point3<f64>> {
    loaded.job.machines.iter().map(|machine| machine.position).collect()
}

/// The frame of the scene: its origin below the gap of the worst case.
#[must_use]
pub fn scene_frame(subject: &Subject) -> SceneFrame {
    SceneFrame { origin: Point3::new(subject.base.x.round(), subject.base.y.round(), subject.base.z.round()) }
}

/// Computes the worst case of an answer.
///
/// # Errors
/// When a wire has no shape, or nothing is paired.
pub fn worst_of(loaded: &Loaded) -> Result<Worst, LoadError> {
    let wrong = |error: &dyn std::fmt::Display| LoadError::Search(error.to_string());
    let moment = Moment::worst(&loaded.job, &loaded.assessment);
    let wires = Arc::new(curves(loaded, &moment).map_err(|error| wrong(&error))?);
    let gaps = gaps_to(&loaded.job.study, &moment, &wires).map_err(|error| wrong(&error))?;
    let subject = Subject::new(&loaded.job.study, &bases(loaded), &moment, &gaps);
    let subject = subject.ok_or_else(|| wrong(&"no machine is paired with a wire"))?;
    let course = Course::new(&loaded.job, &moment, &loaded.hours);
    Ok(Worst { moment, gaps, wires, subject, course })
}
