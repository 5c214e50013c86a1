//! The banner with the certified verdict, the card of the moment, the caption of a lesson, and the legend.

use bevy::prelude::*;
use bevy::ui::UiTargetCamera;

use super::cameras::MainCamera;
use super::lesson::{Caption, Hidden};
use super::machine::is_apart;
use super::paint::color;
use super::playing::Playing;
use super::stage::{Certified, Look, Now, SceneThing, Shown, Stage, Step, Wanted, Worst};
use super::swaying::Swaying;
use super::text::{Fonts, Pen, card, column, row};
use crate::args::Motion;
use crate::strings::ENGLISH;
use crate::teaching::Saying;
use crate::theme::{self, CARD, DIM, WHITE};
use crate::view_model::{self, Banner, Figure, NowCard, Standing};

/// Banner, cards and legend.
pub struct OverlayPlugin;

/// Room that the legend takes beside the banner, margins included, px.
const LEGEND_PX: f32 = 345.0;

/// How the top is laid out, so that labels keep clear of it.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq)]
pub struct TopLayout {
    /// Width of the banner, about, px.
    pub banner_px: f32,
    /// Whether the legend stands beside it.
    pub is_wide: bool,
}

/// What the legend shows, and where.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Legend {
    has_ghost: bool,
    /// Whether it has room beside the banner.
    is_wide: bool,
}

/// What stands at the top; where it changes, it is built anew.
#[derive(Clone, Debug, PartialEq)]
struct Top {
    banner: Option<Banner>,
    legend: Legend,
}

/// What stands at the bottom; where it changes, it is built anew.
#[derive(Clone, Debug, PartialEq)]
struct Bottom {
    now: Option<NowCard>,
    is_worst: bool,
    legend: Legend,
    caption: Saying,
    /// What is to be said of gusts that are not shown.
    notice: Option<String>,
    foot: Option<String>,
}

/// The parts of the overlay.
#[derive(Component, Clone, Copy, Debug, PartialEq, Eq)]
enum Overlay {
    Top,
    Bottom,
}

impl Plugin for OverlayPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<TopLayout>()
            .add_systems(Update, build.in_set(Step::Text).run_if(in_state(Stage::Ready)))
            .add_systems(Update, scale);
    }
}

/// Texts keep their share of the height of the picture, and follow the chosen size.
fn scale(look: Res<Look>, cameras: Query<&Camera, With<MainCamera>>, mut scale: ResMut<UiScale>) {
    let size = cameras.iter().find_map(Camera::logical_viewport_size).unwrap_or(Vec2::new(1280.0, 720.0));
    // The banner needs some width too.
    let share = (size.y / 720.0).min(size.x / 900.0);
    let wanted = look.text_size * share.clamp(0.3, 4.0);
    if (scale.0 - wanted).abs() > 1e-3 {
        scale.0 = wanted;
    }
}

#[expect(clippy::too_many_arguments, reason = "a system names what it reads")]
fn build(
    mut commands: Commands,
    certified: Res<Certified>,
    shown: Res<Shown>,
    now: Res<Now>,
    worst: Res<Worst>,
    look: Res<Look>,
    (caption, hidden): (Res<Caption>, Res<Hidden>),
    (playing, swaying, wanted): (Res<Playing>, Res<Swaying>, Res<Wanted>),
    fonts: Res<Fonts>,
    camera: Single<(Entity, &Camera), With<MainCamera>>,
    scale: Res<UiScale>,
    old: Query<(Entity, &Overlay)>,
    mut layout: ResMut<TopLayout>,
    mut last: Local<Option<(Top, Bottom)>>,
) {
    let (camera, lens) = *camera;
    let width_px = lens.logical_viewport_size().map_or(0.0, |size| size.x / scale.0);
    let banner = view_model::banner(&certified.document, look.units, &ENGLISH).filter(|_| !hidden.0);
    let banner_px = banner.as_ref().map_or(0.0, banner_px);
    layout.set_if_neq(TopLayout { banner_px, is_wide: width_px >= banner_px + LEGEND_PX });
    let legend = Legend { has_ghost: is_apart(&now, &worst) && !hidden.0, is_wide: layout.is_wide };
    let bottom = Bottom {
        now: now_card(&shown, &now, look.units).filter(|_| !hidden.0),
        is_worst: now.is_worst,
        legend,
        caption: caption.0.clone(),
        notice: notice(&playing, &swaying, &wanted),
        foot: banner.as_ref().map(|banner| format!("{}   ·   {}", banner.title, banner.caution)),
    };
    let top = Top { banner, legend };
    let stays = |which: Overlay| old.iter().any(|(_, part)| *part == which);
    let (known_top, known_bottom) = last.take().unzip();
    if known_top.as_ref() != Some(&top) || !stays(Overlay::Top) {
        let root = fresh(&mut commands, &old, Overlay::Top, camera);
        commands.entity(root).with_children(|root| draw_top(root, &top, &fonts));
    }
    if known_bottom.as_ref() != Some(&bottom) || !stays(Overlay::Bottom) {
        let root = fresh(&mut commands, &old, Overlay::Bottom, camera);
        commands.entity(root).with_children(|root| draw_bottom(root, &bottom, &fonts));
    }
    *last = Some((top, bottom));
}

