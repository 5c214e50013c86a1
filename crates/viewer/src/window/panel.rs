//! The panel beside the scene.

use bevy::camera::Viewport;
use bevy::prelude::*;
use bevy::window::PrimaryWindow;
use bevy_egui::{EguiContexts, EguiPrimaryContextPass, egui};
use wideberth_report::Units;
use wideberth_report::words::VerdictName;

use super::keep::Told;
use super::keys::Leaving;
use super::recompute::Refresh;
use crate::args::Motion;
use crate::loaded::Loaded;
use crate::panel_model::{self, Control, Slider};
use crate::scene::cameras::{MainCamera, SceneCamera};
use crate::scene::lesson::{AtStep, Concealed};
use crate::scene::playing::Playing;
use crate::scene::stage::{Look, Now, Proven, Shown, Stage, Wanted, Worst};
use crate::scene::text::{BOLD, PLAIN};
use crate::strings::ENGLISH;
use crate::theme;
use crate::view_model::{self, WireRow};
use crate::views::Sight;
use wideberth_scenario::Job;

/// The panel.
pub struct PanelPlugin;

/// Width of the panel, points.
const WIDTH: f32 = 370.0;
/// Most of the window that it takes: what has no room is reached by scrolling.
const MOST_SHARE: f32 = 0.42;
/// Narrower, there is no room for a panel beside a scene, points.
const LEAST_WINDOW: f32 = 420.0;
/// Colour of texts, bright enough to be read in daylight.
const INK: egui::Color32 = egui::Color32::from_gray(225);
/// Colour of rows that are not clear.
const ALARM: egui::Color32 = egui::Color32::from_rgb(255, 178, 128);
/// Size of texts of the table of wires, points.
const TABLE_PX: f32 = 11.5;
/// Widths of its columns, points.
const COLUMNS: [f32; 5] = [82.0, 60.0, 108.0, 52.0, 52.0];

impl Plugin for PanelPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(
            EguiPrimaryContextPass,
            (style, draw.run_if(in_state(Stage::Ready)), help, told, leave).chain(),
        );
    }
}

/// The fonts of the scene, and the size of text.
fn style(mut contexts: EguiContexts, look: Res<Look>, mut done: Local<Option<f32>>) -> Result {
    let ctx = contexts.ctx_mut()?;
    if done.is_none() {
        ctx.set_fonts(fonts());
        ctx.set_visuals(egui::Visuals { override_text_color: Some(INK), ..egui::Visuals::dark() });
    }
    if *done != Some(look.text_size) {
        ctx.set_zoom_factor(look.text_size);
        *done = Some(look.text_size);
    }
    Ok(())
}

fn fonts() -> egui::FontDefinitions {
    let mut fonts = egui::FontDefinitions::default();
    for (name, bytes) in [("plain", PLAIN), ("bold", BOLD)] {
        fonts.font_data.insert(name.into(), egui::FontData::from_static(bytes).into());
    }
    fonts.families.entry(egui::FontFamily::Proportional).or_default().insert(0, "plain".into());
    fonts
}

/// Everything that the panel reads and changes.
#[derive(bevy::ecs::system::SystemParam)]
struct Desk<'w> {
    shown: Res<'w, Shown>,
    proven: Res<'w, Proven>,
    worst: Res<'w, Worst>,
    now: Res<'w, Now>,
    wanted: ResMut<'w, Wanted>,
    playing: ResMut<'w, Playing>,
    look: ResMut<'w, Look>,
    camera: ResMut<'w, SceneCamera>,
    refresh: ResMut<'w, Refresh>,
    at: ResMut<'w, AtStep>,
    hidden: Res<'w, Concealed>,
}

fn draw(
    mut contexts: EguiContexts,
    mut desk: Desk<'_>,
    mut cameras: Query<&mut Camera, With<MainCamera>>,
    window: Single<&Window, With<PrimaryWindow>>,
) -> Result {
    let ctx = contexts.ctx_mut()?;
    let mut taken = 0.0;
    let room = ctx.viewport_rect().width();
    if desk.look.panel && room >= LEAST_WINDOW {
        let mut root = egui::Ui::new(
            ctx.clone(),
            "scene".into(),
            egui::UiBuilder::new().layer_id(egui::LayerId::background()).max_rect(ctx.viewport_rect()),
        );
        let panel = egui::Panel::right("panel").exact_size(WIDTH.min(MOST_SHARE * room)).resizable(false);
        let shown = panel.show(&mut root, |ui| {
            egui::ScrollArea::both().auto_shrink(false).show(ui, |ui| content(ui, &mut desk));
        });
        taken = shown.response.rect.width() * ctx.zoom_factor() * window.scale_factor();
    }
    make_room(&mut cameras, &window, taken);
    Ok(())
}

