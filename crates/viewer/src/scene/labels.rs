//! Texts that stand at places of the scene: wires with their voltage, heights, gaps. None covers another or a card.

use bevy::prelude::*;
use bevy::ui::UiTargetCamera;
use nalgebra::{Point3, Vector3};

use super::cameras::MainCamera;
use super::framing::on_screen;
use super::gap_line::ground_below_m;
use super::lesson::Concealed;
use super::machine::is_apart;
use super::paint::color;
use super::people::PERSON_M;
use super::site;
use super::stage::{Look, Now, Proven, SceneThing, Shown, SpanCurve, Stage, Standing as Verdict, Step, Worst};
use super::text::{Card, Fonts, Pen};
use crate::frame::{SceneFrame, narrow};
use crate::proportions::wire_end;
use crate::strings::ENGLISH;
use crate::teaching::Hidden;
use crate::theme::{self, Rgb};
use crate::view_model::{self, Standing};

/// Labels.
pub struct LabelsPlugin;

/// A label.
#[derive(Clone, Debug, PartialEq)]
struct Label {
    /// What it stands beside.
    beside: [Point3<f64>; 2],
    text: String,
    ground: Rgb,
    size_px: f32,
    /// Whether it may be left out where there is no room.
    optional: bool,
    /// What it should not cover: it stands on the other side of its point.
    away: Option<Point3<f64>>,
}

impl Label {
    /// How much room it takes, about, px.
    fn room(&self) -> Vec2 {
        Vec2::new(14.0 + 0.68 * self.size_px * self.text.chars().count() as f32, 8.0 + 1.25 * self.size_px)
    }
}

/// The place of a label on the screen, by its number.
#[derive(Component)]
struct Tag(usize);

impl Plugin for LabelsPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Update, draw.in_set(Step::Text).run_if(in_state(Stage::Ready)));
    }
}

#[expect(clippy::too_many_arguments, reason = "a system names what it reads")]
fn draw(
    mut commands: Commands,
    now: Res<Now>,
    worst: Res<Worst>,
    shown: Res<Shown>,
    look: Res<Look>,
    frame: Res<SceneFrame>,
    (hidden, proven, standing): (Res<Concealed>, Res<Proven>, Res<Verdict>),
    (scale, fonts): (Res<UiScale>, Res<Fonts>),
    cards: Query<(&ComputedNode, &UiGlobalTransform), With<Card>>,
    camera: Single<(Entity, &Camera, &Transform), With<MainCamera>>,
    mut tags: Query<(Entity, &Tag, &mut Node, &mut Visibility, &mut BackgroundColor, &Children)>,
    mut texts: Query<&mut Text>,
    mut covered: Local<Vec<Rect>>,
) {
    let labels = labels(&now, &worst, &shown, &look, (hidden.0, &*proven, &*standing));
    let (entity, camera, transform) = *camera;
    let Some(size) = camera.logical_viewport_size() else { return };
    // Cards that are built anew in this frame are where the last ones were, about, until they are laid out.
    if cards.iter().all(|(node, _)| node.size.min_element() > 0.0) {
        *covered = cards.iter().map(|(node, place)| on_screen(node, place).inflate(4.0)).collect();
    }
    let view = View { size: size / scale.0, cards: &covered };
    let project = |point: &Point3<f64>| {
        let place = camera.world_to_viewport_with_depth(&GlobalTransform::from(*transform), frame.point(point)).ok()?;
        (place.z > 0.0).then(|| place.truncate() / scale.0)
    };
    let places = arrange(&labels, project, &view);
    for (number, label) in labels.iter().enumerate().skip(tags.iter().count()) {
        spawn(&mut commands, number, label, &fonts, entity);
    }
    for (_, tag, mut node, mut visibility, mut ground, children) in &mut tags {
        let label = labels.get(tag.0);
        let place = places.get(tag.0).copied().flatten();
        let (Some(label), Some(place)) = (label, place) else {
            visibility.set_if_neq(Visibility::Hidden);
            continue;
        };
        visibility.set_if_neq(Visibility::Inherited);
        // What is set is laid out anew, so only what differs is.
        if (node.left, node.top) != (px(place.x), px(place.y)) {
            (node.left, node.top) = (px(place.x), px(place.y));
        }
        ground.set_if_neq(BackgroundColor(color(label.ground).with_alpha(0.86)));
        for child in children.iter() {
            if let Ok(mut text) = texts.get_mut(child)
                && text.0 != label.text
            {
                text.0.clone_from(&label.text);
            }
        }
    }
}

fn spawn(commands: &mut Commands, number: usize, label: &Label, fonts: &Fonts, camera: Entity) {
    let node = Node {
        position_type: PositionType::Absolute,
        padding: UiRect::axes(px(7.0), px(3.0)),
        border_radius: BorderRadius::all(px(5.0)),
        ..default()
    };
    let ground = BackgroundColor(color(label.ground).with_alpha(0.86));
    commands
        .spawn((SceneThing, Tag(number), node, ground, Visibility::Hidden, UiTargetCamera(camera)))
        .with_child((fonts.text(label.text.clone(), Pen::bold(label.size_px, theme::WHITE)), TextLayout::no_wrap()));
}

