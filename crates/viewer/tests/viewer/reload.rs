//! A scenario that is saved is read again: broken, it shows its problems; mended, its scene.

use std::fs;
use std::path::Path;
use std::thread::sleep;
use std::time::{Duration, Instant};

use bevy::prelude::*;
use bevy_egui::egui::{self, Pos2, RawInput, Rect, Shape, Vec2};
use wideberth_viewer::loaded::{LoadError, Origin};
use wideberth_viewer::scene::stage::{Shown, Stage, Trouble};
use wideberth_viewer::window::failed;
use wideberth_viewer::window::reload::ReloadPlugin;

use super::{demonstration, folder, model};

/// Runs until a stage is reached.
fn until(app: &mut App, stage: Stage) {
    let start = Instant::now();
    while *app.world().resource::<State<Stage>>().get() != stage {
        app.update();
        assert!(start.elapsed() < Duration::from_secs(120), "{stage:?} never comes");
        sleep(Duration::from_millis(2));
    }
}

/// Saves a text so that its time or size differs from before.
fn save(path: &Path, text: &str) {
    sleep(Duration::from_millis(20));
    fs::write(path, text).expect("written");
}

/// All that a page says.
fn page(trouble: &LoadError) -> String {
    let screen_rect = Some(Rect::from_min_size(Pos2::ZERO, Vec2::new(1200.0, 900.0)));
    let ctx = egui::Context::default();
    let output = ctx.run_ui(RawInput { screen_rect, ..RawInput::default() }, |ui| failed::problems(ui, trouble));
    let words = output.shapes.iter().filter_map(|clipped| match &clipped.shape {
        Shape::Text(text) => Some(text.galley.text().to_string()),
        _ => None,
    });
    words.collect::<Vec<_>>().join("\n")
}

#[test]
fn a_saved_scenario_is_read_again() {
    let path = folder("reload").join("job.json");
    let text = fs::read_to_string(demonstration("tipper-on-a-cool-morning")).expect("a text");
    let broken = text.replace("\"3 m/s\"", "\"3 m\"");
    assert_ne!(broken, text);
    fs::write(&path, &text).expect("written");
    let mut app = model::app_with(Origin::File(path.clone()), |app| {
        app.add_plugins(ReloadPlugin);
    });
    // The file as it is has been seen.
    (0..20).for_each(|_| app.update());
    assert_eq!(*app.world().resource::<State<Stage>>().get(), Stage::Ready);

    save(&path, &broken);
    until(&mut app, Stage::Failed);
    let says = page(&app.world().resource::<Trouble>().0);
    let line = 1 + broken.lines().position(|line| line.contains("\"3 m\"")).expect("it is there");
    assert!(says.contains(&format!("line {line}, column")) && says.contains("wind_speed"), "{says}");

    save(&path, &text.replace("\"title\": \"", "\"title\": \"Mended: "));
    until(&mut app, Stage::Loading);
    until(&mut app, Stage::Ready);
    assert!(app.world().resource::<Shown>().job.title.starts_with("Mended: "));

    fs::remove_file(&path).expect("removed");
    until(&mut app, Stage::Failed);
    let says = page(&app.world().resource::<Trouble>().0);
    assert!(says.contains("job.json"), "{says}");
}
