//! Every reason to stop, and that the bracket holds whichever it was.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use nalgebra::{Isometry3, Point3};
use wideberth_physics::approach::{Approach, Options, StopReason, closest_approach};
use wideberth_physics::machine::{Body, Frame, FrameId, FrameRole, Machine, Motion, Placement};
use wideberth_tests::many_joints::crane_with_shell;
use wideberth_tests::reference::r1_wires;

/// Bracket that is asked for, m.
const TOLERANCE_M: f64 = 0.05;

/// A crane with a swinging shell beside R1's nearest wire: eight joints, thousands of cells.
fn nearest_wire(options: Options) -> Approach {
    let options = Options { tolerance_m: TOLERANCE_M, ..options };
    closest_approach(&crane_with_shell(-45.0), &r1_wires()[0], &options).expect("a shape in every state")
}

fn holds(early: &Approach) -> bool {
    let whole = nearest_wire(Options::default()).distance;
    early.distance.lower_m <= whole.upper_m && early.distance.upper_m >= whole.lower_m
}

#[test]
fn a_search_that_is_cancelled_stops_at_once_and_its_bracket_holds() {
    let cancel = Some(Arc::new(AtomicBool::new(true)));
    let early = nearest_wire(Options { cancel, ..Options::default() });
    assert_eq!(early.stop, StopReason::Cancelled);
    assert!(early.cells < 5 && holds(&early), "{early:?}");
}

#[test]
fn a_spent_budget_is_told_and_its_bracket_holds() {
    let early = nearest_wire(Options { max_cells: 20, ..Options::default() });
    assert_eq!(early.stop, StopReason::CellBudget);
    assert!(early.distance.width_m() > TOLERANCE_M && holds(&early), "{early:?}");
}

#[test]
fn far_enough_proves_just_that() {
    let early = nearest_wire(Options { enough_m: Some(1.0), ..Options::default() });
    assert_eq!(early.stop, StopReason::FarEnough);
    assert!(early.distance.lower_m >= 1.0 && holds(&early), "{early:?}");
    let whole = nearest_wire(Options::default());
    assert!(early.cells < whole.cells, "it saves work");
}

#[test]
fn enough_beyond_what_is_possible_changes_nothing() {
    let whole = nearest_wire(Options { enough_m: Some(100.0), ..Options::default() });
    assert_eq!(whole.stop, StopReason::Tolerance);
    assert!(whole.distance.width_m() <= TOLERANCE_M);
}

#[test]
fn a_touch_is_contact() {
    let mast = Body::capsule("mast", (FrameId(0), Point3::origin()), (FrameId(0), Point3::new(0.0, 0.0, 12.0)), 0.1);
    let foot = Frame {
        name: "foot".into(),
        role: FrameRole::Part,
        parent: None,
        offset: Isometry3::identity(),
        motion: Motion::Fixed,
    };
    let machine =
        Machine::new("mast", &Placement::level(Point3::new(45.0, 0.0, 0.0)), vec![foot], vec![mast]).expect("one");
    let touch = closest_approach(&machine, &r1_wires()[1], &Options::default()).expect("a shape in every state");
    assert_eq!((touch.stop, touch.distance.upper_m), (StopReason::Contact, 0.0));
}
