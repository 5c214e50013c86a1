//! A scenario that is saved is read again.

use std::fs;
use std::time::{Duration, SystemTime};

use bevy::prelude::*;

use crate::loaded::Origin;
use crate::scene::stage::{Source, Stage};

/// Watches the scenario's file.
pub struct ReloadPlugin;

/// How often the file is looked at.
const EVERY: Duration = Duration::from_millis(300);

impl Plugin for ReloadPlugin {
    fn build(&self, app: &mut App) {
        let watching = in_state(Stage::Ready).or_else(in_state(Stage::Failed));
        app.add_systems(Update, watch.run_if(watching));
    }
}

type Stamp = Option<(SystemTime, u64)>;

fn stamp(origin: &Origin) -> Stamp {
    let Origin::File(path) = origin else { return None };
    let data = fs::metadata(path).ok()?;
    Some((data.modified().ok()?, data.len()))
}

fn watch(
    time: Res<Time<Real>>,
    source: Res<Source>,
    mut next: ResMut<NextState<Stage>>,
    mut last: Local<Option<Stamp>>,
    mut since: Local<Duration>,
) {
    *since += time.delta();
    if *since < EVERY {
        return;
    }
    *since = Duration::ZERO;
    let found = stamp(&source.0);
    if last.replace(found).is_some_and(|known| known != found) {
        next.set(Stage::Loading);
    }
}
