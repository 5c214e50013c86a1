//! The model behind the scene, without anything that draws.

use std::time::{Duration, Instant};

use bevy::prelude::*;
use bevy::state::app::StatesPlugin;
use bevy::time::TimeUpdateStrategy;
use wideberth_report::Units;
use wideberth_viewer::args::Motion;
use wideberth_viewer::loaded::Origin;
use wideberth_viewer::moment::Moment;
use wideberth_viewer::scene::ModelPlugins;
use wideberth_viewer::scene::cameras::{FirstSight, SceneCamera};
use wideberth_viewer::scene::lesson::{AtStep, Caption, Hidden};
use wideberth_viewer::scene::playing::Playing;
use wideberth_viewer::scene::stage::{Look, Now, Shown, Source, Stage, Trouble, Wanted, Worst};
use wideberth_viewer::views::Sight;

use super::{demonstration, folder};

fn app(origin: Origin) -> App {
    let mut app = App::new();
    app.add_plugins((MinimalPlugins, StatesPlugin, ModelPlugins))
        .insert_resource(TimeUpdateStrategy::ManualDuration(Duration::from_millis(50)))
        .insert_resource(Source(origin))
        .insert_resource(FirstSight(Sight::Orbit))
        .insert_resource(Look { units: Units::Si, text_size: 1.0, help: false, panel: true });
    let start = Instant::now();
    while *app.world_mut().get_resource_or_init::<State<Stage>>().get() == Stage::Loading {
        app.update();
        assert!(start.elapsed() < Duration::from_secs(300), "the scenario never comes");
        std::thread::sleep(Duration::from_millis(2));
    }
    app.update();
    app
}

fn shown(name: &str) -> App {
    app(Origin::File(demonstration(name)))
}

#[test]
fn a_changed_joint_moves_the_gap_in_the_same_frame() {
    let mut app = shown("silo-shell-tilts-under-a-farm-line");
    let before = app.world().resource::<Now>().gaps.each.clone();
    let start = Moment::start(&app.world().resource::<Shown>().job.clone());
    app.world_mut().resource_mut::<Wanted>().0 = start.clone();
    app.update();
    let now = app.world().resource::<Now>();
    assert_eq!(now.moment, start);
    assert!(!now.is_worst);
    assert!(now.gaps.each[0].distance_m > before[0].distance_m + 1.0);
}

#[test]
fn the_work_passes_through_the_worst_case_and_ends() {
    let mut app = shown("silo-shell-tilts-under-a-farm-line");
    let from = app.world().resource::<Wanted>().0.clone();
    app.world_mut().resource_mut::<Playing>().begin(Motion::Work, &from);
    let least_m = app.world().resource::<Worst>().gaps.each.iter().map(|g| g.distance_m).fold(f64::INFINITY, f64::min);
    let mut seen_m = f64::INFINITY;
    for _ in 0..400 {
        app.update();
        let now = app.world().resource::<Now>();
        seen_m = now.gaps.each.iter().map(|gap| gap.distance_m).fold(seen_m, f64::min);
        if app.world().resource::<Playing>().motion().is_none() {
            break;
        }
    }
    assert!(app.world().resource::<Playing>().motion().is_none(), "the work does not end");
    assert!(seen_m >= least_m - 0.02 && seen_m < least_m + 0.1, "{seen_m} {least_m}");
}

#[test]
fn heat_lowers_the_wire_and_sway_moves_it_aside() {
    let app = shown("tipper-on-a-hot-afternoon");
    let job = app.world().resource::<Shown>().job.clone();
    let course = app.world().resource::<Worst>().course.clone();
    let now = Moment::start(&job);
    let middle = |moment: &Moment| {
        let wire = &job.study.lines[0].wires[0];
        let hanging = moment.weather.hang(wire).expect("a shape");
        hanging.spans().next().map(|(span, shape)| span.point(shape, 0.5)).expect("a span")
    };
    let (cold, hot) = (middle(&course.at(Motion::Heat, 0.0, &now)), middle(&course.at(Motion::Heat, 0.5, &now)));
    assert!(hot.z < cold.z - 0.1, "{hot} {cold}");
    let (one, other) = (middle(&course.at(Motion::Sway, 0.0, &now)), middle(&course.at(Motion::Sway, 0.5, &now)));
    assert!((one.xy() - other.xy()).norm() > 0.1, "{one} {other}");
}

#[test]
fn a_camera_moves_smoothly_and_arrives() {
    let mut app = shown("tipper-on-a-cool-morning");
    let eye = app.world().resource::<Worst>().subject.eye(Sight::Plan);
    app.world_mut().resource_mut::<SceneCamera>().go(Sight::Plan, eye);
    let mut last = app.world().resource::<SceneCamera>().shown().at;
    let far_m = (eye.at - last).norm();
    for _ in 0..30 {
        app.update();
        let at = app.world().resource::<SceneCamera>().shown().at;
        assert!((at - last).norm() < 0.25 * far_m, "it jumps");
        last = at;
    }
    assert!((last - eye.at).norm() < 1e-6);
}

#[test]
fn a_lesson_runs_from_its_start_to_its_end() {
    let mut app = shown("silo-shell-tilts-under-a-farm-line");
    let lesson = app.world().resource::<Shown>().job.lesson.clone().expect("it has a lesson");
    let mut captions = Vec::new();
    for _ in 0..2 * lesson.steps.len() {
        let next = app.world().resource::<AtStep>().0.forth(&lesson);
        app.world_mut().resource_mut::<AtStep>().0 = next;
        app.update();
        let caption = app.world().resource::<Caption>().0.clone();
        // Numbers are hidden exactly while a question waits for its answer.
        let waits = caption.question.is_some() && caption.answer.is_none();
        assert_eq!(app.world().resource::<Hidden>().0, waits);
        captions.push(caption.text);
    }
    captions.dedup();
    assert_eq!(captions, lesson.steps.iter().map(|step| step.caption.clone()).collect::<Vec<_>>());
}

#[test]
fn a_broken_scenario_fails_with_its_problems() {
    let path = folder("broken").join("broken.json");
    let text = std::fs::read_to_string(demonstration("tipper-on-a-hot-afternoon")).expect("a text");
    std::fs::write(&path, text.replace("\"9 m/s\"", "\"9 m\"")).expect("written");
    let app = app(Origin::File(path));
    assert_eq!(*app.world().resource::<State<Stage>>().get(), Stage::Failed);
    let trouble = app.world().resource::<Trouble>().0.to_string();
    assert!(trouble.contains("wind_speed"), "{trouble}");
}
