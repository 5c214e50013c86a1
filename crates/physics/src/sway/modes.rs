//! Natural frequencies and shapes of small vibrations about the wire at rest.

use std::f64::consts::TAU;

use nalgebra::{DMatrix, SymmetricEigen, Vector3};

use super::chain::Chain;
use super::{Cable, CableState, SwayError};

/// Where a vibration moves the wire.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// Across the span, as a swing.
    Across,
    /// In the plane of sag, with the same move on both halves.
    InPlaneSymmetric,
    /// In the plane of sag, with opposite moves on the halves.
    InPlaneAntisymmetric,
}

/// A natural vibration.
#[derive(Clone, Debug, PartialEq)]
pub struct Mode {
    /// Frequency, Hz.
    pub frequency_hz: f64,
    /// What moves most.
    pub direction: Direction,
    /// Moves of the inner nodes, to any scale.
    pub shape: Vec<Vector3<f64>>,
}

impl Cable {
    /// The lowest natural vibrations about a state of rest, lowest first: K·φ = ω²·M·φ.
    ///
    /// # Errors
    /// [`SwayError::Modes`] when no stable vibration is found.
    pub fn modes(&self, rest: &CableState, count: usize) -> Result<Vec<Mode>, SwayError> {
        let nodes = self.nodes();
        let mut ties = Chain::new(nodes);
        self.tangent(&rest.places_m, &mut ties);
        let scale = |node: usize| 1.0 / self.masses_kg[node].sqrt();
        let matrix = DMatrix::from_fn(3 * nodes, 3 * nodes, |row, column| {
            let (i, j) = (row / 3, column / 3);
            if i.abs_diff(j) > 1 { 0.0 } else { ties.block(i, j)[(row % 3, column % 3)] * scale(i) * scale(j) }
        });
        let eigen = SymmetricEigen::try_new(matrix, f64::EPSILON, 10_000).ok_or(SwayError::Modes)?;
        let mut order: Vec<usize> = (0..3 * nodes).collect();
        order.sort_by(|a, b| eigen.eigenvalues[*a].total_cmp(&eigen.eigenvalues[*b]));
        let mode = |index: &usize| {
            let square = eigen.eigenvalues[*index];
            let shape: Vec<_> = (0..nodes)
                .map(|node| eigen.eigenvectors.fixed_view::<3, 1>(3 * node, *index).into_owned() * scale(node))
                .collect();
            let stable = square > 0.0;
            let direction = self.direction(&shape);
            stable.then(|| Mode { frequency_hz: square.sqrt() / TAU, direction, shape }).ok_or(SwayError::Modes)
        };
        order.iter().take(count).map(mode).collect()
    }

    fn direction(&self, shape: &[Vector3<f64>]) -> Direction {
        let whole: f64 = shape.iter().map(Vector3::norm_squared).sum();
        let across: f64 = shape.iter().map(|d| d.dot(&self.lateral).powi(2)).sum();
        // Across: most of it. In the plane: the vertical moves of mirrored nodes agree or oppose.
        let mirrored: f64 = shape.iter().zip(shape.iter().rev()).map(|(a, b)| a.z * b.z).sum();
        if across > 0.5 * whole {
            Direction::Across
        } else if mirrored > 0.0 {
            Direction::InPlaneSymmetric
        } else {
            Direction::InPlaneAntisymmetric
        }
    }
}
