//! Where in the picture the scene has its middle: cards lie over it, and what matters is shown where none does.

use bevy::camera::{CameraProjection, SubCameraView};
use bevy::math::Vec3A;
use bevy::prelude::*;

use super::cameras::MainCamera;
use super::lesson::Caption;
use super::stage::{Look, Stage, Step};
use super::text::Card;
use crate::frame::narrow;
use crate::teaching::Saying;
use crate::views::Eye;

/// Where the scene has its middle.
pub struct FramingPlugin;

/// The part of the picture that no card covers, px.
#[derive(Resource, Clone, Copy, Debug, PartialEq)]
pub struct Framing {
    /// Size of the picture.
    pub size: Vec2,
    /// The part that is free.
    pub free: Rect,
    /// Whether it was the same in the last frame, and every card was laid out.
    pub settled: bool,
}

impl Default for Framing {
    fn default() -> Self {
        let size = Vec2::new(1280.0, 720.0);
        Self { size, free: Rect::from_corners(Vec2::ZERO, size), settled: false }
    }
}

/// How much is left out of the texts so that the scene has room: nothing at 0; then long words, then all but what must be said; above
/// that texts are smaller too.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Density(pub u8);

impl Density {
    /// The most.
    const MOST: u8 = 7;
    /// From here on texts shrink.
    const SHRINKS: u8 = 2;

    /// Factor of the size of texts.
    #[must_use]
    pub fn scale(self) -> f32 {
        0.86_f32.powi(i32::from(self.0.saturating_sub(Self::SHRINKS)))
    }
}

/// The scene wants at least this share of the smaller side of the picture, both ways.
const LEAST: f32 = 0.42;
/// A free part stays until another is so much larger.
const LARGER: f32 = 1.25;
/// Frames in a row in which the scene has too little room before texts say less.
const FRAMES_CROWDED: u8 = 3;
/// Between the free part and the cards.
const GAP_PX: f32 = 6.0;
/// Nearest and farthest that is drawn, m.
const NEAR_M: f32 = 0.2;
const FAR_M: f32 = 6_000.0;

impl Plugin for FramingPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Density>()
            .add_systems(Update, frame.before(Step::Camera).after(Step::Gaps).run_if(in_state(Stage::Ready)));
    }
}

/// What decides how much room texts take, apart from how they run.
type Key = (Vec2, f32, Saying);

fn frame(
    cards: Query<(&ComputedNode, &UiGlobalTransform), With<Card>>,
    camera: Single<&Camera, With<MainCamera>>,
    (look, caption): (Res<Look>, Res<Caption>),
    mut framing: ResMut<Framing>,
    mut density: ResMut<Density>,
    mut key: Local<Option<Key>>,
    mut crowded: Local<u8>,
) {
    let Some(size) = camera.physical_viewport_size().map(|size| size.as_vec2()) else { return };
    let found = (size, look.text_size, caption.0.clone());
    if key.as_ref() != Some(&found) {
        *key = Some(found);
        *density = Density::default();
        framing.set_if_neq(Framing { settled: false, ..*framing });
        return;
    }
    if cards.is_empty() || cards.iter().any(|(node, _)| node.size.min_element() <= 0.0) {
        framing.set_if_neq(Framing { settled: false, ..*framing });
        return;
    }
    let card = |(node, place): (&ComputedNode, &UiGlobalTransform)| {
        Rect::from_center_size(place.translation, node.size).inflate(GAP_PX)
    };
    let taken: Vec<Rect> = cards.iter().map(card).collect();
    let best = free(size, &taken);
    if is_crowded(size, &best) && density.0 < Density::MOST {
        // Texts that were changed are laid out in the next frames.
        *crowded += 1;
        if *crowded >= FRAMES_CROWDED {
            (density.0, *crowded) = (density.0 + 1, 0);
        }
        framing.set_if_neq(Framing { settled: false, ..*framing });
        return;
    }
    *crowded = 0;
    let stays = framing.size == size
        && taken.iter().all(|card| card.intersect(framing.free).is_empty())
        && room(&best) < LARGER * room(&framing.free);
    let wanted = if stays { framing.free } else { best };
    let settled = framing.free == wanted && framing.size == size;
    framing.set_if_neq(Framing { size, free: wanted, settled });
}

