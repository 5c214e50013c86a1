//! How high something may be that passes along a route: the height for goal posts.

use nalgebra::{Point2, Point3, Vector2};
use wideberth_physics::approach::Options;
use wideberth_physics::machine::{Body, FrameId, Machine, Placement};
use wideberth_physics::verdict::Verdict;
use wideberth_scenario::Job;

use crate::boundary::{Tried, nested};
use crate::decide::{PlanError, decide, targets};

/// A way along the ground.
#[derive(Clone, Debug, PartialEq)]
pub struct Route {
    /// Index of the machine whose limits hold: that of passing under, where its work says so.
    pub machine: usize,
    /// Places along its middle, in order.
    pub along: Vec<Point2<f64>>,
    /// Its width, m.
    pub width_m: f64,
    /// Level of the ground, m.
    pub ground_m: f64,
}

/// The greatest height along a route.
#[derive(Clone, Debug, PartialEq)]
pub struct Clearway {
    /// Everything up to this height above the ground keeps the limits over the whole width of the route, m: proven.
    pub clear_m: f64,
    /// One centimetre more is not clear, m; none where the greatest height that was tried is.
    pub not_clear_m: Option<f64>,
    /// Its verdict.
    pub verdict: Option<Verdict>,
}

/// Greatest height that is tried, cm.
const HIGHEST_CM: u32 = 6_000;

/// The greatest height along a route; none where even the ground is too close.
///
/// # Errors
/// When the route makes no sense, or a search cannot run.
pub fn clearway(job: &Job, route: &Route) -> Result<Option<Clearway>, PlanError> {
    check(route)?;
    let options = Options { max_cells: job.options.max_cells, ..job.options.clone() };
    let targets = targets(job, route.machine);
    // Counted from the greatest height down, so that a higher count is a stricter setting.
    let height_m = |setting: u32| f64::from(HIGHEST_CM - setting) * 0.01;
    let attempt = |setting: u32| {
        let way = way(route, height_m(setting))?;
        Ok(Tried { verdict: decide(&way, &targets, &options)?.verdict, rules_out: None })
    };
    let present = attempt(0)?.verdict;
    if present == Verdict::Clear {
        return Ok(Some(Clearway { clear_m: height_m(0), not_clear_m: None, verdict: None }));
    }
    let found = nested(HIGHEST_CM, present, attempt)?;
    Ok(found.map(|edge| Clearway {
        clear_m: height_m(edge.clear),
        not_clear_m: Some(height_m(edge.not_clear)),
        verdict: Some(edge.verdict),
    }))
}

/// Whether everything up to a height above the ground keeps the limits over the whole width of a route: proven.
///
/// # Errors
/// When the route makes no sense, or a search cannot run.
pub fn is_clear_up_to(job: &Job, route: &Route, height_m: f64) -> Result<bool, PlanError> {
    check(route)?;
    Ok(decide(&way(route, height_m)?, &targets(job, route.machine), &job.options)?.is_clear())
}

fn check(route: &Route) -> Result<(), PlanError> {
    let apart = route.along.windows(2).all(|ends| matches!(ends, [a, b] if (b - a).norm() > 1e-3));
    if route.along.len() < 2 || !apart {
        return Err(PlanError::Question("a route needs two places or more, each apart from the one before".into()));
    }
    if !(0.1..=50.0).contains(&route.width_m) {
        return Err(PlanError::Question("the width of a route must lie between 0.1 m and 50 m".into()));
    }
    Ok(())
}

/// Everything up to a height over the whole width of a route, as a machine without joints: a block along each leg, with an
/// upright post's room about each bend.
fn way(route: &Route, height_m: f64) -> Result<Machine, PlanError> {
    let origin = route.along.first().copied().unwrap_or(Point2::origin());
    let placement = Placement::level(Point3::new(origin.x, origin.y, route.ground_m));
    let legs = route
        .along
        .windows(2)
        .filter_map(|ends| Some(leg(ends.first()? - origin, ends.get(1)? - origin, route.width_m, height_m)));
    let bends = route.along.iter().map(|place| {
        let at = place - origin;
        let end = |z: f64| (Point3::new(at.x, at.y, z), 0.5 * route.width_m);
        Body::frustum("the way", FrameId(0), end(LOW_M), end(height_m.max(LOW_M + 1e-3)))
    });
    let frame = wideberth_physics::machine::Frame {
        name: "way".into(),
        role: wideberth_physics::machine::FrameRole::Part,
        parent: None,
        offset: nalgebra::Isometry3::identity(),
        motion: wideberth_physics::machine::Motion::Fixed,
    };
    Ok(Machine::new("the way", &placement, vec![frame], legs.chain(bends).collect())?)
}

/// The blocks start a little below the ground.
const LOW_M: f64 = -0.1;

fn leg(from: Vector2<f64>, to: Vector2<f64>, width_m: f64, height_m: f64) -> Body {
    let along = (to - from).normalize();
    let aside = Vector2::new(-along.y, along.x) * (0.5 * width_m);
    let corners = [from + aside, from - aside, to + aside, to - aside];
    let points: Vec<Point3<f64>> =
        corners.iter().flat_map(|c| [LOW_M, height_m].map(|z| Point3::new(c.x, c.y, z))).collect();
    Body::convex("the way", FrameId(0), &points)
}
