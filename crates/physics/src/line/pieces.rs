//! A wire between fixed ends under a load that is uniform in each of some pieces of its unstretched length, in closed form.
//!
//! With T the force in the wire, s the unstretched length from the near end, q the load per unstretched length and λ(T) the
//! stretch (new length over unstretched length):
//!
//! T(s) = T₀ − ∫q ds,   r′(s) = λ(|T|)·T/|T|,   r(0) = near end,   r(L₀) = far end
//!
//! In a piece q is constant and λ = α + β·|T|, so r has a closed form (Irvine, *Cable Structures*, 1981, section 2.4, in
//! space). The force T₀ at the near end is found by Newton's method. It is the only one: r(L₀) is the gradient by T₀ of
//! ∫W(|T|) ds, W′ = λ, which is strictly convex as λ > 0 rises. Theory: `docs/theory/pieces.md`.

use nalgebra::{Matrix3, Point3, Vector3};

use super::{CatenaryError, LoadModel};

/// One piece of a wire with its own weather.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoadPiece {
    /// Where it ends: share of the unstretched length from the near end, up to 1.
    pub to_share: f64,
    /// Velocity of the air, site frame, m/s.
    pub wind_m_per_s: Vector3<f64>,
    /// Radial ice, m.
    pub ice_m: f64,
}

/// The weather along a wire, piece by piece from the near end.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadPieces {
    pieces: Vec<LoadPiece>,
}

impl LoadPieces {
    /// The same weather along the whole wire.
    #[must_use]
    pub fn even(wind_m_per_s: Vector3<f64>, ice_m: f64) -> Self {
        Self { pieces: vec![LoadPiece { to_share: 1.0, wind_m_per_s, ice_m }] }
    }

    /// Pieces in order; none where they do not rise from above 0 to 1, or a number is not finite or its ice negative.
    #[must_use]
    pub fn new(pieces: Vec<LoadPiece>) -> Option<Self> {
        let starts = std::iter::once(0.0).chain(pieces.iter().map(|piece| piece.to_share));
        let rising = starts.zip(&pieces).all(|(from, piece)| piece.to_share > from);
        let possible = |p: &LoadPiece| p.wind_m_per_s.iter().all(|v| v.is_finite()) && p.ice_m >= 0.0;
        let whole = pieces.last().is_some_and(|last| last.to_share == 1.0);
        (rising && whole && pieces.iter().all(possible)).then_some(Self { pieces })
    }

    /// The pieces.
    #[must_use]
    pub fn pieces(&self) -> &[LoadPiece] {
        &self.pieces
    }
}

/// How the pieces meet the wind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Incidence {
    /// All as the straight line between the ends does.
    Chord,
    /// Each by its own direction: pieces longer than this part of the wire are divided into parts that are not.
    Own {
        /// Least number of parts of the whole wire.
        parts: usize,
    },
}

/// How a wire stretches: of one piece, or with a core that carries alone at small tensions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StretchLaw {
    /// Axial stiffness of the whole wire, N.
    pub axial_stiffness_n: f64,
    /// Its core, where that is of another metal.
    pub core: Option<SlackCore>,
}

/// A core by itself: the share by which it is shorter than the whole wire when both lie free, and its axial stiffness.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlackCore {
    /// Axial stiffness, N; less than that of the whole wire.
    pub axial_stiffness_n: f64,
    /// s: how much shorter, as a share of the whole wire's unstretched length.
    pub shorter: f64,
}

/// λ = `free` + `per_n`·|T|.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Stretch {
    free: f64,
    per_n: f64,
}

impl StretchLaw {
    /// A wire of one piece.
    #[must_use]
    pub fn elastic(axial_stiffness_n: f64) -> Self {
        Self { axial_stiffness_n, core: None }
    }

    fn whole(&self) -> Stretch {
        Stretch { free: 1.0, per_n: 1.0 / self.axial_stiffness_n }
    }

    fn core_alone(&self) -> Option<Stretch> {
        self.core.map(|core| {
            let free = 1.0 - core.shorter;
            Stretch { free, per_n: free / core.axial_stiffness_n }
        })
    }

    /// At a tension: whole or core, whichever is stretched less, pulls more.
    fn at(&self, tension_n: f64) -> Stretch {
        let whole = self.whole();
        match self.core_alone() {
            Some(core) if core.of(tension_n) < whole.of(tension_n) => core,
            _ => whole,
        }
    }

