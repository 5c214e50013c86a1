//! A lesson on its way: which step, and whether its answer is shown.

use wideberth_scenario::Job;
use wideberth_scenario::job::{Lesson, LessonCameraWord, LessonFromWord, LessonPlayWord, LessonStep};

use crate::args::Motion;
use crate::moment::{Moment, Tautness};
use crate::view_model::plain;
use crate::views::Sight;

/// Where a lesson is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Teaching {
    /// The step, from 0; none before it begins.
    pub step: Option<usize>,
    /// Whether the answer of the step's question is shown.
    pub answered: bool,
}

/// What is hidden because a question is not answered yet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Hidden {
    /// Nothing.
    #[default]
    Nothing,
    /// The proven answer: banner, worst case, table.
    Answer,
    /// That, and every number of the moment.
    Numbers,
}

impl Hidden {
    /// Whether the proven answer is hidden.
    #[must_use]
    pub fn answer(self) -> bool {
        self != Self::Nothing
    }

    /// Whether the numbers of the moment are hidden.
    #[must_use]
    pub fn numbers(self) -> bool {
        self == Self::Numbers
    }
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
            heading: plain(&format!("{title}  ·  {number} of {}", lesson.steps.len())),
            text: plain(&step.caption),
            question: step.question.as_ref().map(|q| plain(&q.ask)),
            answer: step.question.as_ref().filter(|_| self.answered).map(|q| plain(&q.answer)),
        }
    }

    /// What would give the answer away: the proven answer from the first step until the first question is answered, every number while
    /// a question waits, and before the first question wherever the worst case itself is shown.
    #[must_use]
    pub fn hidden(self, job: &Job) -> Hidden {
        let Some((lesson, at)) = job.lesson.as_ref().zip(self.step) else { return Hidden::Nothing };
        let asks = |step: &LessonStep| step.question.is_some();
        let waits = lesson.steps.get(at).is_some_and(asks) && !self.answered;
        let first = lesson.steps.iter().position(asks);
        let shows_worst = lesson.steps.get(at).is_some_and(|step| step.from == LessonFromWord::Worst);
        match first {
            _ if waits => Hidden::Numbers,
            Some(first) if at < first && shows_worst => Hidden::Numbers,
            Some(first) if at < first => Hidden::Answer,
            _ => Hidden::Nothing,
        }
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
        weather.pinned = None;
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

    fn job(lesson: Lesson) -> Job {
        let text = include_str!("../../../scenarios/silo-shell-tilts-under-a-farm-line.json");
        let context = wideberth_scenario::Context::embedded(|_| Err("none".into())).expect("the library");
        Job { lesson: Some(lesson), ..Job::from_text(text, &context).expect("a job") }
    }

    #[test]
    fn the_answer_is_hidden_from_the_first_step_until_it_is_given() {
        let worst = LessonStep { from: LessonFromWord::Worst, ..step(false) };
        let job = job(Lesson { title: None, steps: vec![step(false), worst, step(true), step(false), step(true)] });
        let hidden = |step, answered| Teaching { step: Some(step), answered }.hidden(&job);
        assert_eq!(Teaching::default().hidden(&job), Hidden::Nothing, "nobody teaches");
        assert_eq!(hidden(0, false), Hidden::Answer);
        assert_eq!(hidden(1, false), Hidden::Numbers, "the worst case shows the answer");
        assert_eq!(hidden(2, false), Hidden::Numbers);
        assert_eq!(hidden(2, true), Hidden::Nothing);
        assert_eq!(hidden(3, false), Hidden::Nothing);
        assert_eq!(hidden(4, false), Hidden::Numbers);
        assert_eq!(hidden(4, true), Hidden::Nothing);
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
