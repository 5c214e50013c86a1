// Dull ground, lit by sun and sky, with a fine and a coarse grid drawn into it. Lines narrower than a pixel fade instead of
// breaking up: a pixel is as dark as the share of it that lines cover.

#import bevy_pbr::{
    ambient::ambient_light,
    fog::linear_fog,
    forward_io::VertexOutput,
    mesh_view_bindings::{fog, lights, view},
    mesh_view_types::DIRECTIONAL_LIGHT_FLAGS_SHADOWS_ENABLED_BIT,
    shadows::fetch_directional_shadow,
    view_transformations::position_world_to_view,
}

struct Grid {
    color: vec4<f32>,
    // Spacing, width and reach from the origin, m.
    spacing: f32,
    width: f32,
    reach: f32,
    padding: f32,
}

struct Ground {
    color: vec4<f32>,
    fine: Grid,
    coarse: Grid,
}

@group(#{MATERIAL_BIND_GROUP}) @binding(0) var<uniform> ground: Ground;

const PI: f32 = 3.14159265;

// How much of a stretch from 0 to x is covered by lines of a width about each whole number, in spacings.
fn covered(x: vec2<f32>, width: f32) -> vec2<f32> {
    let from_line = x + 0.5 * width;
    return floor(from_line) * width + min(fract(from_line), vec2(width));
}

// Share of a pixel that a grid covers; `footprint` is how far the pixel reaches on the ground each way.
fn share(grid: Grid, at: vec2<f32>, footprint: vec2<f32>) -> f32 {
    if max(abs(at.x), abs(at.y)) > grid.reach {
        return 0.0;
    }
    let middle = at / grid.spacing;
    let size = max(footprint / grid.spacing, vec2(1e-4));
    let width = grid.width / grid.spacing;
    let lines = (covered(middle + 0.5 * size, width) - covered(middle - 0.5 * size, width)) / size;
    return 1.0 - (1.0 - lines.x) * (1.0 - lines.y);
}

@fragment
fn fragment(in: VertexOutput) -> @location(0) vec4<f32> {
    let at = in.world_position.xz;
    let footprint = fwidth(at);
    var color = mix(ground.color.rgb, ground.fine.color.rgb, share(ground.fine, at, footprint));
    color = mix(color, ground.coarse.color.rgb, share(ground.coarse, at, footprint));

    let normal = normalize(in.world_normal);
    let to_eye = view.world_position - in.world_position.xyz;
    let toward_eye = normalize(to_eye);
    let facing = max(dot(normal, toward_eye), 1e-4);
    var light = ambient_light(in.world_position, normal, toward_eye, facing, color, vec3(0.0), 1.0, vec3(1.0));
    let depth = position_world_to_view(in.world_position.xyz).z;
    for (var i = 0u; i < lights.n_directional_lights; i++) {
        let sun = lights.directional_lights[i];
        let incidence = max(dot(normal, sun.direction_to_light), 0.0);
        var lit = 1.0;
        if (sun.flags & DIRECTIONAL_LIGHT_FLAGS_SHADOWS_ENABLED_BIT) != 0u {
            lit = fetch_directional_shadow(i, in.world_position, normal, depth, in.position.xy);
        }
        light += color / PI * sun.color.rgb * incidence * lit;
    }
    return linear_fog(fog, vec4(light * view.exposure, 1.0), length(to_eye), vec3(0.0));
}
