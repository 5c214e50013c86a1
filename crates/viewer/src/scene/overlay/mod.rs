//! Cards over the scene: the banner at the top, the card of the moment and the caption at the bottom, and the legend.

mod bottom;
mod top;

use bevy::prelude::*;
use bevy::ui::UiTargetCamera;

use super::cameras::{MainCamera, SceneCamera};
use super::framing::Density;
use super::lesson::{Caption, Concealed};
use super::machine::is_apart;
use super::paint::color;
use super::playing::Playing;
use super::stage::{Look, Now, Proven, SceneThing, Stage, Step, Wanted, Worst};
use super::swaying::Swaying;
use super::text::{Fonts, Pen, card, column, row};
use crate::args::Motion;
use crate::strings::ENGLISH;
use crate::theme::{self, CARD, WHITE};
use crate::view_model::{self, Figure, NowCard};
use crate::views::Sight;

use bottom::{Bottom, Live};
use top::{Top, banner_px};

/// Banner, cards and legend.
pub struct OverlayPlugin;

/// Room that the legend takes beside the banner, margins included, px.
const LEGEND_PX: f32 = 345.0;

/// What the legend shows, and where.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Legend {
    has_ghost: bool,
    has_buried: bool,
    has_control: bool,
    /// Whether there is room for it at all.
    is_shown: bool,
    /// Whether it has room beside the banner.
    is_wide: bool,
}

/// The parts of the overlay.
#[derive(Component, Clone, Copy, Debug, PartialEq, Eq)]
enum Overlay {
    Top,
    Bottom,
}

impl Plugin for OverlayPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Update, (build.in_set(Step::Text).run_if(in_state(Stage::Ready)), scale));
    }
}

/// Texts keep their share of the height of the picture, and follow the chosen size as far as the scene keeps its room.
fn scale(
    look: Res<Look>,
    density: Res<Density>,
    cameras: Query<&Camera, With<MainCamera>>,
    mut scale: ResMut<UiScale>,
) {
    let size = cameras.iter().find_map(Camera::logical_viewport_size).unwrap_or(Vec2::new(1280.0, 720.0));
    // The banner needs some width too.
    let share = (size.y / 720.0).min(size.x / 900.0);
    let wanted = look.text_size * density.scale() * share.clamp(0.3, 4.0);
    if (scale.0 - wanted).abs() > 1e-3 {
        scale.0 = wanted;
    }
}

#[expect(clippy::too_many_arguments, reason = "a system names what it reads")]
fn build(
    mut commands: Commands,
    proven: Res<Proven>,
    now: Res<Now>,
    worst: Res<Worst>,
    look: Res<Look>,
    (caption, hidden, density): (Res<Caption>, Res<Concealed>, Res<Density>),
    (playing, swaying, wanted, view): (Res<Playing>, Res<Swaying>, Res<Wanted>, Res<SceneCamera>),
    fonts: Res<Fonts>,
    camera: Single<(Entity, &Camera), With<MainCamera>>,
    scale: Res<UiScale>,
    old: Query<(Entity, &Overlay)>,
    mut texts: Query<(&Live, &mut Text)>,
    mut last: Local<Option<(Top, Bottom)>>,
) {
    let (camera, lens) = *camera;
    let width_px = lens.logical_viewport_size().map_or(0.0, |size| size.x / scale.0);
    let told = view_model::banner(&proven.document, &proven.scope, look.units, &ENGLISH);
    let foot = told.as_ref().map(|banner| foot(banner, *density));
    let banner = told.filter(|_| !hidden.answer());
    let is_wide = width_px >= banner.as_ref().map_or(0.0, banner_px) + LEGEND_PX;
    let legend = Legend {
        has_ghost: is_apart(&now, &worst) && !hidden.answer() && proven.is_current(),
        has_buried: proven.job.ground_work.as_ref().is_some_and(|work| !work.buried.is_empty()),
        has_control: proven.job.controls.iter().any(|control| control.counts()),
        is_shown: density.0 == 0 || is_wide,
        is_wide,
    };
    let card = now_card(&proven, &now, look.units);
    let bottom = Bottom {
        state: card.as_ref().map(|card| card.state.clone()).unwrap_or_default(),
        now: card.filter(|_| !hidden.numbers()),
        day: view_model::day_strip(&proven, &now.moment.weather, look.units).filter(|_| !hidden.answer()),
        density: *density,
        is_worst: now.is_worst,
        legend,
        caption: caption.0.clone(),
        notice: notice(&playing, &swaying, &wanted, (&view, &worst)),
        foot,
    };
    let top = Top { banner, legend, density: *density, width_px: width_px.round() };
    let stays = |which: Overlay| old.iter().any(|(_, part)| *part == which);
    let (known_top, known_bottom) = last.take().unzip();
    if known_top.as_ref() != Some(&top) || !stays(Overlay::Top) {
        let root = fresh(&mut commands, &old, Overlay::Top, camera);
        commands.entity(root).with_children(|root| top::draw(root, &top, &fonts));
    }
    if !known_bottom.as_ref().is_some_and(|known| bottom.is_like(known)) || !stays(Overlay::Bottom) {
        let root = fresh(&mut commands, &old, Overlay::Bottom, camera);
        commands.entity(root).with_children(|root| bottom::draw(root, &bottom, &fonts));
    } else if known_bottom.as_ref() != Some(&bottom) {
        set_texts(&bottom.texts(), &mut texts);
    }
    *last = Some((top, bottom));
}

