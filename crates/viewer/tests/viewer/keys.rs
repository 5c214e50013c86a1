//! Every key of the help does what the help says.

use bevy::input::mouse::AccumulatedMouseScroll;
use bevy::prelude::*;
use bevy::render::view::screenshot::Screenshot;
use bevy::window::{PrimaryWindow, WindowMode};
use bevy_egui::input::EguiWantsInput;
use nalgebra::Point3;
use wideberth_viewer::args::Motion;
use wideberth_viewer::loaded::Origin;
use wideberth_viewer::scene::cameras::SceneCamera;
use wideberth_viewer::scene::lesson::AtStep;
use wideberth_viewer::scene::playing::Playing;
use wideberth_viewer::scene::stage::{Look, Now, Wanted};
use wideberth_viewer::strings::ENGLISH;
use wideberth_viewer::views::Sight;
use wideberth_viewer::window::keep::KeepPlugin;
use wideberth_viewer::window::keys::{KeysPlugin, Leaving};

use super::{demonstration, model};

fn app() -> App {
    model::app_with(Origin::File(demonstration("silo-shell-tilts-under-a-farm-line")), |app| {
        app.init_resource::<ButtonInput<KeyCode>>()
            .init_resource::<ButtonInput<MouseButton>>()
            .init_resource::<AccumulatedMouseScroll>()
            .init_resource::<EguiWantsInput>()
            .add_plugins((KeysPlugin, KeepPlugin));
        app.world_mut().spawn((Window::default(), PrimaryWindow));
        point(app, Some(OVER_THE_SCENE));
    })
}

const OVER_THE_SCENE: Vec2 = Vec2::new(300.0, 300.0);

/// Puts the pointer somewhere.
fn point(app: &mut App, at: Option<Vec2>) {
    let mut windows = app.world_mut().query::<&mut Window>();
    windows.iter_mut(app.world_mut()).for_each(|mut window| window.set_cursor_position(at));
}

/// Presses a key for two frames.
fn press(app: &mut App, key: KeyCode) {
    app.world_mut().resource_mut::<ButtonInput<KeyCode>>().press(key);
    app.update();
    app.world_mut().resource_mut::<ButtonInput<KeyCode>>().clear();
    app.update();
    let mut keys = app.world_mut().resource_mut::<ButtonInput<KeyCode>>();
    keys.release(key);
    keys.clear();
}

/// Drags with a button, by pixels.
fn drag(app: &mut App, button: MouseButton) {
    point(app, Some(OVER_THE_SCENE));
    app.update();
    app.world_mut().resource_mut::<ButtonInput<MouseButton>>().press(button);
    app.update();
    app.world_mut().resource_mut::<ButtonInput<MouseButton>>().clear();
    point(app, Some(OVER_THE_SCENE + Vec2::new(60.0, 20.0)));
    app.update();
    app.world_mut().resource_mut::<ButtonInput<MouseButton>>().release(button);
    app.update();
    app.world_mut().resource_mut::<ButtonInput<MouseButton>>().clear();
}

fn eye(app: &App) -> wideberth_viewer::views::Eye {
    app.world().resource::<SceneCamera>().aim()
}

fn far_m(app: &App) -> f64 {
    (eye(app).at - gap(app)).norm()
}

/// The middle of the gap.
fn gap(app: &App) -> Point3<f64> {
    let now = app.world().resource::<Now>();
    let gap = now.gaps.each[now.gaps.least];
    nalgebra::center(&gap.on_body, &gap.on_wire)
}

fn step(app: &App) -> (Option<usize>, bool) {
    let at = app.world().resource::<AtStep>();
    (at.step, at.answered)
}

fn plays(app: &App) -> Option<Motion> {
    app.world().resource::<Playing>().motion()
}

fn pictures(app: &mut App) -> usize {
    app.world_mut().query::<&Screenshot>().iter(app.world()).count()
}

fn sights(app: &mut App) {
    let keys = [KeyCode::Digit2, KeyCode::Digit3, KeyCode::Digit4, KeyCode::Digit5, KeyCode::Digit6, KeyCode::Digit1];
    let sights = [Sight::Plan, Sight::Along, Sight::Across, Sight::Operator, Sight::Spotter, Sight::Orbit];
    for (key, sight) in keys.into_iter().zip(sights) {
        press(app, key);
        assert_eq!(app.world().resource::<SceneCamera>().sight, sight);
    }
    // The last move ends before anything else turns the camera.
    (0..30).for_each(|_| app.update());
}

fn turns(app: &mut App) {
    let mut last = eye(app);
    let mut changed = |app: &App| {
        let now = eye(app);
        let (before_m, after_m) = ((last.at - gap(app)).norm(), (now.at - gap(app)).norm());
        assert!(
            (now.at - last.at).norm() > 1e-3 && (before_m - after_m).abs() < 1e-6,
            "it does not turn about the gap"
        );
        last = now;
    };
    for key in [KeyCode::ArrowLeft, KeyCode::ArrowRight, KeyCode::ArrowUp, KeyCode::ArrowDown] {
        press(app, key);
        changed(app);
    }
    drag(app, MouseButton::Left);
    changed(app);
}

fn moves_sideways(app: &mut App) {
    let before = eye(app).target;
    drag(app, MouseButton::Right);
    assert!((eye(app).target - before).norm() > 1e-3);
}