/// Where a card is, in the units of texts.
pub fn on_screen(node: &ComputedNode, place: &UiGlobalTransform) -> Rect {
    let scale = node.inverse_scale_factor;
    Rect::from_center_size(place.translation * scale, node.size * scale)
}

/// What a part of the picture is worth: how large a ball it shows.
fn room(part: &Rect) -> f32 {
    part.size().min_element() + 0.02 * part.size().max_element()
}

/// Whether the scene has too little room.
#[must_use]
pub fn is_crowded(size: Vec2, free: &Rect) -> bool {
    free.size().min_element() < LEAST * size.min_element()
}

/// The best part of a picture that no card covers; the whole picture where they cover all of it.
#[must_use]
pub fn free(size: Vec2, cards: &[Rect]) -> Rect {
    let edges = |axis: usize| {
        let of = cards.iter().flat_map(|card| [card.min[axis], card.max[axis]]).chain([0.0, size[axis]]);
        let mut edges: Vec<f32> = of.map(|edge| edge.clamp(0.0, size[axis])).collect();
        edges.sort_by(f32::total_cmp);
        edges.dedup();
        edges
    };
    let (across, down) = (edges(0), edges(1));
    let pairs = |edges: &[f32]| -> Vec<[f32; 2]> {
        let from = edges.iter().enumerate();
        from.flat_map(|(index, low)| edges[index + 1..].iter().map(|high| [*low, *high])).collect()
    };
    let (columns, rows) = (pairs(&across), pairs(&down));
    let mut best: Option<Rect> = None;
    for [left, right] in columns {
        for [top, bottom] in &rows {
            let part = Rect::new(left, *top, right, *bottom);
            let is_free = cards.iter().all(|card| card.intersect(part).is_empty());
            if is_free && best.is_none_or(|best| room(&part) > room(&best)) {
                best = Some(part);
            }
        }
    }
    best.unwrap_or(Rect::from_corners(Vec2::ZERO, size))
}

/// A camera whose middle need not lie in the middle of its picture: tangents of the angles to its edges.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lens {
    left: f32,
    right: f32,
    bottom: f32,
    top: f32,
}

impl Framing {
    /// Tangent of an angle for each unit of the picture, where the camera looks. A camera outside shows its subject in the free part,
    /// whichever way that is narrower; a person sees as much as a person does.
    fn tangent(&self, eye: &Eye) -> f32 {
        let fitted = self.free.size().min_element().max(1.0);
        let span = self.size.y + (fitted - self.size.y) * narrow(eye.fit);
        2.0 * narrow((0.5 * eye.view_rad).tan()) / span
    }

    /// Tangent of the angle that half the height of the picture takes: what widths in the picture are measured by.
    #[must_use]
    pub fn half_height(&self, eye: &Eye) -> f64 {
        f64::from(0.5 * self.size.y * self.tangent(eye))
    }

    /// The lens that shows a camera's target in the middle of the free part.
    #[must_use]
    pub fn lens(&self, eye: &Eye) -> Lens {
        let (tangent, middle) = (self.tangent(eye), self.free.center());
        let below_right = (self.size - middle) * tangent;
        Lens { left: -middle.x * tangent, right: below_right.x, bottom: -below_right.y, top: middle.y * tangent }
    }
}

impl CameraProjection for Lens {
    /// Reversed depth without an end, as the renderer has it.
    fn get_clip_from_view(&self) -> Mat4 {
        let (width, height) = (self.right - self.left, self.top - self.bottom);
        Mat4::from_cols(
            Vec4::new(2.0 / width, 0.0, 0.0, 0.0),
            Vec4::new(0.0, 2.0 / height, 0.0, 0.0),
            Vec4::new((self.right + self.left) / width, (self.top + self.bottom) / height, 0.0, -1.0),
            Vec4::new(0.0, 0.0, NEAR_M, 0.0),
        )
    }

    fn get_clip_from_view_for_sub(&self, _: &SubCameraView) -> Mat4 {
        self.get_clip_from_view()
    }