/// Sets the live texts that differ: what is set is laid out anew.
fn set_texts(said: &[&str], texts: &mut Query<(&Live, &mut Text)>) {
    for (live, mut text) in texts {
        if let Some(said) = said.get(live.0).filter(|said| text.0 != **said) {
            text.0 = (*said).into();
        }
    }
}

/// An empty part in the place of the old one.
fn fresh(commands: &mut Commands, old: &Query<(Entity, &Overlay)>, part: Overlay, camera: Entity) -> Entity {
    old.iter().filter(|(_, which)| **which == part).for_each(|(entity, _)| commands.entity(entity).despawn());
    let (top, bottom) = if part == Overlay::Top { (px(14.0), auto()) } else { (auto(), px(14.0)) };
    let place =
        Node { position_type: PositionType::Absolute, left: px(14.0), right: px(14.0), top, bottom, ..column() };
    commands.spawn((SceneThing, part, place, UiTargetCamera(camera))).id()
}

/// The card of what is shown.
#[must_use]
pub fn now_card(proven: &Proven, now: &Now, units: wideberth_report::Units) -> Option<NowCard> {
    let card = view_model::now_card(proven, &now.gaps, &now.moment, now.is_worst, units, &ENGLISH)?;
    Some(match &now.instant {
        Some(instant) => view_model::swaying_card(card, &now.moment.weather, instant, units, &ENGLISH),
        None => card,
    })
}

/// The caution, and the job where there is room.
fn foot(banner: &view_model::Banner, density: Density) -> String {
    if density.0 < 2 { format!("{}   ·   {}", banner.title, banner.caution) } else { banner.caution.clone() }
}

/// What hides the gap from a spotter; while gusts are awaited, and where they cannot be shown.
fn notice(
    playing: &Playing,
    swaying: &Swaying,
    wanted: &Wanted,
    (view, worst): (&SceneCamera, &Worst),
) -> Option<String> {
    if view.sight == Sight::Spotter && !worst.subject.spotter_sees {
        return Some(ENGLISH.blind_here.into());
    }
    if playing.motion() != Some(Motion::Sway) {
        return None;
    }
    match swaying.known(wanted) {
        None => Some(ENGLISH.following.into()),
        Some(Err(why)) => Some(format!("{}: {why}", ENGLISH.no_gusts)),
        Some(Ok(_)) => None,
    }
}

type Parent<'a> = ChildSpawnerCommands<'a>;

/// Parts at both ends of the width.
fn spread(align_items: AlignItems) -> Node {
    Node { width: percent(100.0), justify_content: JustifyContent::SpaceBetween, align_items, ..row(12.0) }
}

/// A label above a value; gives the two texts.
fn draw_figure(
    part: &mut Parent<'_>,
    figure: &Figure,
    (small_px, large_px): (f32, f32),
    (dim, ink): (theme::Rgb, theme::Rgb),
    fonts: &Fonts,
) -> [Entity; 2] {
    let mut texts = [Entity::PLACEHOLDER; 2];
    part.spawn(column()).with_children(|part| {
        texts = [
            part.spawn(fonts.text(figure.label.clone(), Pen::plain(small_px, dim))).id(),
            part.spawn((fonts.text(figure.value.clone(), Pen::bold(large_px, ink)), TextLayout::no_wrap())).id(),
        ];
    });
    texts
}

fn draw_legend(wide: &mut Parent<'_>, legend: &Legend, fonts: &Fonts) {
    let entries = [
        (theme::LIMIT, ENGLISH.legend_limit, true),
        (theme::REACH, ENGLISH.legend_reach, true),
        (theme::WIRE, ENGLISH.legend_margin, true),
        (theme::MACHINE, ENGLISH.legend_skin, true),
        (theme::GRID_COARSE, ENGLISH.legend_grid, true),
        (theme::GHOST, ENGLISH.legend_ghost, legend.has_ghost),
        (theme::BURIED, ENGLISH.legend_buried, legend.has_buried),
        (theme::CONTROL, ENGLISH.legend_control, legend.has_control),
    ];
    let (mark, node, ground) = card(CARD, 0.86);
    wide.spawn((mark, Node { flex_shrink: 0.0, ..node }, ground)).with_children(|part| {
        for (rgb, words, _) in entries.into_iter().filter(|(.., shown)| *shown) {
            part.spawn(row(8.0)).with_children(|part| {
                let swatch = Node { width: px(16.0), height: px(12.0), ..default() };
                part.spawn((swatch, BackgroundColor(color(rgb))));
                part.spawn(fonts.text(words, Pen::plain(15.0, WHITE)));
            });
        }
    });
}