    /// The tension below which the core carries alone, N: where 1 + T/K = (1 − s)·(1 + T/K_c).
    fn knee_n(&self) -> Option<f64> {
        let (whole, core) = (self.whole(), self.core_alone()?);
        let knee_n = (whole.free - core.free) / (core.per_n - whole.per_n);
        (knee_n > 0.0 && knee_n.is_finite()).then_some(knee_n)
    }
}

impl Stretch {
    fn of(&self, tension_n: f64) -> f64 {
        self.free + self.per_n * tension_n
    }
}

impl LoadModel {
    /// Force of weight, ice and wind per unstretched length on a wire that runs along a unit vector, site frame, N/m. The wind
    /// presses with its part square to the wire.
    #[must_use]
    pub fn force_n_per_m(&self, along: &Vector3<f64>, wind_m_per_s: &Vector3<f64>, ice_m: f64) -> Vector3<f64> {
        let square = wind_m_per_s - along * along.dot(wind_m_per_s);
        let [push_n_per_m, _] = self.push_n_per_m([square.norm(), 0.0], ice_m);
        let pushed = square.try_normalize(0.0).map_or(Vector3::zeros(), |way| way * push_n_per_m);
        pushed - Vector3::z() * self.down_n_per_m(ice_m)
    }
}

/// A wire that hangs under a load of pieces.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceCurve {
    parts: Vec<Part>,
    unstretched_m: f64,
    to: Point3<f64>,
}

/// A part of the wire with one load and one law of stretching.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Part {
    /// Unstretched length from the near end to where it starts, m.
    from_m: f64,
    length_m: f64,
    start: Point3<f64>,
    /// Force in the wire where it starts, N.
    force_n: Vector3<f64>,
    /// −q: what the force gains per unstretched length, N/m.
    carried_n_per_m: Vector3<f64>,
    stretch: Stretch,
    ice_m: f64,
}

/// What a piece of a wire bears.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PieceForce {
    /// Where it ends: share of the unstretched length from the near end, up to 1.
    pub to_share: f64,
    /// Weight, ice and wind per unstretched length, site frame, N/m.
    pub force_n_per_m: Vector3<f64>,
    /// Radial ice, m.
    pub ice_m: f64,
}

/// A stretch of wire with one load, before its force is known.
#[derive(Clone, Copy)]
struct Loaded {
    length_m: f64,
    carried_n_per_m: Vector3<f64>,
    ice_m: f64,
}

/// What is to be solved: a wire between two points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FixedWire {
    /// Near end, m.
    pub from: Point3<f64>,
    /// Far end, m.
    pub to: Point3<f64>,
    /// Unstretched length, m.
    pub unstretched_m: f64,
    /// How it stretches.
    pub law: StretchLaw,
}

/// Most steps of Newton's method.
const STEPS: usize = 60;
/// The far end is met to this part of the chord.
const MET: f64 = 1e-13;
/// Where steps bring no gain any more, rounding is reached; then the far end must be met to this part of the chord.
const ROUNDED: f64 = 1e-11;
/// Most rounds for the directions of the pieces, and the turn (rad) that is none.
const ROUNDS: usize = 200;
const TURN: f64 = 1e-11;
/// Greatest strain at the greatest tension that the model covers: 0.02 at the lowest point, slope 3 (`catenary.rs`).
const STRAIN_MAX: f64 = 0.0633;

impl FixedWire {
    /// How the wire hangs in the weather of the pieces.
    ///
    /// # Errors
    /// When a number is not finite or not positive, the iteration does not settle, or the wire is stretched beyond the model.
    pub fn under(
        &self,
        load: &LoadModel,
        pieces: &LoadPieces,
        incidence: Incidence,
    ) -> Result<PieceCurve, CatenaryError> {
        let Incidence::Own { parts } = incidence else { return self.bearing(&self.forces(load, pieces)) };
        let parts = divided(pieces, parts);
        let lengths: Vec<f64> = parts.iter().map(|(share, _)| share * self.unstretched_m).collect();
        let loaded = |directions: &[Vector3<f64>]| -> Vec<Loaded> {
            let each = parts.iter().zip(&lengths).zip(directions);
            each.map(|(((_, piece), length_m), along)| Loaded {
                length_m: *length_m,
                carried_n_per_m: -load.force_n_per_m(along, &piece.wind_m_per_s, piece.ice_m),
                ice_m: piece.ice_m,
            })
            .collect()
        };
        let mut directions = vec![(self.to - self.from).normalize(); parts.len()];
        let mut curve = self.carrying(&loaded(&directions), None)?;
        for _ in 0..ROUNDS {
            let next = curve.directions(&lengths);
            let turn = directions.iter().zip(&next).map(|(a, b)| (a - b).norm()).fold(0.0, f64::max);
            if turn <= TURN {
                return Ok(curve);
            }
            directions = next;
            curve = self.carrying(&loaded(&directions), Some(curve.near_force_n()))?;
        }
        Err(self.not_converged())
    }

