//! Tests of the heat balance against itself: corners, folds, rates, ends of the world.

use std::f64::consts::{FRAC_PI_2, PI};

use proptest::prelude::*;

use super::exchange::{Exchange, angle_factor, folded_rad};
use super::heat::HOTTEST_DEGC;
use super::ranges::acute_range;
use super::*;
use crate::interval::Interval;

fn wire() -> HeatBalance {
    let resistance = Resistance::through((25.0, 7.283e-5), (75.0, 8.688e-5)).expect("a wire's resistance");
    let surface = Surface { diameter_m: 0.028_14, emissivity: 0.8, absorptivity: 0.8, resistance };
    HeatBalance::new(surface).expect("a wire")
}

fn across(ambient_degc: f64, wind_m_per_s: f64) -> Air {
    Air { ambient_degc, wind_m_per_s, wind_angle_rad: FRAC_PI_2, elevation_m: 0.0 }
}

fn range(low: f64, high: f64) -> Interval {
    Interval::new(low, high).expect("a range")
}

/// Wires, airs and heats over everything that is accepted.
fn any_state() -> impl Strategy<Value = (HeatBalance, Air, f64, f64)> {
    let surface = (0.003..0.06_f64, 0.05..1.0_f64, 1e-5..3e-3_f64, 0.0..0.0055_f64);
    let air = (-90.0..60.0_f64, prop_oneof![Just(0.0), 0.0..3.0_f64, 3.0..60.0_f64], -7.0..7.0_f64, -500.0..6000.0_f64);
    (surface, air, 0.0..0.9_f64, 0.0..40.0_f64).prop_map(|(surface, air, share, solar_w_per_m)| {
        let (diameter_m, emissivity, resistance, coefficient) = surface;
        let resistance = Resistance::new(resistance, coefficient).expect("a resistance");
        let balance = HeatBalance::new(Surface { diameter_m, emissivity, absorptivity: 0.9, resistance });
        let (ambient_degc, wind_m_per_s, wind_angle_rad, elevation_m) = air;
        let air = Air { ambient_degc, wind_m_per_s, wind_angle_rad, elevation_m };
        let balance = balance.expect("a wire");
        let current_a = share * balance.ampacity_a(HOTTEST_DEGC, &air, 0.0).expect("a current");
        (balance, air, current_a, solar_w_per_m)
    })
}

proptest! {
    #[test]
    fn current_and_temperature_are_inverse((balance, air, current_a, solar_w_per_m) in any_state()) {
        if let Ok(temperature_degc) = balance.steady_temperature_degc(current_a, &air, solar_w_per_m) {
            let losses = balance.losses(temperature_degc, &air).expect("losses");
            let gain_w_per_m = balance.joule_w_per_m(current_a, temperature_degc) + solar_w_per_m;
            prop_assert!((losses.total_w_per_m() - gain_w_per_m).abs() <= 1e-6 * (1.0 + gain_w_per_m));
        }
    }

    #[test]
    fn the_rate_is_the_derivative_of_the_loss((balance, air, _, _) in any_state(), rise_k in 0.5..150.0_f64) {
        let exchange = Exchange::new(balance.surface(), air.elevation_m, &air);
        let (at, step_k) = (air.ambient_degc + rise_k, 1e-3);
        let loss = |t: f64| exchange.loss_with_rate(t).0;
        let (below, here, above) = (loss(at - step_k), loss(at), loss(at + step_k));
        let rate = exchange.loss_with_rate(at).1;
        let (left, right) = ((here - below) / step_k, (above - here) / step_k);
        // Where the loss bends strongly only the central difference is near; at a change of formula only one side is.
        let near = |slope: f64| (slope - rate).abs() <= 2e-5 * (1.0 + rate.abs());
        prop_assert!(near(left) || near(right) || near(0.5 * (left + right)), "{left} {rate} {right}");
    }

    /// The lemma that makes the steady temperature the only one: in the rise over the air's temperature, the loss grows
    /// with a power of at least 0.84.
    #[test]
    fn the_loss_grows_fast_enough((balance, air, _, _) in any_state(), share in 0.0001..1.0_f64) {
        let exchange = Exchange::new(balance.surface(), air.elevation_m, &air);
        let rise_k = share * (HOTTEST_DEGC - air.ambient_degc);
        let (loss, rate) = exchange.loss_with_rate(air.ambient_degc + rise_k);
        prop_assert!(rate * rise_k >= 0.84 * loss, "{}", rate * rise_k / loss);
    }

    #[test]
    fn no_state_of_the_ranges_lies_outside(
        (balance, air, current_a, solar_w_per_m) in any_state(),
        spread in proptest::array::uniform5(0.0..1.0_f64),
        inside in proptest::array::uniform5(0.0..=1.0_f64),
    ) {
        let ranges = HeatRanges {
            current_a: range(current_a * (1.0 - spread[0]), current_a),
            ambient_degc: range(air.ambient_degc - 20.0 * spread[1], air.ambient_degc),
            wind_m_per_s: range(air.wind_m_per_s, air.wind_m_per_s + 5.0 * spread[2]),
            wind_angle_rad: range(air.wind_angle_rad, air.wind_angle_rad + 3.0 * spread[3]),
            solar_w_per_m: range(solar_w_per_m * (1.0 - spread[4]), solar_w_per_m),
            elevation_m: air.elevation_m,
        };
        if let Ok(found) = balance.temperature_range_degc(&ranges) {
            let air = Air {
                ambient_degc: ranges.ambient_degc.at(inside[1]),
                wind_m_per_s: ranges.wind_m_per_s.at(inside[2]),
                wind_angle_rad: ranges.wind_angle_rad.at(inside[3]),
                elevation_m: air.elevation_m,
            };
            let (current_a, solar) = (ranges.current_a.at(inside[0]), ranges.solar_w_per_m.at(inside[4]));
            let one = balance.steady_temperature_degc(current_a, &air, solar).expect("a temperature inside");
            prop_assert!(found.contains(one), "{one} outside {found:?}");
        }
    }

    #[test]
    fn acute_angles_of_a_range_are_all_inside(low in -10.0..10.0_f64, width in 0.0..4.0_f64, t in 0.0..=1.0_f64) {
        let angles = range(low, low + width);
        let acute = acute_range(&angles);
        prop_assert!(acute.widened(1e-12).contains(folded_rad(angles.at(t))));
        prop_assert!(acute.low() >= 0.0 && acute.high() <= FRAC_PI_2);
    }
}