/// The labels of a moment, the most important first; always as many for one scenario.
fn labels(
    now: &Now,
    worst: &Worst,
    shown: &Shown,
    look: &Look,
    (hidden, proven, standing): (Hidden, &Proven, &Verdict),
) -> Vec<Label> {
    let study = &shown.job.study;
    let mut labels = Vec::new();
    let (gaps, ghost) = (&now.gaps, &worst.gaps);
    let (Some(gap), Some(pairing)) = (gaps.each.get(gaps.least), study.pairings.get(gaps.least)) else { return labels };
    labels.push(Label {
        beside: [gap.on_body, wire_end(gap)],
        text: if hidden.numbers() {
            "?".into()
        } else {
            view_model::gap_label(gap.distance_m, pairing.limit_m, look.units, &ENGLISH)
        },
        ground: match standing.standing {
            _ if hidden.numbers() => theme::CARD,
            Standing::Inside | Standing::Touching => theme::GAP_INSIDE,
            Standing::Unproven => theme::DOUBT,
            Standing::Outside => theme::GAP,
        },
        size_px: 22.0,
        optional: false,
        away: Some(worst.subject.middle),
    });
    let tells = is_apart(now, worst) && !hidden.answer() && proven.is_current();
    let ghost_gap = ghost.each.get(ghost.least).filter(|_| tells);
    labels.push(Label {
        beside: ghost_gap.map_or([gap.on_wire; 2], |g| [g.on_body, wire_end(g)]),
        text: ghost_gap
            .map_or_else(String::new, |g| format!("{} {}", ENGLISH.worst_label, look.units.length_down(g.distance_m))),
        ground: theme::GHOST,
        size_px: 17.0,
        optional: true,
        away: Some(worst.subject.middle),
    });
    let level_m = ground_below_m(shown, gaps.least, gap);
    labels.push(Label {
        beside: [Point3::new(gap.on_wire.x, gap.on_wire.y, 0.3 * gap.on_wire.z + 0.7 * level_m); 2],
        text: view_model::height_label(gap, level_m, look.units),
        ground: theme::CARD,
        size_px: 15.0,
        optional: true,
        away: Some(worst.subject.middle),
    });
    let subject = &worst.subject;
    labels.push(Label {
        beside: [subject.spotter + Vector3::z() * (PERSON_M + 0.3); 2],
        text: if subject.spotter_sees { ENGLISH.spotter_sees } else { ENGLISH.spotter_blind }.into(),
        ground: theme::CARD,
        size_px: 13.0,
        optional: true,
        away: Some(subject.middle),
    });
    labels.extend(wire_labels(now, shown, gap.on_wire, worst.subject.middle));
    let north = site::north_place(subject);
    labels.push(Label {
        beside: [Point3::new(north.x, north.y, subject.base.z + 0.2); 2],
        text: ENGLISH.north.into(),
        ground: theme::CARD,
        size_px: 13.0,
        optional: true,
        away: Some(subject.middle),
    });
    labels.extend(site_labels(shown, worst.subject.middle));
    labels
}

/// A label at each buried line and each control that is drawn.
fn site_labels(shown: &Shown, away: Point3<f64>) -> Vec<Label> {
    let label = |(at, text, ground): (Point3<f64>, String, Rgb)| Label {
        beside: [at; 2],
        text,
        ground,
        size_px: 14.0,
        optional: true,
        away: Some(away),
    };
    site::named(&shown.job).into_iter().map(label).collect()
}

/// A label on each wire, where it is well apart from the gap.
fn wire_labels(now: &Now, shown: &Shown, gap: Point3<f64>, away: Point3<f64>) -> Vec<Label> {
    let mut nearest: Vec<(f64, &SpanCurve)> = Vec::new();
    for curve in now.wires.iter() {
        let far_m = curve.points.iter().map(|p| (p - gap).norm()).fold(f64::INFINITY, f64::min);
        match nearest.iter_mut().find(|(_, known)| (known.line, known.wire) == (curve.line, curve.wire)) {
            Some(known) if far_m < known.0 => *known = (far_m, curve),
            Some(_) => {}
            None => nearest.push((far_m, curve)),
        }
    }
    nearest.sort_by(|a, b| a.0.total_cmp(&b.0));
    let label = |(number, (_, curve)): (usize, &(f64, &SpanCurve))| {
        let at_m = 8.0 + 2.5 * number as f64;
        let off = |p: &Point3<f64>| ((p - gap).norm() - at_m).abs();
        let at = curve.points.iter().min_by(|a, b| off(a).total_cmp(&off(b)))?;
        Some(Label {
            beside: [*at; 2],
            text: view_model::wire_label(&shown.job, curve.line, curve.wire, number == 0, &ENGLISH),
            ground: theme::WIRE,
            size_px: 15.0,
            optional: true,
            away: Some(away),
        })
    };
    nearest.iter().enumerate().filter_map(label).collect()
}

