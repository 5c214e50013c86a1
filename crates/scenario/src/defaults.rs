//! Values that hold where a scenario leaves something out. Each one taken is listed in the job, so that reports show it.

use crate::here::Here;
use crate::job::DefaultTaken;
use crate::quantity::Quantity;

/// Density of glaze ice, kg/m³ (common practice: 57 lb/ft³).
pub const ICE_DENSITY_KG_PER_M3: f64 = 913.0;
/// Density of air at 15 °C at sea level, kg/m³ (ISO 2533, standard atmosphere).
pub const AIR_DENSITY_KG_PER_M3: f64 = 1.225;
/// Drag coefficient of a stranded wire (common practice).
pub const DRAG: f64 = 1.0;
/// How far wires may sway beyond their shapes in steady wind, m: none, so that it is stated wherever it is needed.
pub const SWAY_ALLOWANCE_M: f64 = 0.0;
/// How far a load swings from slewing and stopping where neither it nor its machine states it, degrees: as the library's crane takes it
/// (common practice, from memory).
pub const SLEWING_SWING_DEG: f64 = 5.0;
/// How many times its steady lean a load swings in gusts (working rule: allow twice; a sudden steady push swings a pendulum
/// to twice its lean).
pub const GUST_SWING: f64 = 2.0;
/// How far attachments may be off, m (common practice for heights taken from the ground).
pub const ATTACHMENT_TOLERANCE_M: f64 = 0.2;
/// Modulus of a steel core, Pa (handbook value of 27.5e6 psi, from memory; EN wires have up to 206 GPa). The low end hangs lower.
pub const CORE_MODULUS_PA: f64 = 190e9;
/// Thermal expansion of a steel core, 1/K (handbooks, from memory).
pub const CORE_EXPANSION_PER_K: f64 = 11.5e-6;
/// Temperatures at which wires are made, °C (any workshop).
pub const CORE_FREE_DEGC: (f64, f64) = (0.0, 40.0);
/// Permanent stretch of a wire of unknown age: from new to what creep and heavy ice leave in decades (the final column of
/// a published sag table means 0.073 %).
pub const CORE_SET: (f64, f64) = (0.0, 0.001);
/// How far a machine may stand from its place, m (common practice for setting out by tape).
pub const SETTING_OUT_M: f64 = 0.5;
/// How far a heading may be off, degrees (common practice for setting out by eye).
pub const HEADING_TOLERANCE_DEG: f64 = 5.0;

/// How far the air may be from what the weather says, K (common practice for a forecast of the same day).
pub const AIR_ALLOWANCE_K: f64 = 2.0;
/// How far the wind may turn from what the weather says, rad: 30 degrees, three of the steps in which directions are reported, and what
/// directions scatter by in an hour of steady wind (common practice, from memory).
pub const WIND_TURN_RAD: f64 = std::f64::consts::FRAC_PI_6;
/// How many times the mean wind a gust may reach (common practice over open and built-up land).
pub const GUST_FACTOR: f64 = 2.0;
/// Temperature that wires are rated for where nobody says, °C: the higher of the two usual ones, 75 and 100 (common practice).
pub const RATED_TEMPERATURE_DEGC: f64 = 100.0;

/// The defaults taken so far.
#[derive(Debug, Default)]
pub(crate) struct Defaults(pub Vec<DefaultTaken>);

impl Defaults {
    /// The given value in SI, or else a default, which is noted.
    pub fn take<B>(
        &mut self,
        given: Option<&Quantity<B>>,
        here: &Here<'_>,
        default: f64,
        value: &str,
        words: &str,
    ) -> f64 {
        given.map_or_else(
            || {
                self.note(here, value, words);
                default
            },
            |quantity| quantity.si,
        )
    }

    /// Notes a default.
    pub fn note(&mut self, here: &Here<'_>, value: &str, words: &str) {
        self.0.push(DefaultTaken { path: here.path.to_string(), value: value.into(), words: words.into() });
    }
}
