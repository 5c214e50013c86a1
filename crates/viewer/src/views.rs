//! Where the camera stands and where it looks, in site coordinates.

use clap::ValueEnum;
use nalgebra::{Point3, Rotation3, Unit, Vector3};
use wideberth_physics::approach::{Gap, Standing};
use wideberth_physics::machine::{BodyRole, Machine};
use wideberth_physics::study::Study;

use crate::moment::{Gaps, Moment};
use crate::posting::{self, Swept, swept};
use crate::sighting::clearest;

/// Height of the eyes of somebody who stands, m.
pub const EYE_HEIGHT_M: f64 = 1.65;
/// Vertical field of view from outside, rad.
const OUTSIDE_RAD: f64 = 0.61;
/// Nearest and farthest that a camera may be from what it turns about, m: farther, haze hides everything.
const NEAREST_M: f64 = 2.0;
const FARTHEST_M: f64 = 600.0;
/// Vertical field of view of a person, rad.
const PERSON_RAD: f64 = 1.0;

/// Where to look from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Sight {
    /// From outside, turning about the gap
    #[default]
    Orbit,
    /// From above, north up
    Plan,
    /// Along the line
    Along,
    /// Across the line
    Across,
    /// From the operator's seat
    Operator,
    /// From where a spotter stands
    Spotter,
}

impl Sight {
    /// Every sight, in the order of its key.
    pub const ALL: [Self; 6] = [Self::Orbit, Self::Plan, Self::Along, Self::Across, Self::Operator, Self::Spotter];
}

/// A camera.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Eye {
    /// Where it stands, m.
    pub at: Point3<f64>,
    /// What it looks at, m.
    pub target: Point3<f64>,
    /// What is up in its picture.
    pub up: Vector3<f64>,
    /// Field of view, rad: vertical for a person; across the free part of the picture, whichever way it is narrower, from outside.
    pub view_rad: f64,
    /// How much its picture is fitted into the free part: 1 from outside, 0 for a person.
    pub fit: f64,
}

/// What the camera is to show.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Subject {
    /// Middle of the gap, m.
    pub gap: Point3<f64>,
    /// Length of the gap, m.
    pub gap_m: f64,
    /// Middle of machine and gap, m.
    pub middle: Point3<f64>,
    /// Radius of a ball about the middle that holds machine and gap, m.
    pub radius_m: f64,
    /// Horizontal direction along the line, toward its longer side.
    pub along: Vector3<f64>,
    /// Horizontal direction from the wire to the machine.
    pub aside: Vector3<f64>,
    /// Direction from the middle toward a camera that turns about it.
    pub orbit: Vector3<f64>,
    /// The machine's reference point, m.
    pub base: Point3<f64>,
    /// Where the operator's eyes are, m.
    pub seat: Point3<f64>,
    /// Where the spotter stands, m.
    pub spotter: Point3<f64>,
    /// Whether the spotter sees the gap from there.
    pub spotter_sees: bool,
}