/// The picture that labels are arranged in.
struct View<'a> {
    size: Vec2,
    /// Where cards are.
    cards: &'a [Rect],
}

/// Places for labels, left upper corners: each near its point, none over another, over the line of the gap or over a card; none for
/// what is behind the camera or has no room.
fn arrange(labels: &[Label], project: impl Fn(&Point3<f64>) -> Option<Vec2>, view: &View<'_>) -> Vec<Option<Vec2>> {
    let mut taken = view.cards.to_vec();
    // The line of the gap, which is beside the first label.
    let gap = labels.first().and_then(|label| label.beside.iter().map(&project).collect::<Option<Vec<Vec2>>>());
    taken.extend(gap.map(|ends| Rect::from_corners(ends[0], ends[1]).inflate(8.0)));
    let mut places = Vec::new();
    for label in labels {
        let ends = label.beside.iter().map(&project).collect::<Option<Vec<Vec2>>>();
        let place = ends.filter(|_| !label.text.is_empty()).and_then(|ends| {
            let size = label.room();
            let at = Rect::from_corners(ends[0], ends[1]);
            let is_left = label.away.as_ref().and_then(&project).is_some_and(|away| away.x > at.center().x);
            free_place((at, is_left), size, &taken, view, label.optional)
        });
        if let Some(rect) = place {
            taken.push(rect);
        }
        places.push(place.map(|rect| rect.min));
    }
    places
}

/// The free place that is nearest to beside a point.
fn free_place(
    (at, is_left): (Rect, bool),
    size: Vec2,
    taken: &[Rect],
    view: &View<'_>,
    optional: bool,
) -> Option<Rect> {
    let on_screen = Rect::from_corners(Vec2::ZERO, view.size).contains(at.center());
    if optional && !on_screen {
        return None;
    }
    let top = at.center().y - 0.5 * size.y;
    let mut beside = [Vec2::new(at.max.x + 16.0, top), Vec2::new(at.min.x - 16.0 - size.x, top)];
    if is_left {
        beside.reverse();
    }
    let rows = (0..12_i16).flat_map(|k| [narrow(f64::from(k)), -narrow(f64::from(k))]);
    let offsets = rows.flat_map(|k| beside.map(|side| side + Vec2::new(0.0, k * (size.y + 3.0))));
    let limit = if optional { 12 } else { usize::MAX };
    let most = view.size - size - Vec2::splat(4.0);
    let rects = offsets.take(limit).map(|offset| {
        let corner = offset.clamp(Vec2::splat(4.0), most.max(Vec2::splat(4.0)));
        Rect::from_corners(corner, corner + size)
    });
    let clear = |rect: &Rect| taken.iter().all(|other| rect.intersect(*other).is_empty());
    let mut rects = rects.peekable();
    let first = rects.peek().copied();
    rects.find(clear).or(if optional { None } else { first })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const SIZE: Vec2 = Vec2::new(1280.0, 720.0);

    fn rect() -> impl Strategy<Value = Rect> {
        (0.0..1200.0_f32, 0.0..650.0_f32, 60.0..500.0_f32, 30.0..200.0_f32)
            .prop_map(|(x, y, width, height)| Rect::new(x, y, x + width, y + height))
    }

    fn label() -> impl Strategy<Value = Label> {
        ((-100.0..1400.0, -100.0..800.0), 1..30_usize, any::<bool>()).prop_map(|((x, y), letters, optional)| Label {
            beside: [Point3::new(x, y, 0.0); 2],
            text: "m".repeat(letters),
            ground: theme::CARD,
            size_px: 15.0,
            optional,
            away: None,
        })
    }

    proptest! {
        #[test]
        fn labels_cover_neither_cards_nor_each_other_and_stay_on_the_screen(
            cards in prop::collection::vec(rect(), 0..4), labels in prop::collection::vec(label(), 1..8),
        ) {
            let project = |p: &Point3<f64>| Some(Vec2::new(narrow(p.x), narrow(p.y)));
            let places = arrange(&labels, project, &View { size: SIZE, cards: &cards });
            let mut taken = cards;
            for (label, place) in labels.iter().zip(places) {
                let Some(corner) = place else {
                    prop_assert!(label.optional, "only optional labels are left out");
                    continue;
                };
                let here = Rect::from_corners(corner, corner + label.room());
                prop_assert!(here.min.min_element() >= 0.0 && (SIZE - here.max).min_element() >= 0.0, "{:?}", here);
                if label.optional {
                    prop_assert!(taken.iter().all(|other| here.intersect(*other).is_empty()), "{:?} on {:?}", here, taken);
                }
                taken.push(here);
            }
        }
    }
}
