//! A machine as placed on the site, with everything that it carries.

use nalgebra::{Isometry3, Point3, Translation3, Unit, UnitQuaternion, Vector3};
use thiserror::Error;

use super::{Body, Frame, FrameId, FrameRole, Motion, Placement, PlacementError};
use crate::interval::Interval;

/// Greatest number of joints that one body may depend on.
pub const MAX_JOINTS: usize = 10;

/// A machine on its place: a tree of frames and the bodies that they carry.
#[derive(Clone, Debug, PartialEq)]
pub struct Machine {
    name: String,
    frames: Vec<Frame>,
    bodies: Vec<Body>,
    /// Joint number of each frame.
    joints: Vec<Option<usize>>,
    /// Frame of each joint.
    movers: Vec<FrameId>,
    /// Greatest height that a control leaves it, m.
    ceiling_m: Option<f64>,
    /// Greatest reach from its reference point, on the map, that a control leaves it, m.
    reach_m: Option<f64>,
    /// The frame of its reference point.
    foot: FrameId,
}

/// Why frames and bodies are no machine.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum MachineError {
    /// A frame hangs on a later frame, or on none that exists.
    #[error("frame \"{frame}\" must hang on a frame that comes before it")]
    Order {
        /// Its name.
        frame: String,
    },
    /// A body without features, or with one in a frame that does not exist.
    #[error("body \"{body}\" needs at least one point, each in a frame that exists")]
    Body {
        /// Its name.
        body: String,
    },
    /// A length or coordinate is not finite, negative where it must not be, or beyond 1 km.
    #[error("\"{part}\" has a number that is not finite, is negative where it must not be, or lies beyond 1000 m")]
    Number {
        /// Name of the body or frame.
        part: String,
    },
    /// Too many joints.
    #[error("body \"{body}\" depends on {joints} joints, more than {max}: fix some of them")]
    TooManyJoints {
        /// Its name.
        body: String,
        /// How many.
        joints: usize,
        /// How many are allowed.
        max: usize,
    },
    /// No bodies at all.
    #[error("the machine has no bodies, so nothing could come close to a wire")]
    NoBodies,
    /// It cannot stand there.
    #[error(transparent)]
    Placement(#[from] PlacementError),
}

impl Machine {
    /// The machine `frames` and `bodies`, standing at a placement. Frames without parent stand on the ground; the position
    /// tolerance thickens every body.
    ///
    /// # Errors
    /// When the frames are no tree, a number is impossible, a body is empty, or a body depends on too many joints.
    pub fn new(
        name: impl Into<String>,
        placement: &Placement,
        frames: Vec<Frame>,
        bodies: Vec<Body>,
    ) -> Result<Self, MachineError> {
        placement.check()?;
        let mut all = placement.frames();
        let shift = all.len();
        let ground = FrameId(shift - 1);
        all.extend(
            frames
                .into_iter()
                .map(|frame| Frame { parent: Some(frame.parent.map_or(ground, |p| FrameId(p.0 + shift))), ..frame }),
        );
        let bodies =
            bodies.into_iter().map(|body| shifted(body, shift).thickened(placement.position_tolerance_m)).collect();
        Self::assembled(name.into(), all, bodies)
    }

    fn assembled(name: String, frames: Vec<Frame>, bodies: Vec<Body>) -> Result<Self, MachineError> {
        let movers: Vec<_> = (0..frames.len()).filter(|&i| frames[i].motion.range().is_some()).map(FrameId).collect();
        let joints = (0..frames.len()).map(|i| movers.iter().position(|m| m.0 == i)).collect();
        let machine = Self { name, frames, bodies, joints, movers, ceiling_m: None, reach_m: None, foot: FrameId(0) };
        machine.check_frames()?;
        if machine.bodies.is_empty() {
            return Err(MachineError::NoBodies);
        }
        machine.bodies.iter().try_for_each(|body| machine.check_body(body))?;
        Ok(machine)
    }

