//! The model behind the scene, without anything that draws.

use std::time::{Duration, Instant};

use bevy::prelude::*;
use nalgebra::Point3;
use wideberth_plan::day::{Spell, day, heights};
use wideberth_report::Units;
use wideberth_report::words::VerdictName;
use wideberth_viewer::args::Motion;
use wideberth_viewer::loaded::{Loaded, Origin};
use wideberth_viewer::moment::Moment;
use wideberth_viewer::panel_model::{self, Control};
use wideberth_viewer::scene::cameras::SceneCamera;
use wideberth_viewer::scene::lesson::{AtStep, Caption, Concealed};
use wideberth_viewer::scene::overlay::now_card;
use wideberth_viewer::scene::playing::Playing;
use wideberth_viewer::scene::stage::{Now, Proven, Shown, Stage, Trouble, Wanted, Worst};
use wideberth_viewer::strings::ENGLISH;
use wideberth_viewer::view_model::{self, Standing, day_strip, weather_words};
use wideberth_viewer::views::Sight;

use super::model::app;
use super::{demonstration, folder};

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
fn heat_lowers_the_wire() {
    let app = shown("tipper-on-a-hot-afternoon");
    let job = app.world().resource::<Shown>().job.clone();
    let course = app.world().resource::<Worst>().course.clone();
    let now = Moment::start(&job);
    let middle = |moment: &Moment| {
        let wire = &job.study.lines[0].wires[0];
        let hanging = moment.weather.hang((0, 0), wire).expect("a shape");
        hanging.spans().next().map(|(span, shape)| span.point(shape, 0.5)).expect("a span")
    };
    let (cold, hot) = (middle(&course.at(Motion::Heat, 0.0, &now)), middle(&course.at(Motion::Heat, 0.5, &now)));
    assert!(hot.z < cold.z - 0.1, "{hot} {cold}");
}

#[test]
fn a_day_goes_hour_by_hour_as_the_plan_has_it() {
    let app = shown("tipping-before-the-heat-of-the-day");
    let shown = app.world().resource::<Shown>().0.clone();
    let course = app.world().resource::<Worst>().course.clone();
    let planned = heights(&shown.job, Spell::Job).expect("hours");
    assert_eq!(shown.hours.len(), planned.hours.len());
    assert!(shown.hours.len() >= 24, "{}", shown.hours.len());
    let start = Moment::start(&shown.job);
    for (hour, found) in planned.hours.iter().enumerate() {
        let share = (hour as f64 + 0.5) / planned.hours.len() as f64;
        let moment = course.at(Motion::Heat, share, &start);
        for (id, degc) in planned.wires.iter().zip(&found.wires_degc) {
            assert!((moment.weather.wire_degc((id.line, id.wire)) - degc.high()).abs() < 1e-12);
        }
        assert!(moment.weather.wind_m_per_s <= found.wind_m_per_s.high() + 1e-3);
        // What is shown is the hour's own witness: its gap, and no tick unless the hour is proven clear.
        let answer = shown.day[hour];
        let gaps = moment.gaps(&shown.job.study).expect("gaps");
        let gap_m = gaps.each.iter().map(|gap| gap.distance_m).fold(f64::INFINITY, f64::min);
        assert!(gap_m > answer.distance.lower_m - 1e-3 && gap_m < answer.distance.upper_m + 1e-3, "{gap_m} {answer:?}");
        let card = view_model::now_card(&shown, &gaps, &moment, false, Units::Si, &ENGLISH).expect("a card");
        assert_eq!(card.standing == Standing::Outside, answer.verdict == VerdictName::Clear, "{card:?} {answer:?}");
        let words = weather_words(&moment.weather, Units::Si, &ENGLISH);
        assert!(words.starts_with(&shown.hours[hour].clock), "{words}");
        // The slider of the hour shows the same wires.
        let mut slid = start.clone();
        panel_model::apply(&shown, Control::Hour, hour as f64, &mut slid);
        assert_eq!(slid, moment);
        assert_eq!(slid.gaps(&shown.job.study).expect("gaps"), moment.gaps(&shown.job.study).expect("gaps"));
    }
    let clocks: Vec<&str> = shown.hours.iter().map(|hour| hour.clock.as_str()).collect();
    assert_eq!((clocks[0], clocks[23]), ("00:00 to 01:00", "23:00 to 00:00"));
    let sliders = panel_model::weather_sliders(&shown, &start, &ENGLISH);
    assert!(sliders.iter().any(|slider| slider.control == Control::Hour && slider.high > slider.low));
}

