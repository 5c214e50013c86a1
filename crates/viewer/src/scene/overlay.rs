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

/// Everything that the overlay shows; where it changes, the overlay is built anew.
#[derive(Clone, Debug, PartialEq)]
struct Content {
    banner: Option<Banner>,
    now: Option<NowCard>,
    is_worst: bool,
    has_ghost: bool,
    caption: Saying,
    /// What is to be said of gusts that are not shown.
    notice: Option<String>,
}

/// The root of the overlay.
#[derive(Component)]
struct Overlay;

impl Plugin for OverlayPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Update, build.in_set(Step::Text).run_if(in_state(Stage::Ready))).add_systems(Update, scale);
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
    camera: Single<Entity, With<MainCamera>>,
    old: Query<Entity, With<Overlay>>,
    mut last: Local<Option<Content>>,
) {
    let content = Content {
        banner: view_model::banner(&certified.document, look.units, &ENGLISH).filter(|_| !hidden.0),
        now: now_card(&shown, &now, look.units).filter(|_| !hidden.0),
        is_worst: now.is_worst,
        has_ghost: is_apart(&now, &worst) && !hidden.0,
        caption: caption.0.clone(),
        notice: notice(&playing, &swaying, &wanted),
    };
    if last.as_ref() == Some(&content) && !old.is_empty() {
        return;
    }
    old.iter().for_each(|overlay| commands.entity(overlay).despawn());
    let root = Node {
        width: percent(100.0),
        height: percent(100.0),
        flex_direction: FlexDirection::Column,
        justify_content: JustifyContent::SpaceBetween,
        align_items: AlignItems::FlexStart,
        padding: UiRect::all(px(14.0)),
        ..default()
    };
    commands.spawn((SceneThing, Overlay, root, UiTargetCamera(*camera))).with_children(|root| {
        match &content.banner {
            Some(banner) => draw_banner(root, banner, &fonts),
            // Keeps the cards at the bottom.
            None => drop(root.spawn(Node::default())),
        }
        draw_bottom(root, &content, &fonts);
    });
    *last = Some(content);
}

/// The card of what is shown.
#[must_use]
pub fn now_card(shown: &Shown, now: &Now, units: wideberth_report::Units) -> Option<NowCard> {
    let card = view_model::now_card(&shown.job, &now.gaps, &now.moment, now.is_worst, units, &ENGLISH)?;
    Some(match &now.instant {
        Some(instant) => view_model::swaying_card(card, instant, units, &ENGLISH),
        None => card,
    })
}

/// While gusts are awaited, and where they cannot be shown.
fn notice(playing: &Playing, swaying: &Swaying, wanted: &Wanted) -> Option<String> {
    if playing.motion() != Some(Motion::Sway) {
        return None;
    }
    match swaying.known(&wanted.weather) {
        None => Some(ENGLISH.following.into()),
        Some(Err(why)) => Some(format!("{}: {why}", ENGLISH.no_gusts)),
        Some(Ok(_)) => None,
    }
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
        part.spawn(fonts.text(figure.value.clone(), Pen::bold(large_px, ink)));
    });
}

fn draw_bottom(root: &mut Parent<'_>, content: &Content, fonts: &Fonts) {
    let stack = Node { row_gap: px(8.0), align_items: AlignItems::FlexStart, width: percent(100.0), ..column() };
    root.spawn(stack).with_children(|stack| {
        draw_caption(stack, &content.caption, fonts);
        if let Some(notice) = &content.notice {
            stack.spawn(card(CARD, 0.92)).with_child(fonts.text(notice.clone(), Pen::bold(17.0, [255, 214, 102])));
        }
        let wide = Node {
            width: percent(100.0),
            justify_content: JustifyContent::SpaceBetween,
            align_items: AlignItems::FlexEnd,
            ..row(12.0)
        };
        stack.spawn(wide).with_children(|wide| {
            if let Some(now) = &content.now {
                draw_now(wide, now, content.is_worst, fonts);
            }
            draw_legend(wide, content.has_ghost, fonts);
        });
        if let Some(banner) = &content.banner {
            let text = format!("{}   ·   {}", banner.title, banner.caution);
            stack.spawn(card(CARD, 0.78)).with_child(fonts.text(text, Pen::plain(13.0, DIM)));
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
    let node = Node { max_width: percent(64.0), ..node };
    wide.spawn((node, ground)).with_children(|part| {
        part.spawn(fonts.text(now.heading.clone(), Pen::bold(15.0, DIM)));
        if !is_worst {
            part.spawn(row(24.0)).with_children(|part| {
                part.spawn(fonts.text(icon, Pen::bold(26.0, ink)));
                now.figures.iter().for_each(|figure| draw_figure(part, figure, (13.0, 21.0), (DIM, ink), fonts));
            });
        }
        part.spawn(fonts.text(now.words.clone(), Pen::plain(15.0, WHITE)));
        part.spawn(fonts.text(now.state.clone(), Pen::plain(14.0, DIM)));
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
                part.spawn(fonts.text(words, Pen::plain(13.0, WHITE)));
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
    let node = Node { max_width: percent(72.0), padding: UiRect::axes(px(20.0), px(14.0)), row_gap: px(8.0), ..node };
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
