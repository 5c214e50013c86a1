//! Keys and mouse.

use bevy::input::mouse::{AccumulatedMouseMotion, AccumulatedMouseScroll, MouseScrollUnit};
use bevy::prelude::*;
use bevy::render::view::screenshot::{Screenshot, save_to_disk};
use bevy_egui::input::EguiWantsInput;
use wideberth_report::Units;

use crate::args::Motion;
use crate::loaded::Origin;
use crate::moment::Moment;
use crate::scene::cameras::SceneCamera;
use crate::scene::lesson::AtStep;
use crate::scene::playing::Playing;
use crate::scene::stage::{Look, Shown, Stage, Step, Wanted, Worst};
use crate::views::{Sight, Turn};

/// Keys and mouse.
pub struct KeysPlugin;

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
        app.add_systems(Update, (end, looks)).add_systems(
            Update,
            (moments, lessons, sights, turn, picture).in_set(Step::Input).run_if(in_state(Stage::Ready)),
        );
    }
}

type Keys<'w> = Res<'w, ButtonInput<KeyCode>>;

/// Escape closes the help, or ends.
fn end(keys: Keys<'_>, mut look: ResMut<Look>, mut exit: MessageWriter<AppExit>) {
    if keys.just_pressed(KeyCode::Escape) {
        if look.help {
            look.help = false;
        } else {
            exit.write(AppExit::Success);
        }
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
    shown: Res<Shown>,
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
        wanted.0 = Moment::start(&shown.job);
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
    buttons: Res<ButtonInput<MouseButton>>,
    motion: Res<AccumulatedMouseMotion>,
    scroll: Res<AccumulatedMouseScroll>,
    time: Res<Time>,
    egui: Res<EguiWantsInput>,
    mut camera: ResMut<SceneCamera>,
) {
    let held = |key: KeyCode| f64::from(u8::from(keys.pressed(key)));
    let seconds = time.delta_secs_f64();
    let mut turn = Turn {
        right_rad: ARROW_RAD * seconds * (held(KeyCode::ArrowRight) - held(KeyCode::ArrowLeft)),
        up_rad: ARROW_RAD * seconds * (held(KeyCode::ArrowUp) - held(KeyCode::ArrowDown)),
        zoom: (seconds * (held(KeyCode::Minus) - held(KeyCode::Equal))).exp(),
    };
    let (x, y) = (f64::from(motion.delta.x), f64::from(motion.delta.y));
    let free = !egui.wants_any_pointer_input();
    if free && buttons.pressed(MouseButton::Left) {
        turn.right_rad += x * TURN_RAD;
        turn.up_rad += y * TURN_RAD;
    }
    if free {
        let lines = if scroll.unit == MouseScrollUnit::Line { 0.12 } else { 0.002 };
        turn.zoom *= (-f64::from(scroll.delta.y) * lines).exp();
    }
    if turn != (Turn { right_rad: 0.0, up_rad: 0.0, zoom: 1.0 }) {
        let eye = camera.shown().turned(&turn);
        camera.set(eye);
    }
    if free && buttons.pressed(MouseButton::Right) && (x != 0.0 || y != 0.0) {
        let eye = camera.shown().shifted(-x * SHIFT, y * SHIFT);
        camera.set(eye);
    }
}

/// Saves what the window shows beside the scenario.
fn picture(mut commands: Commands, keys: Keys<'_>, shown: Res<Shown>, mut count: Local<u32>) {
    if !keys.just_pressed(KeyCode::F12) {
        return;
    }
    *count += 1;
    let path = match &shown.origin {
        Origin::File(path) => path.with_extension(format!("{}.png", *count)),
        Origin::BuiltIn => format!("wideberth.{}.png", *count).into(),
    };
    commands.spawn(Screenshot::primary_window()).observe(save_to_disk(path));
}
