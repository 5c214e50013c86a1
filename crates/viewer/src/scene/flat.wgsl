// One colour from every side, whatever the light; into the haze where it is far.

#import bevy_pbr::{forward_io::VertexOutput, mesh_view_bindings::view}
#ifdef HAZY
#import bevy_pbr::{fog::linear_fog, mesh_view_bindings::fog}
#endif

@group(#{MATERIAL_BIND_GROUP}) @binding(0) var<uniform> paint: vec4<f32>;

@fragment
fn fragment(in: VertexOutput) -> @location(0) vec4<f32> {
    var color = paint;
#ifdef VERTEX_COLORS
    color *= in.color;
#endif
#ifdef HAZY
    color = linear_fog(fog, color, length(view.world_position - in.world_position.xyz), vec3(0.0));
#endif
    return color;
}