/// K rises from 0 to π/2: its derivative is at least 0.12 on a grid of 1e-3 and changes by less than 3.3 per radian.
#[test]
fn wind_across_cools_more_than_wind_along() {
    for k in 0..=1571 {
        let angle = f64::from(k) * 1e-3;
        let rate = angle.sin() - 0.388 * (2.0 * angle).sin() + 0.736 * (2.0 * angle).cos();
        assert!(rate > 0.12, "{angle}: {rate}");
    }
    assert!((angle_factor(0.0) - 0.388).abs() < 1e-12 && (angle_factor(FRAC_PI_2) - 1.0).abs() < 1e-12);
    assert!((angle_factor(0.3) - angle_factor(PI - 0.3)).abs() < 1e-12, "wind from behind is wind from ahead");
    assert!((angle_factor(0.3) - angle_factor(-0.3)).abs() < 1e-12);
}

#[test]
fn without_heat_the_wire_has_the_temperature_of_the_air() {
    assert_eq!(wire().steady_temperature_degc(0.0, &across(12.5, 3.0), 0.0), Ok(12.5));
}

#[test]
fn a_current_beyond_any_steady_temperature_is_refused() {
    let found = wire().steady_temperature_degc(6000.0, &across(40.0, 0.0), 20.0);
    assert!(matches!(found, Err(HeatError::NoSteadyTemperature { .. })), "{found:?}");
    let air = across(40.0, 0.0);
    let greatest_a = wire().ampacity_a(HOTTEST_DEGC, &air, 20.0).expect("a current");
    let just_below = wire().steady_temperature_degc(greatest_a * (1.0 - 1e-9), &air, 20.0).expect("a temperature");
    assert!((just_below - HOTTEST_DEGC).abs() < 1e-5);
    assert!(wire().steady_temperature_degc(greatest_a * (1.0 + 1e-9), &air, 20.0).is_err());
}

#[test]
fn no_current_holds_a_wire_colder_than_air_and_sun_make_it() {
    let found = wire().ampacity_a(41.0, &across(40.0, 0.0), 20.0);
    assert!(matches!(found, Err(HeatError::HotWithoutCurrent { .. })), "{found:?}");
    let found = wire().ampacity_a(30.0, &across(40.0, 0.0), 0.0);
    assert!(matches!(found, Err(HeatError::HotWithoutCurrent { .. })), "{found:?}");
}

