//! Keys and mouse.

use bevy::input::mouse::{AccumulatedMouseScroll, MouseScrollUnit};
use bevy::prelude::*;
use bevy::window::{MonitorSelection, PrimaryWindow, WindowMode};
use bevy_egui::input::EguiWantsInput;
use wideberth_report::Units;

use crate::args::Motion;
use crate::moment::Moment;
use crate::scene::cameras::{MainCamera, SceneCamera};
use crate::scene::lesson::AtStep;
use crate::scene::playing::Playing;
use crate::scene::stage::{Look, Now, Proven, Shown, Stage, Step, Wanted, Worst};
use crate::terrain::Terrain;
use crate::views::{Sight, Turn};

/// Keys and mouse.
pub struct KeysPlugin;

/// The camera stays this far above the ground, m.
const ABOVE_GROUND_M: f64 = 0.4;
/// Turn for each pixel of the mouse, rad.
const TURN_RAD: f64 = 0.006;
/// Turn for each second of an arrow key, rad.
const ARROW_RAD: f64 = 1.2;
/// Shift for each pixel of the mouse, as a share of the distance.
const SHIFT: f64 = 0.0012;
/// Keys of the sights, in the order of [`Sight::ALL`].
const SIGHT_KEYS: [KeyCode; 6] =
    [KeyCode::Digit1, KeyCode::Digit2, KeyCode::Digit3, KeyCode::Digit4, KeyCode::Digit5, KeyCode::Digit6];

impl Plugin for KeysPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Pointer>()
            .init_resource::<Leaving>()
            .add_systems(Update, (end, (looks, full_screen).run_if(are_free)))
            .add_systems(
                Update,
                ((moments, lessons, sights).run_if(are_free), (follow_pointer, turn).chain())
                    .in_set(Step::Input)
                    .run_if(in_state(Stage::Ready)),
            );
    }
}

/// Whether it was asked if the program shall end.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Leaving(pub bool);

/// The pointer over the scene.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq)]
pub struct Pointer {
    /// Where it is, where it is over the scene.
    at: Option<Vec2>,
    /// How far it went since the last frame while a button is held that was pressed over the scene.
    dragged: Vec2,
    /// The button.
    button: Option<MouseButton>,
}

/// Whether keys belong to the scene: not while somebody types into a field, or is asked whether to end.
fn are_free(egui: Res<EguiWantsInput>, leaving: Res<Leaving>) -> bool {
    !egui.wants_any_keyboard_input() && !leaving.0
}

/// The pointer by its place, which pens, touch and distant screens tell too. What begins over the panel stays there.
fn follow_pointer(
    windows: Query<&Window, With<PrimaryWindow>>,
    cameras: Query<&Camera, With<MainCamera>>,
    buttons: Res<ButtonInput<MouseButton>>,
    egui: Res<EguiWantsInput>,
    mut pointer: ResMut<Pointer>,
    mut last: Local<Option<Vec2>>,
) {
    let place = windows.iter().next().and_then(Window::cursor_position);
    let scene = cameras.iter().find_map(Camera::logical_viewport_rect);
    let over = place.filter(|at| scene.is_none_or(|scene| scene.contains(*at)) && !egui.wants_any_pointer_input());
    let pressed = [MouseButton::Left, MouseButton::Right].into_iter().find(|button| buttons.just_pressed(*button));
    let held = pointer.button.filter(|button| buttons.pressed(*button));
    let button = held.or_else(|| pressed.filter(|_| over.is_some()));
    let moved = place.zip(*last).map_or(Vec2::ZERO, |(place, last)| place - last);
    *last = place;
    pointer.set_if_neq(Pointer { at: over, dragged: if held.is_some() { moved } else { Vec2::ZERO }, button });
}

type Keys<'w> = Res<'w, ButtonInput<KeyCode>>;

/// Escape closes the help, or asks whether to end; a second one stays, enter ends.
fn end(
    keys: Keys<'_>,
    egui: Res<EguiWantsInput>,
    mut look: ResMut<Look>,
    mut leaving: ResMut<Leaving>,
    mut exit: MessageWriter<AppExit>,
) {
    if leaving.0 && keys.just_pressed(KeyCode::Enter) {
        exit.write(AppExit::Success);
    }
    // In a field, escape leaves the field.
    if egui.wants_any_keyboard_input() || !keys.just_pressed(KeyCode::Escape) {
        return;
    }
    if look.help {
        look.help = false;
    } else {
        leaving.0 = !leaving.0;
    }
}

fn full_screen(keys: Keys<'_>, mut windows: Query<&mut Window, With<PrimaryWindow>>) {
    if !keys.just_pressed(KeyCode::F11) {
        return;
    }
    for mut window in &mut windows {
        let is_full = window.mode != WindowMode::Windowed;
        window.mode =
            if is_full { WindowMode::Windowed } else { WindowMode::BorderlessFullscreen(MonitorSelection::Current) };
    }
}