#[test]
fn the_hours_of_the_strip_have_the_verdicts_of_the_day() {
    let app = shown("tipping-before-the-heat-of-the-day");
    let shown = app.world().resource::<Shown>().0.clone();
    let planned = day(&shown.job, Spell::Job, &|_| {}).expect("a day");
    let course = app.world().resource::<Worst>().course.clone();
    let mut verdicts = Vec::new();
    for (index, hour) in planned.hours.iter().enumerate() {
        let share = (index as f64 + 0.5) / planned.hours.len() as f64;
        let weather = course.at(Motion::Heat, share, &Moment::start(&shown.job)).weather;
        let strip = day_strip(&shown, &weather, Units::Si).expect("hours with answers");
        assert_eq!((strip.at, strip.hours.len()), (index, planned.hours.len()));
        assert_eq!(strip.hours[index].1, VerdictName::from(hour.verdict));
        let found = Units::Si.length_range(hour.distance.lower_m, hour.distance.upper_m);
        assert!(strip.words.ends_with(&found) && strip.words.starts_with(&shown.hours[index].clock), "{}", strip.words);
        verdicts.push(strip.hours[index].1);
    }
    assert!(verdicts.contains(&VerdictName::Clear) && verdicts.contains(&VerdictName::TooClose), "{verdicts:?}");
    // Changed ranges have no answer hour by hour: none of the scenario's may stand beside their verdict.
    let changed =
        Loaded { hours: shown.hours.clone(), ..shown.origin.answer_quickly(shown.text.clone()).expect("one") };
    let weather = course.at(Motion::Heat, 0.5, &Moment::start(&shown.job)).weather;
    assert_eq!(day_strip(&changed, &weather, Units::Si), None);
}

#[test]
fn gusts_move_the_wires_and_the_gap_is_to_what_is_drawn() {
    let mut app = shown("crane-beside-a-line-in-wind");
    let from = app.world().resource::<Wanted>().0.clone();
    let still = app.world().resource::<Now>().clone();
    app.world_mut().resource_mut::<Playing>().begin(Motion::Sway, &from);
    let start = Instant::now();
    while app.world().resource::<Now>().instant.is_none() {
        app.update();
        assert!(start.elapsed() < Duration::from_secs(300), "the gusts never come");
        std::thread::sleep(Duration::from_millis(2));
    }
    let mut gaps_m = Vec::new();
    let job = app.world().resource::<Shown>().job.clone();
    for _ in 0..100 {
        app.update();
        let now = app.world().resource::<Now>();
        assert_eq!(now.moment, from);
        assert!(!now.is_worst);
        let gap = now.gaps.each[now.gaps.least];
        let pairing = job.study.pairings[now.gaps.least];
        let own = now.wires.iter().find(|w| (w.line, w.wire, w.place) == (pairing.line, pairing.wire, gap.span));
        let drawn = own.expect("the wire of the gap is drawn");
        let off_m = drawn.points.windows(2).map(|ends| apart_m(&ends[0], &ends[1], &gap.on_wire));
        let off_m = off_m.fold(f64::INFINITY, f64::min);
        assert!((off_m - drawn.radius_m).abs() < 1e-6, "the line does not end on the wire: {off_m}");
        gaps_m.push(gap.distance_m);
    }
    let (least, most) = gaps_m.iter().fold((f64::INFINITY, 0.0_f64), |(a, b), m| (a.min(*m), b.max(*m)));
    assert!(most > least + 0.05, "nothing moves: {least} {most}");
    let card = now_card(app.world().resource::<Proven>(), app.world().resource::<Now>(), Units::Si).expect("a card");
    assert!(card.heading.contains("sample") && card.state.contains("gusts up to 15 m/s"), "{card:?}");
    // Stopped, the wires hang as before.
    app.world_mut().resource_mut::<Playing>().stop();
    app.update();
    let now = app.world().resource::<Now>();
    assert_eq!((&now.gaps, &now.wires, now.is_worst), (&still.gaps, &still.wires, true));
}

/// Distance of a place from a straight piece, m.
fn apart_m(from: &Point3<f64>, to: &Point3<f64>, place: &Point3<f64>) -> f64 {
    let t = ((place - from).dot(&(to - from)) / (to - from).norm_squared()).clamp(0.0, 1.0);
    (from + (to - from) * t - place).norm()
}

#[test]
fn without_wind_the_screen_says_why_nothing_sways() {
    let path = folder("windless").join("windless.json");
    let text = std::fs::read_to_string(demonstration("tipper-on-a-cool-morning")).expect("a text");
    std::fs::write(&path, text.replace("[\"0 m/s\", \"3 m/s\"]", "\"0 m/s\"")).expect("written");
    let loaded = Origin::File(path).load().expect("an answer");
    let worst = Moment::worst(&loaded.job, &loaded.assessment);
    let refused = wideberth_viewer::gusts::follow(&loaded, &worst).expect_err("no wind");
    assert!(refused.to_string().contains("hold no wind"), "{refused}");
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
        // Numbers are hidden while a question waits for its answer.
        let waits = caption.question.is_some() && caption.answer.is_none();
        let hidden = app.world().resource::<Concealed>().0;
        assert!(hidden.numbers() || !waits);
        // The answer is on no wall before the question was answered.
        let asked = lesson.steps.iter().position(|step| step.question.is_some()).expect("it asks");
        let at = app.world().resource::<AtStep>().step.expect("a step");
        assert_eq!(hidden.answer(), at < asked || waits, "{at}");
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
