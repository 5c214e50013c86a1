//! Digging beside buried lines: how close does anything that enters the ground come to the tolerance zone?
//!
//! A mark says where a buried line lies on the map, not how deep. So a part must stay away from the whole upright sheet
//! below the mark, from the surface down to where the part can dig. The sheet is searched as level lines one above the
//! other; `docs/theory/digging.md` shows what lies between them.

use nalgebra::{Point2, Point3};
use rayon::prelude::*;
use wideberth_physics::approach::{ApproachError, Options, closest_approach};
use wideberth_physics::bracket::Bracket;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{
    Conditions, Conductor, ConductorProperties, KnownBy, LoadsAlongSpan, Span, WindDirection, Wire, WireDescription,
};
use wideberth_physics::machine::Machine;
use wideberth_physics::verdict::Verdict;
use wideberth_scenario::Job;
use wideberth_scenario::job::{Buried, Depth, DiggingPart, GroundPoint};

/// One thing that enters the ground against one buried line.
#[derive(Clone, Debug, PartialEq)]
pub struct GroundFinding {
    /// What enters the ground.
    pub what: Digger,
    /// Index of the buried line.
    pub buried: usize,
    /// Distance from the mark, on the map for points; for parts from the sheet below the mark.
    pub distance: Bracket,
    /// Distance in space from the line itself, where its depth was measured and a machine digs.
    pub to_line: Option<Bracket>,
    /// Whether the tolerance zone is kept, or entered only by hand.
    pub verdict: Verdict,
    /// Whether it enters the zone by hand.
    pub by_hand: bool,
}

/// What enters the ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Digger {
    /// A part of a machine, by its index in the job's ground work.
    Part(usize),
    /// A point, by its index in the job's ground work.
    Point(usize),
}

/// Spacing of the level lines that stand for a sheet, m, before it is refined.
const SPACING_M: f64 = 0.25;

/// How often the spacing is divided by four while the zone's edge lies inside the bracket.
const REFINEMENTS: usize = 2;

/// Tolerance of each search, m, before it is refined.
const TOLERANCE_M: f64 = 0.005;

/// Everything that enters the ground against every buried line.
///
/// # Errors
/// When a buried line cannot be modelled, which the scenario's checks rule out.
pub fn digging(job: &Job) -> Result<Vec<GroundFinding>, ApproachError> {
    let Some(work) = &job.ground_work else { return Ok(Vec::new()) };
    let mut findings = Vec::new();
    for (index, buried) in work.buried.iter().enumerate() {
        for (part_index, part) in work.parts.iter().enumerate() {
            let found = part_finding(job, part, buried)?;
            findings.push(GroundFinding { what: Digger::Part(part_index), buried: index, ..found });
        }
        for (point_index, point) in work.points.iter().enumerate() {
            let found = point_finding(point, buried);
            findings.push(GroundFinding { what: Digger::Point(point_index), buried: index, ..found });
        }
    }
    Ok(findings)
}

/// The distance on the map is exact: from the middle to the course, less radius and tolerance.
fn point_finding(point: &GroundPoint, buried: &Buried) -> GroundFinding {
    let middle_m = course_distance_m(&point.at, &buried.course);
    let distance_m = (middle_m - point.radius_m - point.tolerance_m).max(0.0);
    let distance = Bracket { lower_m: distance_m, upper_m: distance_m };
    let kept = Verdict::of(&distance, buried.zone_m);
    let inside = kept != Verdict::Clear;
    let verdict = if point.by_hand && kept == Verdict::TooClose { Verdict::Clear } else { kept };
    let by_hand = inside && point.by_hand;
    GroundFinding { what: Digger::Point(0), buried: 0, distance, to_line: None, verdict, by_hand }
}

