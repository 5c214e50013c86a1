//! What a scenario becomes: a study for the physics, a limit for each pairing, and everything that reports say about them.

use jiff::civil::Date;
use nalgebra::{Point2, Point3};
use wideberth_physics::approach::Options;
use wideberth_physics::line::Conditions;
use wideberth_physics::machine::FrameRole;
use wideberth_physics::study::Study;
use wideberth_rules::{Crew, GroundRule, LimitChoice, Shape, Voltage, Work};

use crate::climate::Climate;
use crate::wires::WireModel;

use crate::control::{Control, Evidence};
use crate::days::Days;
use crate::lower::FreeEnd;

use crate::machine::{JointRange, LoadLength, Source as FigureSource};
use crate::record::{Record, Rest, Role};

pub use crate::raw::{LessonCameraWord, LessonFromWord, LessonPlayWord};

/// A scenario that was found possible.
#[derive(Clone, Debug)]
pub struct Job {
    /// What the job is.
    pub title: String,
    /// Free text of the scenario.
    pub note: Option<String>,
    /// Lines, machines and pairings for the physics.
    pub study: Study,
    /// What is known of each line, in the order of the study.
    pub lines: Vec<LineInfo>,
    /// What is known of each machine, in the order of the study.
    pub machines: Vec<MachineInfo>,
    /// The limit of each pairing, in the order of the study.
    pub limits: Vec<Limit>,
    /// The weather, where the scenario states it.
    pub climate: Option<Climate>,
    /// The wires of each line, ready to be put into any weather.
    pub wires: Vec<Vec<WireModel>>,
    /// What the scenario leaves out and what was taken instead.
    pub defaults_taken: Vec<DefaultTaken>,
    /// Places at which the height of each wire is of interest.
    pub sag_points: Vec<SagPoint>,
    /// The lesson that the viewer runs.
    pub lesson: Option<Lesson>,
    /// How hard to search.
    pub options: Options,
    /// The days for which it is judged; none where nobody says.
    pub days: Option<Days>,
    /// The days of the work by the scenario itself.
    pub work_days: Option<Days>,
    /// The day on which it is judged: the one asked for, else the day that it is; none where nobody says what day it is.
    pub judged_on: Option<Date>,
    /// What the plan rests on.
    pub records: Vec<Record>,
    /// Every value that is more favourable than the careful one.
    pub rests: Vec<Rest>,
    /// Ends of ranges that no record holds.
    pub free_ends: Vec<FreeEnd>,
    /// Names of the structures that may topple, in the order of the scenario.
    pub structures: Vec<String>,
    /// Roles besides the operators, whose holders acknowledge the briefing.
    pub roles: Vec<Role>,
    /// Controls, those that do not count included.
    pub controls: Vec<Control>,
    /// Ground that a control fences off, of those controls that count.
    pub fences: Vec<Fence>,
    /// Goal posts with a route, of those that count.
    pub posts: Vec<Posts>,
    /// Structures that may topple, those that are braced included.
    pub topples: Vec<Topple>,
    /// Work in the ground.
    pub ground_work: Option<GroundWork>,
    /// The briefing.
    pub briefing: Option<Briefing>,
    /// Duties of the user's own rules that have been done.
    pub duties_done: Vec<DutyDone>,
}

impl Job {
    /// Whether any control changes what is computed.
    #[must_use]
    pub fn is_changed_by_controls(&self) -> bool {
        self.controls.iter().any(|control| control.counts() && control.kind.changes_the_model())
    }
}

/// A line, for reports.
#[derive(Clone, Debug, PartialEq)]
pub struct LineInfo {
    /// Name.
    pub name: String,
    /// Its voltage.
    pub voltage: Voltage,
    /// The conditions that hold for it.
    pub conditions: Conditions,
    /// Supports in order.
    pub supports: Vec<SupportInfo>,
    /// Wires, in the order of the study.
    pub wires: Vec<WireInfo>,
    /// Whether it is switched off and grounded, and so not paired with any machine.
    pub off: bool,
}

/// A support, for reports.
#[derive(Clone, Debug, PartialEq)]
pub struct SupportInfo {
    /// Name.
    pub name: String,
    /// Its foot in the site frame, m.
    pub foot: Point3<f64>,
}

/// A wire, for reports.
#[derive(Clone, Debug, PartialEq)]
pub struct WireInfo {
    /// Name.
    pub name: String,
    /// What it is made of.
    pub conductor: ConductorInfo,
    /// Its voltage: its own, or the line's.
    pub voltage: Voltage,
    /// How its tautness is known, in words.
    pub known_by: String,
    /// Whether its height was measured, and its attachments with a stated tolerance.
    pub height_measured: bool,
    /// How far its attachments may be off, m.
    pub attachment_tolerance_m: f64,
}

/// A conductor, for reports.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ConductorInfo {
    /// Id in the catalogue, or the name that the scenario gives.
    pub name: String,
    /// Where its data come from.
    pub source: String,
    /// Whether its data, or a part of them, are written from memory.
    pub from_memory: bool,
}