/// The scene takes what the panel leaves.
fn make_room(cameras: &mut Query<&mut Camera, With<MainCamera>>, window: &Window, taken_px: f32) {
    let size = UVec2::new(window.physical_width(), window.physical_height());
    let width = size.x.saturating_sub(taken_px.round() as u32).max(64).min(size.x);
    let wanted = UVec2::new(width, size.y);
    for mut camera in cameras.iter_mut() {
        if size.x > 0 && size.y > 0 && camera.viewport.as_ref().is_none_or(|v| v.physical_size != wanted) {
            camera.viewport = Some(Viewport { physical_size: wanted, ..default() });
        }
    }
}

fn content(ui: &mut egui::Ui, desk: &mut Desk<'_>) {
    ui.add_space(6.0);
    lesson(ui, desk);
    buttons(ui, desk);
    let shown = desk.shown.clone();
    // Sliders run over the ranges of the answer that is shown.
    let proven = desk.proven.clone();
    for (name, sliders) in panel_model::joint_sliders(&proven.job, &desk.wanted) {
        heading(ui, &format!("{}: {}", ENGLISH.joints, view_model::plain(&name)));
        move_sliders(ui, desk, &proven, &sliders);
    }
    heading(ui, ENGLISH.weather);
    let sliders = panel_model::weather_sliders(&proven, &desk.wanted, &ENGLISH);
    move_sliders(ui, desk, &proven, &sliders);
    heading(ui, ENGLISH.wires);
    table(ui, desk);
    heading(ui, ENGLISH.cameras);
    cameras(ui, desk);
    ranges(ui, desk, &shown.job);
    settings(ui, &mut desk.look);
}

fn heading(ui: &mut egui::Ui, text: &str) {
    ui.add_space(8.0);
    ui.label(egui::RichText::new(text).strong());
}

fn lesson(ui: &mut egui::Ui, desk: &mut Desk<'_>) {
    let Some(lesson) = &desk.shown.job.lesson else { return };
    heading(ui, ENGLISH.lesson);
    ui.horizontal(|ui| {
        if ui.button("◀").clicked() {
            desk.at.0 = desk.at.back();
        }
        let number = desk.at.step.map_or(0, |step| step + 1);
        ui.label(format!("{number} / {}", lesson.steps.len()));
        if ui.button("▶").clicked() {
            desk.at.0 = desk.at.forth(lesson);
        }
        let open = desk.at.step_of(lesson).is_some_and(|step| step.question.is_some()) && !desk.at.answered;
        if open && ui.button(ENGLISH.show_answer).clicked() {
            desk.at.0 = desk.at.reveal();
        }
    });
}

fn buttons(ui: &mut egui::Ui, desk: &mut Desk<'_>) {
    ui.add_space(6.0);
    ui.horizontal_wrapped(|ui| {
        if ui.button(ENGLISH.go_worst).clicked() {
            desk.playing.stop();
            desk.wanted.0 = desk.worst.moment.clone();
        }
        if ui.button(ENGLISH.go_start).clicked() {
            desk.playing.stop();
            desk.wanted.0 = crate::moment::Moment::start(&desk.proven.job);
        }
        for motion in [Motion::Work, Motion::Sway, Motion::Heat] {
            let plays = desk.playing.motion() == Some(motion);
            let text = if plays { ENGLISH.stop } else { ENGLISH.motion(motion, !desk.proven.hours.is_empty()) };
            if ui.button(text).clicked() {
                if plays { desk.playing.stop() } else { desk.playing.begin(motion, &desk.wanted.0) }
            }
        }
    });
}

fn move_sliders(ui: &mut egui::Ui, desk: &mut Desk<'_>, loaded: &Loaded, sliders: &[Slider]) {
    for (control, value) in slider_list(ui, loaded, sliders, desk.look.units) {
        desk.playing.stop();
        panel_model::apply(loaded, control, value, &mut desk.wanted);
    }
}