    /// What pieces bear that all meet the wind as the straight line between the ends does.
    #[must_use]
    pub fn forces(&self, load: &LoadModel, pieces: &LoadPieces) -> Vec<PieceForce> {
        let along = (self.to - self.from).normalize();
        let force = |piece: &LoadPiece| PieceForce {
            to_share: piece.to_share,
            force_n_per_m: load.force_n_per_m(&along, &piece.wind_m_per_s, piece.ice_m),
            ice_m: piece.ice_m,
        };
        pieces.pieces().iter().map(force).collect()
    }

    /// How the wire hangs under the forces of pieces, in order from the near end, the last of which ends at 1.
    ///
    /// # Errors
    /// As for [`FixedWire::under`].
    pub fn bearing(&self, forces: &[PieceForce]) -> Result<PieceCurve, CatenaryError> {
        self.bearing_from(forces, None)
    }

    /// The same, sought from a force at the near end, N, which is quick where that is about the true one.
    ///
    /// # Errors
    /// As for [`FixedWire::under`].
    pub fn bearing_from(
        &self,
        forces: &[PieceForce],
        near_n: Option<Vector3<f64>>,
    ) -> Result<PieceCurve, CatenaryError> {
        let starts = std::iter::once(0.0).chain(forces.iter().map(|force| force.to_share));
        let loaded = |(from, force): (f64, &PieceForce)| Loaded {
            length_m: (force.to_share - from) * self.unstretched_m,
            carried_n_per_m: -force.force_n_per_m,
            ice_m: force.ice_m,
        };
        let loaded: Vec<Loaded> = starts.zip(forces).map(loaded).collect();
        self.carrying(&loaded, near_n)
    }

    fn not_converged(&self) -> CatenaryError {
        CatenaryError::NotConverged { unstretched_m: self.unstretched_m, chord_m: (self.to - self.from).norm() }
    }

    /// Newton's method for the force at the near end. A step is halved until the miss along it is less than before, which ends
    /// since the miss is the gradient of a convex function.
    fn carrying(&self, loaded: &[Loaded], near_n: Option<Vector3<f64>>) -> Result<PieceCurve, CatenaryError> {
        let chord = self.to - self.from;
        let chord_m = chord.norm();
        let mut force_n = match near_n {
            Some(force_n) => force_n,
            None => self.guess_n(loaded).ok_or_else(|| self.not_converged())?,
        };
        let mut curve = self.with_force(loaded, force_n);
        let mut miss = curve.to - self.to;
        for _ in 0..STEPS {
            if miss.norm() <= MET * chord_m {
                return self.in_model(curve);
            }
            let step = curve.compliance().lu().solve(&-miss).ok_or_else(|| self.not_converged())?;
            let along = miss.dot(&step).abs();
            let mut share = 1.0;
            let (next, next_miss) = loop {
                let next = self.with_force(loaded, force_n + step * share);
                let next_miss = next.to - self.to;
                if next_miss.dot(&step).abs() < along || share < 1e-6 {
                    break (next, next_miss);
                }
                share *= 0.5;
            };
            if next_miss.norm() >= miss.norm() && miss.norm() <= ROUNDED * chord_m {
                return self.in_model(curve);
            }
            force_n += step * share;
            (curve, miss) = (next, next_miss);
        }
        Err(self.not_converged())
    }