impl Subject {
    /// What matters at a moment: the pairing with the least spare.
    #[must_use]
    pub fn new(study: &Study, bases: &[Point3<f64>], moment: &Moment, gaps: &Gaps) -> Option<Self> {
        let (pairing, gap) = (study.pairings.get(gaps.least)?, gaps.each.get(gaps.least)?);
        let machine = &study.machines[pairing.machine];
        let span = study.lines[pairing.line].wires[pairing.wire].spans()[gap.span].span();
        let base = bases[pairing.machine];
        let (least, greatest) = extent(machine, &moment.poses[pairing.machine], gap);
        let middle = nalgebra::center(&least, &greatest);
        let toward = if gap.fraction > 0.5 { -1.0 } else { 1.0 };
        let along = (Vector3::new(span.chord().x, span.chord().y, 0.0) * toward).normalize();
        let left = span.lateral();
        let side = if (base - gap.on_wire).dot(&left) < 0.0 { -1.0 } else { 1.0 };
        let aside = left * side;
        let seat = seat(machine, &moment.poses[pairing.machine], &base);
        // To the side of the orbit's picture that lies away from the line.
        let beside = (aside * 0.84 - along * 0.54).normalize();
        let radius_m = (0.5 * (greatest - least).norm()).max(4.0);
        let usual = along * 0.80 + aside * 0.52 + Vector3::z() * 0.17;
        let standing = Standing::new(machine, &moment.poses[pairing.machine]);
        let circles: Vec<Swept> =
            study.machines.iter().zip(&moment.poses).map(|(each, pose)| swept(each, pose)).collect();
        let post = posting::spotter(&standing, gap, &circles, &base, &beside);
        Some(Self {
            orbit: clearest(&standing, gap, (&middle, far_m(radius_m)), &usual),
            gap: nalgebra::center(&gap.on_body, &gap.on_wire),
            gap_m: (gap.on_body - gap.on_wire).norm(),
            middle,
            radius_m,
            along,
            aside,
            base,
            seat,
            spotter: post.at,
            spotter_sees: post.sees,
        })
    }

    /// The same while the operator's machine and the gap are those of another moment.
    #[must_use]
    pub fn riding(&self, study: &Study, bases: &[Point3<f64>], moment: &Moment, gaps: &Gaps) -> Self {
        let Some((pairing, gap)) = study.pairings.get(gaps.least).zip(gaps.each.get(gaps.least)) else { return *self };
        let machine = &study.machines[pairing.machine];
        Self {
            seat: seat(machine, &moment.poses[pairing.machine], &bases[pairing.machine]),
            gap: nalgebra::center(&gap.on_body, &gap.on_wire),
            gap_m: (gap.on_body - gap.on_wire).norm(),
            ..*self
        }
    }

    /// The camera of a sight.
    #[must_use]
    pub fn eye(&self, sight: Sight) -> Eye {
        let up = Vector3::z();
        let target = self.middle;
        let far_m = far_m(self.radius_m);
        let from = |direction: Vector3<f64>| Eye {
            at: target + direction.normalize() * far_m,
            target,
            up,
            view_rad: OUTSIDE_RAD,
            fit: 1.0,
        };
        match sight {
            Sight::Orbit => from(self.orbit),
            Sight::Along => from(self.along + up * 0.05),
            Sight::Across => from(self.aside + up * 0.06),
            Sight::Plan => Eye { up: Vector3::y(), at: target + up * far_m, ..from(up) },
            Sight::Operator => Eye { at: self.seat, target: self.gap, up, view_rad: PERSON_RAD, fit: 0.0 },
            Sight::Spotter => {
                Eye { at: self.spotter + up * EYE_HEIGHT_M, target: self.gap, up, view_rad: PERSON_RAD, fit: 0.0 }
            }
        }
    }
}

/// How far a camera outside stands from what it shows, m.
fn far_m(radius_m: f64) -> f64 {
    1.06 * radius_m / (0.5 * OUTSIDE_RAD).sin()
}

/// Every point of a pose's features, m.
fn feature_points(machine: &Machine, pose: &[f64]) -> Vec<(usize, Point3<f64>, f64)> {
    let placed = machine.place(pose);
    let bodies = machine.bodies().iter().enumerate();
    let points = bodies.flat_map(|(index, body)| body.features.iter().map(move |feature| (index, feature)));
    points.map(|(index, f)| (index, placed[f.frame.0] * f.at, f.ring.map_or(0.0, |ring| ring.radius_m))).collect()
}

/// Least and greatest coordinates of machine and gap, m.
fn extent(machine: &Machine, pose: &[f64], gap: &Gap) -> (Point3<f64>, Point3<f64>) {
    let points = feature_points(machine, pose);
    let all = points.iter().flat_map(|(_, p, r)| [p - Vector3::repeat(*r), p + Vector3::repeat(*r)]);
    let all = all.chain([gap.on_body, gap.on_wire]);
    all.fold((gap.on_body, gap.on_body), |(least, greatest), p| (least.inf(&p), greatest.sup(&p)))
}

