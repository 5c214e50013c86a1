//! What stands at the top: the banner with the certified verdict, and the legend where it has room.

use bevy::prelude::*;

use super::{Legend, Parent, draw_figure, draw_legend, spread};
use crate::scene::text::{Fonts, Pen, card, row};
use crate::theme;
use crate::view_model::Banner;

/// What stands at the top; where it changes, it is built anew.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Top {
    pub banner: Option<Banner>,
    pub legend: Legend,
}

/// Width of a banner, about, px: bold letters are 0.7 of their size wide, figures with spaces 0.64.
pub(super) fn banner_px(banner: &Banner) -> f32 {
    let letters = |text: &str| text.chars().count() as f32;
    let figures = banner.figures.iter().map(|figure| 18.0 + 0.64 * 28.0 * letters(&figure.value));
    let first = 118.0 + 0.7 * 38.0 * letters(&banner.word) + figures.sum::<f32>();
    first.max(46.0 + 0.56 * 17.0 * letters(&banner.sentence))
}

pub(super) fn draw(root: &mut Parent<'_>, top: &Top, fonts: &Fonts) {
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

fn draw_banner(root: &mut Parent<'_>, banner: &Banner, fonts: &Fonts) {
    let look = theme::verdict(banner.verdict);
    root.spawn(card(look.ground, 0.96)).with_children(|part| {
        part.spawn(row(18.0)).with_children(|part| {
            part.spawn(fonts.text(look.icon, Pen::bold(44.0, look.ink)));
            part.spawn(fonts.text(banner.word.clone(), Pen::bold(38.0, look.ink)));
            part.spawn(Node { width: px(8.0), ..default() });
            for figure in &banner.figures {
                draw_figure(part, figure, (15.0, 28.0), (look.ink, look.ink), fonts);
            }
        });
        part.spawn(fonts.text(banner.sentence.clone(), Pen::plain(17.0, look.ink)));
    });
}
