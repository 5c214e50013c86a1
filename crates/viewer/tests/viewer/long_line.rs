//! A line of 200 spans with three wires and five machines, to measure with: `tests/scenarios/large/long-line.json` is written by
//! this file (WIDEBERTH_BLESS=1). A frame computes each wire once a weather, and the gap moves in the frame of the change.

use std::fs;
use std::path::PathBuf;
use std::sync::Arc;

use serde_json::{Value, json};
use wideberth_viewer::loaded::Origin;
use wideberth_viewer::moment::Moment;
use wideberth_viewer::panel_model::{self, Control};
use wideberth_viewer::scene::stage::{Now, Shown, Wanted, gaps_to};

use super::{file, model};

/// Spans along the line.
const SPANS: u32 = 200;
/// Length of a span, m.
const SPAN_M: u32 = 60;
/// Machines beside it.
const MACHINES: u32 = 5;

fn path() -> PathBuf {
    file("tests/scenarios/large/long-line.json")
}

fn wire(name: &str, offset: &str) -> Value {
    let attachment = |k: u32| json!({"support": format!("L{k}"), "height": "10.5 m", "offset": offset});
    json!({
        "name": name,
        "conductor": "acsr-raven-1-0-6-1",
        "attachments": (0..=SPANS).map(attachment).collect::<Vec<_>>(),
        "attachment_tolerance": "0.15 m",
        "known_by": {"share_of_strength": "18 %", "tolerance": "10 %", "conductor_temperature": "15 degC"}
    })
}

fn excavator(number: u32) -> Value {
    let east_m = SPAN_M * (SPANS / 2 + 2 * number) + 25;
    json!({
        "name": format!("excavator {}", number + 1), "machine": "excavator",
        "position": [format!("{east_m} m"), "-15 m"], "ground": "0 m", "heading": "90 deg",
        "slope": {"angle": "0 deg", "downhill": "0 deg"},
        "setting_out_tolerance": "0.5 m", "heading_tolerance": "5 deg",
        "work": "operate", "crew": "ordinary",
        "working": {
            "slew": ["-180 deg", "180 deg"], "boom": ["-30 deg", "35 deg"], "stick": ["-140 deg", "-60 deg"],
            "bucket": ["-90 deg", "20 deg"]
        }
    })
}

fn scenario() -> String {
    let support =
        |k: u32| json!({"name": format!("L{k}"), "position": [format!("{} m", k * SPAN_M), "0 m"], "ground": "0 m"});
    let line = json!({
        "name": "the long line",
        "voltage": {"value": "12.47 kV", "basis": "phase to phase", "current": "ac", "confirmed_by": "the line's owner"},
        "supports": (0..=SPANS).map(support).collect::<Vec<_>>(),
        "wires": [wire("north", "-1.2 m"), wire("middle", "0 m"), wire("south", "1.2 m")]
    });
    let value = json!({
        "format": "wideberth-scenario",
        "version": 1,
        "title": "Ditch along a long line",
        "rule": {"place": "Ontario"},
        "conditions": {
            "conductor_temperature": ["-10 degC", "70 degC"], "wind_speed": ["0 m/s", "12 m/s"], "wind_from": "any"
        },
        "lines": [line],
        "machines": (0..MACHINES).map(excavator).collect::<Vec<_>>()
    });
    serde_json::to_string(&value).expect("a text") + "\n"
}

#[test]
fn a_long_line_is_followed_frame_by_frame() {
    if std::env::var_os("WIDEBERTH_BLESS").is_some() {
        fs::create_dir_all(path().parent().expect("a folder")).expect("a folder");
        fs::write(path(), scenario()).expect("written");
    }
    assert_eq!(fs::read_to_string(path()).expect("WIDEBERTH_BLESS=1 writes it"), scenario());
    let mut app = model::app(Origin::File(path()));
    let shown = Arc::clone(&app.world().resource::<Shown>().0);
    let study = &shown.job.study;
    assert_eq!((study.lines[0].wires[0].spans().len(), study.machines.len()), (SPANS as usize, MACHINES as usize));
    let before = app.world().resource::<Now>().clone();

    // A joint moves: the gaps are those of the new pose in the same frame, and no wire is shaped again.
    let control = Control::Joint { machine: 3, joint: 1 };
    let mut wanted = app.world().resource::<Wanted>().0.clone();
    let range = study.machines[3].ranges()[1];
    panel_model::apply(&shown, control, range.at(0.4), &mut wanted);
    app.world_mut().resource_mut::<Wanted>().0 = wanted.clone();
    app.update();
    let now = app.world().resource::<Now>().clone();
    assert_eq!(now.moment, wanted);
    assert!(Arc::ptr_eq(&now.wires, &before.wires));
    assert_ne!(now.gaps, before.gaps);
    assert_eq!(now.gaps, wanted.gaps(study).expect("gaps"));
    assert_eq!(now.gaps, gaps_to(study, &wanted, &now.wires).expect("gaps"));

    // The temperature changes: the wires are others.
    let mut cold: Moment = wanted;
    panel_model::apply(&shown, Control::Temperature, 0.0, &mut cold);
    app.world_mut().resource_mut::<Wanted>().0 = cold.clone();
    app.update();
    let now = app.world().resource::<Now>();
    assert!(!Arc::ptr_eq(&now.wires, &before.wires));
    assert_eq!(now.gaps, cold.gaps(study).expect("gaps"));
}