/// Eyes of the operator: in the cab, or beside the machine where it has none.
fn seat(machine: &Machine, pose: &[f64], base: &Point3<f64>) -> Point3<f64> {
    let points = feature_points(machine, pose);
    let cab = machine.bodies().iter().position(|body| body.role == BodyRole::Seat);
    let Some(cab) = cab else { return base + Vector3::new(3.0, 0.0, EYE_HEIGHT_M) };
    let own: Vec<_> = points.iter().filter(|(body, ..)| *body == cab).map(|(_, p, _)| *p).collect();
    let middle = own.iter().map(|p| p.coords).sum::<Vector3<f64>>() / own.len().max(1) as f64;
    let top_m = own.iter().map(|p| p.z).fold(f64::NEG_INFINITY, f64::max);
    // Operators sit toward the front of what carries them.
    let forward = machine.place(pose)[machine.bodies()[cab].features[0].frame.0].rotation * Vector3::y();
    let front_m = own.iter().map(|p| (p.coords - middle).dot(&forward)).fold(0.0, f64::max);
    let place = middle + forward * (0.8 * front_m);
    Point3::new(place.x, place.y, top_m - 0.6)
}

/// Turning, lifting and zooming about a target, kept inside sensible bounds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    /// To the right, rad.
    pub right_rad: f64,
    /// Upward, rad.
    pub up_rad: f64,
    /// Factor of the distance.
    pub zoom: f64,
}

impl Eye {
    /// The camera turned about a point, and nearer to it or farther: what lies there stays where it is in the picture.
    #[must_use]
    pub fn turned(&self, turn: &Turn, about: &Point3<f64>) -> Self {
        let look = self.target - self.at;
        let sideways = look.cross(&self.up).normalize();
        let elevation_rad = (-look.z).atan2(look.xy().norm());
        let wanted_rad = (elevation_rad + turn.up_rad).clamp(-0.2, 1.53);
        let lift = Rotation3::from_axis_angle(&-Unit::new_unchecked(sideways), wanted_rad - elevation_rad);
        let rotation = Rotation3::from_axis_angle(&Vector3::z_axis(), -turn.right_rad) * lift;
        let far_m = (self.at - about).norm().max(1e-3);
        let zoom = (far_m * turn.zoom).clamp(NEAREST_M.min(far_m), FARTHEST_M.max(far_m)) / far_m;
        let moved = |point: &Point3<f64>| about + rotation * (point - about) * zoom;
        Self { at: moved(&self.at), target: moved(&self.target), up: Vector3::z(), ..*self }
    }

    /// The camera, no lower than a level.
    #[must_use]
    pub fn above(&self, level_m: f64) -> Self {
        let at = Point3::new(self.at.x, self.at.y, self.at.z.max(level_m));
        Self { at, ..*self }
    }

    /// The camera and its target moved sideways and up in its picture, by shares of its distance.
    #[must_use]
    pub fn shifted(&self, right: f64, up: f64) -> Self {
        let look = self.target - self.at;
        let sideways = look.cross(&self.up).normalize();
        let upward = sideways.cross(&look).normalize();
        let step = (sideways * right + upward * up) * look.norm();
        Self { at: self.at + step, target: self.target + step, ..*self }
    }

    /// Between two cameras, at a share 0..=1 of the way.
    #[must_use]
    pub fn toward(&self, other: &Self, share: f64) -> Self {
        Self {
            at: self.at + (other.at - self.at) * share,
            target: self.target + (other.target - self.target) * share,
            up: (self.up + (other.up - self.up) * share).try_normalize(1e-6).unwrap_or(other.up),
            view_rad: self.view_rad + (other.view_rad - self.view_rad) * share,
            fit: self.fit + (other.fit - self.fit) * share,
        }
    }
}