    /// A force at the near end for a wire that hangs like a parabola under the mean load: its tension by halving.
    fn guess_n(&self, loaded: &[Loaded]) -> Option<Vector3<f64>> {
        let chord = self.to - self.from;
        let chord_m = chord.norm();
        let along = chord / chord_m;
        let total: Vector3<f64> = loaded.iter().map(|part| part.carried_n_per_m * part.length_m).sum();
        let square_n = (total - along * along.dot(&total)).norm();
        let spare = |tension_n: f64| {
            let stretched_m = self.unstretched_m * self.law.at(tension_n).of(tension_n);
            chord_m * (1.0 + (square_n / tension_n).powi(2) / 24.0) - stretched_m
        };
        let (mut low, mut high) = ((1e-3 * square_n).ln(), (1e3 * square_n + 0.1 * self.law.axial_stiffness_n).ln());
        if !(self.unstretched_m > 0.0 && low.is_finite() && high.is_finite()) {
            return None;
        }
        for _ in 0..40 {
            let middle = 0.5 * (low + high);
            if spare(middle.exp()) > 0.0 { low = middle } else { high = middle }
        }
        // The near end bears what lies nearer to it.
        let (mut before_m, mut near_n) = (0.0, Vector3::zeros());
        for part in loaded {
            let middle = (before_m + 0.5 * part.length_m) / self.unstretched_m;
            near_n += part.carried_n_per_m * (part.length_m * (1.0 - middle));
            before_m += part.length_m;
        }
        Some(along * (0.5 * (low + high)).exp() - near_n)
    }

    /// The wire with a force at its near end; its far end lies where that brings it.
    fn with_force(&self, loaded: &[Loaded], near_n: Vector3<f64>) -> PieceCurve {
        let mut parts = Vec::with_capacity(loaded.len());
        let (mut from_m, mut start, mut force_n) = (0.0, self.from, near_n);
        for piece in loaded {
            for length_m in self.law.parts_m(force_n, piece) {
                let middle_n = (force_n + piece.carried_n_per_m * (0.5 * length_m)).norm();
                let (carried_n_per_m, stretch) = (piece.carried_n_per_m, self.law.at(middle_n));
                let part = Part { from_m, length_m, start, force_n, carried_n_per_m, stretch, ice_m: piece.ice_m };
                start = part.point(length_m);
                force_n += carried_n_per_m * length_m;
                from_m += length_m;
                parts.push(part);
            }
        }
        PieceCurve { parts, unstretched_m: self.unstretched_m, to: start }
    }

    fn in_model(&self, curve: PieceCurve) -> Result<PieceCurve, CatenaryError> {
        let tension_n = curve.greatest_tension_n();
        let strain = self.law.at(tension_n).of(tension_n) - 1.0;
        if strain <= STRAIN_MAX { Ok(curve) } else { Err(CatenaryError::OutsideModel { strain, slope: f64::NAN }) }
    }
}

impl StretchLaw {
    /// The lengths of a piece between which its tension passes the knee, m: |F + c·s|² = knee² is a quadratic in s.
    fn parts_m(&self, force_n: Vector3<f64>, piece: &Loaded) -> Vec<f64> {
        let Some(knee_n) = self.knee_n() else { return vec![piece.length_m] };
        let c = piece.carried_n_per_m;
        let (a, half_b) = (c.norm_squared(), force_n.dot(&c));
        let root = half_b * half_b - a * (force_n.norm_squared() - knee_n * knee_n);
        if root <= 0.0 {
            return vec![piece.length_m];
        }
        let passes = [-half_b - root.sqrt(), -half_b + root.sqrt()].map(|s| s / a);
        let inside = passes.into_iter().filter(|s| *s > 0.0 && *s < piece.length_m);
        let mut places = vec![0.0];
        places.extend(inside);
        places.push(piece.length_m);
        places.windows(2).map(|ends| ends[1] - ends[0]).collect()
    }
}

/// Nodes and weights of the Gauss-Legendre rule with five points on 0..1 (Abramowitz and Stegun, table 25.4, from memory;
/// it only steers Newton's steps).
const GAUSS: [(f64, f64); 5] = [
    (0.046_910_077_030_668, 0.118_463_442_528_095),
    (0.230_765_344_947_158, 0.239_314_335_249_683),
    (0.5, 0.284_444_444_444_444),
    (0.769_234_655_052_842, 0.239_314_335_249_683),
    (0.953_089_922_969_332, 0.118_463_442_528_095),
];