    /// The same machine, standing `offset_m` away, with the height that is left to it.
    ///
    /// # Errors
    /// When the offset is not finite or beyond 100 km.
    pub fn moved(&self, offset_m: &Vector3<f64>) -> Result<Self, MachineError> {
        if !offset_m.iter().all(|c| c.abs() <= 1e5) {
            return Err(MachineError::Number { part: self.name.clone() });
        }
        let mut moved = self.clone();
        for frame in moved.frames.iter_mut().filter(|frame| frame.parent.is_none()) {
            frame.offset.translation.vector += offset_m;
        }
        moved.ceiling_m = self.ceiling_m.map(|ceiling_m| ceiling_m + offset_m.z);
        Ok(moved)
    }

    /// The same machine with another working range of one joint (rad or m, in the order of [`Machine::movers`]).
    ///
    /// # Errors
    /// When there is no such joint, or its range lies beyond ±1000.
    pub fn with_range(&self, joint: usize, range: Interval) -> Result<Self, MachineError> {
        let mut changed = self.clone();
        let mover = *self.movers.get(joint).ok_or_else(|| MachineError::Number { part: self.name.clone() })?;
        let frame = &mut changed.frames[mover.0];
        match &mut frame.motion {
            Motion::Hinge { range_rad, .. } => *range_rad = range,
            Motion::Slide { range_m, .. } => *range_m = range,
            Motion::Fixed | Motion::Plumb => {}
        }
        if moves_sensibly(frame) { Ok(changed) } else { Err(MachineError::Number { part: frame.name.clone() }) }
    }

    /// The machine anywhere in a rectangle on the map about where it stands: two more slides, along each of two level
    /// directions, by at most the half-widths given with them (m), and every body thicker by an allowance (m) for what the
    /// slides leave out. A half-width of zero adds no slide.
    ///
    /// # Errors
    /// When a body would depend on too many joints, or a number is impossible.
    pub fn spread(&self, sides: [(Unit<Vector3<f64>>, f64); 2], allowance_m: f64) -> Result<Self, MachineError> {
        let ground = self.frames.first().map_or(Isometry3::identity(), |frame| frame.offset);
        let (role, parent) = (FrameRole::Place, None);
        let place = |offset: Isometry3<f64>, motion| Frame { name: "place".into(), role, parent, offset, motion };
        // The root stays fixed where the machine stands; the slides and then the machine hang on it.
        let mut frames =
            vec![place(Isometry3::from_parts(ground.translation, UnitQuaternion::identity()), Motion::Fixed)];
        for (axis, half_m) in sides.into_iter().filter(|(_, half_m)| *half_m != 0.0) {
            let range_m = Interval::new(-half_m, half_m).map_err(|_| MachineError::Number { part: "place".into() })?;
            let parent = Some(FrameId(frames.len() - 1));
            frames.push(Frame { parent, ..place(Isometry3::identity(), Motion::Slide { axis, range_m }) });
        }
        let shift = frames.len();
        frames.extend(self.frames.iter().cloned().map(|frame| match frame.parent {
            Some(parent) => Frame { parent: Some(FrameId(parent.0 + shift)), ..frame },
            None => Frame {
                parent: Some(FrameId(shift - 1)),
                offset: Isometry3::from_parts(Translation3::identity(), ground.rotation),
                ..frame
            },
        }));
        let thicker = |body| shifted(body, shift).thickened(allowance_m);
        let bodies = self.bodies.iter().cloned().map(thicker).collect();
        let spread = Self::assembled(self.name.clone(), frames, bodies)?;
        let foot = FrameId(self.foot.0 + shift);
        Ok(Self { ceiling_m: self.ceiling_m, reach_m: self.reach_m, foot, ..spread })
    }