/// A subject for tests: a ball of a radius about its middle.
#[cfg(test)]
pub(crate) fn tests_subject(radius_m: f64) -> Subject {
    Subject {
        gap: Point3::new(1.0, 2.0, 9.0),
        gap_m: 2.0,
        middle: Point3::new(0.0, 0.0, 5.0),
        radius_m,
        along: Vector3::x(),
        aside: -Vector3::y(),
        orbit: Vector3::new(0.8, -0.5, 0.2).normalize(),
        base: Point3::origin(),
        seat: Point3::new(0.0, 0.0, 2.0),
        spotter: Point3::new(10.0, 0.0, 0.0),
        spotter_sees: true,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn subject() -> Subject {
        tests_subject(8.0)
    }

    #[test]
    fn every_sight_holds_the_subject_in_its_picture() {
        for sight in [Sight::Orbit, Sight::Plan, Sight::Along, Sight::Across] {
            let eye = subject().eye(sight);
            let look = (eye.target - eye.at).normalize();
            let aside = (subject().middle - eye.at).normalize().dot(&look).min(1.0).acos();
            let radius_rad = (subject().radius_m / (subject().middle - eye.at).norm()).asin();
            assert!(aside + radius_rad < 0.5 * eye.view_rad, "{sight:?} {aside} {radius_rad}");
        }
    }

    #[test]
    fn the_spotter_stands_on_the_ground_and_the_plan_has_north_up() {
        assert!((subject().eye(Sight::Spotter).at.z - EYE_HEIGHT_M).abs() < 1e-12);
        assert_eq!(subject().eye(Sight::Plan).up, Vector3::y());
    }

    #[test]
    fn turning_and_zooming_leave_the_gap_where_it_is_in_the_picture() {
        let (eye, gap) = (subject().eye(Sight::Orbit), subject().gap);
        // Where the gap is in the picture: along the camera's own axes, as shares of the depth.
        let seen = |eye: &Eye| {
            let (look, offset) = ((eye.target - eye.at).normalize(), gap - eye.at);
            let right = look.cross(&eye.up).normalize();
            let depth_m = offset.dot(&look);
            (offset.dot(&right) / depth_m, offset.dot(&right.cross(&look)) / depth_m)
        };
        let far = |eye: &Eye| (eye.at - gap).norm();
        let turned = eye.turned(&Turn { right_rad: 0.3, up_rad: 0.1, zoom: 1.0 }, &gap);
        assert!((far(&turned) - far(&eye)).abs() < 1e-9 && (turned.at - eye.at).norm() > 1.0);
        assert!(turned.at.z > eye.at.z, "up is up");
        let nearer = eye.turned(&Turn { right_rad: 0.0, up_rad: 0.0, zoom: 0.5 }, &gap);
        assert!((far(&nearer) - 0.5 * far(&eye)).abs() < 1e-9);
        for other in [turned, nearer] {
            let ((x, y), (a, b)) = (seen(&eye), seen(&other));
            assert!((x - a).abs() < 1e-9 && (y - b).abs() < 1e-9, "{x} {y} {a} {b}");
        }
        let above = subject().eye(Sight::Plan).turned(&Turn { right_rad: 0.0, up_rad: 1.0, zoom: 1.0 }, &gap);
        assert!(above.at.iter().all(|c| c.is_finite()));
    }

    #[test]
    fn haze_and_ground_end_the_way() {
        let (mut eye, gap) = (subject().eye(Sight::Orbit), subject().gap);
        (0..200).for_each(|_| eye = eye.turned(&Turn { right_rad: 0.0, up_rad: -0.1, zoom: 1.2 }, &gap).above(0.5));
        assert!((eye.at - gap).norm() < 1.2 * FARTHEST_M && eye.at.z >= 0.5);
    }

    #[test]
    fn a_move_begins_and_ends_at_its_ends() {
        let (a, b) = (subject().eye(Sight::Orbit), subject().eye(Sight::Spotter));
        assert_eq!(a.toward(&b, 0.0), a);
        assert!((a.toward(&b, 1.0).at - b.at).norm() < 1e-9);
    }
}
