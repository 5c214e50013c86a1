//! Reads and answers the scenario away from the frames, and follows the wanted moment with gaps and shapes.

use std::sync::Arc;

use bevy::prelude::*;
use bevy::tasks::{AsyncComputeTaskPool, Task, block_on, poll_once};
use wideberth_physics::approach::ApproachError;

use super::stage::{
    Certified, Now, SceneThing, Shown, Source, SpanCurve, Stage, Step, Trouble, Wanted, Worst, curves, gaps_to,
    scene_frame, worst_of,
};
use super::swaying::Swaying;
use crate::gusts;
use crate::loaded::{LoadError, Loaded};
use crate::moment::{Gaps, Moment};

/// Loading, and the moment.
pub struct LoadingPlugin;

/// A scenario on its way.
#[derive(Resource)]
struct Coming(Task<Result<(Loaded, Worst), LoadError>>);

impl Plugin for LoadingPlugin {
    fn build(&self, app: &mut App) {
        app.init_state::<Stage>()
            .add_systems(OnEnter(Stage::Loading), (clear, begin).chain())
            .add_systems(Update, finish.run_if(in_state(Stage::Loading)))
            .add_systems(Update, follow.in_set(Step::Gaps).run_if(in_state(Stage::Ready)));
    }
}

fn clear(mut commands: Commands, things: Query<Entity, With<SceneThing>>) {
    things.iter().for_each(|thing| commands.entity(thing).despawn());
}

fn begin(mut commands: Commands, source: Res<Source>) {
    let origin = source.0.clone();
    let load = async move {
        let loaded = origin.load()?;
        let worst = worst_of(&loaded)?;
        Ok((loaded, worst))
    };
    commands.insert_resource(Coming(AsyncComputeTaskPool::get().spawn(load)));
}

fn finish(mut commands: Commands, coming: Option<ResMut<Coming>>, mut next: ResMut<NextState<Stage>>) {
    let Some(mut coming) = coming else { return };
    let Some(result) = block_on(poll_once(&mut coming.0)) else { return };
    commands.remove_resource::<Coming>();
    match result {
        Ok((loaded, worst)) => {
            show(&mut commands, loaded, worst);
            next.set(Stage::Ready);
        }
        Err(error) => {
            commands.insert_resource(Trouble(error));
            next.set(Stage::Failed);
        }
    }
}

fn show(commands: &mut Commands, loaded: Loaded, worst: Worst) {
    let loaded = Arc::new(loaded);
    commands.insert_resource(scene_frame(&worst.subject));
    commands.insert_resource(Wanted(worst.moment.clone()));
    commands.insert_resource(Now {
        moment: worst.moment.clone(),
        gaps: worst.gaps.clone(),
        wires: worst.wires.clone(),
        is_worst: true,
        instant: None,
    });
    commands.insert_resource(worst);
    commands.insert_resource(Certified(loaded.clone()));
    commands.insert_resource(Shown(loaded));
}

/// Gaps and shapes of the wanted moment. A moment without a shape is not shown; the last one stays.
fn follow(
    mut wanted: ResMut<Wanted>,
    mut now: ResMut<Now>,
    shown: Res<Shown>,
    worst: Res<Worst>,
    swaying: Res<Swaying>,
) {
    let swing = swaying.instant(&wanted);
    let instant = swing.map(|(followed, time_s)| gusts::instant(&followed.motion, time_s));
    if wanted.0 == now.moment && instant == now.instant {
        return;
    }
    let same_wires = wanted.weather == now.moment.weather && instant.is_none() && now.instant.is_none();
    let found = match swing {
        Some((followed, time_s)) => {
            gusts::show(&shown.job.study, &wanted, followed, time_s).map(|(gaps, wires)| (gaps, Arc::new(wires)))
        }
        None => still(&shown, &wanted, same_wires.then_some(&now.wires)),
    };
    match found {
        Ok((gaps, wires)) => {
            let is_worst = wanted.0 == worst.moment && instant.is_none();
            *now = Now { moment: wanted.0.clone(), gaps, wires, is_worst, instant };
        }
        Err(error) => {
            warn!("this moment cannot be shown: {error}");
            wanted.0 = now.moment.clone();
        }
    }
}

/// Gaps to wires that hang still, and their shapes, which stay where they are known.
fn still(
    loaded: &Loaded,
    moment: &Moment,
    known: Option<&Arc<Vec<SpanCurve>>>,
) -> Result<(Gaps, Arc<Vec<SpanCurve>>), ApproachError> {
    let wires = known.map_or_else(|| curves(loaded, moment).map(Arc::new), |wires| Ok(Arc::clone(wires)))?;
    Ok((gaps_to(&loaded.job.study, moment, &wires)?, wires))
}