/// A machine, for reports.
#[derive(Clone, Debug, PartialEq)]
pub struct MachineInfo {
    /// Name in the scenario.
    pub name: String,
    /// Id of its description.
    pub id: String,
    /// Name of its description.
    pub title: String,
    /// What it is, its reference point, what its joints mean.
    pub about: String,
    /// Where its figures come from, with how well each source is known.
    pub sources: Vec<FigureSource>,
    /// What it does.
    pub work: Work,
    /// Who does it.
    pub crew: Crew,
    /// Its joints, in the order of a pose of the study's machine.
    pub joints: Vec<JointInfo>,
    /// Its reference point in the site frame, m.
    pub position: Point3<f64>,
    /// What it lifts, for the wind.
    pub lift: Option<Lift>,
    /// Greatest height that a control leaves it, in the site frame, m.
    pub ceiling_m: Option<f64>,
    /// Greatest reach from its reference point that a control leaves it, m.
    pub reach_m: Option<f64>,
    /// How long the load is that hangs from it; none without a load, or one that could not be shorter.
    pub load: Option<LoadLength>,
}

/// Goal posts that count, with the way that passes between them.
#[derive(Clone, Debug, PartialEq)]
pub struct Posts {
    /// Name of the control.
    pub name: String,
    /// Index of the machine that passes.
    pub machine: usize,
    /// Their height above the ground where the machine stands, m.
    pub height_m: f64,
    /// Places along the middle of the way, in order.
    pub along: Vec<Point2<f64>>,
    /// Its width, m.
    pub width_m: f64,
}

/// What a machine lifts, for the wind that it may be lifted in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lift {
    /// Mass of the load with its rigging, kg.
    pub mass_kg: f64,
    /// Area that it turns to the wind, m².
    pub sail_m2: f64,
    /// Its shape.
    pub shape: Shape,
    /// The wind up to which the machine's chart allows full loads, m/s.
    pub chart_wind_m_per_s: f64,
}

/// A structure that may topple.
#[derive(Clone, Debug, PartialEq)]
pub struct Topple {
    /// Name.
    pub name: String,
    /// Index of the machine that stands for its fall; none once it is braced.
    pub machine: Option<usize>,
    /// Its wider width, m.
    pub width_m: f64,
    /// Distance of its middle of mass from the edge over which it topples most easily, m.
    pub lever_m: f64,
    /// Height, m.
    pub height_m: f64,
    /// Mass, kg.
    pub mass_kg: f64,
    /// Shape.
    pub shape: Shape,
}

/// Ground that no machine enters, behind a fence or barrier.
#[derive(Clone, Debug, PartialEq)]
pub struct Fence {
    /// Name of the control.
    pub name: String,
    /// Index of the machine that it holds; none for all.
    pub machine: Option<usize>,
    /// Its corners on the map in order, m.
    pub around: Vec<Point2<f64>>,
}

/// Work in the ground.
#[derive(Clone, Debug, PartialEq)]
pub struct GroundWork {
    /// What the place says about digging.
    pub rule: Option<GroundRule>,
    /// The answer of whoever located what is buried.
    pub ticket: Option<Ticket>,
    /// Buried lines.
    pub buried: Vec<Buried>,
    /// Parts of machines that enter the ground.
    pub parts: Vec<DiggingPart>,
    /// What enters the ground at one place.
    pub points: Vec<GroundPoint>,
}

/// The answer to a request to locate what is buried.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ticket {
    /// Its number.
    pub number: String,
    /// The days on which it holds, by its own words.
    pub days: Days,
    /// The day on which it was given; its first day where nobody says.
    pub given: Date,
    /// The last day of its life by the rule of the place, where that is printed.
    pub lives_until: Option<Date>,
    /// The day by which the work must begin by that rule, where that is printed.
    pub begin_by: Option<Date>,
}

/// A buried line.
#[derive(Clone, Debug, PartialEq)]
pub struct Buried {
    /// Name.
    pub name: String,
    /// Its course on the map, m: east, north.
    pub course: Vec<Point2<f64>>,
    /// Level of the ground along it, m.
    pub ground_m: f64,
    /// Tolerance zone to each side, m.
    pub zone_m: f64,
    /// Who says so: a place, or the scenario.
    pub zone_of: String,
    /// Its depth.
    pub depth: Depth,
}

/// The depth of a buried line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Depth {
    /// Not known: it may lie at any depth.
    Unknown,
    /// Measured in an open hole.
    Measured {
        /// Depth of its middle, m.
        depth_m: f64,
        /// How far that may be off, m.
        tolerance_m: f64,
    },
}

/// A part of a machine that enters the ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DiggingPart {
    /// Index of the machine.
    pub machine: usize,
    /// Index of the body.
    pub body: usize,
    /// How deep it digs, m.
    pub depth_m: f64,
}