#[test]
fn impossible_inputs_are_refused_by_name() {
    let refused = |air: Air, current_a: f64, solar: f64| match wire().steady_temperature_degc(current_a, &air, solar) {
        Err(HeatError::OutOfRange { quantity, .. }) => quantity,
        other => panic!("{other:?}"),
    };
    let air = across(20.0, 1.0);
    assert_eq!(refused(Air { ambient_degc: 75.0, ..air }, 100.0, 0.0), "air temperature");
    assert_eq!(refused(Air { wind_m_per_s: -1.0, ..air }, 100.0, 0.0), "wind speed");
    assert_eq!(refused(Air { wind_angle_rad: f64::NAN, ..air }, 100.0, 0.0), "wind angle");
    assert_eq!(refused(Air { elevation_m: 9000.0, ..air }, 100.0, 0.0), "elevation");
    assert_eq!(refused(air, f64::NAN, 0.0), "current");
    assert_eq!(refused(air, 100.0, -1.0), "solar gain");
    assert!(Resistance::new(7e-5, 0.02).is_err());
    assert!(Resistance::through((25.0, 8e-5), (75.0, 7e-5)).is_err(), "resistance that falls with temperature");
    assert!(Resistance::through((25.0, 8e-5), (25.0, 8e-5)).is_err());
    assert!(HeatBalance::new(Surface { emissivity: 1.2, ..*wire().surface() }).is_err());
}

fn slow() -> Transient {
    Transient::new(wire(), HeatCapacity::of_metals(1.116, 0.5119, 0.0).expect("a capacity"))
}

#[test]
fn a_long_step_ends_at_the_steady_temperature() {
    let step = HeatStep { duration_s: 86_400.0, current_a: 900.0, air: across(20.0, 1.0), solar_w_per_m: 10.0 };
    let steady = wire().steady_temperature_degc(900.0, &step.air, 10.0).expect("a temperature");
    for start_degc in [-40.0, 20.0, steady, 200.0] {
        let end = slow().after_degc(start_degc, &step).expect("a temperature");
        assert!((end - steady).abs() < 1e-4, "{start_degc}: {end} {steady}");
    }
}

#[test]
fn hours_in_steps_are_hours_in_one() {
    let whole = HeatStep { duration_s: 3600.0, current_a: 900.0, air: across(20.0, 1.0), solar_w_per_m: 10.0 };
    let part = HeatStep { duration_s: 360.0, ..whole };
    let end = slow().after_degc(-10.0, &whole).expect("a temperature");
    let ends = slow().follow_degc(-10.0, &[part; 10]).expect("temperatures");
    assert!((ends[9] - end).abs() < 1e-4, "{ends:?} {end}");
    assert!(ends.windows(2).all(|pair| pair[0] < pair[1]), "{ends:?}");
    assert_eq!(slow().after_degc(33.0, &HeatStep { duration_s: 0.0, ..whole }), Ok(33.0));
}

#[test]
fn a_wire_colder_than_the_air_warms_up() {
    let step = HeatStep { duration_s: 600.0, current_a: 0.0, air: across(20.0, 1.0), solar_w_per_m: 0.0 };
    let end = slow().after_degc(-5.0, &step).expect("a temperature");
    assert!(end > 0.0 && end < 20.0, "{end}");
}

#[test]
fn the_range_in_time_holds_changing_weather() {
    let ranges = HeatRanges {
        current_a: range(200.0, 800.0),
        ambient_degc: range(15.0, 30.0),
        wind_m_per_s: range(0.5, 4.0),
        wind_angle_rad: range(0.2, 1.4),
        solar_w_per_m: range(0.0, 20.0),
        elevation_m: 0.0,
    };
    let bound = slow().range_after_degc(range(20.0, 30.0), &ranges, 1800.0).expect("a range");
    for seed in 0..50_u32 {
        let at = |k: u32| f64::from((seed * 7 + k * 13 + seed * seed * k) % 17) / 16.0;
        let mut temperature = 20.0 + 10.0 * at(0);
        for k in 0..18 {
            let air = Air {
                ambient_degc: ranges.ambient_degc.at(at(k + 1)),
                wind_m_per_s: ranges.wind_m_per_s.at(at(k + 2)),
                wind_angle_rad: ranges.wind_angle_rad.at(at(k + 3)),
                elevation_m: 0.0,
            };
            let (current_a, solar_w_per_m) = (ranges.current_a.at(at(k + 4)), ranges.solar_w_per_m.at(at(k + 5)));
            let step = HeatStep { duration_s: 100.0, current_a, air, solar_w_per_m };
            temperature = slow().after_degc(temperature, &step).expect("a temperature");
        }
        assert!(bound.contains(temperature), "{temperature} outside {bound:?}");
    }
}