    /// The same machine with any heading: it may turn all round about its reference point, on the ground as it slopes.
    ///
    /// # Errors
    /// When a body would depend on too many joints.
    pub fn with_any_heading(&self) -> Result<Self, MachineError> {
        let all_round = Interval::hull(-std::f64::consts::PI, std::f64::consts::PI);
        if let Some(joint) = (0..self.movers.len()).find(|&joint| self.role(joint) == Some(FrameRole::Heading)) {
            return self.with_range(joint, all_round);
        }
        let heading = Placement::heading(all_round);
        let hung = |frame: &Frame| Frame { parent: frame.parent.map(|p| FrameId(p.0 + 1)), ..frame.clone() };
        let ground = self.frames.iter().take(1).cloned();
        let frames = ground.chain([heading]).chain(self.frames.iter().skip(1).map(hung)).collect();
        let bodies = self.bodies.iter().cloned().map(|body| shifted(body, 1)).collect();
        let turned = Self::assembled(self.name.clone(), frames, bodies)?;
        let foot = FrameId(if self.foot.0 == 0 { 0 } else { self.foot.0 + 1 });
        Ok(Self { ceiling_m: self.ceiling_m, reach_m: self.reach_m, foot, ..turned })
    }

    fn check_frames(&self) -> Result<(), MachineError> {
        for (index, frame) in self.frames.iter().enumerate() {
            if frame.parent.is_some_and(|p| p.0 >= index) {
                return Err(MachineError::Order { frame: frame.name.clone() });
            }
            if frame.parent.is_some() && !frame.offset.translation.vector.iter().all(|c| c.abs() <= 1e3) {
                return Err(MachineError::Number { part: frame.name.clone() });
            }
            if !moves_sensibly(frame) {
                return Err(MachineError::Number { part: frame.name.clone() });
            }
        }
        Ok(())
    }

    fn check_body(&self, body: &Body) -> Result<(), MachineError> {
        let name = || body.name.clone();
        if body.features.is_empty() || body.features.iter().any(|f| f.frame.0 >= self.frames.len()) {
            return Err(MachineError::Body { body: name() });
        }
        let near = |p: &Point3<f64>| p.iter().all(|c| c.abs() <= 1e3);
        let ring = |f: &super::Feature| {
            f.ring.is_none_or(|r| r.radius_m > 0.0 && r.radius_m <= 1e3 && (r.axis.norm() - 1.0).abs() <= 1e-9)
        };
        if !(0.0..=1e3).contains(&body.radius_m) || !body.features.iter().all(|f| near(&f.at) && ring(f)) {
            return Err(MachineError::Number { part: name() });
        }
        let joints = self.joints_of(body).len();
        if joints > MAX_JOINTS {
            return Err(MachineError::TooManyJoints { body: name(), joints, max: MAX_JOINTS });
        }
        Ok(())
    }

    /// Name.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The same machine with one of its bodies alone; none where it has no such body.
    #[must_use]
    pub fn only(&self, body: usize) -> Option<Self> {
        let bodies = vec![self.bodies.get(body)?.clone()];
        Some(Self { bodies, ..self.clone() })
    }

    /// The same machine, kept below a height (z in the site frame, m) by a limiter that acts on its highest part: poses in
    /// which a part is certainly higher are left out.
    #[must_use]
    pub fn below(self, ceiling_m: f64) -> Self {
        Self { ceiling_m: Some(ceiling_m), ..self }
    }

    /// Greatest height that is left to it (z in the site frame, m); none where nothing holds it down.
    #[must_use]
    pub fn ceiling_m(&self) -> Option<f64> {
        self.ceiling_m
    }

    /// The same machine, kept within a reach of its reference point, on the map (m), by a limiter that acts on its farthest
    /// part: poses in which a part is certainly farther are left out.
    #[must_use]
    pub fn within(self, reach_m: f64) -> Self {
        Self { reach_m: Some(reach_m), ..self }
    }

    /// Greatest reach that is left to it, m; none where nothing holds it back.
    #[must_use]
    pub fn reach_m(&self) -> Option<f64> {
        self.reach_m
    }

    /// The same machine with these limits alone: a height (z in the site frame, m) and a reach (m).
    #[must_use]
    pub fn held_to(self, ceiling_m: Option<f64>, reach_m: Option<f64>) -> Self {
        Self { ceiling_m, reach_m, ..self }
    }

