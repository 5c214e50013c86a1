//! The viewer.
fn main() { bevy::app::App::new().add_plugins(bevy::DefaultPlugins).run(); }
