//! String-hung sections for tests and benches: one to look at, and random ones from a seed.

use nalgebra::{Isometry3, Point3, Vector3};
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{
    Conditions, Conductor, ConductorProperties, KnownBy, LoadsAlongSpan, Span, SuspensionString, WindDirection, Wire,
    WireDescription, WireError,
};
use wideberth_physics::machine::{Body, Frame, FrameId, Machine, Motion, Placement};

use crate::generate::Draw;
use crate::interval::range;

/// A section with everything that it is made from.
#[derive(Clone, Debug)]
pub struct Hung {
    /// What is known of the wire.
    pub description: WireDescription,
    /// The strings, one entry per support.
    pub strings: Vec<Option<SuspensionString>>,
    /// The conditions.
    pub conditions: Conditions,
}

/// A steel-reinforced aluminium conductor of about 470 mm², as in many tables.
#[must_use]
pub fn heavy_conductor() -> Conductor {
    Conductor::new(ConductorProperties {
        diameter_m: 0.02814,
        mass_kg_per_m: 1.628,
        axial_stiffness_n: 3.25e7,
        expansion_per_k: 19.3e-6,
        rated_strength_n: Some(140e3),
    })
    .expect("a possible conductor")
}

impl Hung {
    /// The wire.
    ///
    /// # Errors
    /// When it cannot hang so.
    pub fn wire(&self) -> Result<Wire, WireError> {
        Wire::with_strings(self.description.clone(), &self.strings, &self.conditions)
    }

    /// A wire over supports at places along a line through the origin, at heights there, known by its tension at 15 °C.
    #[must_use]
    pub fn over(
        supports: &[Point3<f64>],
        string: SuspensionString,
        tension_n: Interval,
        conditions: Conditions,
    ) -> Self {
        let spans: Vec<Span> =
            supports.windows(2).map(|ends| Span::new(ends[0], ends[1]).expect("a possible span")).collect();
        let inner = std::iter::repeat_n(Some(string), spans.len() - 1);
        let strings = std::iter::once(None).chain(inner).chain([None]).collect();
        let known_by = KnownBy::Tension { horizontal_n: tension_n, temperature_degc: range(15.0, 15.0) };
        let description = WireDescription {
            name: "hung wire".into(),
            conductor: heavy_conductor(),
            spans,
            known_by,
            permanent_strain: range(0.0, 0.0),
            position_tolerance_m: 0.0,
        };
        Self { description, strings, conditions }
    }
}

/// Conductor temperature −5..75 °C, wind to 20 m/s from anywhere, no ice.
#[must_use]
pub fn usual_conditions() -> Conditions {
    Conditions {
        temperature_degc: range(-5.0, 75.0),
        wind_m_per_s: range(0.0, 20.0),
        wind_direction: WindDirection::Any,
        ice_m: range(0.0, 0.0),
        ice_density_kg_per_m3: 913.0,
        air_density_kg_per_m3: 1.225,
        drag: 1.0,
        wind_rise_rad: Interval::ZERO,
        loads_along_span: LoadsAlongSpan::Uniform,
        sway_allowance_m: 0.0,
    }
}

/// A string of glass discs for 110 kV or so.
#[must_use]
pub fn usual_string() -> SuspensionString {
    SuspensionString { length_m: 1.6, weight_n: 650.0, wind_area_m2: 0.35 }
}

/// Five unequal spans along x with tension 26 kN ± 3 %.
#[must_use]
pub fn five_spans() -> Hung {
    let runs = [260.0, 340.0, 190.0, 410.0, 300.0];
    let heights = [19.0, 18.0, 20.0, 19.5, 21.0, 19.0];
    let x = |k: usize| runs[..k].iter().sum::<f64>();
    let supports: Vec<_> = (0..6).map(|k| Point3::new(x(k), 0.0, heights[k])).collect();
    Hung::over(&supports, usual_string(), range(25_220.0, 26_780.0), usual_conditions())
}

/// A crane beside the third and fourth span: slews, luffs, telescopes.
#[must_use]
pub fn crane_beside() -> Machine {
    let pi = std::f64::consts::PI;
    let frame = |name: &str, parent: Option<usize>, up_m: f64, motion| Frame {
        role: wideberth_physics::machine::FrameRole::Part,
        name: name.into(),
        parent: parent.map(FrameId),
        offset: Isometry3::translation(0.0, 0.0, up_m),
        motion,
    };
    let slew = frame("slew", None, 2.5, Motion::Hinge { axis: Vector3::z_axis(), range_rad: range(-pi, pi) });
    let luff_rad = range(20_f64.to_radians(), 70_f64.to_radians());
    let luff = frame("luff", Some(0), 0.0, Motion::Hinge { axis: Vector3::x_axis(), range_rad: luff_rad });
    let tip = frame("telescope", Some(1), 0.0, Motion::Slide { axis: Vector3::y_axis(), range_m: range(9.0, 16.0) });
    let boom = Body::capsule("boom", (FrameId(1), Point3::origin()), (FrameId(2), Point3::origin()), 0.4);
    let placement = Placement::level(Point3::new(960.0, -24.0, 0.0));
    Machine::new("crane", &placement, vec![slew, luff, tip], vec![boom]).expect("a possible machine")
}

/// A random straight section of 2 to 6 spans with its conditions; it need not be possible.
#[must_use]
pub fn random_section(draw: &mut Draw) -> Hung {
    let spans = 2 + draw.index(5);
    let typical_m = draw.log_within(60.0, 350.0);
    let bearing = draw.within(0.0, std::f64::consts::TAU);
    let (sin, cos) = bearing.sin_cos();
    let (mut along_m, mut supports) = (0.0, Vec::new());
    for _ in 0..=spans {
        let z = 20.0 + draw.within(-0.02, 0.02) * typical_m;
        supports.push(Point3::new(along_m * cos, along_m * sin, z));
        along_m += typical_m * draw.log_within(0.6, 1.5);
    }
    let weight_n_per_m = 1.628 * 9.806_65;
    let tension_n = (weight_n_per_m * typical_m / (8.0 * draw.log_within(0.012, 0.035))).min(35e3);
    let doubt = draw.within(0.0, 0.05);
    let degc = draw.within(-10.0, 40.0);
    let conditions = Conditions {
        temperature_degc: range(degc, degc + draw.within(0.0, 45.0)),
        wind_m_per_s: range(0.0, draw.within(0.0, 22.0)),
        ice_m: range(0.0, if draw.chance(0.3) { draw.within(0.0, 0.008) } else { 0.0 }),
        ..usual_conditions()
    };
    let string = SuspensionString {
        length_m: draw.within(0.4, 3.0),
        weight_n: draw.within(150.0, 2000.0),
        wind_area_m2: draw.within(0.0, 0.6),
    };
    let mut hung =
        Hung::over(&supports, string, range(tension_n * (1.0 - doubt), tension_n * (1.0 + doubt)), conditions);
    hung.strings.iter_mut().skip(1).rev().skip(1).for_each(|string| {
        if draw.chance(0.1) {
            *string = None;
        }
    });
    hung
}
