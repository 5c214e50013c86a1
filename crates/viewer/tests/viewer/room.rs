//! Texts cover neither each other nor the gap, and stay in the picture: phone or wall, small text or large.

use bevy::prelude::*;
use bevy::ui::UiGlobalTransform;
use wideberth_report::Units;
use wideberth_viewer::args::Size;
use wideberth_viewer::frame::SceneFrame;
use wideberth_viewer::loaded::Origin;
use wideberth_viewer::proportions::wire_end;
use wideberth_viewer::scene::cameras::{MainCamera, SceneCamera};
use wideberth_viewer::scene::framing::on_screen;
use wideberth_viewer::scene::lesson::AtStep;
use wideberth_viewer::scene::stage::{Look, Now, Shown, Worst};
use wideberth_viewer::scene::text::Card;
use wideberth_viewer::studio::{Purpose, Studio};
use wideberth_viewer::teaching::Teaching;
use wideberth_viewer::views::Sight;

use super::demonstration;

/// Pictures: a phone, a small window, the usual one, one beside a wide panel, a wall.
const SIZES: [(u32, u32); 6] = [(720, 1280), (640, 480), (480, 360), (1280, 720), (740, 720), (3840, 2160)];
const TEXTS: [f32; 4] = [1.0, 1.25, 1.6, 2.0];
const SCENARIOS: [&str; 3] =
    ["silo-shell-tilts-under-a-farm-line", "excavator-travels-under-a-line", "crane-held-by-a-slew-stop"];

/// Rounding of places, px.
const ROUNDING_PX: f32 = 1.0;

/// Cards and texts on the screen, in pixels.
fn places(world: &mut World) -> (Vec<Rect>, Vec<(String, Rect)>) {
    let pixels = |node: &ComputedNode, place: &UiGlobalTransform| {
        let rect = on_screen(node, place);
        let scale = 1.0 / node.inverse_scale_factor;
        Rect::from_corners(rect.min * scale, rect.max * scale)
    };
    let mut cards = world.query_filtered::<(&ComputedNode, &UiGlobalTransform), With<Card>>();
    let cards = cards.iter(world).map(|(node, place)| pixels(node, place)).collect();
    let mut texts = world.query::<(&Text, &ComputedNode, &UiGlobalTransform, &InheritedVisibility)>();
    let seen = texts.iter(world).filter(|(text, .., seen)| seen.get() && !text.0.is_empty());
    (cards, seen.map(|(text, node, place, _)| (text.0.clone(), pixels(node, place))).collect())
}

/// Where the gap is in the picture, px.
fn gap(world: &mut World) -> [Vec2; 2] {
    let (now, frame) = (world.resource::<Now>().clone(), *world.resource::<SceneFrame>());
    let gap = now.gaps.each[now.gaps.least];
    let mut cameras = world.query_filtered::<(&Camera, &GlobalTransform), With<MainCamera>>();
    let (camera, place) = cameras.single(world).expect("a camera");
    [gap.on_body, wire_end(&gap)].map(|end| camera.world_to_viewport(place, frame.point(&end)).expect("before it"))
}

fn check(studio: &mut Studio, what: &str) {
    studio.pass(std::time::Duration::ZERO);
    studio.settle();
    let world = studio.world();
    let (cards, texts) = places(world);
    let mut cameras = world.query_filtered::<&Camera, With<MainCamera>>();
    let size = cameras.single(world).expect("a camera").logical_viewport_size().expect("a size");
    let picture = Rect::from_corners(Vec2::ZERO, size).inflate(ROUNDING_PX);
    assert!(!cards.is_empty() && !texts.is_empty(), "{what}: nothing is said");
    for (index, card) in cards.iter().enumerate() {
        assert!(picture.contains(card.min) && picture.contains(card.max), "{what}: the card {card:?} leaves {size}");
        for other in &cards[..index] {
            let both = card.intersect(*other);
            assert!(both.width() < ROUNDING_PX || both.height() < ROUNDING_PX, "{what}: {card:?} lies over {other:?}");
        }
    }
    for (text, rect) in &texts {
        assert!(picture.contains(rect.min) && picture.contains(rect.max), "{what}: \"{text}\" {rect:?} leaves {size}");
    }
    let ends = gap(world);
    for end in ends {
        assert!(picture.contains(end), "{what}: the gap {ends:?} leaves {size}");
        assert!(cards.iter().all(|card| !card.contains(end)), "{what}: a card lies over the gap {ends:?}: {cards:?}");
    }
}

fn look(studio: &mut Studio, text_size: f32, units: Units) {
    let mut look = studio.world().resource_mut::<Look>();
    (look.text_size, look.units) = (text_size, units);
}

fn see(studio: &mut Studio, sight: Sight) {
    let eye = studio.world().resource::<Worst>().subject.eye(sight);
    studio.world().insert_resource(SceneCamera::at(sight, eye));
}

#[test]
fn texts_cover_neither_each_other_nor_the_gap() {
    for (index, (width, height)) in SIZES.into_iter().enumerate() {
        let name = SCENARIOS[index % SCENARIOS.len()];
        let look_at = Look { units: Units::Si, text_size: 1.0, help: false, panel: false };
        let origin = Origin::File(demonstration(name));
        let mut studio = Studio::open(origin, Sight::Orbit, look_at, Size { width, height }, Purpose::Pictures)
            .expect("a software driver draws");
        for text_size in TEXTS {
            for units in [Units::Si, Units::Us] {
                look(&mut studio, text_size, units);
                for sight in [Sight::Orbit, Sight::Plan, Sight::Along, Sight::Across] {
                    see(&mut studio, sight);
                    check(&mut studio, &format!("{name} {width}x{height} text {text_size} {units:?} {sight:?}"));
                }
            }
        }
        let steps = studio.world().resource::<Shown>().job.lesson.as_ref().map_or(0, |lesson| lesson.steps.len());
        look(&mut studio, 1.25, Units::Si);
        for step in 0..steps {
            studio.world().resource_mut::<AtStep>().0 = Teaching { step: Some(step), answered: true };
            studio.pass(std::time::Duration::ZERO);
            see(&mut studio, Sight::Orbit);
            check(&mut studio, &format!("{name} {width}x{height} step {step}"));
        }
    }
}
