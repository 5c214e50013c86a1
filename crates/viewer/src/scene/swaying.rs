//! The wires in gusts: followed away from the frames when somebody wants to see it, then shown instant by instant.

use std::sync::Arc;

use bevy::prelude::*;
use bevy::tasks::{AsyncComputeTaskPool, Task, block_on, poll_once};

use super::stage::{Stage, Step};
use crate::gusts::{self, Followed};
use crate::loaded::Loaded;
use crate::moment::Moment;

/// The wires in gusts.
pub struct SwayingPlugin;

/// What was found of the gusts about a moment's weather, or why there is nothing.
type Found = Result<Arc<Followed>, String>;

/// The wires in gusts, and the instant that is shown.
#[derive(Resource, Default)]
pub struct Swaying {
    known: Option<(Moment, Found)>,
    coming: Option<(Moment, Task<Found>)>,
    time_s: Option<f64>,
}

impl Plugin for SwayingPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Swaying>()
            .add_systems(OnEnter(Stage::Ready), |mut swaying: ResMut<Swaying>| *swaying = Swaying::default())
            .add_systems(Update, finish.in_set(Step::Input).run_if(in_state(Stage::Ready).and_then(is_coming)));
    }
}

fn is_coming(swaying: Res<Swaying>) -> bool {
    swaying.coming.is_some()
}

fn follow(loaded: &Loaded, moment: &Moment) -> Found {
    gusts::follow(loaded, moment).map(Arc::new).map_err(|error| error.to_string())
}

fn finish(mut swaying: ResMut<Swaying>) {
    let Some((moment, task)) = &mut swaying.coming else { return };
    let Some(found) = block_on(poll_once(task)) else { return };
    let moment = moment.clone();
    *swaying = Swaying { known: Some((moment, found)), coming: None, time_s: None };
}

impl Swaying {
    /// Asks for the gusts about a moment's weather, unless they are known or on their way.
    pub fn ask(&mut self, loaded: &Arc<Loaded>, moment: &Moment) {
        let is_coming = self.coming.as_ref().is_some_and(|(coming, _)| coming.weather == moment.weather);
        if self.known(moment).is_none() && !is_coming {
            let (loaded, moment) = (Arc::clone(loaded), moment.clone());
            let about = moment.clone();
            let task = AsyncComputeTaskPool::get().spawn(async move { follow(&loaded, &about) });
            self.coming = Some((moment, task));
        }
    }

    /// Follows the gusts about a moment's weather at once; answers what was found.
    ///
    /// # Errors
    /// Why they cannot be shown.
    pub fn follow_now(&mut self, loaded: &Loaded, moment: &Moment) -> Result<Arc<Followed>, String> {
        let found = follow(loaded, moment);
        *self = Self { known: Some((moment.clone(), found.clone())), coming: None, time_s: None };
        found
    }

    /// What is known of the gusts about a moment's weather; none while it is on its way.
    #[must_use]
    pub fn known(&self, moment: &Moment) -> Option<&Found> {
        self.known.as_ref().filter(|(known, _)| known.weather == moment.weather).map(|(_, found)| found)
    }

    /// Shows an instant, s from the beginning of what was followed.
    pub fn show(&mut self, time_s: f64) {
        self.time_s = Some(time_s);
    }

    /// Whether an instant is shown.
    #[must_use]
    pub fn shows(&self) -> bool {
        self.time_s.is_some()
    }

    /// Shows the wires as they hang.
    pub fn still(&mut self) {
        self.time_s = None;
    }

    /// The instant to show about a moment, and the wires that it belongs to.
    #[must_use]
    pub fn instant(&self, moment: &Moment) -> Option<(&Followed, f64)> {
        let followed = self.known(moment)?.as_ref().ok()?;
        Some((followed, self.time_s?))
    }
}