/// Sliders; answers what was moved.
pub fn slider_list(ui: &mut egui::Ui, loaded: &Loaded, sliders: &[Slider], units: Units) -> Vec<(Control, f64)> {
    let mut moved = Vec::new();
    for slider in sliders.iter().filter(|slider| slider.high > slider.low) {
        let mut value = slider.value;
        let words = |value: f64| panel_model::value_words(loaded, slider.control, value, units);
        ui.horizontal(|ui| {
            ui.spacing_mut().slider_width = 130.0;
            let given = egui::Slider::new(&mut value, slider.low..=slider.high)
                .show_value(false)
                // A value outside stays until somebody moves it.
                .clamping(egui::SliderClamping::Edits);
            let changed = ui.push_id(slider.control, |ui| ui.add(given).changed()).inner;
            ui.label(format!("{} {}", view_model::plain(&slider.label), words(value)));
            if changed {
                moved.push((slider.control, value));
            }
        });
    }
    moved
}

/// The wires; nothing while a question waits for its answer.
fn table(ui: &mut egui::Ui, desk: &Desk<'_>) {
    if desk.hidden.answer() {
        return;
    }
    if !desk.proven.is_current() {
        ui.label(ENGLISH.coming);
        return;
    }
    let rows = view_model::wire_rows(&desk.proven.document, &desk.now.gaps, desk.look.units);
    for (number, group) in rows.chunk_by(|a, b| a.group == b.group).enumerate() {
        let name = group.first().map_or("", |row| &row.group);
        if !name.is_empty() {
            ui.add_space(4.0);
            ui.label(egui::RichText::new(name).size(TABLE_PX));
        }
        if number == 0 {
            let heads = [ENGLISH.wire, ENGLISH.now_column, ENGLISH.worst_column, ENGLISH.limit, ENGLISH.spare];
            table_row(ui, heads.map(String::from), INK);
        }
        for WireRow { wire, gap, closest, limit, spare, verdict, .. } in group {
            let wire = format!("{} {wire}", theme::verdict(*verdict).icon);
            let ink = if *verdict == VerdictName::Clear { INK } else { ALARM };
            table_row(ui, [wire, gap.clone(), closest.clone(), limit.clone(), spare.clone()], ink);
        }
    }
}

/// A row of the table of wires, whose columns are as wide in every group; a name that is too long is cut short. Drawn, not laid out:
/// there may be a hundred, from frame to frame.
fn table_row(ui: &mut egui::Ui, cells: [String; 5], ink: egui::Color32) {
    let height = 1.5 * TABLE_PX;
    let (row, _) = ui.allocate_exact_size(egui::vec2(COLUMNS.iter().sum(), height), egui::Sense::hover());
    if !ui.is_rect_visible(row) {
        return;
    }
    let mut left = row.left();
    for (cell, width) in cells.into_iter().zip(COLUMNS) {
        let mut job = egui::text::LayoutJob::simple_singleline(cell, egui::FontId::proportional(TABLE_PX), ink);
        job.wrap = egui::text::TextWrapping::truncate_at_width(width);
        let galley = ui.painter().layout_job(job);
        ui.painter().galley(egui::pos2(left, row.top()), galley, ink);
        left += width;
    }
}

fn cameras(ui: &mut egui::Ui, desk: &mut Desk<'_>) {
    ui.horizontal_wrapped(|ui| {
        for sight in Sight::ALL {
            if ui.selectable_label(desk.camera.sight == sight, ENGLISH.sight(sight)).clicked() {
                let eye = desk.worst.subject.eye(sight);
                desk.camera.go(sight, eye);
            }
        }
    });
}

/// Ranges of the proven answer; a change is computed in the background.
fn ranges(ui: &mut egui::Ui, desk: &mut Desk<'_>, job: &Job) {
    let own = desk.refresh.own.clone();
    let mut wanted = desk.refresh.ranges.clone().unwrap_or_else(|| own.clone());
    ui.add_space(8.0);
    let (length, heat, speed) = scales(desk.look.units);
    egui::CollapsingHeader::new(ENGLISH.ranges).show(ui, |ui| {
        for (machine, info) in job.machines.iter().enumerate() {
            // A tolerance is no range that anybody sets.
            for (joint, info) in info.joints.iter().enumerate().filter(|(_, info)| info.range.is_some()) {
                let is_angle = info.unit == wideberth_scenario::job::JointUnit::Radian;
                let scale = if is_angle { DEGREES } else { length };
                pair(ui, &view_model::plain(&info.name), &mut wanted.joints[machine][joint], scale);
            }
        }
        pair(ui, ENGLISH.temperature, &mut wanted.temperature_degc, heat);
        pair(ui, ENGLISH.wind, &mut wanted.wind_m_per_s, speed);
        if ui.button(ENGLISH.ranges_back).clicked() {
            wanted = own.clone();
        }
        if desk.refresh.is_running() {
            ui.label(ENGLISH.computing);
        }
        if let Some(trouble) = &desk.refresh.trouble {
            ui.colored_label(egui::Color32::from_rgb(255, 170, 120), trouble);
        }
    });
    let before = desk.refresh.ranges.as_ref().unwrap_or(&own);
    if *before != wanted {
        desk.refresh.ask(wanted);
    }
}

