//! Materials, and drawing that several plugins share.

use bevy::prelude::*;
use bevy::render::render_resource::Face;

use super::flat::{Flat, Kind};
use crate::theme::Rgb;

/// Depth bias by which surfaces come after those that one sees through.
const AFTER_GLASS: f32 = 500.0;

/// How much work a frame may be.
#[derive(Resource, Clone, Copy, Debug, PartialEq, Eq)]
pub enum Finish {
    /// Shadows with soft rims that stay fine close by, edges smoothed where surfaces meet: for pictures and films.
    Fine,
    /// Shadows, edges smoothed in the finished frame: for windows, which should follow a hand at once.
    Swift,
    /// Neither: for windows that the processor draws.
    Plain,
}

/// A colour of the theme.
#[must_use]
pub fn color([r, g, b]: Rgb) -> Color {
    Color::srgb_u8(r, g, b)
}

/// A dull surface.
#[must_use]
pub fn matte(rgb: Rgb) -> StandardMaterial {
    StandardMaterial { base_color: color(rgb), perceptual_roughness: 0.85, reflectance: 0.25, ..default() }
}

/// A surface that one sees through, in the colour of the legend.
#[must_use]
pub fn glass(rgb: Rgb, alpha: f32) -> Flat {
    let kind = Kind { culled: Some(Face::Back), bias: 0, hazy: true };
    Flat { color: color(rgb).with_alpha(alpha).to_linear(), alpha_mode: AlphaMode::Blend, kind }
}

/// A bright surface that stands before everything: it is drawn after what one sees through, which so does not tint it, and depth
/// bias draws it over what hides it a little.
#[must_use]
pub fn bright(rgb: Rgb, bias: i32) -> Flat {
    let kind = Kind { culled: Some(Face::Back), bias, hazy: false };
    Flat { color: color(rgb).to_linear(), alpha_mode: AlphaMode::Blend, kind }
}

/// A surface that is drawn after what one sees through.
#[must_use]
pub fn after_glass(paint: StandardMaterial) -> StandardMaterial {
    StandardMaterial { alpha_mode: AlphaMode::Blend, depth_bias: AFTER_GLASS, ..paint }
}

/// Replaces a mesh.
pub fn redraw(meshes: &mut Assets<Mesh>, handle: &Mesh3d, mesh: Mesh) {
    if let Some(mut drawn) = meshes.get_mut(&handle.0) {
        *drawn = mesh;
    }
}
