//! A year of hours for three wires: temperature, sag and height at mid-span, from air, wind, sun and current; prints the
//! nanoseconds of one steady temperature, the microseconds of the year, and what the peer compares: mean and greatest
//! temperature and greatest sag. `tests/peers/heat.py` works out the same year.
#![expect(clippy::print_stdout, reason = "an example prints")]

use std::f64::consts::{FRAC_PI_2, TAU};
use std::hint::black_box;
use std::time::Instant;

use nalgebra::{Point3, Vector3};
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{
    Conditions, Conductor, ConductorProperties, KnownBy, LoadsAlongSpan, Span, WindDirection, Wire, WireDescription,
};
use wideberth_physics::weather::{Air, Atmosphere, HeatBalance, Resistance, SunPosition, Surface};

const HOURS: u32 = 8760;

/// Air, current (A) and sun of one hour; plain waves, so that both programs have the same.
struct Hour {
    air: Air,
    current_a: f64,
    sun: SunPosition,
}

fn hour(index: u32) -> Hour {
    let h = f64::from(index);
    let (day, clock) = ((h / 24.0).floor() + 1.0, h % 24.0);
    let ambient_degc = 12.0 - 14.0 * (TAU * day / 365.0).cos() - 6.0 * (TAU * (clock - 3.0) / 24.0).cos();
    let wind_m_per_s = 2.5 * (1.0 + (0.37 * h).sin());
    let wind_angle_rad = FRAC_PI_2 * (0.11 * h).sin().abs();
    let current_a = 500.0 + 300.0 * (TAU * (clock - 17.0) / 24.0).cos();
    let sun = SunPosition::by_solar_time(45_f64.to_radians(), day, clock);
    Hour { air: Air { ambient_degc, wind_m_per_s, wind_angle_rad, elevation_m: 200.0 }, current_a, sun }
}

fn balance() -> HeatBalance {
    let resistance = Resistance::through((25.0, 7.283e-5), (75.0, 8.688e-5)).expect("a resistance");
    let surface = Surface { diameter_m: 0.028_14, emissivity: 0.7, absorptivity: 0.9, resistance };
    HeatBalance::new(surface).expect("a wire")
}

fn wire(height_m: f64) -> Wire {
    let point = |x: f64| Interval::point(x).expect("finite");
    let conductor = Conductor::new(ConductorProperties {
        diameter_m: 0.028_14,
        mass_kg_per_m: 1.628,
        axial_stiffness_n: 77e9 * 468.6e-6,
        expansion_per_k: 18.9e-6,
        rated_strength_n: None,
    });
    let from = Point3::new(0.0, 0.0, height_m);
    let description = WireDescription {
        name: "wire".into(),
        conductor: conductor.expect("a conductor"),
        spans: vec![Span::new(from, from + Vector3::new(300.0, 0.0, 0.0)).expect("a span")],
        known_by: KnownBy::Tension { horizontal_n: point(28_000.0), temperature_degc: point(15.0) },
        permanent_strain: point(0.0),
        position_tolerance_m: 0.0,
    };
    let conditions = Conditions {
        temperature_degc: Interval::new(-30.0, 120.0).expect("a range"),
        wind_m_per_s: point(0.0),
        wind_direction: WindDirection::Any,
        ice_m: point(0.0),
        ice_density_kg_per_m3: 900.0,
        air_density_kg_per_m3: 1.2,
        drag: 1.0,
        wind_rise_rad: Interval::ZERO,
        loads_along_span: LoadsAlongSpan::Uniform,
        sway_allowance_m: 0.0,
    };
    Wire::new(description, &conditions).expect("a wire")
}

/// What the year comes to.
#[derive(Clone, Copy, Debug, Default)]
struct Year {
    mean_degc: f64,
    hottest_degc: f64,
    greatest_sag_m: f64,
    least_height_m: f64,
}

fn temperature_degc(balance: &HeatBalance, hour: &Hour, line_azimuth_rad: f64) -> f64 {
    let solar = hour.sun.gain_w_per_m(balance.surface(), line_azimuth_rad, Atmosphere::Clear, hour.air.elevation_m);
    balance.steady_temperature_degc(hour.current_a, &hour.air, solar).expect("a steady temperature")
}

fn year(balance: &HeatBalance, wires: &[Wire], azimuths_rad: [f64; 3]) -> Year {
    let mut found = Year { least_height_m: f64::INFINITY, ..Year::default() };
    for index in 0..HOURS {
        let hour = hour(index);
        for (wire, azimuth_rad) in wires.iter().zip(azimuths_rad) {
            let span = &wire.spans()[0];
            let degc = temperature_degc(balance, &hour, azimuth_rad);
            let shape = span.shape(&span.nominal_state(degc, 0.0, 0.0)).expect("a shape");
            let sag_m = shape.catenary.sag_m(0.5);
            found.mean_degc += degc / (3.0 * f64::from(HOURS));
            found.hottest_degc = found.hottest_degc.max(degc);
            found.greatest_sag_m = found.greatest_sag_m.max(sag_m);
            found.least_height_m = found.least_height_m.min(span.point(&shape, 0.5).z);
        }
    }
    found
}

fn main() {
    let balance = balance();
    let wires = [22.0, 24.0, 26.0].map(wire);
    let azimuths = [0.0, 0.5, 1.5];
    let hours: Vec<Hour> = (0..HOURS).map(hour).collect();
    let (mut solve_ns, mut year_us) = (f64::INFINITY, f64::INFINITY);
    let mut found = Year::default();
    for _ in 0..20 {
        let start = Instant::now();
        for hour in &hours {
            black_box(balance.steady_temperature_degc(hour.current_a, &hour.air, 10.0).expect("a steady temperature"));
        }
        solve_ns = solve_ns.min(start.elapsed().as_secs_f64() * 1e9 / f64::from(HOURS));
        let start = Instant::now();
        found = black_box(year(&balance, &wires, azimuths));
        year_us = year_us.min(start.elapsed().as_secs_f64() * 1e6);
    }
    let Year { mean_degc, hottest_degc, greatest_sag_m, least_height_m } = found;
    println!("{solve_ns:.1} {year_us:.0} {mean_degc:.6} {hottest_degc:.6} {greatest_sag_m:.6} {least_height_m:.6}");
}
