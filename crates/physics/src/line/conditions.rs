//! The weather and wire temperatures that the job may meet, as ranges.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI, TAU};

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

    /// The bearing at a share of its sector, or of the circle from north, rad.
    #[must_use]
    pub fn at(&self, share: f64) -> f64 {
        match *self {
            Self::Any => TAU * share,
            Self::Sector { from_rad, sweep_rad } => from_rad + sweep_rad * share,
        }
    }

    /// The smallest sector that holds two; any direction where they fill the circle.
    #[must_use]
    pub fn hull(self, other: Self) -> Self {
        let (Self::Sector { from_rad: a, sweep_rad: of_a }, Self::Sector { from_rad: b, sweep_rad: of_b }) =
            (self, other)
        else {
            return Self::Any;
        };
        let from = |first: f64, own: f64, next: f64, its: f64| Self::Sector {
            from_rad: first,
            sweep_rad: own.max((next - first).rem_euclid(TAU) + its),
        };
        let (by_a, by_b) = (from(a, of_a, b, of_b), from(b, of_b, a, of_a));
        let least = if by_a.sweep_rad() <= by_b.sweep_rad() { by_a } else { by_b };
        if least.sweep_rad() < TAU { least } else { Self::Any }
    }

    /// A sector that both hold; none where there is no such one. Where they meet on both sides it is one of the two pieces.
    #[must_use]
    pub fn common(self, other: Self) -> Option<Self> {
        let (Self::Sector { from_rad: a, sweep_rad: of_a }, Self::Sector { from_rad: b, sweep_rad: of_b }) =
            (self, other)
        else {
            return Some(if self == Self::Any { other } else { self });
        };
        let from = |first: f64, own: f64, next: f64, its: f64| {
            let left = its - (first - next).rem_euclid(TAU);
            (left >= 0.0).then(|| Self::Sector { from_rad: first, sweep_rad: own.min(left) })
        };
        from(a, of_a, b, of_b).or_else(|| from(b, of_b, a, of_a))
    }

    /// Width, rad.
    #[must_use]
    pub fn sweep_rad(&self) -> f64 {
        match *self {
            Self::Any => TAU,
            Self::Sector { sweep_rad, .. } => sweep_rad,
        }
    }

    /// The least angle between the wind and a line of a bearing, rad: 0 along it, π/2 across.
    #[must_use]
    pub fn least_angle_rad(&self, line_rad: f64) -> f64 {
        let Self::Sector { from_rad, sweep_rad } = *self else { return 0.0 };
        // From the sector's edge on to the next time that it blows along the line.
        let until = (line_rad - from_rad).rem_euclid(PI);
        let apart = |angle: f64| angle.rem_euclid(PI).min(PI - angle.rem_euclid(PI));
        if until <= sweep_rad { 0.0 } else { apart(until).min(apart(until - sweep_rad)) }
    }
}

/// Whether the loads of a span may differ along it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LoadsAlongSpan {
    /// Each place has its own wind, between none and the strongest, from any of the directions, and its own ice within the range.
    #[default]
    Differ,
    /// Wind and ice are the same along each span at any moment: a promise that somebody must make.
    Uniform,
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
    /// Angle by which the wind may rise (negative: fall), rad. Only loads that differ along the span have it.
    pub wind_rise_rad: Interval,
    /// Whether wind and ice may differ along a span. Spans that hang on strings take them as uniform.
    pub loads_along_span: LoadsAlongSpan,
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
            ("rise of the wind", self.wind_rise_rad, "rad", -FRAC_PI_4, FRAC_PI_4),
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
        let left = span.lateral();
        let factors = self.shares_toward(left.x.atan2(left.y));
        let ends = [self.wind_m_per_s.low(), self.wind_m_per_s.high()];
        let speeds = ends.iter().flat_map(|v| [v * factors.low(), v * factors.high()]);
        speeds
            .fold(None, |range: Option<Interval>, v| {
                Some(range.map_or(Interval::hull(v, v), |r| Interval::hull(r.low().min(v), r.high().max(v))))
            })
            .unwrap_or(Interval::hull(0.0, 0.0))
    }

    /// Greatest speed of the wind along a span on the map, either way, m/s.
    #[must_use]
    pub fn greatest_wind_along_m_per_s(&self, span: &Span) -> f64 {
        let along = span.chord();
        let shares = self.shares_toward(along.x.atan2(along.y));
        self.wind_m_per_s.high() * shares.high().max(-shares.low())
    }

    /// Range of the share of the speed that blows toward a bearing: −cos(β − bearing).
    fn shares_toward(&self, bearing_rad: f64) -> Interval {
        match self.wind_direction {
            WindDirection::Any => Interval::hull(-1.0, 1.0),
            WindDirection::Sector { from_rad, sweep_rad } => cosine_range(from_rad - bearing_rad + PI, sweep_rad),
        }
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
