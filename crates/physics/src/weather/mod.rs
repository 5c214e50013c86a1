//! Air, sun and the heat balance of a bare wire: how hot a wire gets under a current and a weather.
//!
//! Equations of IEEE Std 738-2012, written out in `docs/theory/heat-balance.md`. Temperatures in °C, heat in watts per
//! metre of wire.

pub mod air;
pub mod defaults;
mod exchange;
mod heat;
mod ranges;
mod sun;
mod surface;
#[cfg(test)]
mod tests;
mod transient;
pub mod wind;

pub use exchange::{Convection, Losses};
pub use heat::{Air, HeatBalance, HeatError};
pub use ranges::HeatRanges;
pub use sun::{Atmosphere, Irradiance, Place, SunError, SunPosition, declination_rad};
pub use surface::{Resistance, Surface};
pub use transient::{HeatCapacity, HeatStep, Transient};