/// How an SI value is shown: factor, offset, unit.
type Scale = (f64, f64, &'static str);

/// Angles.
const DEGREES: Scale = (180.0 / std::f64::consts::PI, 0.0, "deg");

/// Lengths, temperatures and speeds in the chosen units.
fn scales(units: Units) -> (Scale, Scale, Scale) {
    match units {
        Units::Si => ((1.0, 0.0, "m"), (1.0, 0.0, "degC"), (1.0, 0.0, "m/s")),
        Units::Us => ((1.0 / 0.3048, 0.0, "ft"), (1.8, 32.0, "degF"), (1.0 / 0.44704, 0.0, "mph")),
    }
}

fn pair(ui: &mut egui::Ui, label: &str, ends: &mut [f64; 2], (factor, offset, unit): Scale) {
    ui.horizontal(|ui| {
        for end in ends.iter_mut() {
            let mut shown = *end * factor + offset;
            let drag = egui::DragValue::new(&mut shown).speed(0.5).max_decimals(1).suffix(format!(" {unit}"));
            if ui.add(drag).changed() {
                *end = (shown - offset) / factor;
            }
        }
        ui.label(label);
    });
}

fn settings(ui: &mut egui::Ui, look: &mut Look) {
    heading(ui, ENGLISH.settings);
    ui.horizontal(|ui| {
        ui.label(ENGLISH.units);
        ui.selectable_value(&mut look.units, Units::Si, "m, degC");
        ui.selectable_value(&mut look.units, Units::Us, "ft, degF");
    });
    ui.horizontal(|ui| {
        ui.label(ENGLISH.text_size);
        for (size, text) in [(0.85, "A-"), (1.0, "A"), (1.25, "A+"), (1.6, "A++")] {
            ui.selectable_value(&mut look.text_size, size, text);
        }
    });
    ui.label(egui::RichText::new(ENGLISH.help_hint).small());
}

/// Asks whether to end.
fn leave(mut contexts: EguiContexts, leaving: Option<ResMut<Leaving>>, mut exit: MessageWriter<AppExit>) -> Result {
    let Some(mut leaving) = leaving.filter(|leaving| leaving.0) else { return Ok(()) };
    let ctx = contexts.ctx_mut()?;
    let middle = ctx.viewport_rect().center();
    egui::Area::new("leave".into()).pivot(egui::Align2::CENTER_CENTER).fixed_pos(middle).show(ctx, |ui| {
        egui::Frame::popup(ui.style()).inner_margin(16.0).show(ui, |ui| {
            ui.label(egui::RichText::new(ENGLISH.leave).size(16.0));
            ui.horizontal(|ui| {
                if ui.button(ENGLISH.leave_yes).clicked() {
                    exit.write(AppExit::Success);
                }
                if ui.button(ENGLISH.leave_no).clicked() {
                    leaving.0 = false;
                }
            });
        });
    });
    Ok(())
}

/// Says where a picture was saved.
fn told(mut contexts: EguiContexts, told: Option<Res<Told>>) -> Result {
    let Some(told) = told.filter(|told| !told.words.is_empty()) else { return Ok(()) };
    let ctx = contexts.ctx_mut()?;
    let place = ctx.viewport_rect().center_bottom() - egui::vec2(0.0, 60.0);
    egui::Area::new("told".into()).pivot(egui::Align2::CENTER_BOTTOM).fixed_pos(place).show(ctx, |ui| {
        egui::Frame::popup(ui.style()).inner_margin(12.0).show(ui, |ui| ui.label(&told.words));
    });
    Ok(())
}

/// The help over everything.
fn help(mut contexts: EguiContexts, mut look: ResMut<Look>) -> Result {
    let ctx = contexts.ctx_mut()?;
    if !look.help {
        return Ok(());
    }
    let mut open = true;
    egui::Window::new(ENGLISH.help).open(&mut open).collapsible(false).resizable(false).show(ctx, |ui| {
        egui::Grid::new("keys").num_columns(2).striped(true).show(ui, |ui| {
            for (key, does) in ENGLISH.keys {
                ui.label(egui::RichText::new(*key).strong());
                ui.label(*does);
                ui.end_row();
            }
        });
    });
    look.help = open;
    Ok(())
}
