//! The weather and wire temperatures that the job may meet, as ranges.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use thiserror::Error;

use super::Span;
use crate::interval::Interval;

/// Where the wind may come from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WindDirection {
    /// Any direction.
    Any,
    /// A sector of bearings, clockwise from north, from which the wind blows.
    Sector {
        /// Bearing of the sector's anticlockwise edge, rad.
        from_rad: f64,
        /// Width of the sector, rad, 0..2π.
        sweep_rad: f64,
    },
}

impl WindDirection {
    /// Whether the wind may come from a bearing (rad).
    #[must_use]
    pub fn holds(&self, bearing_rad: f64) -> bool {
        match *self {
            Self::Any => true,
            Self::Sector { from_rad, sweep_rad } => (bearing_rad - from_rad).rem_euclid(TAU) <= sweep_rad,
        }
    }
}

/// Ranges of the conditions; any combination may occur.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conditions {
    /// Conductor temperature, °C.
    pub temperature_degc: Interval,
    /// Wind speed including gusts, m/s.
    pub wind_m_per_s: Interval,
    /// Where the wind comes from.
    pub wind_direction: WindDirection,
    /// Radial ice thickness, m.
    pub ice_m: Interval,
    /// Density of the ice, kg/m³.
    pub ice_density_kg_per_m3: f64,
    /// Density of the air, kg/m³.
    pub air_density_kg_per_m3: f64,
    /// Drag coefficient of the wires.
    pub drag: f64,
    /// How far swaying wires may leave the shapes of steady wind, in any direction, m.
    pub sway_allowance_m: f64,
}

/// Why conditions are impossible.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[error("{quantity} {value} {unit} is outside {min}..{max} {unit}")]
pub struct ConditionsError {
    /// Which quantity.
    pub quantity: &'static str,
    /// Its value.
    pub value: f64,
    /// Its unit.
    pub unit: &'static str,
    /// Least allowed value.
    pub min: f64,
    /// Greatest allowed value.
    pub max: f64,
}

impl Conditions {
    /// Checks that every range is physically sensible.
    ///
    /// # Errors
    /// The first quantity outside its range.
    pub fn check(&self) -> Result<(), ConditionsError> {
        let ranges = [
            ("conductor temperature", self.temperature_degc, "degC", -60.0, 250.0),
            ("wind speed", self.wind_m_per_s, "m/s", 0.0, 90.0),
            ("radial ice", self.ice_m, "m", 0.0, 0.1),
            (
                "ice density",
                Interval::hull(self.ice_density_kg_per_m3, self.ice_density_kg_per_m3),
                "kg/m3",
                100.0,
                950.0,
            ),
            ("air density", Interval::hull(self.air_density_kg_per_m3, self.air_density_kg_per_m3), "kg/m3", 0.5, 1.6),
            ("drag coefficient", Interval::hull(self.drag, self.drag), "", 0.3, 2.0),
            ("sway allowance", Interval::hull(self.sway_allowance_m, self.sway_allowance_m), "m", 0.0, 20.0),
        ];
        ranges.into_iter().chain(self.sector_ranges()).try_for_each(|(quantity, range, unit, min, max)| {
            let value = if range.low() >= min { range.high() } else { range.low() };
            if range.low() >= min && range.high() <= max {
                Ok(())
            } else {
                Err(ConditionsError { quantity, value, unit, min, max })
            }
        })
    }

    /// What a sector's edge and width must lie within.
    fn sector_ranges(&self) -> Vec<(&'static str, Interval, &'static str, f64, f64)> {
        match self.wind_direction {
            WindDirection::Any => Vec::new(),
            WindDirection::Sector { from_rad, sweep_rad } => vec![
                ("wind bearing", Interval::hull(from_rad, from_rad), "rad", -10.0, 10.0),
                ("width of the wind sector", Interval::hull(sweep_rad, sweep_rad), "rad", 0.0, TAU),
            ],
        }
    }

    /// Range of the wind speed across a span, m/s, positive when it pushes to the span's left.
    ///
    /// With the wind from bearing β, v = −V·(sin β, cos β) and its part across is v·l = −V·cos(β − β_l), where β_l is
    /// the bearing of the span's left.
    #[must_use]
    pub fn wind_across(&self, span: &Span) -> Interval {
        let factors = match self.wind_direction {
            WindDirection::Any => Interval::hull(-1.0, 1.0),
            WindDirection::Sector { from_rad, sweep_rad } => {
                let left = span.lateral();
                let bearing_rad = left.x.atan2(left.y);
                cosine_range(from_rad - bearing_rad + PI, sweep_rad)
            }
        };
        let ends = [self.wind_m_per_s.low(), self.wind_m_per_s.high()];
        let speeds = ends.iter().flat_map(|v| [v * factors.low(), v * factors.high()]);
        speeds
            .fold(None, |range: Option<Interval>, v| {
                Some(range.map_or(Interval::hull(v, v), |r| Interval::hull(r.low().min(v), r.high().max(v))))
            })
            .unwrap_or(Interval::hull(0.0, 0.0))
    }
}

/// Range of cos over `from..=from + sweep`.
fn cosine_range(from_rad: f64, sweep_rad: f64) -> Interval {
    if sweep_rad >= TAU {
        return Interval::hull(-1.0, 1.0);
    }
    let passes = |angle: f64| (angle - from_rad).rem_euclid(TAU) <= sweep_rad;
    let (a, b) = (from_rad.cos(), (from_rad + sweep_rad).cos());
    let high = if passes(0.0) { 1.0 } else { a.max(b) };
    let low = if passes(PI) { -1.0 } else { a.min(b) };
    Interval::hull(low, high)
}

/// Greatest value of x·sin φ + y·cos φ over a range of angles within ±π/2.
pub(crate) fn sinusoid_range(x: f64, y: f64, angles: Interval) -> Interval {
    debug_assert!(angles.low() >= -FRAC_PI_2 && angles.high() <= FRAC_PI_2);
    let at = |phi: f64| x * phi.sin() + y * phi.cos();
    let (a, b) = (at(angles.low()), at(angles.high()));
    let (mut low, mut high) = (a.min(b), a.max(b));
    let crest = x.atan2(y);
    let trough = if crest > 0.0 { crest - PI } else { crest + PI };
    if angles.contains(crest) {
        high = x.hypot(y);
    }
    if angles.contains(trough) {
        low = -x.hypot(y);
    }
    Interval::hull(low, high)
}
