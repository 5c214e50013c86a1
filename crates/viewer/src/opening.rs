//! The moment that the arguments ask for.

use thiserror::Error;
use wideberth_scenario::Job;
use wideberth_scenario::bounds::{Bounded, JointAngle, JointTravel};
use wideberth_scenario::job::{JointInfo, JointUnit};
use wideberth_scenario::nearest::suggestion;
use wideberth_scenario::quantity::parse;

use crate::args::At;
use crate::moment::Moment;
use crate::view_model::joint_value;

/// Why there is no such moment.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum OpeningError {
    /// No machine has the joint.
    #[error("no machine has a joint \"{name}\"; {help}")]
    NoJoint {
        /// The joint as written.
        name: String,
        /// The nearest, or all.
        help: String,
    },
    /// The value cannot be read.
    #[error("the value of \"{name}\" cannot be read: {why}")]
    Value {
        /// The joint.
        name: String,
        /// Why not.
        why: String,
    },
    /// Outside the working range.
    #[error("\"{name}\" at {value} is outside its working range, {low} to {high}")]
    Outside {
        /// The joint.
        name: String,
        /// Its value.
        value: String,
        /// Least allowed value.
        low: String,
        /// Greatest allowed value.
        high: String,
    },
}

/// The moment that is asked for.
///
/// # Errors
/// When a joint is unknown or its value unreadable or outside its working range.
pub fn moment(job: &Job, worst: &Moment, at: &At) -> Result<Moment, OpeningError> {
    match at {
        At::Worst => Ok(worst.clone()),
        At::Start => Ok(Moment::start(job)),
        At::Joints(values) => {
            let mut moment = Moment { poses: Moment::start(job).poses, weather: worst.weather.clone() };
            values.iter().try_for_each(|(name, value)| set(job, &mut moment, name, value))?;
            Ok(moment)
        }
    }
}

fn set(job: &Job, moment: &mut Moment, name: &str, text: &str) -> Result<(), OpeningError> {
    let joints = || {
        job.machines
            .iter()
            .enumerate()
            .flat_map(|(m, info)| info.joints.iter().enumerate().map(move |(j, joint)| (m, j, joint)))
    };
    let (machine, index, joint) = joints().find(|(.., joint)| joint.name == name).ok_or_else(|| {
        let names: Vec<&str> = joints().map(|(.., joint)| joint.name.as_str()).collect();
        OpeningError::NoJoint { name: name.into(), help: suggestion(name, names) }
    })?;
    let value = value(joint, text).map_err(|why| OpeningError::Value { name: name.into(), why })?;
    let range = job.study.machines[machine].ranges()[index];
    if !range.contains(value) {
        let words = |value| joint_value(joint, value, wideberth_report::Units::Si);
        let (low, high) = (words(range.low()), words(range.high()));
        return Err(OpeningError::Outside { name: name.into(), value: text.into(), low, high });
    }
    moment.poses[machine][index] = value;
    Ok(())
}

fn value(joint: &JointInfo, text: &str) -> Result<f64, String> {
    let bound = match joint.unit {
        JointUnit::Radian => JointAngle::BOUND,
        JointUnit::Metre => JointTravel::BOUND,
    };
    parse(text, &[bound]).map(|(parsed, _)| parsed.si).map_err(|error| format!("{error}; {}", error.help(&bound)))
}
