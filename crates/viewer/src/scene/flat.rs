//! The paint of surfaces that the light leaves alone: sky, marks, and what one sees through.

use bevy::asset::embedded_asset;
use bevy::mesh::MeshVertexBufferLayoutRef;
use bevy::pbr::{MaterialPipeline, MaterialPipelineKey};
use bevy::prelude::*;
use bevy::render::render_resource::{AsBindGroup, Face, RenderPipelineDescriptor, SpecializedMeshPipelineError};
use bevy::shader::ShaderRef;

/// Makes the paint known to the renderer.
pub struct FlatPlugin;

/// One colour from every side: `flat.wgsl`.
#[derive(Asset, AsBindGroup, TypePath, Clone, Debug)]
#[bind_group_data(Kind)]
pub struct Flat {
    /// Its colour.
    #[uniform(0)]
    pub color: LinearRgba,
    /// Whether one sees through it, or it is drawn in the order of what one sees through.
    pub alpha_mode: AlphaMode,
    /// What else there is to it.
    pub kind: Kind,
}

/// What surfaces that are drawn together have in common.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Kind {
    /// The side that is not drawn.
    pub culled: Option<Face>,
    /// How much nearer than it is it counts, in the smallest steps of depth.
    pub bias: i32,
    /// Whether haze lies before it where it is far.
    pub hazy: bool,
}

impl From<&Flat> for Kind {
    fn from(paint: &Flat) -> Self {
        paint.kind
    }
}

impl Plugin for FlatPlugin {
    fn build(&self, app: &mut App) {
        embedded_asset!(app, "flat.wgsl");
        app.add_plugins(MaterialPlugin::<Flat>::default());
    }
}

impl Material for Flat {
    fn fragment_shader() -> ShaderRef {
        "embedded://wideberth_viewer/scene/flat.wgsl".into()
    }

    fn alpha_mode(&self) -> AlphaMode {
        self.alpha_mode
    }

    fn depth_bias(&self) -> f32 {
        self.kind.bias as f32
    }

    fn enable_prepass() -> bool {
        false
    }

    fn enable_shadows() -> bool {
        false
    }

    fn specialize(
        _: &MaterialPipeline,
        descriptor: &mut RenderPipelineDescriptor,
        _: &MeshVertexBufferLayoutRef,
        key: MaterialPipelineKey<Self>,
    ) -> Result<(), SpecializedMeshPipelineError> {
        let Kind { culled, bias, hazy } = key.bind_group_data;
        descriptor.primitive.cull_mode = culled;
        if let Some(depth) = &mut descriptor.depth_stencil {
            depth.bias.constant = bias;
        }
        if hazy && let Some(fragment) = &mut descriptor.fragment {
            fragment.shader_defs.push("HAZY".into());
        }
        Ok(())
    }
}