    /// Whether a limiter holds it.
    #[must_use]
    pub fn is_limited(&self) -> bool {
        self.ceiling_m.is_some() || self.reach_m.is_some()
    }

    /// Joints that move its reference point: the slides of a machine that is spread over places.
    #[must_use]
    pub fn carriers(&self) -> Vec<usize> {
        let mut carriers: Vec<usize> = self.path(self.foot).filter_map(|frame| self.joint_of(frame)).collect();
        carriers.sort_unstable();
        carriers
    }

    /// Frames, each after its parent.
    #[must_use]
    pub fn frames(&self) -> &[Frame] {
        &self.frames
    }

    /// Bodies.
    #[must_use]
    pub fn bodies(&self) -> &[Body] {
        &self.bodies
    }

    /// Frames that move, in the order of the joint values of a pose.
    #[must_use]
    pub fn movers(&self) -> &[FrameId] {
        &self.movers
    }

    /// What a joint is for; none where there is no such joint.
    #[must_use]
    pub fn role(&self, joint: usize) -> Option<FrameRole> {
        self.movers.get(joint).map(|mover| self.frames[mover.0].role)
    }

    /// Working range of each joint (rad or m).
    #[must_use]
    pub fn ranges(&self) -> Vec<Interval> {
        self.movers.iter().filter_map(|m| self.frames[m.0].motion.range()).collect()
    }

    /// Joint number of a frame; none where it does not move.
    #[must_use]
    pub fn joint_of(&self, frame: FrameId) -> Option<usize> {
        self.joints[frame.0]
    }

    /// The frames from a frame up to the site, itself first.
    pub fn path(&self, frame: FrameId) -> impl Iterator<Item = FrameId> + '_ {
        std::iter::successors(Some(frame), |f| self.frames[f.0].parent)
    }

    /// Where it stands: its reference point on the ground, m.
    #[must_use]
    pub fn position(&self) -> Point3<f64> {
        self.frames.first().map_or(Point3::origin(), |frame| frame.offset.translation.vector.into())
    }

    /// Joints that a body depends on, in order.
    #[must_use]
    pub fn joints_of(&self, body: &Body) -> Vec<usize> {
        let mut joints: Vec<_> =
            body.features.iter().flat_map(|f| self.path(f.frame)).filter_map(|f| self.joints[f.0]).collect();
        joints.sort_unstable();
        joints.dedup();
        joints
    }

    /// Position of every frame in the site frame for joint values (rad or m, in the order of [`Machine::movers`]).
    #[must_use]
    pub fn place(&self, pose: &[f64]) -> Vec<Isometry3<f64>> {
        let mut placed: Vec<Isometry3<f64>> = Vec::with_capacity(self.frames.len());
        for (index, frame) in self.frames.iter().enumerate() {
            let parent = frame.parent.map_or(Isometry3::identity(), |p| placed[p.0]);
            placed.push(frame.place(&parent, self.joints[index].map_or(0.0, |j| pose[j])));
        }
        placed
    }
}

/// Whether a frame's turn and axis have unit length and its joint stays within ±1000 (rad or m), which the allowance for
/// rounding takes for granted.
fn moves_sensibly(frame: &Frame) -> bool {
    let is_unit = |length: f64| (length - 1.0).abs() <= 1e-9;
    let axis_is_unit = match frame.motion {
        Motion::Hinge { axis, .. } | Motion::Slide { axis, .. } => is_unit(axis.norm()),
        Motion::Fixed | Motion::Plumb => true,
    };
    let range = frame.motion.range();
    let in_reach = range.is_none_or(|r| r.low().abs().max(r.high().abs()) <= 1e3);
    axis_is_unit && in_reach && is_unit(frame.offset.rotation.norm())
}

fn shifted(mut body: Body, by: usize) -> Body {
    for feature in &mut body.features {
        feature.frame.0 += by;
    }
    body
}
