//! Cores from the catalogue, and wires with a core on suspension strings.

use std::fs;

use wideberth_physics::line::{Core, SectionError, WireError};
use wideberth_scenario::catalogue::{Catalogue, ConductorType};
use wideberth_scenario::{Context, Job};
use wideberth_tests::generated::repository_root;
use wideberth_tests::interval::range;

fn scenario(name: &str) -> String {
    fs::read_to_string(repository_root().join("tests/scenarios/valid").join(name)).expect("the scenario")
}

fn job(text: &str) -> Job {
    let context = Context::embedded(|_| Err("no files".into())).expect("the built-in catalogue is right");
    Job::from_text(text, &context).unwrap_or_else(|problems| panic!("refused:\n{problems}"))
}

/// Where all wires of a row are of one diameter, the core's share of the area is that of its wires; else the wires of the core are
/// thinner or thicker, but steel is between a fortieth and two fifths.
#[test]
fn cores_fit_their_stranding() {
    let (mut even, mut with_core) = (0, 0);
    for entry in Catalogue::embedded().expect("a catalogue").entries() {
        let Some(core_m2) = entry.core_area_m2 else { continue };
        with_core += 1;
        assert_eq!(entry.conductor_type, ConductorType::Acsr, "{}", entry.id);
        assert!(entry.core_citation.as_ref().is_some_and(|citation| !citation.source.is_empty()), "{}", entry.id);
        let share = core_m2 / entry.area_m2;
        assert!((0.025..0.4).contains(&share), "{}: {share}", entry.id);
        let (outer, inner) = entry.stranding.split_once('/').expect("aluminium over steel");
        let (outer, inner): (f64, f64) = (outer.parse().expect("a count"), inner.parse().expect("a count"));
        if ["6/1", "12/7", "18/1", "30/7", "54/7", "36/1"].contains(&entry.stranding.as_str()) {
            even += 1;
            let expected = inner / (outer + inner);
            assert!((share / expected - 1.0).abs() < 0.015, "{}: {share} for {expected}", entry.id);
        }
        // Steel of 190 GPa cannot be stiffer than the whole.
        assert!(190e9 * core_m2 < 0.7 * entry.stiffness_n(), "{}", entry.id);
    }
    assert_eq!(with_core, 99);
    assert!(even > 40, "{even}");
}

/// The steel core of Drake, 7 wires of 0.1360 in: 65.6 mm² (handbooks, from memory).
#[test]
fn a_well_known_core() {
    let catalogue = Catalogue::embedded().expect("a catalogue");
    let drake = catalogue.find("acsr-drake-795-26-7").expect("a row");
    let wires_m2 = 7.0 * std::f64::consts::FRAC_PI_4 * (0.1360 * 0.0254_f64).powi(2);
    assert!((drake.core_area_m2.expect("a core") / wires_m2 - 1.0).abs() < 0.002);
}

#[test]
fn a_core_from_the_catalogue_lifts_the_hot_wire() {
    let own = scenario("steel-core.json");
    let start = own.find("\"core\": {").expect("a core");
    let end = start + own[start..].find('}').expect("its end") + 1;
    let of = |core: &str| job(&format!("{}{core}{}", &own[..start], &own[end..]));
    let lowest = |job: &Job| {
        let span = &job.study.lines[0].wires[1].spans()[0];
        let shape = span.shape(&span.states().center()).expect("a shape");
        let hot = wideberth_physics::line::SpanState {
            unstretched_m: span.states().unstretched_m.high(),
            wind_m_per_s: 0.0,
            ice_m: 0.0,
        };
        assert!(shape.horizontal_n() > 0.0);
        span.shape(&hot).expect("a shape").catenary.sag_m(0.5)
    };
    let narrow = r#""core": {"area": "17.88 mm2", "free_at": "20 degC", "permanent_set": "0.05 %"}"#;
    let (catalogue, own) = (of("\"core\": \"from the catalogue\""), of(narrow));
    let none = of("\"voltage\": \"unknown\"");
    assert!(lowest(&own) < lowest(&none) - 0.02, "{} {}", lowest(&own), lowest(&none));
    // Made and worn in any way, it may also hang as high.
    let highest = |job: &Job| job.study.lines[0].wires[1].spans()[0].envelope().least().sag_m(0.5);
    assert!(highest(&catalogue) < highest(&none), "{} {}", highest(&catalogue), highest(&none));
    assert!(catalogue.defaults_taken.iter().any(|taken| taken.words.contains("core of steel")));
}

/// While the outer wires of a section pull, its wire is as of one piece; where they may go slack it is refused.
#[test]
fn strings_take_a_core_while_the_outer_wires_pull() {
    let one_piece = job(&scenario("strings.json"));
    let model = &one_piece.wires[0][0];
    let description = &model.variants[0].description;
    let core = Core {
        axial_stiffness_n: 190e9 * 65.6e-6,
        expansion_per_k: 11.5e-6,
        free_degc: range(15.0, 25.0),
        set: range(0.0, 0.0),
    };
    let cored = wideberth_physics::line::WireDescription {
        conductor: description.conductor.with_core(core).expect("a core"),
        ..description.clone()
    };
    let conditions =
        wideberth_physics::line::Conditions { temperature_degc: range(-5.0, 35.0), ..one_piece.lines[0].conditions };
    let hang = |description: &wideberth_physics::line::WireDescription, conditions| {
        wideberth_physics::line::Wire::with_strings(description.clone(), &model.strings, conditions)
    };
    let (with, without) = (hang(&cored, &conditions).expect("a wire"), hang(description, &conditions).expect("a wire"));
    for (a, b) in with.spans().iter().zip(without.spans()) {
        assert_eq!(a.envelope(), b.envelope());
    }
    // 100 degC: s = 7.58e-6·85 = 6.44e-4 and a knee of 12.2 kN, below the 16 kN that are left.
    let hot = wideberth_physics::line::Conditions { temperature_degc: range(-5.0, 100.0), ..conditions };
    assert!(hang(&cored, &hot).is_ok());
    // An old wire may have stretched by 0.1 %: s = 1.64e-3, a knee of 31 kN.
    let conductor = description.conductor.with_core(Core { set: range(0.0, 0.001), ..core }).expect("a core");
    let old = wideberth_physics::line::WireDescription { conductor, ..cored };
    match hang(&old, &hot).err() {
        Some(WireError::Strings { source: SectionError::Knee { least_n, knee_n }, .. }) => {
            assert!(
                (15_000.0..17_000.0).contains(&least_n) && (knee_n / 31.2e3 - 1.0).abs() < 0.02,
                "{least_n} {knee_n}"
            );
        }
        other => panic!("{other:?}"),
    }
}