/// Distance on the map from a point to a course, m.
fn course_distance_m(at: &Point2<f64>, course: &[Point2<f64>]) -> f64 {
    let to_step = |pair: &[Point2<f64>]| {
        let (from, along) = (pair[0], pair[1] - pair[0]);
        let share = ((at - from).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
        (from + along * share - at).norm()
    };
    course.windows(2).map(to_step).fold(f64::INFINITY, f64::min)
}

fn part_finding(job: &Job, part: &DiggingPart, buried: &Buried) -> Result<GroundFinding, ApproachError> {
    let machine = &job.study.machines[part.machine];
    let machine = machine.only(part.body).ok_or(ApproachError::NothingToAssess)?;
    let mut search = SheetSearch { machine: &machine, buried, depth_m: part.depth_m, options: job.options.clone() };
    let distance = search.decided()?;
    let to_line = match buried.depth {
        Depth::Unknown => None,
        Depth::Measured { depth_m, tolerance_m } => {
            let level = search.level(buried.ground_m - depth_m, TOLERANCE_M)?;
            Some(Bracket { lower_m: (level.lower_m - tolerance_m).max(0.0), upper_m: level.upper_m })
        }
    };
    let verdict = Verdict::of(&distance, buried.zone_m);
    Ok(GroundFinding { what: Digger::Part(0), buried: 0, distance, to_line, verdict, by_hand: false })
}

struct SheetSearch<'a> {
    machine: &'a Machine,
    buried: &'a Buried,
    depth_m: f64,
    options: Options,
}

impl SheetSearch<'_> {
    /// The distance from the sheet, refined while the edge of the zone lies inside it.
    fn decided(&mut self) -> Result<Bracket, ApproachError> {
        let mut spacing_m = SPACING_M;
        let mut tolerance_m = TOLERANCE_M;
        let mut found = self.sheet(spacing_m, tolerance_m)?;
        for _ in 0..REFINEMENTS {
            if Verdict::of(&found, self.buried.zone_m) != Verdict::NotProven {
                break;
            }
            spacing_m /= 4.0;
            tolerance_m /= 4.0;
            found = self.sheet(spacing_m, tolerance_m)?;
        }
        Ok(found)
    }

    /// Distance d from the sheet by level lines h apart: a point of the sheet nearest to a body lies at the body's own
    /// height, at most h/2 from a line, or at the sheet's edge, which is a line. So d² ≥ d_lines² − (h/2)².
    fn sheet(&self, spacing_m: f64, tolerance_m: f64) -> Result<Bracket, ApproachError> {
        let steps = (self.depth_m / spacing_m).ceil().max(1.0);
        let heights: Vec<f64> =
            (0..=steps as usize).map(|step| self.buried.ground_m - self.depth_m * step as f64 / steps).collect();
        let levels = heights.par_iter().map(|z_m| self.level(*z_m, tolerance_m));
        let levels: Vec<Bracket> = levels.collect::<Result<_, _>>()?;
        let none = Bracket { lower_m: f64::INFINITY, upper_m: f64::INFINITY };
        let nearest = levels.into_iter().fold(none, Bracket::min);
        let half_m = 0.5 * self.depth_m / steps;
        let lower_m = (nearest.lower_m.powi(2) - half_m * half_m).max(0.0).sqrt();
        Ok(Bracket { lower_m, ..nearest })
    }

    /// Distance from one level line along the course, m. Its sag and thickness are taken from the lower end, and the
    /// thickness given back to the upper end.
    fn level(&self, z_m: f64, tolerance_m: f64) -> Result<Bracket, ApproachError> {
        let wire = level_wire(&self.buried.course, z_m).ok_or(ApproachError::NothingToAssess)?;
        let sag_m = wire.spans().iter().map(|span| span.envelope().most().greatest_sag_m()).fold(0.0, f64::max);
        let options = Options { tolerance_m, ..self.options.clone() };
        let found = closest_approach(self.machine, &wire, &options)?.distance;
        let upper_m = if found.upper_m > 0.0 { found.upper_m + sag_m + LINE_RADIUS_M } else { 0.0 };
        Ok(Bracket { lower_m: (found.lower_m - sag_m).max(0.0), upper_m })
    }
}

/// Radius of the line that stands for a level, m.
const LINE_RADIUS_M: f64 = 0.0005;

