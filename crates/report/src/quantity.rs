//! Quantities as people read them, in SI or US customary units.

use uom::si::angle::{degree, radian};
use uom::si::f64::{Angle, Force, Length, ThermodynamicTemperature, Velocity};
use uom::si::force::{kilonewton, newton, pound_force};
use uom::si::length::{foot, meter};
use uom::si::thermodynamic_temperature::{degree_celsius, degree_fahrenheit};
use uom::si::velocity::{meter_per_second, mile_per_hour};

/// Which units people read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Units {
    /// Metres, degrees Celsius, metres per second, kilonewtons.
    #[default]
    Si,
    /// Feet, degrees Fahrenheit, miles per hour, pounds-force.
    Us,
}

/// Which way a number is rounded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Rounding {
    Down,
    Nearest,
    Up,
}

impl Units {
    /// A length (m) to the nearest hundredth.
    #[must_use]
    pub fn length(self, length_m: f64) -> String {
        self.rounded(length_m, Rounding::Nearest)
    }

    /// A length (m) to the nearest tenth: for places and joints.
    #[must_use]
    pub fn length_rough(self, length_m: f64) -> String {
        format!("{:.1} {}", (self.of_length(length_m) * 10.0).round() / 10.0 + 0.0, self.length_unit())
    }

    /// A length (m) rounded down to hundredths: for proven distances.
    #[must_use]
    pub fn length_down(self, length_m: f64) -> String {
        self.rounded(length_m, Rounding::Down)
    }

    /// A length (m) rounded up to hundredths: for limits.
    #[must_use]
    pub fn length_up(self, length_m: f64) -> String {
        self.rounded(length_m, Rounding::Up)
    }

    /// A range of lengths (m), rounded outward to hundredths.
    #[must_use]
    pub fn length_range(self, lower_m: f64, upper_m: f64) -> String {
        let low = hundredths(self.of_length(lower_m), Rounding::Down);
        let high = hundredths(self.of_length(upper_m), Rounding::Up);
        let unit = self.length_unit();
        if low == high { format!("{low} {unit}") } else { format!("{low} to {high} {unit}") }
    }

    fn rounded(self, length_m: f64, rounding: Rounding) -> String {
        format!("{} {}", hundredths(self.of_length(length_m), rounding), self.length_unit())
    }

    /// A length (m) as a number of this system's unit.
    #[must_use]
    pub fn of_length(self, length_m: f64) -> f64 {
        match self {
            Self::Si => length_m,
            Self::Us => Length::new::<meter>(length_m).get::<foot>(),
        }
    }

    /// The unit of lengths.
    #[must_use]
    pub fn length_unit(self) -> &'static str {
        match self {
            Self::Si => "m",
            Self::Us => "ft",
        }
    }

    /// A temperature (°C).
    #[must_use]
    pub fn temperature(self, temperature_degc: f64) -> String {
        format!("{} {}", whole(self.of_temperature(temperature_degc)), self.temperature_unit())
    }

    /// A temperature (°C) as a number of this system's unit.
    #[must_use]
    pub fn of_temperature(self, temperature_degc: f64) -> f64 {
        match self {
            Self::Si => temperature_degc,
            Self::Us => ThermodynamicTemperature::new::<degree_celsius>(temperature_degc).get::<degree_fahrenheit>(),
        }
    }

    /// The unit of temperatures.
    #[must_use]
    pub fn temperature_unit(self) -> &'static str {
        match self {
            Self::Si => "degC",
            Self::Us => "degF",
        }
    }

    /// A speed (m/s).
    #[must_use]
    pub fn speed(self, speed_m_per_s: f64) -> String {
        match self {
            Self::Si => format!("{} m/s", whole(speed_m_per_s)),
            Self::Us => {
                format!("{} mph", whole(Velocity::new::<meter_per_second>(speed_m_per_s).get::<mile_per_hour>()))
            }
        }
    }

    /// A temperature (°C) rounded down to tenths: for cut-offs.
    #[must_use]
    pub fn temperature_down(self, temperature_degc: f64) -> String {
        format!("{:.1} {}", tenths_down(self.of_temperature(temperature_degc)), self.temperature_unit())
    }

    /// A speed (m/s) rounded down to tenths: for cut-offs.
    #[must_use]
    pub fn speed_down(self, speed_m_per_s: f64) -> String {
        match self {
            Self::Si => format!("{:.1} m/s", tenths_down(speed_m_per_s)),
            Self::Us => {
                let speed_mph = Velocity::new::<meter_per_second>(speed_m_per_s).get::<mile_per_hour>();
                format!("{:.1} mph", tenths_down(speed_mph))
            }
        }
    }

    /// A force (N) as a number of this system's unit.
    #[must_use]
    pub fn of_force(self, force_n: f64) -> f64 {
        let force = Force::new::<newton>(force_n);
        match self {
            Self::Si => force.get::<kilonewton>(),
            Self::Us => force.get::<pound_force>(),
        }
    }

    /// The unit of forces.
    #[must_use]
    pub fn force_unit(self) -> &'static str {
        match self {
            Self::Si => "kN",
            Self::Us => "lbf",
        }
    }
}