    fn update(&mut self, _: f32, _: f32) {}

    fn far(&self) -> f32 {
        FAR_M
    }

    fn get_frustum_corners(&self, z_near: f32, z_far: f32) -> [Vec3A; 8] {
        let corner = |x: f32, y: f32, z: f32| Vec3A::new(x * z.abs(), y * z.abs(), z);
        let ring = |z: f32| {
            let Self { left, right, bottom, top } = *self;
            [corner(right, bottom, z), corner(right, top, z), corner(left, top, z), corner(left, bottom, z)]
        };
        let ([a, b, c, d], [e, f, g, h]) = (ring(z_near), ring(z_far));
        [a, b, c, d, e, f, g, h]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::views::Sight;
    use proptest::prelude::*;

    fn size() -> impl Strategy<Value = Vec2> {
        (300.0..4000.0_f32, 300.0..2400.0_f32).prop_map(|(width, height)| Vec2::new(width, height))
    }

    fn card() -> impl Strategy<Value = (f32, f32, f32, f32)> {
        (0.0..0.9_f32, 0.0..0.9_f32, 0.05..0.7_f32, 0.03..0.4_f32)
    }

    proptest! {
        /// Whatever cards lie over the picture: no card touches the free part, and a camera outside shows in it all of the ball that it
        /// was set to show.
        #[test]
        fn cards_never_cover_what_the_camera_shows(
            size in size(), cards in prop::collection::vec(card(), 0..6), radius_m in 4.0..60.0_f64, turn in 0.0..6.2_f64,
        ) {
            let place = |(x, y, w, h): (f32, f32, f32, f32)| Rect::from_corners(Vec2::new(x, y) * size, (Vec2::new(x, y) + Vec2::new(w, h)).min(Vec2::ONE) * size);
            let cards: Vec<Rect> = cards.into_iter().map(place).collect();
            let part = free(size, &cards);
            prop_assume!(part.size().min_element() > 20.0 && part.size() != size || cards.is_empty());
            prop_assert!(cards.iter().all(|card| card.intersect(part).is_empty()), "{part:?} {cards:?}");
            let framing = Framing { size, free: part, settled: true };
            let subject = crate::views::tests_subject(radius_m);
            for sight in [Sight::Orbit, Sight::Plan, Sight::Along, Sight::Across] {
                let eye = subject.eye(sight);
                let clip = framing.lens(&eye).get_clip_from_view();
                let (look, up) = ((eye.target - eye.at).normalize(), eye.up);
                let right = look.cross(&up).normalize();
                let upward = right.cross(&look);
                // Points of the ball's outline, round about.
                for k in 0..16 {
                    let (sin, cos) = (turn + std::f64::consts::TAU * f64::from(k) / 16.0).sin_cos();
                    let point = eye.target + (right * cos + upward * sin) * radius_m - eye.at;
                    let view = Vec4::new(narrow(point.dot(&right)), narrow(point.dot(&upward)), -narrow(point.dot(&look)), 1.0);
                    let seen = clip * view;
                    let seen = Vec2::new(seen.x, -seen.y) / seen.w;
                    let at = (seen + Vec2::ONE) * 0.5 * size;
                    prop_assert!(part.inflate(0.5).contains(at), "{sight:?} {at} outside {part:?}");
                }
            }
        }
    }

    #[test]
    fn without_cards_the_picture_is_the_usual_one() {
        let eye = crate::views::tests_subject(8.0).eye(Sight::Spotter);
        let framing = Framing::default();
        let usual = Mat4::perspective_infinite_reverse_rh(narrow(eye.view_rad), 1280.0 / 720.0, NEAR_M);
        let own = framing.lens(&eye).get_clip_from_view();
        assert!(usual.abs_diff_eq(own, 1e-5), "{usual} {own}");
    }

    #[test]
    fn texts_shrink_only_after_they_are_shortened() {
        assert!((Density(2).scale() - 1.0).abs() < 1e-6);
        assert!(Density(3).scale() < 1.0 && Density(Density::MOST).scale() > 0.45);
    }
}
