//! What is wrong with a scenario that cannot be shown: every problem with its place.

use bevy::prelude::*;
use bevy_egui::{EguiContexts, EguiPrimaryContextPass, egui};

use crate::loaded::LoadError;
use crate::scene::stage::{Source, Stage, Trouble};
use crate::strings::ENGLISH;
use crate::view_model::plain;

/// Problems instead of a scene.
pub struct FailedPlugin;

impl Plugin for FailedPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(EguiPrimaryContextPass, wait.run_if(in_state(Stage::Loading)))
            .add_systems(EguiPrimaryContextPass, list.run_if(in_state(Stage::Failed)));
    }
}

fn page(ctx: &egui::Context, content: impl FnOnce(&mut egui::Ui)) {
    egui::Area::new("page".into()).fixed_pos([40.0, 40.0]).show(ctx, |ui| {
        ui.set_width((ctx.viewport_rect().width() - 80.0).max(200.0));
        egui::Frame::popup(ui.style()).inner_margin(20.0).show(ui, content);
    });
}

fn wait(mut contexts: EguiContexts) -> Result {
    page(contexts.ctx_mut()?, |ui| {
        ui.label(ENGLISH.loading);
    });
    Ok(())
}

fn list(mut contexts: EguiContexts, trouble: Option<Res<Trouble>>, source: Res<Source>) -> Result {
    let Some(trouble) = trouble else { return Ok(()) };
    let ctx = contexts.ctx_mut()?;
    page(ctx, |ui| {
        let is_gone = matches!(trouble.0, LoadError::File { .. });
        ui.heading(if is_gone { ENGLISH.unreadable } else { ENGLISH.refused });
        ui.label(plain(&source.0.name()));
        ui.add_space(8.0);
        let height = (ctx.viewport_rect().height() - 240.0).max(100.0);
        egui::ScrollArea::vertical().max_height(height).show(ui, |ui| problems(ui, &trouble.0));
        ui.add_space(8.0);
        ui.label(if is_gone { ENGLISH.gone_hint } else { ENGLISH.reload_hint });
    });
    Ok(())
}

/// Every problem of a scenario with its place.
pub fn problems(ui: &mut egui::Ui, trouble: &LoadError) {
    match trouble {
        LoadError::Refused(problems) => {
            for problem in problems {
                let file = problem.file.as_ref().map_or_else(String::new, |file| format!("{file}: "));
                let place = format!("{file}line {}, column {}: {}", problem.line, problem.column, problem.path);
                ui.label(egui::RichText::new(plain(&place)).strong());
                ui.label(plain(&format!("{} [{}]", problem.message, problem.code)));
                if !problem.help.is_empty() {
                    ui.label(egui::RichText::new(plain(&problem.help)).italics());
                }
                ui.add_space(6.0);
            }
        }
        other => {
            ui.label(plain(&other.to_string()));
        }
    }
}