/// A wire so light and taut that it is straight to well below a millimetre for steps up to 100 m; what sag is left is
/// counted where it is used.
fn level_wire(course: &[Point2<f64>], z_m: f64) -> Option<Wire> {
    let conductor = Conductor::new(ConductorProperties {
        diameter_m: 2.0 * LINE_RADIUS_M,
        mass_kg_per_m: 0.005,
        axial_stiffness_n: 1e9,
        expansion_per_k: 1e-6,
        rated_strength_n: None,
    })
    .ok()?;
    let at = |p: &Point2<f64>| Point3::new(p.x, p.y, z_m);
    let spans = course.windows(2).map(|pair| Span::new(at(&pair[0]), at(&pair[1])));
    let point = |value| Interval::point(value).ok();
    let description = WireDescription {
        name: "level".into(),
        conductor,
        spans: spans.collect::<Result<_, _>>().ok()?,
        known_by: KnownBy::Tension { horizontal_n: point(1e6)?, temperature_degc: point(15.0)? },
        permanent_strain: point(0.0)?,
        position_tolerance_m: 0.0,
    };
    let still = Conditions {
        temperature_degc: point(15.0)?,
        wind_m_per_s: point(0.0)?,
        wind_direction: WindDirection::Any,
        ice_m: point(0.0)?,
        ice_density_kg_per_m3: 913.0,
        air_density_kg_per_m3: 1.225,
        drag: 1.0,
        wind_rise_rad: Interval::ZERO,
        loads_along_span: LoadsAlongSpan::Uniform,
        sway_allowance_m: 0.0,
    };
    Wire::new(description, &still).ok()
}

#[cfg(test)]
mod tests {
    use nalgebra::{Isometry3, Vector3};
    use wideberth_physics::machine::{Body, Frame, FrameId, FrameRole, Motion, Placement};

    use super::*;

    fn buried() -> Buried {
        Buried {
            name: "cable".into(),
            course: vec![Point2::new(0.0, 0.0), Point2::new(40.0, 0.0), Point2::new(40.0, 30.0)],
            ground_m: 0.0,
            zone_m: 1.0,
            zone_of: "test".into(),
            depth: Depth::Unknown,
        }
    }

    /// A tip that slides down into the ground, at a distance from the course, and up again.
    fn auger(y_m: f64) -> Machine {
        let range_m = Interval::new(-1.3, 2.0).expect("a range");
        let frame = Frame {
            name: "feed".into(),
            role: FrameRole::Part,
            parent: None,
            offset: Isometry3::identity(),
            motion: Motion::Slide { axis: Vector3::z_axis(), range_m },
        };
        let tip = Body::sphere("tip", FrameId(0), Point3::origin(), 0.15);
        let placement = Placement {
            position: Point3::new(20.0, y_m, 0.0),
            heading_rad: 0.0,
            slope_rad: 0.0,
            downhill_rad: 0.0,
            position_tolerance_m: 0.1,
            heading_tolerance_rad: 0.0,
        };
        Machine::new("auger", &placement, vec![frame], vec![tip]).expect("a machine")
    }

    #[test]
    fn a_tip_beside_a_straight_course_keeps_the_distance_on_the_map() {
        let buried = buried();
        let machine = auger(-2.0);
        let mut search = SheetSearch { machine: &machine, buried: &buried, depth_m: 1.3, options: Options::default() };
        // 2 m less the tip's radius and its setting-out tolerance, whatever the depth.
        let found = search.decided().expect("a distance");
        assert!(found.lower_m <= 1.75 && found.upper_m >= 1.75, "{found:?}");
        assert!(found.width_m() < 0.02, "{found:?}");
    }

    #[test]
    fn the_map_distance_of_points_runs_to_the_nearest_step_of_the_course() {
        let course = buried().course;
        assert!((course_distance_m(&Point2::new(10.0, -3.0), &course) - 3.0).abs() < 1e-12);
        assert!((course_distance_m(&Point2::new(43.0, -4.0), &course) - 5.0).abs() < 1e-12);
        assert!((course_distance_m(&Point2::new(38.0, 12.0), &course) - 2.0).abs() < 1e-12);
    }

    #[test]
    fn inside_the_zone_only_hands_may_dig() {
        let point = |by_hand, y_m| GroundPoint {
            name: "post".into(),
            at: Point2::new(10.0, y_m),
            radius_m: 0.1,
            tolerance_m: 0.1,
            by_hand,
        };
        let verdict = |by_hand, y_m| point_finding(&point(by_hand, y_m), &buried()).verdict;
        assert_eq!(verdict(false, -1.3), Verdict::Clear);
        assert_eq!(verdict(false, -1.1), Verdict::TooClose);
        assert_eq!(verdict(true, -1.1), Verdict::Clear);
        // On the cable itself nobody digs.
        assert_eq!(verdict(true, -0.1), Verdict::Contact);
    }
}
