//! The cable: elements that only pull, masses between them, weight, wind on each mass; and its equilibrium.

use nalgebra::{Matrix3, Point3, Vector3};
use thiserror::Error;

use super::chain::Chain;
use crate::GRAVITY_M_PER_S2;
use crate::line::{CatenaryError, LoadModel, SpanState, StateShape, Strand};

/// A span as a chain of elastic elements with a mass at each inner node.
#[derive(Clone, Debug)]
pub struct Cable {
    pub(super) from_m: Vector3<f64>,
    pub(super) to_m: Vector3<f64>,
    pub(super) lateral: Vector3<f64>,
    pub(super) lengths_m: Vec<f64>,
    pub(super) masses_kg: Vec<f64>,
    /// Wind force per wind speed squared at each inner node in slow wind, N/(m/s)².
    pub(super) drags_kg_per_m: Vec<f64>,
    pub(super) stiffness_n: f64,
    pub(super) load: LoadModel,
    pub(super) ice_m: f64,
    /// Strings that hold inner nodes; none where the ends are those of one span.
    pub(super) hangers: Vec<Hanger>,
}

/// A string: an element from a fixed point to an inner node.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hanger {
    pub node: usize,
    pub top_m: Vector3<f64>,
    pub length_m: f64,
    /// Force per strain, N.
    pub stiffness_n: f64,
}

impl Hanger {
    /// Force per length, N/m.
    pub fn stiffness_n_per_m(&self) -> f64 {
        self.stiffness_n / self.length_m
    }
}

/// Where the inner nodes are and how fast they move.
#[derive(Clone, Debug, PartialEq)]
pub struct CableState {
    /// Places of the inner nodes from the near attachment, m, in the axes of the site.
    pub places_m: Vec<Vector3<f64>>,
    /// Their velocities, m/s.
    pub velocities_m_per_s: Vec<Vector3<f64>>,
}

/// Why a wire cannot be followed in time.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum SwayError {
    /// Fewer than 4 or more than 512 elements.
    #[error("a swaying wire needs 4 to 512 elements, not {0}")]
    Elements(usize),
    /// No shape at rest.
    #[error(transparent)]
    Shape(#[from] CatenaryError),
    /// The equilibrium was not found.
    #[error(
        "the wire's rest under a wind of {wind_m_per_s:.1} m/s was not found: the forces stay {rest_n:.1e} N out of balance"
    )]
    Rest {
        /// Wind across the span, m/s.
        wind_m_per_s: f64,
        /// Greatest force left, N.
        rest_n: f64,
    },
    /// A step in time did not settle.
    #[error("the motion at {time_s:.2} s did not settle: take a shorter step than {step_s} s")]
    Step {
        /// Time at which it started, s.
        time_s: f64,
        /// Length of the step, s.
        step_s: f64,
    },
    /// The frequencies were not found.
    #[error("the natural frequencies were not found: the wire's rest is not stable")]
    Modes,
    /// The wind is given for another number of nodes.
    #[error("the wind is given for {given} places along the span, but the wire has {nodes} inner nodes")]
    Nodes {
        /// Places of the wind.
        given: usize,
        /// Inner nodes.
        nodes: usize,
    },
}

/// Rounds of Newton's method at most.
pub(super) const ROUNDS: usize = 60;
/// The same for a rest, where a very slack wire is held back for long.
const REST_ROUNDS: usize = 5000;
/// A change of place below which Newton's method has settled, m.
pub(super) const SETTLED_M: f64 = 1e-9;
/// The same for a rest, m: without inertia, rounding of the stiff pulls moves a slack wire by some 1e-8 m.
const RESTED_M: f64 = 1e-7;

impl Cable {
    /// The span in elements, and its places at rest under the wind of `state` (across the span, m/s).
    ///
    /// The elements share the unstretched length evenly.
    ///
    /// # Errors
    /// A number of elements outside 4..512, no shape in that state, no equilibrium found.
    pub fn new(strand: &Strand, state: &SpanState, elements: usize) -> Result<(Self, CableState), SwayError> {
        if !(4..=512).contains(&elements) {
            return Err(SwayError::Elements(elements));
        }
        let places_m = catenary_m(strand, state, elements)?;
        let (span, load) = (strand.span(), strand.load());
        let lengths_m = vec![state.unstretched_m / elements as f64; elements];
        let shares_m: Vec<f64> = lengths_m.windows(2).map(|pair| 0.5 * (pair[0] + pair[1])).collect();
        let mass_kg_per_m = load.down_n_per_m(state.ice_m) / GRAVITY_M_PER_S2;
        let drag = load.slow_drag_kg_per_m2(state.ice_m);
        let cable = Self {
            from_m: Vector3::zeros(),
            to_m: span.chord(),
            lateral: span.lateral(),
            masses_kg: shares_m.iter().map(|share| share * mass_kg_per_m).collect(),
            drags_kg_per_m: shares_m.iter().map(|share| share * drag).collect(),
            lengths_m,
            stiffness_n: strand.axial_stiffness_n(),
            load: *load,
            ice_m: state.ice_m,
            hangers: Vec::new(),
        };
        let rest = cable.rest(&places_m, state.wind_m_per_s)?;
        Ok((cable, rest))
    }