fn looks(keys: Keys<'_>, mut look: ResMut<Look>) {
    if keys.just_pressed(KeyCode::KeyH) {
        look.help = !look.help;
    }
    if keys.just_pressed(KeyCode::KeyP) {
        look.panel = !look.panel;
    }
    if keys.just_pressed(KeyCode::KeyU) {
        look.units = if look.units == Units::Si { Units::Us } else { Units::Si };
    }
}

fn moments(
    keys: Keys<'_>,
    proven: Res<Proven>,
    worst: Res<Worst>,
    mut wanted: ResMut<Wanted>,
    mut playing: ResMut<Playing>,
) {
    if keys.just_pressed(KeyCode::KeyW) {
        playing.stop();
        wanted.0 = worst.moment.clone();
    }
    if keys.just_pressed(KeyCode::KeyS) {
        playing.stop();
        wanted.0 = Moment::start(&proven.job);
    }
    let plays = [(KeyCode::Space, Motion::Work), (KeyCode::KeyY, Motion::Sway), (KeyCode::KeyT, Motion::Heat)];
    for (_, motion) in plays.into_iter().filter(|(key, _)| keys.just_pressed(*key)) {
        if playing.motion().is_some() { playing.stop() } else { playing.begin(motion, &wanted.0) }
    }
}

fn lessons(keys: Keys<'_>, shown: Res<Shown>, mut at: ResMut<AtStep>) {
    let Some(lesson) = &shown.job.lesson else { return };
    if keys.any_just_pressed([KeyCode::KeyN, KeyCode::PageDown]) {
        at.0 = at.forth(lesson);
    }
    if keys.any_just_pressed([KeyCode::KeyB, KeyCode::PageUp]) {
        at.0 = at.back();
    }
    if keys.just_pressed(KeyCode::Enter) && at.step.is_some() {
        at.0 = at.reveal();
    }
}

fn sights(keys: Keys<'_>, worst: Res<Worst>, mut camera: ResMut<SceneCamera>) {
    for (key, sight) in SIGHT_KEYS.into_iter().zip(Sight::ALL) {
        if keys.just_pressed(key) {
            let eye = worst.subject.eye(sight);
            camera.go(sight, eye);
        }
    }
}

fn turn(
    keys: Keys<'_>,
    pointer: Res<Pointer>,
    scroll: Res<AccumulatedMouseScroll>,
    time: Res<Time>,
    egui: Res<EguiWantsInput>,
    (now, shown): (Res<Now>, Res<Shown>),
    mut camera: ResMut<SceneCamera>,
) {
    let typed = egui.wants_any_keyboard_input();
    let held = |key: KeyCode| f64::from(u8::from(keys.pressed(key) && !typed));
    let seconds = time.delta_secs_f64();
    let nearer = held(KeyCode::Equal).max(held(KeyCode::NumpadAdd));
    let farther = held(KeyCode::Minus).max(held(KeyCode::NumpadSubtract));
    let mut turn = Turn {
        right_rad: ARROW_RAD * seconds * (held(KeyCode::ArrowRight) - held(KeyCode::ArrowLeft)),
        up_rad: ARROW_RAD * seconds * (held(KeyCode::ArrowUp) - held(KeyCode::ArrowDown)),
        zoom: (seconds * (farther - nearer)).exp(),
    };
    let (x, y) = (f64::from(pointer.dragged.x), f64::from(pointer.dragged.y));
    if pointer.button == Some(MouseButton::Left) {
        turn.right_rad += x * TURN_RAD;
        turn.up_rad += y * TURN_RAD;
    }
    if pointer.at.is_some() {
        let lines = if scroll.unit == MouseScrollUnit::Line { 0.12 } else { 0.002 };
        turn.zoom *= (-f64::from(scroll.delta.y) * lines).exp();
    }
    if turn != (Turn { right_rad: 0.0, up_rad: 0.0, zoom: 1.0 }) {
        let gap = now.gaps.each.get(now.gaps.least).map(|gap| nalgebra::center(&gap.on_body, &gap.on_wire));
        let about = gap.unwrap_or(camera.shown().target);
        let eye = camera.shown().turned(&turn, &about);
        let floor_m = Terrain::of(&shown.job).level_m(&eye.at.xy()) + ABOVE_GROUND_M;
        camera.set(eye.above(floor_m));
    }
    if pointer.button == Some(MouseButton::Right) && (x != 0.0 || y != 0.0) {
        let eye = camera.shown().shifted(-x * SHIFT, y * SHIFT);
        camera.set(eye);
    }
}