impl Part {
    /// A point at an unstretched length from its start: α·∫T/|T| ds + β·∫T ds, with T = F + c·s, e = c/|c|, a = T·e, h = T − a·e:
    /// ∫T/|T| ds = h/|c|·(asinh(a₁/|h|) − asinh(a₀/|h|)) + e/|c|·(|T₁| − |T₀|).
    fn point(&self, s_m: f64) -> Point3<f64> {
        let (f, c) = (self.force_n, self.carried_n_per_m);
        let size = c.norm();
        let e = c / size;
        let (a0, end) = (f.dot(&e), f + c * s_m);
        let h = f - e * a0;
        let across = h.norm();
        let rise = c.dot(&(f + end)) * s_m / (f.norm() + end.norm());
        let turn = ((a0 + size * s_m) / across).asinh() - (a0 / across).asinh();
        let unit = h * (turn / size) + e * (rise / size);
        let pulled = (f + c * (0.5 * s_m)) * s_m;
        self.start + unit * self.stretch.free + pulled * self.stretch.per_n
    }

    fn force_at(&self, s_m: f64) -> Vector3<f64> {
        self.force_n + self.carried_n_per_m * s_m
    }

    /// ∫∂r′/∂T ds: how its far end moves with the force.
    fn compliance(&self) -> Matrix3<f64> {
        let at = |share: f64| {
            let force_n = self.force_at(share * self.length_m);
            let tension_n = force_n.norm();
            let way = force_n / tension_n;
            let lengthwise = way * way.transpose();
            (Matrix3::identity() - lengthwise) * (self.stretch.of(tension_n) / tension_n)
                + lengthwise * self.stretch.per_n
        };
        GAUSS.iter().map(|(share, weight)| at(*share) * (weight * self.length_m)).sum()
    }
}

impl PieceCurve {
    fn compliance(&self) -> Matrix3<f64> {
        self.parts.iter().map(Part::compliance).sum()
    }

    fn part_at(&self, share: f64) -> &Part {
        let at_m = share * self.unstretched_m;
        let next = self.parts.partition_point(|part| part.from_m <= at_m);
        &self.parts[next.saturating_sub(1)]
    }

    /// The point at a share of the unstretched length from the near end, m.
    #[must_use]
    pub fn point(&self, share: f64) -> Point3<f64> {
        let part = self.part_at(share);
        part.point(share * self.unstretched_m - part.from_m)
    }

    /// The force in the wire there, N: what the part beyond pulls with.
    #[must_use]
    pub fn force_n(&self, share: f64) -> Vector3<f64> {
        let part = self.part_at(share);
        part.force_at(share * self.unstretched_m - part.from_m)
    }

    /// Radial ice there, m.
    #[must_use]
    pub fn ice_m(&self, share: f64) -> f64 {
        self.part_at(share).ice_m
    }

    /// The force at the near end, N.
    #[must_use]
    pub fn near_force_n(&self) -> Vector3<f64> {
        self.force_n(0.0)
    }

    /// The greatest tension, N: |T| is convex in each part.
    #[must_use]
    pub fn greatest_tension_n(&self) -> f64 {
        let ends = self.parts.iter().flat_map(|part| [part.force_n.norm(), part.force_at(part.length_m).norm()]);
        ends.fold(0.0, f64::max)
    }

    /// Shares of the unstretched length at which the load or the law of stretching changes, from 0 to 1.
    pub fn breaks(&self) -> impl Iterator<Item = f64> + '_ {
        let starts = self.parts.iter().map(|part| part.from_m / self.unstretched_m);
        starts.chain(std::iter::once(1.0))
    }

    /// Directions of lengths of the wire, each from its start to its end.
    fn directions(&self, lengths_m: &[f64]) -> Vec<Vector3<f64>> {
        let mut place_m = 0.0;
        let mut from = self.point(0.0);
        let each = lengths_m.iter().map(|length_m| {
            place_m += length_m;
            let to = self.point((place_m / self.unstretched_m).min(1.0));
            let way = (to - from).normalize();
            from = to;
            way
        });
        each.collect()
    }
}

/// The pieces, those divided that are longer than one part of so many; each with its share of the wire.
fn divided(pieces: &LoadPieces, parts: usize) -> Vec<(f64, LoadPiece)> {
    let mut from = 0.0;
    let mut divided = Vec::new();
    for piece in pieces.pieces() {
        let share = piece.to_share - from;
        let count = (share * parts as f64).ceil().max(1.0);
        divided.extend(std::iter::repeat_n((share / count, *piece), count as usize));
        from = piece.to_share;
    }
    divided
}

#[cfg(test)]
mod tests;
