//! Changed ranges in the window: everything on the screen belongs to one and the same answer.

use std::sync::Arc;
use std::time::{Duration, Instant};

use bevy::prelude::*;
use wideberth_viewer::loaded::Origin;
use wideberth_viewer::scene::stage::{Now, Proven, Shown, Standing, Wanted, Worst};
use wideberth_viewer::view_model::{Scope, Standing as HowFar};
use wideberth_viewer::window::recompute::{RecomputePlugin, Refresh};

use super::{demonstration, model};

fn until_answered(app: &mut App) {
    let start = Instant::now();
    while app.world().resource::<Refresh>().is_running() {
        app.update();
        assert!(start.elapsed() < Duration::from_secs(120), "the answer never comes");
        std::thread::sleep(Duration::from_millis(2));
    }
    app.update();
}

fn scope(app: &App) -> Scope {
    app.world().resource::<Proven>().scope.clone()
}

#[test]
fn every_state_of_the_screen_belongs_to_one_answer() {
    let origin = Origin::File(demonstration("silo-shell-tilts-under-a-farm-line"));
    let mut app = model::app_with(origin, |app| {
        app.add_plugins(RecomputePlugin);
    });
    let app = &mut app;
    let old_worst = app.world().resource::<Worst>().moment.clone();
    let own = app.world().resource::<Refresh>().own.clone();
    let shown = Arc::clone(&app.world().resource::<Shown>().0);
    let tilt = shown.job.machines[0].joints.iter().position(|joint| joint.name == "tilt").expect("it tilts");
    let mut low = own.clone();
    low.joints[0][tilt] = [0.0, 3.0_f64.to_radians()];

    // While the answer is on its way, the old one stands for nothing.
    app.world_mut().resource_mut::<Refresh>().ask(low);
    app.update();
    assert!(matches!(scope(app), Scope::Coming(words) if words.contains("tilt 0 deg to 3 deg")), "{:?}", scope(app));
    assert!(!app.world().resource::<Proven>().is_current());
    until_answered(app);
    assert!(
        matches!(scope(app), Scope::Changed(words) if words.contains("(file: 0 deg to 90 deg)")),
        "{:?}",
        scope(app)
    );

    // Who looked at the worst case looks at the new one; gap and number are those of the new answer.
    let (now, worst) = (app.world().resource::<Now>().clone(), app.world().resource::<Worst>().clone());
    assert!(now.is_worst && now.moment == worst.moment && now.gaps == worst.gaps);
    let proven = app.world().resource::<Proven>();
    assert!(now.gaps.each[now.gaps.least].distance_m > proven.assessment.distance.lower_m - 1e-6);

    // A pose of the old ranges lies outside the new ones, and nothing on the screen says otherwise.
    app.world_mut().resource_mut::<Wanted>().0 = old_worst.clone();
    app.update();
    let standing = app.world().resource::<Standing>();
    assert!(standing.beyond.contains("tilt 37 deg") && standing.is_in_doubt(), "{standing:?}");
    assert_ne!(standing.standing, HowFar::Outside);

    // Ranges that are refused have no verdict either.
    let mut wrong = own.clone();
    wrong.joints[0][tilt] = [2.0, 1.0];
    app.world_mut().resource_mut::<Refresh>().ask(wrong);
    app.update();
    until_answered(app);
    assert!(matches!(scope(app), Scope::Refused(..)), "{:?}", scope(app));

    // The file's own ranges bring its own answer back.
    app.world_mut().resource_mut::<Refresh>().ask(own);
    app.update();
    until_answered(app);
    assert_eq!(scope(app), Scope::Stated);
    assert!(Arc::ptr_eq(&app.world().resource::<Proven>().loaded, &shown));
    assert!(app.world().resource::<Standing>().beyond.is_empty());
}
