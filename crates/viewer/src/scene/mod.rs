//! The scene: one plugin per file, the same for windows, pictures and films.

pub mod cameras;
pub mod flat;
pub mod framing;
pub mod gap_line;
pub mod ground;
pub mod labels;
pub mod lesson;
pub mod limits;
pub mod line;
pub mod loading;
pub mod machine;
pub mod overlay;
pub mod paint;
pub mod people;
pub mod playing;
pub mod reach;
pub mod site;
pub mod sky;
pub mod stage;
pub mod swaying;
pub mod text;

use bevy::prelude::*;

use self::stage::Step;

/// Everything that moves and computes, without anything that draws.
pub struct ModelPlugins;

impl Plugin for ModelPlugins {
    fn build(&self, app: &mut App) {
        app.configure_sets(Update, (Step::Input, Step::Play, Step::Gaps, Step::Camera, Step::Draw, Step::Text).chain());
        app.add_plugins((
            loading::LoadingPlugin,
            playing::PlayingPlugin,
            swaying::SwayingPlugin,
            lesson::LessonPlugin,
            cameras::CamerasPlugin,
        ));
    }
}

/// Everything that draws.
pub struct ScenePlugins;

impl Plugin for ScenePlugins {
    fn build(&self, app: &mut App) {
        app.add_plugins((
            text::TextPlugin,
            flat::FlatPlugin,
            sky::SkyPlugin,
            ground::GroundPlugin,
            line::LinePlugin,
            limits::LimitsPlugin,
            reach::ReachPlugin,
            machine::MachinePlugin,
            people::PeoplePlugin,
            gap_line::GapLinePlugin,
            site::SitePlugin,
            labels::LabelsPlugin,
            overlay::OverlayPlugin,
            framing::FramingPlugin,
        ));
    }
}
