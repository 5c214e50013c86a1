//! A slider is dragged with a pointer, and what the panel says follows.

use bevy_egui::egui::{self, Event, PointerButton, Pos2, RawInput, Rect, Vec2};
use wideberth_report::Units;
use wideberth_viewer::moment::Moment;
use wideberth_viewer::panel_model::{self, Control, Ranges};
use wideberth_viewer::strings::ENGLISH;
use wideberth_viewer::view_model;
use wideberth_viewer::window::panel::slider_list;

use super::loaded;

/// One frame of the panel; answers what was moved.
fn frame(
    ctx: &egui::Context,
    loaded: &wideberth_viewer::loaded::Loaded,
    moment: &Moment,
    events: Vec<Event>,
) -> Vec<(Control, f64)> {
    let screen_rect = Some(Rect::from_min_size(Pos2::ZERO, Vec2::new(400.0, 300.0)));
    let mut moved = Vec::new();
    let _ = ctx.run_ui(RawInput { screen_rect, events, ..RawInput::default() }, |ui| {
        let sliders = panel_model::joint_sliders(&loaded.job, moment);
        moved = slider_list(ui, loaded, &sliders[0].1, Units::Si);
    });
    moved
}

#[test]
fn dragging_a_slider_changes_what_the_panel_says() {
    let loaded = loaded("silo-shell-tilts-under-a-farm-line");
    let mut moment = Moment::start(&loaded.job);
    let ctx = egui::Context::default();
    let button = |pos: Pos2, pressed: bool| Event::PointerButton {
        pos,
        button: PointerButton::Primary,
        pressed,
        modifiers: egui::Modifiers::default(),
    };
    let says = |moment: &Moment| {
        let gaps = moment.gaps(&loaded.job.study).expect("gaps");
        view_model::now_card(&loaded, &gaps, moment, false, Units::Si, &ENGLISH).expect("a card")
    };
    let before = says(&moment);
    let tilt = loaded.job.machines[0].joints.iter().position(|joint| joint.name == "tilt").expect("it tilts");
    let mut moved = Vec::new();
    // From the top until the slider of the tilt is met.
    for y in (4..120_u16).step_by(4).map(f32::from) {
        let (from, to) = (Pos2::new(30.0, y), Pos2::new(110.0, y));
        let drag = [Event::PointerMoved(from), button(from, true), Event::PointerMoved(to), button(to, false)];
        for event in drag {
            for (control, value) in frame(&ctx, &loaded, &moment, vec![event]) {
                panel_model::apply(&loaded, control, value, &mut moment);
                moved.push(control);
            }
        }
        if moved.contains(&(Control::Joint { machine: 0, joint: tilt })) {
            break;
        }
    }
    assert!(moved.contains(&(Control::Joint { machine: 0, joint: tilt })), "the slider does not move");
    let after = says(&moment);
    assert_ne!(before.state, after.state);
    assert_ne!(before.figures, after.figures);
}

#[test]
fn sliders_stay_inside_the_working_range() {
    let loaded = loaded("crane-beside-a-line-in-wind");
    let moment = Moment::worst(&loaded.job, &loaded.assessment);
    for (_, sliders) in panel_model::joint_sliders(&loaded.job, &moment) {
        for slider in sliders {
            assert!(slider.low <= slider.value && slider.value <= slider.high, "{slider:?}");
        }
    }
    // The wind comes from the west there: an east wind is not taken.
    let mut other = moment.clone();
    panel_model::apply(&loaded, Control::WindFrom, 1.57, &mut other);
    assert_eq!(other, moment);
}

#[test]
fn narrower_ranges_never_bring_the_machine_closer() {
    let loaded = loaded("silo-shell-tilts-under-a-farm-line");
    let own = Ranges::of(&loaded.job);
    let same = own.rewrite(&loaded.text, &loaded.job).expect("a text");
    let again = loaded.origin.answer_quickly(same).expect("an answer");
    assert_eq!(again.assessment.distance, loaded.assessment.distance);
    let tilt = loaded.job.machines[0].joints.iter().position(|joint| joint.name == "tilt").expect("it tilts");
    let mut low = own.clone();
    low.joints[0][tilt] = [0.0, 2.0_f64.to_radians()];
    let text = low.rewrite(&loaded.text, &loaded.job).expect("a text");
    let narrow = loaded.origin.answer_quickly(text).expect("an answer");
    assert!(narrow.assessment.distance.lower_m > loaded.assessment.distance.upper_m + 1.0);
    let mut wrong = own;
    wrong.joints[0][tilt] = [2.0, 1.0];
    let text = wrong.rewrite(&loaded.text, &loaded.job).expect("a text");
    assert!(loaded.origin.answer_quickly(text).is_err(), "an inverted range is refused");
}
