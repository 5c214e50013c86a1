//! Reads and answers the scenario away from the frames, and follows the wanted moment with gaps and shapes.

use std::sync::Arc;

use bevy::prelude::*;
use bevy::tasks::{AsyncComputeTaskPool, Task, block_on, poll_once};
use wideberth_physics::approach::ApproachError;

use super::stage::{
    Look, Now, Proven, SceneThing, Shown, Source, SpanCurve, Stage, Standing, Step, Trouble, Wanted, Worst, curves,
    gaps_to, scene_frame, worst_of,
};
use super::swaying::Swaying;
use crate::gusts;
use crate::loaded::{LoadError, Loaded};
use crate::moment::{Gaps, Moment, Weather};
use crate::strings::ENGLISH;
use crate::view_model::{self, Scope, judged};
use wideberth_scenario::Job;
use wideberth_scenario::job::MachineInfo;

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
            .add_systems(Update, (follow, judge).chain().in_set(Step::Gaps).run_if(in_state(Stage::Ready)));
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

fn finish(
    mut commands: Commands,
    coming: Option<ResMut<Coming>>,
    (now, shown): (Option<Res<Now>>, Option<Res<Shown>>),
    mut next: ResMut<NextState<Stage>>,
) {
    let Some(mut coming) = coming else { return };
    let Some(result) = block_on(poll_once(&mut coming.0)) else { return };
    commands.remove_resource::<Coming>();
    match result {
        Ok((loaded, worst)) => {
            show(&mut commands, loaded, worst, now.as_deref().zip(shown.as_deref()));
            next.set(Stage::Ready);
        }
        Err(error) => {
            commands.insert_resource(Trouble(error));
            next.set(Stage::Failed);
        }
    }
}

/// Shows a scenario. One that was saved again is seen in the moment in which the last one was left, where its machines have the same
/// joints; where the last one showed its worst case, so does this one.
fn show(commands: &mut Commands, loaded: Loaded, worst: Worst, last: Option<(&Now, &Shown)>) {
    let loaded = Arc::new(loaded);
    let kept = last.filter(|(now, shown)| !now.is_worst && have_the_same_joints(&shown.job, &loaded.job));
    let kept = kept.map(|(now, _)| Moment {
        weather: Weather { hour: None, pinned: None, ..now.moment.weather.clone() },
        poses: now.moment.poses.clone(),
    });
    commands.insert_resource(scene_frame(&worst.subject));
    commands.insert_resource(Wanted(kept.unwrap_or_else(|| worst.moment.clone())));
    commands.insert_resource(Now {
        moment: worst.moment.clone(),
        gaps: worst.gaps.clone(),
        wires: worst.wires.clone(),
        is_worst: true,
        instant: None,
    });
    commands.insert_resource(worst);
    commands.insert_resource(Proven { loaded: loaded.clone(), scope: Scope::Stated });
    commands.insert_resource(Shown(loaded));
}

fn have_the_same_joints(a: &Job, b: &Job) -> bool {
    let joints = |job: &Job| -> Vec<(String, Vec<String>)> {
        let names = |info: &MachineInfo| info.joints.iter().map(|joint| joint.name.clone()).collect();
        job.machines.iter().map(|info| (info.id.clone(), names(info))).collect()
    };
    joints(a) == joints(b)
}

/// Judges the moment that is shown by the answer that is shown.
fn judge(mut commands: Commands, now: Res<Now>, proven: Res<Proven>, look: Res<Look>, known: Option<Res<Standing>>) {
    if known.is_some() && !now.is_changed() && !proven.is_changed() && !look.is_changed() {
        return;
    }
    let mut judged = judged(&proven, &now.gaps, &now.moment, now.is_worst, look.units, &ENGLISH);
    if !proven.is_current() && judged.standing == view_model::Standing::Outside {
        judged.standing = view_model::Standing::Unproven;
    }
    if known.is_none_or(|known| known.0 != judged) {
        commands.insert_resource(Standing(judged));
    }
}

/// Gaps and shapes of the wanted moment. A moment without a shape is not shown; the last one stays.
fn follow(
    mut wanted: ResMut<Wanted>,
    mut now: ResMut<Now>,
    proven: Res<Proven>,
    worst: Res<Worst>,
    swaying: Res<Swaying>,
) {
    if worst.is_changed() {
        let is_worst = wanted.0 == worst.moment && now.instant.is_none();
        if now.is_worst != is_worst {
            now.is_worst = is_worst;
        }
    }
    let swing = swaying.instant(&wanted);
    let instant = swing.map(|(followed, time_s)| gusts::instant(&followed.motion, time_s));
    if wanted.0 == now.moment && instant == now.instant {
        return;
    }
    let same_wires = wanted.weather == now.moment.weather && instant.is_none() && now.instant.is_none();
    let found = match swing {
        Some((followed, time_s)) => {
            gusts::show(&proven.job.study, &wanted, followed, time_s).map(|(gaps, wires)| (gaps, Arc::new(wires)))
        }
        None => still(&proven, &wanted, same_wires.then_some(&now.wires)),
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
