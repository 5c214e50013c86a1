//! Linear equations of a chain: each node is tied to its neighbours only.

use nalgebra::{Matrix3, Vector3};

/// A block of the diagonal and the blocks to its left and right for each node.
#[derive(Clone, Debug)]
pub(super) struct Chain {
    before: Vec<Matrix3<f64>>,
    diagonal: Vec<Matrix3<f64>>,
    after: Vec<Matrix3<f64>>,
}

impl Chain {
    /// No ties between `nodes` nodes.
    pub fn new(nodes: usize) -> Self {
        let zeros = || vec![Matrix3::zeros(); nodes];
        Self { before: zeros(), diagonal: zeros(), after: zeros() }
    }

    /// Takes all ties away.
    pub fn clear(&mut self) {
        for blocks in [&mut self.before, &mut self.diagonal, &mut self.after] {
            blocks.fill(Matrix3::zeros());
        }
    }

    /// Adds a block at one node.
    pub fn add(&mut self, node: usize, block: &Matrix3<f64>) {
        self.diagonal[node] += block;
    }

    /// Adds the element before free node `element`, which resists being stretched by `block`; its ends past the first and
    /// last free node are fixed.
    pub fn tie(&mut self, element: usize, block: &Matrix3<f64>) {
        let nodes = self.diagonal.len();
        if element < nodes {
            self.diagonal[element] += block;
        }
        if element > 0 {
            self.diagonal[element - 1] += block;
        }
        if element > 0 && element < nodes {
            self.before[element] -= block;
            self.after[element - 1] -= block;
        }
    }

    /// Solves for `right`, which becomes the solution: Gauss elimination by blocks. False where a block is singular.
    pub fn solve(&mut self, right: &mut [Vector3<f64>]) -> bool {
        let nodes = right.len();
        for node in 0..nodes {
            if node > 0 {
                let before = self.before[node];
                let (eliminated, shifted) = (before * self.after[node - 1], before * right[node - 1]);
                self.diagonal[node] -= eliminated;
                right[node] -= shifted;
            }
            let Some(inverse) = self.diagonal[node].try_inverse() else { return false };
            self.after[node] = inverse * self.after[node];
            right[node] = inverse * right[node];
        }
        for node in (1..nodes).rev() {
            let shifted = self.after[node - 1] * right[node];
            right[node - 1] -= shifted;
        }
        true
    }

    /// The block that ties two nodes; zero where they are not neighbours.
    pub fn block(&self, row: usize, column: usize) -> Matrix3<f64> {
        if row == column {
            self.diagonal[row]
        } else if row == column + 1 {
            self.before[row]
        } else if column == row + 1 {
            self.after[row]
        } else {
            Matrix3::zeros()
        }
    }
}
