//! The wires in gusts: followed away from the frames when somebody wants to see it, then shown instant by instant.

use std::sync::Arc;

use bevy::prelude::*;
use bevy::tasks::{AsyncComputeTaskPool, Task, block_on, poll_once};
use wideberth_plan::sway::SwayMotion;

use super::stage::{Shown, Stage, Step};
use crate::gusts;
use crate::loaded::Loaded;
use crate::moment::Weather;

/// The wires in gusts.
pub struct SwayingPlugin;

/// What was found of the gusts about a weather, or why there is nothing.
type Followed = Result<Arc<SwayMotion>, String>;

/// The wires in gusts, and the instant that is shown.
#[derive(Resource, Default)]
pub struct Swaying {
    known: Option<(Weather, Followed)>,
    coming: Option<(Weather, Task<Followed>)>,
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

fn follow(loaded: &Loaded, weather: &Weather) -> Followed {
    gusts::follow(loaded, weather).map(Arc::new).map_err(|error| error.to_string())
}

fn finish(mut swaying: ResMut<Swaying>) {
    let Some((weather, task)) = &mut swaying.coming else { return };
    let Some(followed) = block_on(poll_once(task)) else { return };
    let weather = weather.clone();
    *swaying = Swaying { known: Some((weather, followed)), coming: None, time_s: None };
}

impl Swaying {
    /// Asks for the gusts about a weather, unless they are known or on their way.
    pub fn ask(&mut self, shown: &Shown, weather: &Weather) {
        let is_known = self.known.as_ref().is_some_and(|(known, _)| known == weather);
        let is_coming = self.coming.as_ref().is_some_and(|(coming, _)| coming == weather);
        if !is_known && !is_coming {
            let (loaded, weather) = (Arc::clone(&shown.0), weather.clone());
            let about = weather.clone();
            let task = AsyncComputeTaskPool::get().spawn(async move { follow(&loaded, &about) });
            self.coming = Some((weather, task));
        }
    }

    /// Follows the gusts about a weather at once; answers what was found.
    ///
    /// # Errors
    /// Why they cannot be shown.
    pub fn follow_now(&mut self, shown: &Shown, weather: &Weather) -> Result<Arc<SwayMotion>, String> {
        let followed = follow(&shown.0, weather);
        *self = Self { known: Some((weather.clone(), followed.clone())), coming: None, time_s: None };
        followed
    }

    /// What is known of the gusts about a weather; none while it is on its way.
    #[must_use]
    pub fn known(&self, weather: &Weather) -> Option<&Followed> {
        self.known.as_ref().filter(|(known, _)| known == weather).map(|(_, followed)| followed)
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

    /// The instant to show in a weather, and the motion that it belongs to.
    #[must_use]
    pub fn instant(&self, weather: &Weather) -> Option<(&SwayMotion, f64)> {
        let motion = self.known(weather)?.as_ref().ok()?;
        Some((motion, self.time_s?))
    }
}
