//! Wires in pieces against the uniform closed form and their own balance.

use super::*;
use crate::line::{Conductor, ConductorProperties, Span, SpanState, Strand};
use approx::assert_relative_eq;

fn strand() -> Strand {
    let properties = ConductorProperties {
        diameter_m: 0.0101,
        mass_kg_per_m: 0.2161,
        axial_stiffness_n: 79e9 * 62.4e-6,
        expansion_per_k: 18.9e-6,
        rated_strength_n: None,
    };
    let load = LoadModel::new(&Conductor::new(properties).expect("a conductor"), 1.225, 1.0, 900.0);
    let span = Span::new(Point3::new(3.0, 2.0, 10.0), Point3::new(60.0, 70.0, 18.0)).expect("a span");
    Strand { span, load, axial_stiffness_n: properties.axial_stiffness_n, core: None }
}

fn wire(strand: &Strand, unstretched_m: f64) -> FixedWire {
    let (from, to) = (strand.span.from(), strand.span.to());
    FixedWire { from, to, unstretched_m, law: StretchLaw::elastic(strand.axial_stiffness_n) }
}

#[test]
fn even_weather_across_gives_the_plane_catenary() {
    let strand = strand();
    for slack in [0.9995, 1.0, 1.002, 1.03] {
        for wind_m_per_s in [0.0, 8.0, -25.0] {
            let unstretched_m = slack * strand.span.chord().norm();
            let state = SpanState { unstretched_m, wind_m_per_s, ice_m: 0.004 };
            let plane = strand.elastic_shape(&state).expect("a shape");
            let pieces = LoadPieces::even(strand.span.lateral() * wind_m_per_s, 0.004);
            let curve = wire(&strand, unstretched_m).under(&strand.load, &pieces, Incidence::Chord);
            let curve = curve.expect("a shape");
            assert_relative_eq!(curve.greatest_tension_n(), plane.greatest_tension_n(), max_relative = 1e-9);
            for share in [0.1, 0.35, 0.5, 0.8] {
                let point = curve.point(share);
                // The share of the chord whose point lies above (against the load): both are square to its direction.
                let way = strand.span.load_direction(plane.swing_rad);
                let chord = strand.span.chord();
                let flat = chord - way * way.dot(&chord);
                let t = (point - strand.span.from()).dot(&flat) / flat.norm_squared();
                let there = strand.span.point(t, plane.catenary.sag_m(t), plane.swing_rad);
                assert!((point - there).norm() < 1e-9, "{slack} {wind_m_per_s}: {}", (point - there).norm());
            }
        }
    }
}

#[test]
fn pieces_of_the_same_weather_are_one() {
    let strand = strand();
    let wind = Vector3::new(4.0, -9.0, 0.5);
    let piece = |to_share| LoadPiece { to_share, wind_m_per_s: wind, ice_m: 0.0 };
    let whole = LoadPieces::even(wind, 0.0);
    let three = LoadPieces::new(vec![piece(0.2), piece(0.7), piece(1.0)]).expect("pieces");
    let hang = |pieces| wire(&strand, 90.0).under(&strand.load, pieces, Incidence::Chord).expect("a shape");
    let (whole, three) = (hang(&whole), hang(&three));
    for k in 0..=20 {
        let share = f64::from(k) / 20.0;
        assert!((whole.point(share) - three.point(share)).norm() < 1e-10);
    }
}

#[test]
fn a_core_that_carries_alone_is_a_wire_of_its_own() {
    let strand = strand();
    let core = SlackCore { axial_stiffness_n: 0.3 * strand.axial_stiffness_n, shorter: 0.0 };
    // A core that is no shorter is stretched more at every tension: it never carries alone.
    let law = StretchLaw { axial_stiffness_n: strand.axial_stiffness_n, core: Some(core) };
    let fixed = wire(&strand, 90.0);
    let calm = LoadPieces::even(Vector3::zeros(), 0.0);
    let hang = |law| FixedWire { law, ..fixed }.under(&strand.load, &calm, Incidence::Chord).expect("a shape");
    assert_relative_eq!(hang(law).point(0.4), hang(fixed.law).point(0.4), epsilon = 1e-9);
    // One that is far shorter carries alone everywhere: a wire of its length and stiffness with the whole's weight.
    let shorter = 0.01;
    let law = StretchLaw { core: Some(SlackCore { shorter, ..core }), ..law };
    let alone = FixedWire {
        unstretched_m: (1.0 - shorter) * fixed.unstretched_m,
        law: StretchLaw::elastic(core.axial_stiffness_n),
        ..fixed
    };
    let heavier = strand.load.scaled(1.0 / (1.0 - shorter));
    let alone = alone.under(&heavier, &calm, Incidence::Chord).expect("a shape");
    assert_relative_eq!(hang(law).point(0.4), alone.point(0.4), epsilon = 1e-9);
}

#[test]
fn what_cannot_hang_is_an_error() {
    let strand = strand();
    let calm = LoadPieces::even(Vector3::zeros(), 0.0);
    let hang = |unstretched_m| wire(&strand, unstretched_m).under(&strand.load, &calm, Incidence::Chord);
    assert!(hang(0.5 * strand.span.chord().norm()).is_err());
    assert!(hang(f64::NAN).is_err());
    assert!(hang(-1.0).is_err());
}