fn place(latitude_deg: f64, longitude_deg: f64) -> Place {
    Place { latitude_rad: latitude_deg.to_radians(), longitude_rad: longitude_deg.to_radians(), elevation_m: 0.0 }
}

/// 2026-06-21 and 2026-12-21, 00:00 UTC.
const MIDSUMMER_S: f64 = 1_782_000_000.0;
const MIDWINTER_S: f64 = 1_797_811_200.0;

#[test]
fn the_sun_heats_nothing_at_night_and_at_the_dark_pole() {
    for hour in 0..24 {
        let time_s = MIDWINTER_S + 3600.0 * f64::from(hour);
        for latitude in [90.0, 80.0, 70.0] {
            let sun = SunPosition::at(&place(latitude, 20.0), time_s).expect("a position");
            assert!(!sun.is_up(), "polar night at {latitude}");
            assert_eq!(sun.gain_w_per_m(wire().surface(), 0.3, Atmosphere::Clear, 0.0), 0.0);
        }
        let south = SunPosition::at(&place(-90.0, 0.0), time_s).expect("a position");
        assert!(south.is_up() && south.gain_w_per_m(wire().surface(), 0.3, Atmosphere::Clear, 0.0) > 5.0);
        let summer = SunPosition::at(&place(70.0, 20.0), MIDSUMMER_S + 3600.0 * f64::from(hour)).expect("a position");
        assert!(summer.is_up(), "midnight sun");
    }
    let night = SunPosition::at(&place(0.0, 0.0), MIDSUMMER_S).expect("a position");
    let light = Irradiance { direct_normal_w_per_m2: 800.0, diffuse_w_per_m2: 0.0, ground_reflection: 0.2 };
    assert!(night.altitude_rad < -1.0 && night.gain_from_w_per_m(wire().surface(), 0.0, &light) == 0.0);
}

#[test]
fn places_off_the_earth_and_times_out_of_mind_are_refused() {
    assert!(matches!(SunPosition::at(&place(91.0, 0.0), 0.0), Err(SunError::Place { quantity: "latitude", .. })));
    assert!(matches!(SunPosition::at(&place(0.0, 181.0), 0.0), Err(SunError::Place { quantity: "longitude", .. })));
    assert!(matches!(SunPosition::at(&place(f64::NAN, 0.0), 0.0), Err(SunError::Place { .. })));
    assert!(matches!(SunPosition::at(&place(0.0, 0.0), f64::NAN), Err(SunError::Time { .. })));
    assert!(matches!(SunPosition::at(&place(0.0, 0.0), 1e15), Err(SunError::Time { .. })));
}

#[test]
fn the_standards_formula_is_near_the_algorithm() {
    // Equinox to solstice at noon in Greenwich; the equation of time moves solar noon by up to 16 minutes.
    for (unix_s, day) in [(1_773_964_800.0, 79.0), (MIDSUMMER_S, 172.0), (MIDWINTER_S, 355.0)] {
        for latitude in [-35.0, 10.0, 52.0] {
            let sun = SunPosition::at(&place(latitude, 0.0), unix_s + 43_200.0).expect("a position");
            let simple = SunPosition::by_solar_time(f64::to_radians(latitude), day, 12.0);
            assert!((sun.altitude_rad - simple.altitude_rad).abs() < 0.015, "{latitude} {day}");
        }
    }
}

#[test]
fn no_direction_of_the_line_gains_more_than_the_greatest() {
    let sun = SunPosition { altitude_rad: 0.6, azimuth_rad: 2.0 };
    let greatest = sun.greatest_gain_w_per_m(wire().surface(), Atmosphere::Industrial, 300.0);
    let gains = (0..360).map(|degrees| {
        sun.gain_w_per_m(wire().surface(), f64::from(degrees).to_radians(), Atmosphere::Industrial, 300.0)
    });
    let found = gains.fold(0.0, f64::max);
    assert!(found <= greatest && found > 0.999 * greatest, "{found} {greatest}");
}

#[test]
fn the_flux_is_never_negative_and_rises_with_the_sun() {
    let mut last = 0.0;
    for k in 0..=9000 {
        let altitude_rad = f64::from(k) * 0.01_f64.to_radians();
        let flux = Atmosphere::Clear.sea_level_flux_w_per_m2(altitude_rad);
        assert!(flux >= last, "{k}: {flux} after {last}");
        last = flux;
    }
    assert!((1000.0..1100.0).contains(&last), "{last}");
}
