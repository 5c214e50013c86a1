//! A lesson on its way: which step, and whether its answer is shown.

use wideberth_scenario::Job;
use wideberth_scenario::job::{Lesson, LessonCameraWord, LessonFromWord, LessonPlayWord, LessonStep};

use crate::args::Motion;
use crate::moment::{Moment, Tautness};
use crate::views::Sight;

/// Where a lesson is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Teaching {
    /// The step, from 0; none before it begins.
    pub step: Option<usize>,
    /// Whether the answer of the step's question is shown.
    pub answered: bool,
}

/// What a lesson says at a step.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Saying {
    /// Heading.
    pub heading: String,
    /// Text; empty where there is none.
    pub text: String,
    /// Question.
    pub question: Option<String>,
    /// Its answer, once shown.
    pub answer: Option<String>,
}

impl Teaching {
    /// The next step. A question that is open is answered first.
    #[must_use]
    pub fn forth(self, lesson: &Lesson) -> Self {
        let open = self.step.and_then(|s| lesson.steps.get(s)).is_some_and(|s| s.question.is_some()) && !self.answered;
        if open {
            return Self { answered: true, ..self };
        }
        match self.step {
            None => Self { step: Some(0), answered: false },
            Some(step) if step + 1 < lesson.steps.len() => Self { step: Some(step + 1), answered: false },
            Some(_) => self,
        }
    }

    /// The last step.
    #[must_use]
    pub fn back(self) -> Self {
        Self { step: self.step.map(|step| step.saturating_sub(1)), answered: false }
    }

    /// With the answer shown.
    #[must_use]
    pub fn reveal(self) -> Self {
        Self { answered: true, ..self }
    }

    /// The step of a lesson that is shown.
    #[must_use]
    pub fn step_of(self, lesson: &Lesson) -> Option<&LessonStep> {
        lesson.steps.get(self.step?)
    }

    /// What is said.
    #[must_use]
    pub fn saying(self, job: &Job) -> Saying {
        let Some((lesson, step)) = job.lesson.as_ref().and_then(|l| Some((l, self.step_of(l)?))) else {
            return Saying::default();
        };
        let number = self.step.unwrap_or_default() + 1;
        let title = lesson.title.as_ref().unwrap_or(&job.title);
        Saying {
            heading: format!("{title}  ·  {number} of {}", lesson.steps.len()),
            text: step.caption.clone(),
            question: step.question.as_ref().map(|q| q.ask.clone()),
            answer: step.question.as_ref().filter(|_| self.answered).map(|q| q.answer.clone()),
        }
    }

    /// Whether numbers would give the answer away.
    #[must_use]
    pub fn hides_numbers(self, job: &Job) -> bool {
        let step = job.lesson.as_ref().and_then(|lesson| self.step_of(lesson));
        step.is_some_and(|step| step.question.is_some()) && !self.answered
    }
}

/// The moment of a step.
#[must_use]
pub fn moment(job: &Job, worst: &Moment, step: &LessonStep) -> Moment {
    let mut moment = match step.from {
        LessonFromWord::Start => Moment::start(job),
        LessonFromWord::Worst => worst.clone(),
    };
    for joint in &step.joints {
        moment.poses[joint.machine][joint.joint] = joint.value;
    }
    let weather = &mut moment.weather;
    if let Some(temperature_degc) = step.temperature_degc {
        weather.temperature_degc = temperature_degc;
        weather.hour = None;
        weather.tautness = Tautness::AsStated;
    }
    if step.temperature_degc.or(step.wind_m_per_s).or(step.wind_from_rad).is_some() {
        weather.section = None;
    }
    weather.wind_m_per_s = step.wind_m_per_s.unwrap_or(weather.wind_m_per_s);
    weather.wind_from_rad = step.wind_from_rad.unwrap_or(weather.wind_from_rad);
    moment
}

/// The sight of a step.
#[must_use]
pub fn sight(word: LessonCameraWord) -> Sight {
    match word {
        LessonCameraWord::Orbit => Sight::Orbit,
        LessonCameraWord::Plan => Sight::Plan,
        LessonCameraWord::Along => Sight::Along,
        LessonCameraWord::Across => Sight::Across,
        LessonCameraWord::Operator => Sight::Operator,
        LessonCameraWord::Spotter => Sight::Spotter,
    }
}

/// What plays in a step.
#[must_use]
pub fn motion(word: LessonPlayWord) -> Motion {
    match word {
        LessonPlayWord::Work => Motion::Work,
        LessonPlayWord::Sway => Motion::Sway,
        LessonPlayWord::Heat => Motion::Heat,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use wideberth_scenario::job::LessonQuestion;

    fn step(question: bool) -> LessonStep {
        LessonStep {
            caption: "look".into(),
            from: LessonFromWord::Start,
            joints: Vec::new(),
            temperature_degc: None,
            wind_m_per_s: None,
            wind_from_rad: None,
            camera: None,
            play: None,
            question: question.then(|| LessonQuestion { ask: "clear?".into(), answer: "no".into() }),
        }
    }

    #[test]
    fn one_key_leads_from_start_to_end_and_answers_before_it_goes_on() {
        let lesson = Lesson { title: None, steps: vec![step(false), step(true), step(false)] };
        let mut at = Teaching::default();
        let mut seen = Vec::new();
        for _ in 0..6 {
            at = at.forth(&lesson);
            seen.push((at.step, at.answered));
        }
        let wanted = [(0, false), (1, false), (1, true), (2, false), (2, false), (2, false)];
        assert_eq!(seen, wanted.map(|(step, answered)| (Some(step), answered)));
        assert_eq!(at.back(), Teaching { step: Some(1), answered: false });
    }
}
