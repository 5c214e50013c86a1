//! The lesson of a scenario: shows the moment of its step, and what it says.

use bevy::prelude::*;

use super::cameras::SceneCamera;
use super::playing::Playing;
use super::stage::{Shown, Stage, Step, Wanted, Worst};
use crate::teaching::{self, Hidden, Saying, Teaching};

/// Lessons.
pub struct LessonPlugin;

/// Where the lesson is.
#[derive(Resource, Clone, Copy, Debug, Default, Deref, DerefMut)]
pub struct AtStep(pub Teaching);

/// What the lesson says now.
#[derive(Resource, Clone, Debug, Default, PartialEq, Eq, Deref)]
pub struct Caption(pub Saying);

/// What is hidden because a question is not answered yet.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq, Deref)]
pub struct Concealed(pub Hidden);

impl Plugin for LessonPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<AtStep>()
            .init_resource::<Caption>()
            .init_resource::<Concealed>()
            .add_systems(Update, show.in_set(Step::Play).run_if(in_state(Stage::Ready)));
    }
}

#[expect(clippy::too_many_arguments, reason = "a system names what it reads")]
fn show(
    at: Res<AtStep>,
    shown: Res<Shown>,
    worst: Res<Worst>,
    mut caption: ResMut<Caption>,
    mut hidden: ResMut<Concealed>,
    mut wanted: ResMut<Wanted>,
    mut camera: ResMut<SceneCamera>,
    mut playing: ResMut<Playing>,
    mut last: Local<Option<usize>>,
) {
    if !at.is_changed() && !shown.is_changed() {
        return;
    }
    caption.0 = at.saying(&shown.job);
    hidden.0 = at.hidden(&shown.job);
    let moved = *last != at.step || shown.is_changed();
    *last = at.step;
    let Some(step) = shown.job.lesson.as_ref().and_then(|lesson| at.step_of(lesson)).filter(|_| moved) else { return };
    wanted.0 = teaching::moment(&shown.job, &worst.moment, step);
    playing.stop();
    if let Some(word) = step.play {
        playing.begin(teaching::motion(word), &wanted.0);
    }
    if let Some(word) = step.camera {
        let sight = teaching::sight(word);
        camera.go(sight, worst.subject.eye(sight));
    }
}
