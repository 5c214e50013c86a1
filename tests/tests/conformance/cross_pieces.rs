//! Wires under loads that differ along them, against an independent solution: `tests/cross/pieces.py` followed 160 generated
//! wires in small steps with SciPy (versions in `tests/cross/requirements.txt`); its output is `tests/data/cross/pieces.csv`.

use std::collections::HashMap;

use nalgebra::{Point3, Vector3};
use wideberth_physics::line::{
    Conductor, ConductorProperties, FixedWire, Incidence, LoadModel, LoadPiece, LoadPieces, PieceCurve, SlackCore,
    StretchLaw,
};

const REFERENCE: &str = include_str!("../../data/cross/pieces.csv");
/// Pieces that the script states for each wire; those after the end of the wire are empty.
const PIECES: usize = 4;
/// The script's steps are accurate to some 10⁻¹⁰ of the span.
const ACCEPTED_M: f64 = 2e-7;

struct Case {
    texts: HashMap<String, String>,
}

impl Case {
    fn number(&self, name: &str) -> f64 {
        self.texts[name].parse().expect("a number")
    }

    fn vector(&self, name: impl Fn(char) -> String) -> Vector3<f64> {
        Vector3::from(['x', 'y', 'z'].map(|axis| self.number(&name(axis))))
    }

    fn own(&self) -> bool {
        self.texts["incidence"] == "own"
    }

    fn load(&self) -> LoadModel {
        let properties = ConductorProperties {
            diameter_m: self.number("diameter_m"),
            mass_kg_per_m: self.number("mass_kg_per_m"),
            axial_stiffness_n: self.number("stiffness_n"),
            expansion_per_k: 2e-5,
            rated_strength_n: None,
        };
        let conductor = Conductor::new(properties).expect("a catalogue conductor");
        let (air, drag, ice) = ("air_density_kg_per_m3", "drag", "ice_density_kg_per_m3");
        LoadModel::new(&conductor, self.number(air), self.number(drag), self.number(ice))
    }

    fn pieces(&self) -> LoadPieces {
        let mut pieces = Vec::new();
        for k in 0..PIECES {
            let to_share = self.number(&format!("to_{k}"));
            if to_share > pieces.last().map_or(0.0, |piece: &LoadPiece| piece.to_share) {
                let wind_m_per_s = self.vector(|axis| format!("wind_{axis}_{k}"));
                pieces.push(LoadPiece { to_share, wind_m_per_s, ice_m: self.number(&format!("ice_{k}_m")) });
            }
        }
        LoadPieces::new(pieces).expect("pieces in order")
    }

    fn wire(&self) -> FixedWire {
        let core_n = self.number("core_n");
        let core = (core_n > 0.0).then(|| SlackCore { axial_stiffness_n: core_n, shorter: self.number("shorter") });
        let chord = Vector3::new(self.number("span_m"), self.number("aside_m"), self.number("rise_m"));
        FixedWire {
            from: Point3::origin(),
            to: Point3::from(chord),
            unstretched_m: self.number("unstretched_m"),
            law: StretchLaw { axial_stiffness_n: self.number("stiffness_n"), core },
        }
    }

    /// Greatest distance of ours from the script's points at nine places, m.
    fn apart_m(&self, curve: &PieceCurve) -> f64 {
        let apart_m = |k: i32| {
            let theirs = self.vector(|axis| format!("{axis}_{k}_m"));
            (curve.point(f64::from(k) / 10.0).coords - theirs).norm()
        };
        (1..10).map(apart_m).fold(0.0, f64::max)
    }
}

fn cases() -> Vec<Case> {
    let mut reader = csv::Reader::from_reader(REFERENCE.as_bytes());
    let texts = reader.deserialize().collect::<Result<Vec<_>, _>>().expect("the reference parses");
    texts.into_iter().map(|texts| Case { texts }).collect()
}

#[test]
fn the_reference_holds_what_is_to_be_compared() {
    let cases = cases();
    let count = |test: &dyn Fn(&Case) -> bool| cases.iter().filter(|case| test(case)).count();
    assert_eq!(cases.len(), 160);
    assert_eq!(count(&Case::own), 40);
    assert!(count(&|case| case.pieces().pieces().len() == PIECES) >= 30);
    assert!(count(&|case| case.number("shorter") > 5e-4) >= 20, "cores that carry alone");
    assert!(count(&|case| case.number("rise_m").abs() > 0.15 * case.number("span_m")) >= 30);
}

#[test]
fn pieces_that_meet_the_wind_alike_agree_with_the_independent_solution() {
    for (number, case) in cases().iter().enumerate().filter(|(_, case)| !case.own()) {
        let curve = case.wire().under(&case.load(), &case.pieces(), Incidence::Chord).expect("a shape");
        let apart_m = case.apart_m(&curve);
        assert!(apart_m < ACCEPTED_M, "case {number}: {apart_m:e} m");
        let near_n = case.vector(|axis| format!("near_{axis}_n"));
        let off = (curve.near_force_n() - near_n).norm() / near_n.norm();
        assert!(off < 1e-7, "case {number}: the force at the near end differs by {off:e}");
    }
}

/// The script lets every place meet the wind by its own direction. Parts do so the better the more they are: twice as many
/// leave a quarter of the difference.
#[test]
fn parts_that_meet_the_wind_by_their_own_direction_come_to_agree() {
    let mut sums_m = [0.0; 3];
    for case in cases().iter().filter(|case| case.own()) {
        for (sum_m, parts) in sums_m.iter_mut().zip([16, 32, 64]) {
            let incidence = Incidence::Own { parts };
            let curve = case.wire().under(&case.load(), &case.pieces(), incidence).expect("a shape");
            *sum_m += case.apart_m(&curve);
        }
    }
    assert!(sums_m[2] < 40.0 * 1e-3, "{sums_m:?}");
    assert!(sums_m[1] < 0.35 * sums_m[0] && sums_m[2] < 0.35 * sums_m[1], "{sums_m:?}");
}
