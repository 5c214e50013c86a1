//! A load's sail area and the wind of the job turned into its swing.

use wideberth_physics::weather::wind::{Sail, hanging_lean_rad};

use crate::bounds::{Bounded, Swing};
use crate::code::Code;
use crate::defaults::{Defaults, GUST_SWING, SLEWING_SWING_DEG};
use crate::here::Here;
use crate::job::LineInfo;
use crate::machine::HungLoad;
use crate::problem::Problems;

/// The load with the largest of three swings: the stated one, that which the machine's own load has from slewing and stopping, and where a
/// sail is given the latter and twice the steady lean in the strongest wind and densest air of any line together.
pub(super) fn swung(
    load: &HungLoad,
    own: Option<&HungLoad>,
    lines: &[LineInfo],
    here: &Here<'_>,
    defaults: &mut Defaults,
) -> Result<HungLoad, Problems> {
    let stated_rad = if load.swing_stated { load.swing_rad } else { 0.0 };
    let usual_rad = if load.swing_stated { 0.0 } else { SLEWING_SWING_DEG.to_radians() };
    let slewing_rad = own.filter(|own| own.swing_stated).map_or(usual_rad, |own| own.swing_rad);
    let (wind_rad, wind_words) = load.sail.as_ref().map_or((0.0, String::new()), |sail| pushed(sail, lines));
    let computed_rad = slewing_rad + wind_rad;
    let (computed, slewing) = (computed_rad.to_degrees(), slewing_rad.to_degrees());
    let found = format!("the load swings by {slewing:.1} deg from slewing and stopping{wind_words}");
    if computed > Swing::BOUND.max {
        let help =
            "such a load must not hang in that wind: state the wind at which the lift stops, or check area and mass";
        return Err(here.problem(Code::SailSwing, format!("{found}, beyond any lift"), help).into());
    }
    if stated_rad >= computed_rad {
        return Ok(load.clone());
    }
    let words = if load.swing_stated {
        format!("{found}, which is more than the {:.1} deg stated", stated_rad.to_degrees())
    } else {
        found
    };
    defaults.note(&here.key("swing"), &format!("{computed:.1} deg"), &words);
    Ok(HungLoad { swing_rad: computed_rad, ..load.clone() })
}

/// Twice the steady lean of a sail in the strongest wind and the densest air of any line, rad, and the same in words.
fn pushed(sail: &Sail, lines: &[LineInfo]) -> (f64, String) {
    let greatest = |of: fn(&LineInfo) -> f64| lines.iter().map(of).fold(0.0, f64::max);
    let wind_m_per_s = greatest(|line| line.conditions.wind_m_per_s.high());
    let air_kg_per_m3 = greatest(|line| line.conditions.air_density_kg_per_m3);
    let swing_rad = GUST_SWING * hanging_lean_rad(sail, wind_m_per_s, air_kg_per_m3);
    let degrees = swing_rad.to_degrees();
    (swing_rad, format!(" and by {degrees:.1} deg in gusts of {wind_m_per_s:.1} m/s, twice its steady lean"))
}
