//! What stands at the bottom: the card of the moment with the hours of its day, the caption of a lesson, and the foot.

use bevy::prelude::*;

use super::{Legend, Parent, draw_figure, draw_legend, spread};
use crate::scene::framing::Density;
use crate::scene::paint::color;
use crate::scene::text::{Fonts, Pen, card, column, row};
use crate::teaching::Saying;
use crate::theme::{self, CARD, DIM, WHITE};
use crate::view_model::{DayStrip, NowCard, Standing};

/// Width of the strip of hours, px.
const DAY_PX: f32 = 540.0;

/// What stands at the bottom. Where more than its live texts changes, it is built anew.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Bottom {
    pub now: Option<NowCard>,
    /// Weather and joints, told beside the caption of a lesson.
    pub state: String,
    pub day: Option<DayStrip>,
    pub is_worst: bool,
    pub legend: Legend,
    pub caption: Saying,
    /// What is to be said of gusts that are not shown.
    pub notice: Option<String>,
    pub density: Density,
    pub foot: Option<String>,
}

/// A text of the card of the moment, by its number: it is set anew from frame to frame.
#[derive(Component, Clone, Copy, Debug)]
pub(super) struct Live(pub usize);

impl Bottom {
    /// The live texts, by their numbers: the state, heading and words of the moment, then its figures.
    pub fn texts(&self) -> Vec<&str> {
        let mut texts = vec![self.state.as_str()];
        if let Some(now) = &self.now {
            texts.extend([now.heading.as_str(), &now.words, &now.beyond]);
            texts.extend(now.figures.iter().flat_map(|figure| [figure.label.as_str(), &figure.value]));
        }
        texts
    }

    /// Whether a lesson says something.
    pub fn is_captioned(&self) -> bool {
        !self.caption.text.is_empty() || self.caption.question.is_some()
    }

    /// Whether another one differs by its live texts alone.
    pub fn is_like(&self, other: &Self) -> bool {
        let frame = |bottom: &Self| {
            let now = bottom.now.as_ref().map(|now| (now.standing, now.figures.len(), now.beyond.is_empty()));
            (now, bottom.is_worst, bottom.legend, bottom.density)
        };
        frame(self) == frame(other)
            && (&self.day, &self.caption, &self.notice, &self.foot)
                == (&other.day, &other.caption, &other.notice, &other.foot)
    }
}

pub(super) fn draw(root: &mut Parent<'_>, bottom: &Bottom, fonts: &Fonts) {
    let stack = Node { row_gap: px(8.0), align_items: AlignItems::FlexStart, width: percent(100.0), ..column() };
    root.spawn(stack).with_children(|stack| {
        if let Some(notice) = &bottom.notice {
            stack.spawn(card(CARD, 0.92)).with_child(fonts.text(notice.clone(), Pen::bold(17.0, [255, 214, 102])));
        }
        if bottom.is_captioned() {
            draw_caption(stack, bottom, fonts);
        } else {
            stack.spawn(spread(AlignItems::FlexEnd)).with_children(|wide| {
                if let Some(now) = &bottom.now {
                    draw_now(wide, now, bottom, fonts);
                }
                if bottom.legend.is_shown && !bottom.legend.is_wide {
                    draw_legend(wide, &bottom.legend, fonts);
                }
            });
        }
        if let Some(foot) = &bottom.foot {
            stack.spawn(card(CARD, 0.92)).with_child(fonts.text(foot.clone(), Pen::plain(15.0, WHITE)));
        }
    });
}