    /// Number of inner nodes.
    #[must_use]
    pub fn nodes(&self) -> usize {
        self.masses_kg.len()
    }

    /// The wire without wind force on it, as in a vacuum.
    #[must_use]
    pub fn without_air(self) -> Self {
        let drags_kg_per_m = vec![0.0; self.nodes()];
        Self { drags_kg_per_m, ..self }
    }

    /// A node counted from the near end, which is node 0.
    pub(super) fn place(&self, places_m: &[Vector3<f64>], node: usize) -> Vector3<f64> {
        match node.checked_sub(1) {
            None => self.from_m,
            Some(inner) => places_m.get(inner).copied().unwrap_or(self.to_m),
        }
    }

    /// The vector along an element.
    pub(super) fn piece(&self, places_m: &[Vector3<f64>], element: usize) -> Vector3<f64> {
        self.place(places_m, element + 1) - self.place(places_m, element)
    }

    /// Wind force on an inner node: f = ½·ρ·C_d·d·s·|v_n|·v_n with v_n the part across the wire of the wind that the wire feels;
    /// and v_n.
    pub(super) fn drag_n(
        &self,
        places_m: &[Vector3<f64>],
        node: usize,
        felt_m_per_s: Vector3<f64>,
    ) -> (Vector3<f64>, Vector3<f64>) {
        let along = (self.place(places_m, node + 2) - self.place(places_m, node)).normalize();
        let across = felt_m_per_s - along * along.dot(&felt_m_per_s);
        (across * (self.drag_kg_per_m(node, across.norm()) * across.norm()), across)
    }

    /// Wind force per speed squared on an inner node at a speed.
    pub(super) fn drag_kg_per_m(&self, node: usize, speed_m_per_s: f64) -> f64 {
        self.drags_kg_per_m[node] * self.load.drag_share(speed_m_per_s, self.ice_m)
            / self.load.drag_share(0.0, self.ice_m)
    }

    /// Energy of motion, of height and of stretch, J; zero for a wire at the level of its near attachment, unstretched, at rest.
    #[must_use]
    pub fn energy_j(&self, state: &CableState) -> f64 {
        let nodes = self.masses_kg.iter().zip(&state.places_m).zip(&state.velocities_m_per_s);
        let moving = nodes.map(|((mass, x), v)| mass * (0.5 * v.norm_squared() + GRAVITY_M_PER_S2 * x.z));
        let stretched = self.lengths_m.iter().enumerate().map(|(element, length_m)| {
            let more_m = (self.piece(&state.places_m, element).norm() - length_m).max(0.0);
            0.5 * self.stiffness_n / length_m * more_m * more_m
        });
        let strings = self.hangers.iter().map(|hanger| {
            let more_m = ((hanger.top_m - state.places_m[hanger.node]).norm() - hanger.length_m).max(0.0);
            0.5 * hanger.stiffness_n_per_m() * more_m * more_m
        });
        moving.sum::<f64>() + stretched.sum::<f64>() + strings.sum::<f64>()
    }

    /// Equilibrium under a steady wind across the span, from places near it: Newton's method, in which each node is held back by
    /// a spring while the forces would otherwise be further out of balance (Levenberg's method).
    ///
    /// # Errors
    /// [`SwayError::Rest`] when it does not settle.
    pub fn rest(&self, near_m: &[Vector3<f64>], wind_m_per_s: f64) -> Result<CableState, SwayError> {
        let mut places_m = near_m.to_vec();
        let mut ties = Chain::new(self.nodes());
        let mut forces = self.forces_n(&places_m, wind_m_per_s);
        let (least, mut held) = (1e-9 * self.stiffest_n_per_m(), 0.0);
        for _ in 0..REST_ROUNDS {
            self.tangent(&places_m, &mut ties);
            (0..self.nodes()).for_each(|node| ties.add(node, &(Matrix3::identity() * held)));
            let mut change = forces.clone();
            let solved = ties.solve(&mut change);
            let next: Vec<_> = places_m.iter().zip(&change).map(|(x, d)| x + d).collect();
            let left = self.forces_n(&next, wind_m_per_s);
            let is_calmer = norm(&left) <= norm(&forces).max(self.rounding_n());
            if !(solved && is_calmer) {
                held = (4.0 * held).max(least);
                continue;
            }
            (places_m, forces) = (next, left);
            if held == 0.0 && greatest(&change) < RESTED_M {
                return Ok(CableState { velocities_m_per_s: vec![Vector3::zeros(); places_m.len()], places_m });
            }
            held = if held > 4.0 * least { 0.25 * held } else { 0.0 };
        }
        Err(SwayError::Rest { wind_m_per_s, rest_n: greatest(&forces) })
    }

