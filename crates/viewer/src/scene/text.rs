//! Texts over the scene: fonts and the parts that cards are made of.

use bevy::prelude::*;
use bevy::text::{Font, FontSource};

use super::paint::color;
use crate::theme::Rgb;

/// The fonts.
#[derive(Resource, Clone, Debug)]
pub struct Fonts {
    plain: Handle<Font>,
    bold: Handle<Font>,
}

/// The plain font as a file.
pub const PLAIN: &[u8] = include_bytes!("../../../../assets/fonts/DejaVuSans.ttf");
/// The bold font as a file.
pub const BOLD: &[u8] = include_bytes!("../../../../assets/fonts/DejaVuSans-Bold.ttf");

/// How a text is written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pen {
    /// Size, px.
    pub size_px: f32,
    /// Whether it is bold.
    pub bold: bool,
    /// Its colour.
    pub ink: Rgb,
}

impl Pen {
    /// A plain text.
    #[must_use]
    pub fn plain(size_px: f32, ink: Rgb) -> Self {
        Self { size_px, bold: false, ink }
    }

    /// A bold text.
    #[must_use]
    pub fn bold(size_px: f32, ink: Rgb) -> Self {
        Self { size_px, bold: true, ink }
    }
}

/// Puts the fonts where texts find them.
pub struct TextPlugin;

impl Plugin for TextPlugin {
    fn build(&self, app: &mut App) {
        let mut fonts = app.world_mut().resource_mut::<Assets<Font>>();
        let plain = fonts.add(Font::from_bytes(PLAIN.to_vec()));
        let bold = fonts.add(Font::from_bytes(BOLD.to_vec()));
        app.insert_resource(Fonts { plain, bold });
    }
}

impl Fonts {
    /// A text as a part of a card.
    #[must_use]
    pub fn text(&self, text: impl Into<String>, pen: Pen) -> (Text, TextFont, TextColor) {
        let font = if pen.bold { &self.bold } else { &self.plain };
        let font = TextFont { font: FontSource::Handle(font.clone()), ..TextFont::from_font_size(pen.size_px) };
        (Text::new(text), font, TextColor(color(pen.ink)))
    }
}

/// Marks a card.
#[derive(Component, Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Card;

/// A card with round corners; its parts below one another.
#[must_use]
pub fn card(ground: Rgb, alpha: f32) -> (Card, Node, BackgroundColor) {
    let node = Node {
        flex_direction: FlexDirection::Column,
        padding: UiRect::axes(px(16.0), px(10.0)),
        row_gap: px(4.0),
        border_radius: BorderRadius::all(px(8.0)),
        ..default()
    };
    (Card, node, BackgroundColor(color(ground).with_alpha(alpha)))
}

/// Parts beside one another.
#[must_use]
pub fn row(gap_px: f32) -> Node {
    Node { flex_direction: FlexDirection::Row, align_items: AlignItems::Center, column_gap: px(gap_px), ..default() }
}

/// Parts below one another.
#[must_use]
pub fn column() -> Node {
    Node { flex_direction: FlexDirection::Column, ..default() }
}