fn draw_now(wide: &mut Parent<'_>, now: &NowCard, bottom: &Bottom, fonts: &Fonts) {
    let (icon, ink) = match now.standing {
        Standing::Outside => ('✔', WHITE),
        Standing::Unproven => ('?', [255, 214, 102]),
        Standing::Inside => ('⚠', [255, 196, 150]),
        Standing::Touching => ('⚡', [255, 196, 150]),
    };
    let (mark, node, ground) = card(CARD, 0.84);
    // Beside the legend there is less room, and the figures need as much.
    let share = match (bottom.legend.is_shown, bottom.legend.is_wide) {
        (_, true) => 46.0,
        (true, false) => 58.0,
        (false, false) => 100.0,
    };
    let node = Node { max_width: percent(share), ..node };
    let is_dense = bottom.density.0 >= 2;
    wide.spawn((mark, node, ground)).with_children(|part| {
        part.spawn((Live(1), fonts.text(now.heading.clone(), Pen::bold(16.0, DIM))));
        if !bottom.is_worst {
            part.spawn(row(24.0)).with_children(|part| {
                part.spawn(fonts.text(icon, Pen::bold(26.0, ink)));
                for (number, figure) in now.figures.iter().enumerate() {
                    let sizes = if is_dense { (12.0, 18.0) } else { (15.0, 24.0) };
                    let texts = draw_figure(part, figure, sizes, (DIM, ink), fonts);
                    let mut commands = part.commands();
                    texts.into_iter().enumerate().for_each(|(k, text)| {
                        commands.entity(text).insert(Live(4 + 2 * number + k));
                    });
                }
            });
        }
        if !now.beyond.is_empty() {
            part.spawn((Live(3), fonts.text(now.beyond.clone(), Pen::bold(15.0, [255, 214, 102]))));
        }
        if !is_dense {
            part.spawn((Live(2), fonts.text(now.words.clone(), Pen::plain(17.0, WHITE))));
            part.spawn((Live(0), fonts.text(bottom.state.clone(), Pen::plain(15.0, DIM))));
        }
        if let Some(day) = &bottom.day {
            draw_day(part, day, fonts);
        }
    });
}

/// A cell for each hour of the day in the look of its verdict, the one that is shown framed, and its answer in words.
fn draw_day(part: &mut Parent<'_>, day: &DayStrip, fonts: &Fonts) {
    let count = day.hours.len();
    let cell_px = (DAY_PX / count.max(1) as f32).min(24.0);
    part.spawn(row(1.0)).with_children(|strip| {
        for (index, (begins, verdict)) in day.hours.iter().enumerate() {
            let look = theme::verdict(*verdict);
            let frame = if index == day.at { WHITE } else { look.ground };
            let cell = Node {
                width: px(cell_px - 1.0),
                height: px(40.0),
                border: UiRect::all(px(2.0)),
                align_items: AlignItems::Center,
                justify_content: JustifyContent::SpaceEvenly,
                ..column()
            };
            strip.spawn((cell, BackgroundColor(color(look.ground)), BorderColor::all(color(frame)))).with_children(
                |cell| {
                    if cell_px >= 18.0 {
                        cell.spawn(fonts.text(look.icon, Pen::plain(13.0, look.ink)));
                        cell.spawn(fonts.text(begins.clone(), Pen::plain(10.0, look.ink)));
                    }
                },
            );
        }
    });
    part.spawn(fonts.text(day.words.clone(), Pen::bold(16.0, WHITE)));
}

/// The caption of a lesson over the whole width, so that it leaves the scene as much height as it can.
fn draw_caption(stack: &mut Parent<'_>, bottom: &Bottom, fonts: &Fonts) {
    let Saying { heading, text, question, answer } = &bottom.caption;
    let is_dense = bottom.density.0 >= 2;
    let size_px = if is_dense { 17.0 } else { 20.0 };
    let (mark, node, ground) = card(CARD, 0.92);
    let node = Node { width: percent(100.0), padding: UiRect::axes(px(20.0), px(12.0)), row_gap: px(6.0), ..node };
    stack.spawn((mark, node, ground)).with_children(|part| {
        part.spawn(spread(AlignItems::Center)).with_children(|part| {
            part.spawn((fonts.text(heading.clone(), Pen::bold(14.0, DIM)), TextLayout::no_wrap()));
            if !is_dense {
                part.spawn((Live(0), fonts.text(bottom.state.clone(), Pen::plain(14.0, DIM))));
            }
        });
        part.spawn(fonts.text(text.clone(), Pen::plain(size_px, WHITE)));
        if let Some(question) = question {
            part.spawn(fonts.text(question.clone(), Pen::bold(size_px, [255, 214, 102])));
        }
        if let Some(answer) = answer {
            part.spawn(fonts.text(answer.clone(), Pen::bold(size_px, [150, 220, 255])));
        }
    });
}