/// What enters the ground at one place.
#[derive(Clone, Debug, PartialEq)]
pub struct GroundPoint {
    /// Name.
    pub name: String,
    /// Its middle on the map, m.
    pub at: Point2<f64>,
    /// Its radius, m.
    pub radius_m: f64,
    /// How far it may stand from its place, m.
    pub tolerance_m: f64,
    /// Whether it is dug by hand.
    pub by_hand: bool,
}

/// The briefing of everybody on site.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Briefing {
    /// Role of the person who gives it.
    pub given_by: String,
    /// Its day.
    pub date: Date,
    /// Those who said that they understood it.
    pub acknowledged_by: Vec<Acknowledged>,
}

/// Somebody who said that they understood the briefing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Acknowledged {
    /// Their role, where the plan knows it.
    pub role: Option<Role>,
    /// Index of the machine that an operator operates; none for all.
    pub machine: Option<usize>,
    /// In words.
    pub words: String,
}

/// A duty of the user's own rules that has been done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DutyDone {
    /// The duty, in the words of the rule.
    pub duty: String,
    /// Role of the person who answers for it.
    pub owner: String,
    /// What shows it.
    pub evidence: Evidence,
}

/// A joint, for reports.
#[derive(Clone, Debug, PartialEq)]
pub struct JointInfo {
    /// Name.
    pub name: String,
    /// What it is for.
    pub role: FrameRole,
    /// Unit of its values in a pose.
    pub unit: JointUnit,
    /// Its ranges; none for the error of the heading, which nobody sets.
    pub range: Option<JointRange>,
}

/// Unit of the values of a joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JointUnit {
    /// Radians: a hinge.
    Radian,
    /// Metres: a slide.
    Metre,
}

/// The distance that a pairing must keep, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// The distance, m.
    pub distance_m: f64,
    /// Where it comes from.
    pub basis: LimitBasis,
    /// What the reader should know.
    pub notes: Vec<String>,
    /// Who compared it with the text of the rule.
    pub checked_by: Option<String>,
}

/// Where a limit comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum LimitBasis {
    /// A rule.
    Rule(Box<LimitChoice>),
    /// A distance that somebody stated in writing.
    Stated {
        /// Who stated it.
        stated_by: String,
        /// What the rule says, where one applies; never more than the stated distance.
        rule: Option<Box<LimitChoice>>,
    },
}

impl Limit {
    /// The rule behind it, or beside the stated distance.
    #[must_use]
    pub fn rule(&self) -> Option<&LimitChoice> {
        match &self.basis {
            LimitBasis::Rule(choice) => Some(choice),
            LimitBasis::Stated { rule, .. } => rule.as_deref(),
        }
    }

    /// One line that says where the distance comes from.
    #[must_use]
    pub fn source_line(&self) -> String {
        match &self.basis {
            LimitBasis::Rule(choice) => choice.provenance_line(),
            LimitBasis::Stated { stated_by, .. } => format!("stated in writing: {stated_by}"),
        }
    }
}

/// A value that the scenario leaves out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DefaultTaken {
    /// Where it would stand, such as `machines[0].setting_out_tolerance`.
    pub path: String,
    /// The value that was taken, with its unit.
    pub value: String,
    /// What it means.
    pub words: String,
}

/// A place at which the height of each wire is of interest.
#[derive(Clone, Debug, PartialEq)]
pub struct SagPoint {
    /// Name.
    pub name: String,
    /// Place on the map, m: east, north.
    pub at: Point2<f64>,
}

/// A lesson, which the viewer runs like a presentation.
#[derive(Clone, Debug, PartialEq)]
pub struct Lesson {
    /// Its name; the job's title where there is none.
    pub title: Option<String>,
    /// Its steps.
    pub steps: Vec<LessonStep>,
}

/// A step of a lesson.
#[derive(Clone, Debug, PartialEq)]
pub struct LessonStep {
    /// What is said.
    pub caption: String,
    /// The moment that the step changes.
    pub from: LessonFromWord,
    /// Joint values that differ from that moment.
    pub joints: Vec<LessonJoint>,
    /// Conductor temperature, where the step sets it, °C.
    pub temperature_degc: Option<f64>,
    /// Wind speed, where the step sets it, m/s.
    pub wind_m_per_s: Option<f64>,
    /// Bearing from which the wind blows, where the step sets it, rad.
    pub wind_from_rad: Option<f64>,
    /// Where to look from.
    pub camera: Option<LessonCameraWord>,
    /// What plays.
    pub play: Option<LessonPlayWord>,
    /// The question.
    pub question: Option<LessonQuestion>,
}

/// The value of a joint in a step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LessonJoint {
    /// Index of the machine.
    pub machine: usize,
    /// Index of the joint.
    pub joint: usize,
    /// Value, rad or m.
    pub value: f64,
}

/// A question with its answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LessonQuestion {
    /// The question.
    pub ask: String,
    /// Its answer.
    pub answer: String,
}