/// An angle (rad) in degrees.
#[must_use]
pub fn angle(angle_rad: f64) -> String {
    format!("{} deg", whole(degrees(angle_rad)))
}

/// An angle (rad) as a number of degrees.
#[must_use]
pub fn degrees(angle_rad: f64) -> f64 {
    Angle::new::<radian>(angle_rad).get::<degree>()
}

/// A number with four digits that count, without the dust of conversion.
#[must_use]
pub fn four_digits(value: f64) -> String {
    let rounded = format!("{value:.3e}").parse::<f64>().unwrap_or(value);
    (rounded + 0.0).to_string()
}

/// An area, or a share of one, with some decimals and without the sign of a rounded zero.
#[must_use]
pub fn rounded(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-').filter(|digits| digits.chars().all(|c| c == '0' || c == '.')) {
        Some(zero) => zero.into(),
        None => text,
    }
}

/// A number with two decimals; what is a hundredth up to rounding errors stays that hundredth.
fn hundredths(value: f64, rounding: Rounding) -> String {
    let scaled = value * 100.0;
    let nearest = scaled.round();
    let whole = match rounding {
        _ if (scaled - nearest).abs() < 1e-6 => nearest,
        Rounding::Down => scaled.floor(),
        Rounding::Nearest => nearest,
        Rounding::Up => scaled.ceil(),
    };
    // Adding zero turns a negative zero into zero.
    format!("{:.2}", whole / 100.0 + 0.0)
}

/// Rounded down to tenths; what is a tenth up to rounding errors stays that tenth. Adding zero turns a negative zero into zero.
fn tenths_down(value: f64) -> f64 {
    (value * 10.0 + 1e-6).floor() / 10.0 + 0.0
}

fn whole(value: f64) -> String {
    format!("{:.0}", value.round() + 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounds_to_the_safe_side() {
        assert_eq!(Units::Si.length_down(3.0499), "3.04 m");
        assert_eq!(Units::Si.length_up(3.048), "3.05 m");
        assert_eq!(Units::Si.length_down(-0.001), "-0.01 m");
        assert_eq!(Units::Si.length_range(2.994, 3.001), "2.99 to 3.01 m");
        assert_eq!(Units::Si.length_range(0.0, 0.0), "0.00 m");
        // 0.07 * 100 is not 7 in binary; it is not rounded on.
        assert_eq!(Units::Si.length_up(0.07), "0.07 m");
    }

    #[test]
    fn numbers_are_shown_without_dust() {
        assert_eq!(four_digits(76.210_235_533_030_6), "76.21");
        assert_eq!(four_digits(0.027_600_000_000_000_003), "0.0276");
        assert_eq!(four_digits(500.0), "500");
        assert_eq!((rounded(-0.0, 0), rounded(-0.04, 1), rounded(-0.6, 0)), ("0".into(), "0.0".into(), "-1".into()));
    }

    #[test]
    fn converts_by_definition() {
        // International foot (1959): 0.3048 m exactly.
        assert_eq!(Units::Us.length(3.048), "10.00 ft");
        assert_eq!(Units::Us.length_up(3.048), "10.00 ft");
        assert_eq!(Units::Us.temperature(100.0), "212 degF");
        assert_eq!(Units::Us.speed(20.1168), "45 mph");
        assert_eq!(angle(std::f64::consts::FRAC_PI_2), "90 deg");
    }
}