    fn stiffest_n_per_m(&self) -> f64 {
        let strings = self.hangers.iter().map(Hanger::stiffness_n_per_m);
        self.lengths_m.iter().map(|length_m| self.stiffness_n / length_m).chain(strings).fold(0.0, f64::max)
    }

    /// Forces that rounding leaves out of balance, N: a place is known to a few parts in 10¹⁶ of the span.
    fn rounding_n(&self) -> f64 {
        64.0 * f64::EPSILON * (self.to_m - self.from_m).norm() * self.stiffest_n_per_m() * self.masses_kg.len() as f64
    }

    /// Force on each inner node of a wire that does not move, N.
    fn forces_n(&self, places_m: &[Vector3<f64>], wind_m_per_s: f64) -> Vec<Vector3<f64>> {
        let wind = self.lateral * wind_m_per_s;
        let mut forces: Vec<_> = (0..self.nodes())
            .map(|node| self.drag_n(places_m, node, wind).0 - Vector3::z() * (self.masses_kg[node] * GRAVITY_M_PER_S2))
            .collect();
        for (element, length_m) in self.lengths_m.iter().enumerate() {
            let piece = self.piece(places_m, element);
            let pull = piece * (self.stiffness_n / length_m * (1.0 - length_m / piece.norm()).max(0.0));
            spread(&mut forces, element, pull);
        }
        for hanger in &self.hangers {
            let piece = hanger.top_m - places_m[hanger.node];
            let stretch = (1.0 - hanger.length_m / piece.norm()).max(0.0);
            forces[hanger.node] += piece * (hanger.stiffness_n_per_m() * stretch);
        }
        forces
    }

    /// Resistance of the resting wire to small moves: k·(1 − L/l)·I + k·(L/l³)·d⊗d for each stretched element.
    pub(super) fn tangent(&self, places_m: &[Vector3<f64>], ties: &mut Chain) {
        ties.clear();
        for (element, length_m) in self.lengths_m.iter().enumerate() {
            if let Some(block) = resistance(&self.piece(places_m, element), *length_m, self.stiffness_n / length_m) {
                ties.tie(element, &block);
            }
        }
        for hanger in &self.hangers {
            let piece = hanger.top_m - places_m[hanger.node];
            if let Some(block) = resistance(&piece, hanger.length_m, hanger.stiffness_n_per_m()) {
                ties.add(hanger.node, &block);
            }
        }
    }
}

/// Resistance of an element to small moves of its ends; none where it is slack.
fn resistance(piece: &Vector3<f64>, length_m: f64, stiffness_n_per_m: f64) -> Option<Matrix3<f64>> {
    let long_m = piece.norm();
    let slack = length_m / long_m;
    let along = piece * piece.transpose() * (stiffness_n_per_m * slack / (long_m * long_m));
    (long_m > length_m).then(|| Matrix3::identity() * (stiffness_n_per_m * (1.0 - slack)) + along)
}

/// Adds the pull of an element to the nodes at its ends.
pub(super) fn spread(forces: &mut [Vector3<f64>], element: usize, pull: Vector3<f64>) {
    if element < forces.len() {
        forces[element] -= pull;
    }
    if element > 0 {
        forces[element - 1] += pull;
    }
}

/// Length of the longest vector.
pub(super) fn greatest(vectors: &[Vector3<f64>]) -> f64 {
    vectors.iter().map(Vector3::norm).fold(0.0, f64::max)
}

fn norm(vectors: &[Vector3<f64>]) -> f64 {
    vectors.iter().map(Vector3::norm_squared).sum::<f64>().sqrt()
}

/// Inner points that share the length of the elastic catenary evenly, as straight pieces between many of its points measure it.
fn catenary_m(strand: &Strand, state: &SpanState, elements: usize) -> Result<Vec<Vector3<f64>>, CatenaryError> {
    Ok(evenly_m(&strand.shape(state)?, strand.span().from(), elements))
}

/// The same of a shape, relative to a point.
pub(super) fn evenly_m(shape: &StateShape, origin: Point3<f64>, elements: usize) -> Vec<Vector3<f64>> {
    let (span, pieces) = (&shape.span, 32 * elements);
    let point = |index: usize| {
        let t = index as f64 / pieces as f64;
        span.point(t, shape.catenary.sag_m(t), shape.swing_rad) - origin
    };
    let points: Vec<_> = (0..=pieces).map(point).collect();
    let mut along_m = vec![0.0];
    for pair in points.windows(2) {
        along_m.push(along_m[along_m.len() - 1] + (pair[1] - pair[0]).norm());
    }
    let inner = (1..elements).map(|node| {
        let wanted_m = along_m[pieces] * node as f64 / elements as f64;
        let after = along_m.partition_point(|at_m| *at_m <= wanted_m).clamp(1, pieces);
        let share = (wanted_m - along_m[after - 1]) / (along_m[after] - along_m[after - 1]);
        points[after - 1].lerp(&points[after], share)
    });
    inner.collect()
}