fn zooms(app: &mut App) {
    let before_m = far_m(app);
    press(app, KeyCode::Equal);
    let near_m = far_m(app);
    assert!(near_m < before_m, "{near_m} {before_m}");
    press(app, KeyCode::Minus);
    assert!(far_m(app) > near_m);
    let before_m = far_m(app);
    app.insert_resource(AccumulatedMouseScroll { delta: Vec2::new(0.0, 2.0), ..default() });
    app.update();
    app.insert_resource(AccumulatedMouseScroll::default());
    assert!(far_m(app) < before_m);
}

fn steps(app: &mut App) {
    press(app, KeyCode::KeyN);
    assert_eq!(step(app), (Some(0), false));
    press(app, KeyCode::PageDown);
    assert_eq!(step(app), (Some(1), false));
    press(app, KeyCode::KeyB);
    assert_eq!(step(app), (Some(0), false));
    press(app, KeyCode::PageDown);
    press(app, KeyCode::PageUp);
    assert_eq!(step(app), (Some(0), false));
}

fn answers(app: &mut App) {
    while step(app).1 || !app.world().resource::<wideberth_viewer::scene::lesson::Concealed>().numbers() {
        press(app, KeyCode::KeyN);
    }
    let before = step(app);
    press(app, KeyCode::Enter);
    assert_eq!(step(app), (before.0, true));
}

fn play(app: &mut App, key: KeyCode, motion: Motion) {
    press(app, key);
    assert_eq!(plays(app), Some(motion));
    press(app, key);
    assert_eq!(plays(app), None);
}

fn look(app: &App) -> Look {
    app.world().resource::<Look>().clone()
}

fn toggles(app: &mut App, key: KeyCode, part: fn(&Look) -> String) {
    let before = part(&look(app));
    press(app, key);
    assert_ne!(part(&look(app)), before, "{key:?} does nothing");
    press(app, key);
    assert_eq!(part(&look(app)), before);
}

#[test]
fn every_key_of_the_help_does_something() {
    let mut app = app();
    for (keys, does) in ENGLISH.keys {
        let app = &mut app;
        match *keys {
            "1 to 6" => sights(app),
            "left mouse drag, arrow keys" => turns(app),
            "right mouse drag" => moves_sideways(app),
            "mouse wheel, + and -" => zooms(app),
            "W" => {
                press(app, KeyCode::KeyS);
                press(app, KeyCode::KeyW);
                assert!(app.world().resource::<Now>().is_worst);
            }
            "S" => {
                let worst = app.world().resource::<Wanted>().clone();
                press(app, KeyCode::KeyS);
                assert_ne!(*app.world().resource::<Wanted>(), worst);
                assert!(!app.world().resource::<Now>().is_worst);
            }
            "space" => play(app, KeyCode::Space, Motion::Work),
            "Y" => play(app, KeyCode::KeyY, Motion::Sway),
            "T" => play(app, KeyCode::KeyT, Motion::Heat),
            "N or page down, B or page up" => steps(app),
            "enter" => answers(app),
            "U" => toggles(app, KeyCode::KeyU, |look| format!("{:?}", look.units)),
            "P" => toggles(app, KeyCode::KeyP, |look| look.panel.to_string()),
            "H" => toggles(app, KeyCode::KeyH, |look| look.help.to_string()),
            "F11" => {
                let mode = |app: &mut App| app.world_mut().query::<&Window>().iter(app.world()).next().map(|w| w.mode);
                press(app, KeyCode::F11);
                assert_ne!(mode(app), Some(WindowMode::Windowed));
                press(app, KeyCode::F11);
                assert_eq!(mode(app), Some(WindowMode::Windowed));
            }
            "F12" => {
                let before = pictures(app);
                press(app, KeyCode::F12);
                assert!(!look(app).panel, "the panel is not in the picture");
                (0..70).for_each(|_| app.update());
                assert_eq!(pictures(app), before + 1);
                assert!(look(app).panel, "the panel comes back");
            }
            "escape" => {
                press(app, KeyCode::KeyH);
                press(app, KeyCode::Escape);
                assert!(!look(app).help && app.should_exit().is_none(), "it closes the help first");
                press(app, KeyCode::Escape);
                assert!(app.world().resource::<Leaving>().0 && app.should_exit().is_none(), "it asks first");
                press(app, KeyCode::Escape);
                assert!(!app.world().resource::<Leaving>().0 && app.should_exit().is_none(), "a second one stays");
                press(app, KeyCode::Escape);
                app.world_mut().resource_mut::<ButtonInput<KeyCode>>().press(KeyCode::Enter);
                app.update();
                assert_eq!(app.should_exit(), Some(AppExit::Success));
            }
            other => panic!("nobody tries the key \"{other}\", which is to {does}"),
        }
    }
}

#[test]
fn nothing_leaks_from_the_panel() {
    let mut app = app();
    let app = &mut app;
    (0..30).for_each(|_| app.update());
    let before = eye(app);
    // The wheel outside the scene, and a drag that begins there.
    point(app, None);
    app.insert_resource(AccumulatedMouseScroll { delta: Vec2::new(0.0, 4.0), ..default() });
    app.update();
    app.insert_resource(AccumulatedMouseScroll::default());
    app.world_mut().resource_mut::<ButtonInput<MouseButton>>().press(MouseButton::Left);
    app.update();
    app.world_mut().resource_mut::<ButtonInput<MouseButton>>().clear();
    for x in [320.0, 360.0, 400.0] {
        point(app, Some(Vec2::new(x, 300.0)));
        app.update();
    }
    assert_eq!(eye(app), before);
}
