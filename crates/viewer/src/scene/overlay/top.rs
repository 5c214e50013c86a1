//! What stands at the top: the banner with the proven verdict, and the legend where it has room.

use bevy::prelude::*;

use super::{LEGEND_PX, Legend, Parent, draw_figure, draw_legend, spread};
use crate::scene::framing::Density;
use crate::scene::text::{Fonts, Pen, card, row};
use crate::theme;
use crate::view_model::Banner;

/// What stands at the top; where it changes, it is built anew.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Top {
    pub banner: Option<Banner>,
    pub legend: Legend,
    pub density: Density,
    /// Width of the picture, px: what has no room in a row stands in two.
    pub width_px: f32,
}

/// Width of a banner, about, px: bold letters are 0.7 of their size wide, figures with spaces 0.64.
pub(super) fn banner_px(banner: &Banner) -> f32 {
    let letters = |text: &str| text.chars().count() as f32;
    let figures = banner.figures.iter().map(|figure| 18.0 + 0.64 * 28.0 * letters(&figure.value));
    let first = 118.0 + 0.7 * 38.0 * letters(&banner.word) + figures.sum::<f32>();
    first.max(46.0 + 0.56 * 17.0 * letters(&banner.sentence)).min(MOST_PX)
}

pub(super) fn draw(root: &mut Parent<'_>, top: &Top, fonts: &Fonts) {
    root.spawn(spread(AlignItems::FlexStart)).with_children(|part| {
        match &top.banner {
            Some(banner) => draw_banner(part, banner, top, fonts),
            // Keeps the legend at the right.
            None => drop(part.spawn(Node::default())),
        }
        if top.legend.is_wide {
            draw_legend(part, &top.legend, fonts);
        }
    });
}

/// Widest that a banner is, px: longer lines are hard to read.
const MOST_PX: f32 = 900.0;

fn draw_banner(root: &mut Parent<'_>, banner: &Banner, top: &Top, fonts: &Fonts) {
    let (look, is_dense) = (theme::sign(banner.sign), top.density.0 >= 2);
    let legend_px = if top.legend.is_wide { LEGEND_PX } else { 0.0 };
    let width_px = (top.width_px - legend_px - 28.0).min(MOST_PX);
    let (mark, node, ground) = card(look.ground, 0.97);
    let sizes = if is_dense { (28.0, 12.0, 20.0) } else { (38.0, 15.0, 26.0) };
    root.spawn((mark, Node { max_width: px(width_px), ..node }, ground)).with_children(|part| {
        let wrapped = Node { flex_wrap: FlexWrap::Wrap, row_gap: px(2.0), ..row(16.0) };
        part.spawn(wrapped).with_children(|part| {
            part.spawn(row(12.0)).with_children(|part| {
                part.spawn(fonts.text(look.icon, Pen::bold(1.1 * sizes.0, look.ink)));
                part.spawn((fonts.text(banner.word.clone(), Pen::bold(sizes.0, look.ink)), TextLayout::no_wrap()));
            });
            for figure in &banner.figures {
                draw_figure(part, figure, (sizes.1, sizes.2), (look.ink, look.ink), fonts);
            }
        });
        if !is_dense {
            part.spawn(fonts.text(banner.sentence.clone(), Pen::plain(17.0, look.ink)));
        }
        for line in &banner.lines {
            let text = if top.density.0 == 0 { &line.full } else { &line.short };
            if !text.is_empty() {
                part.spawn(fonts.text(text.clone(), Pen::plain(14.0, look.ink)));
            }
        }
    });
}