/// Width of a banner, about, px: bold letters are 0.7 of their size wide, figures with spaces 0.64.
fn banner_px(banner: &Banner) -> f32 {
    let letters = |text: &str| text.chars().count() as f32;
    let figures = banner.figures.iter().map(|figure| 18.0 + 0.64 * 28.0 * letters(&figure.value));
    let first = 118.0 + 0.7 * 38.0 * letters(&banner.word) + figures.sum::<f32>();
    first.max(46.0 + 0.56 * 17.0 * letters(&banner.sentence))
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
pub fn now_card(shown: &Shown, now: &Now, units: wideberth_report::Units) -> Option<NowCard> {
    let card = view_model::now_card(&shown.job, &now.gaps, &now.moment, now.is_worst, units, &ENGLISH)?;
    Some(match &now.instant {
        Some(instant) => view_model::swaying_card(card, &now.moment.weather, instant, units, &ENGLISH),
        None => card,
    })
}

/// While gusts are awaited, and where they cannot be shown.
fn notice(playing: &Playing, swaying: &Swaying, wanted: &Wanted) -> Option<String> {
    if playing.motion() != Some(Motion::Sway) {
        return None;
    }
    match swaying.known(wanted) {
        None => Some(ENGLISH.following.into()),
        Some(Err(why)) => Some(format!("{}: {why}", ENGLISH.no_gusts)),
        Some(Ok(_)) => None,
    }
}

/// Parts at both ends of the width.
fn spread(align_items: AlignItems) -> Node {
    Node { width: percent(100.0), justify_content: JustifyContent::SpaceBetween, align_items, ..row(12.0) }
}

type Parent<'a> = ChildSpawnerCommands<'a>;

fn draw_banner(root: &mut Parent<'_>, banner: &Banner, fonts: &Fonts) {
    let look = theme::verdict(banner.verdict);
    root.spawn(card(look.ground, 0.96)).with_children(|part| {
        part.spawn(row(18.0)).with_children(|part| {
            part.spawn(fonts.text(look.icon, Pen::bold(44.0, look.ink)));
            part.spawn(fonts.text(banner.word.clone(), Pen::bold(38.0, look.ink)));
            part.spawn(Node { width: px(8.0), ..default() });
            banner
                .figures
                .iter()
                .for_each(|figure| draw_figure(part, figure, (15.0, 28.0), (look.ink, look.ink), fonts));
        });
        part.spawn(fonts.text(banner.sentence.clone(), Pen::plain(17.0, look.ink)));
    });
}

fn draw_figure(
    part: &mut Parent<'_>,
    figure: &Figure,
    (small_px, large_px): (f32, f32),
    (dim, ink): (theme::Rgb, theme::Rgb),
    fonts: &Fonts,
) {
    part.spawn(column()).with_children(|part| {
        part.spawn(fonts.text(figure.label.clone(), Pen::plain(small_px, dim)));
        part.spawn((fonts.text(figure.value.clone(), Pen::bold(large_px, ink)), TextLayout::no_wrap()));
    });
}

fn draw_top(root: &mut Parent<'_>, top: &Top, fonts: &Fonts) {
    root.spawn(spread(AlignItems::FlexStart)).with_children(|part| {
        match &top.banner {
            Some(banner) => draw_banner(part, banner, fonts),
            // Keeps the legend at the right.
            None => drop(part.spawn(Node::default())),
        }
        if top.legend.is_wide {
            draw_legend(part, top.legend.has_ghost, fonts);
        }
    });
}

fn draw_bottom(root: &mut Parent<'_>, bottom: &Bottom, fonts: &Fonts) {
    let stack = Node { row_gap: px(8.0), align_items: AlignItems::FlexStart, width: percent(100.0), ..column() };
    root.spawn(stack).with_children(|stack| {
        if let Some(notice) = &bottom.notice {
            stack.spawn(card(CARD, 0.92)).with_child(fonts.text(notice.clone(), Pen::bold(17.0, [255, 214, 102])));
        }
        stack.spawn(spread(AlignItems::FlexEnd)).with_children(|wide| {
            if let Some(now) = &bottom.now {
                draw_now(wide, now, bottom.is_worst, fonts);
            }
            if bottom.caption != Saying::default() {
                draw_caption(wide, &bottom.caption, fonts);
            } else if !bottom.legend.is_wide {
                draw_legend(wide, bottom.legend.has_ghost, fonts);
            }
        });
        if let Some(foot) = &bottom.foot {
            stack.spawn(card(CARD, 0.78)).with_child(fonts.text(foot.clone(), Pen::plain(15.0, DIM)));
        }
    });
}

fn draw_now(wide: &mut Parent<'_>, now: &NowCard, is_worst: bool, fonts: &Fonts) {
    let (icon, ink) = match now.standing {
        Standing::Outside => ('✔', WHITE),
        Standing::Inside => ('⚠', [255, 196, 150]),
        Standing::Touching => ('⚡', [255, 196, 150]),
    };
    let (node, ground) = card(CARD, 0.84);
    let node = Node { max_width: percent(46.0), ..node };
    wide.spawn((node, ground)).with_children(|part| {
        part.spawn(fonts.text(now.heading.clone(), Pen::bold(16.0, DIM)));
        if !is_worst {
            part.spawn(row(24.0)).with_children(|part| {
                part.spawn(fonts.text(icon, Pen::bold(26.0, ink)));
                now.figures.iter().for_each(|figure| draw_figure(part, figure, (15.0, 24.0), (DIM, ink), fonts));
            });
        }
        part.spawn(fonts.text(now.words.clone(), Pen::plain(17.0, WHITE)));
        part.spawn(fonts.text(now.state.clone(), Pen::plain(16.0, DIM)));
    });
}

fn draw_legend(wide: &mut Parent<'_>, has_ghost: bool, fonts: &Fonts) {
    let entries = [
        (theme::LIMIT, ENGLISH.legend_limit, true),
        (theme::REACH, ENGLISH.legend_reach, true),
        (theme::GHOST, ENGLISH.legend_ghost, has_ghost),
    ];
    wide.spawn(card(CARD, 0.78)).with_children(|part| {
        for (rgb, words, _) in entries.into_iter().filter(|(.., shown)| *shown) {
            part.spawn(row(8.0)).with_children(|part| {
                let swatch = Node { width: px(16.0), height: px(12.0), ..default() };
                part.spawn((swatch, BackgroundColor(color(rgb))));
                part.spawn(fonts.text(words, Pen::plain(15.0, WHITE)));
            });
        }
    });
}

fn draw_caption(stack: &mut Parent<'_>, caption: &Saying, fonts: &Fonts) {
    let Saying { heading, text, question, answer } = caption;
    if text.is_empty() && question.is_none() {
        return;
    }
    let (node, ground) = card(CARD, 0.92);
    let node = Node { max_width: percent(53.0), padding: UiRect::axes(px(20.0), px(14.0)), row_gap: px(8.0), ..node };
    stack.spawn((node, ground)).with_children(|part| {
        part.spawn(fonts.text(heading.clone(), Pen::bold(14.0, DIM)));
        part.spawn(fonts.text(text.clone(), Pen::plain(21.0, WHITE)));
        if let Some(question) = question {
            part.spawn(fonts.text(question.clone(), Pen::bold(21.0, [255, 214, 102])));
        }
        if let Some(answer) = answer {
            part.spawn(fonts.text(answer.clone(), Pen::bold(21.0, [150, 220, 255])));
        }
    });
}
