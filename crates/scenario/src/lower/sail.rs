//! A load's sail area and the wind of the job turned into its swing.

use wideberth_physics::weather::wind::hanging_lean_rad;

use crate::bounds::{Bounded, Swing};
use crate::code::Code;
use crate::defaults::{Defaults, GUST_SWING};
use crate::here::Here;
use crate::job::LineInfo;
use crate::machine::HungLoad;
use crate::problem::Problems;

/// How far a stated swing may lie below the sail's for rounding, rad.
const SAME_RAD: f64 = 1e-6;

/// The load with the swing that its sail gives in the strongest wind and densest air of any line: twice the steady lean.
///
/// A stated swing stays, unless the sail gives more.
pub(super) fn swung(
    load: &HungLoad,
    lines: &[LineInfo],
    here: &Here<'_>,
    defaults: &mut Defaults,
) -> Result<HungLoad, Problems> {
    let Some(sail) = &load.sail else { return Ok(load.clone()) };
    let greatest = |of: fn(&LineInfo) -> f64| lines.iter().map(of).fold(0.0, f64::max);
    let wind_m_per_s = greatest(|line| line.conditions.wind_m_per_s.high());
    let air_kg_per_m3 = greatest(|line| line.conditions.air_density_kg_per_m3);
    let swing_rad = GUST_SWING * hanging_lean_rad(sail, wind_m_per_s, air_kg_per_m3);
    let degrees = swing_rad.to_degrees();
    let found =
        format!("in gusts of {wind_m_per_s:.1} m/s the sail of \"{}\" swings it by {degrees:.1} deg", load.name);
    if degrees > Swing::BOUND.max {
        let help =
            "such a load must not hang in that wind: state the wind at which the lift stops, or check area and mass";
        return Err(here.problem(Code::SailSwing, format!("{found}, beyond any lift"), help).into());
    }
    if load.swing_stated && load.swing_rad + SAME_RAD < swing_rad {
        let stated = load.swing_rad.to_degrees();
        let help = "state at least that, leave \"swing\" out, or state the wind at which the lift stops";
        let message = format!("{found} (twice its steady lean), more than the {stated:.1} deg stated");
        return Err(here.problem(Code::SailSwing, message, help).into());
    }
    if load.swing_stated {
        return Ok(load.clone());
    }
    defaults.note(&here.key("swing"), &format!("{degrees:.1} deg"), &format!("{found}: twice its steady lean"));
    Ok(HungLoad { swing_rad, ..load.clone() })
}
