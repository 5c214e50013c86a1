//! The derivatives of a section's equations by its unknowns, solved span by span and string by string: a span answers to its two
//! strings alone, a string to its two spans.
//!
//! With forces f and strings' directions and pulls z, the equations of a span are K⁻¹·f + A·u₋ + B·u₊ = r, those of a string
//! P·f₋ + Q·f₊ + D·z = s. Without the forces a string answers to its neighbours alone, which is solved from one end to the other.

use nalgebra::{DMatrix, Matrix3, Matrix4, Matrix4x3, Vector3, Vector4};

/// Blocks of the derivatives, with what solving needs.
pub(super) struct Tangent {
    spans: Vec<SpanBlocks>,
    strings: Vec<StringBlocks>,
}

/// A span without its forces.
struct SpanBlocks {
    /// K.
    stiffness: Matrix3<f64>,
    /// K·A and K·B.
    held: [Matrix3<f64>; 2],
}

/// A string without the forces of its spans and without the strings before it.
struct StringBlocks {
    /// P and Q.
    pull: [Matrix3<f64>; 2],
    /// How it answers to the direction of the string before.
    before: Matrix3<f64>,
    /// The inverse of how it answers to itself.
    pivot: Matrix4<f64>,
    /// How it answers to the direction of the string after, times the pivot.
    after: Matrix4x3<f64>,
}

/// The derivatives of a span's equations: by its force, and by the direction of the string at each end.
pub(super) struct SpanRows {
    pub give: Matrix3<f64>,
    pub ends: [Matrix3<f64>; 2],
}

/// The derivatives of a string's equations: by the forces of the span before and after, and by its own direction and pull.
pub(super) struct StringRows {
    pub pull: [Matrix3<f64>; 2],
    pub own: Matrix4<f64>,
}

impl Tangent {
    /// Ready to solve; none where a block is singular.
    pub fn new(spans: impl Iterator<Item = SpanRows>, strings: impl Iterator<Item = StringRows>) -> Option<Self> {
        let spans = spans.map(|rows| {
            let stiffness = rows.give.try_inverse()?;
            Some(SpanBlocks { stiffness, held: rows.ends.map(|end| stiffness * end) })
        });
        let spans: Vec<SpanBlocks> = spans.collect::<Option<_>>()?;
        let mut blocks: Vec<StringBlocks> = Vec::with_capacity(spans.len());
        for (index, StringRows { pull, mut own }) in strings.enumerate() {
            let [near, far] = [&spans[index].held, &spans[index + 1].held];
            let mut direct = own.fixed_view_mut::<3, 3>(0, 0);
            direct -= pull[0] * near[1] + pull[1] * far[0];
            let before = -pull[0] * near[0];
            if let Some(last) = blocks.last() {
                own.fixed_view_mut::<3, 3>(0, 0).gemm(-1.0, &before, &last.after.fixed_rows::<3>(0), 1.0);
            }
            let pivot = own.try_inverse()?;
            let after = pivot.fixed_columns::<3>(0) * (-pull[1] * far[1]);
            blocks.push(StringBlocks { pull, before, pivot, after });
        }
        Some(Self { spans, strings: blocks })
    }

    /// Solves for one right-hand side in place: three numbers for each span, then four for each string.
    pub fn solve(&self, rhs: &mut [f64]) {
        let (forces, strings) = rhs.split_at_mut(3 * self.spans.len());
        for (force, span) in forces.chunks_exact_mut(3).zip(&self.spans) {
            put(force, &(span.stiffness * take(force)));
        }
        for (index, string) in self.strings.iter().enumerate() {
            let force = |span: usize| take(&forces[3 * span..]);
            let mut rest = string.pull[0] * force(index) + string.pull[1] * force(index + 1);
            if let Some(last) = index.checked_sub(1) {
                rest += string.before * take(&strings[4 * last..]);
            }
            let own = &mut strings[4 * index..4 * index + 4];
            let rhs = Vector4::new(own[0] - rest.x, own[1] - rest.y, own[2] - rest.z, own[3]);
            own.copy_from_slice((string.pivot * rhs).as_slice());
        }
        for index in (1..self.strings.len()).rev() {
            let moved = self.strings[index - 1].after * take(&strings[4 * index..]);
            strings[4 * index - 4..4 * index].iter_mut().zip(&moved).for_each(|(own, moved)| *own -= moved);
        }
        for (index, (force, span)) in forces.chunks_exact_mut(3).zip(&self.spans).enumerate() {
            let mut left = take(force);
            if let Some(before) = index.checked_sub(1) {
                left -= span.held[0] * take(&strings[4 * before..]);
            }
            if index < self.strings.len() {
                left -= span.held[1] * take(&strings[4 * index..]);
            }
            put(force, &left);
        }
    }

    /// The inverse of the derivatives.
    pub fn inverse(&self) -> DMatrix<f64> {
        let order = 3 * self.spans.len() + 4 * self.strings.len();
        let mut inverse = DMatrix::identity(order, order);
        inverse.as_mut_slice().chunks_exact_mut(order).for_each(|column| self.solve(column));
        inverse
    }
}

fn take(numbers: &[f64]) -> Vector3<f64> {
    Vector3::new(numbers[0], numbers[1], numbers[2])
}

fn put(numbers: &mut [f64], vector: &Vector3<f64>) {
    numbers[..3].copy_from_slice(vector.as_slice());
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::DVector;
    use proptest::prelude::*;

    /// Blocks as sections have them, and the whole that they are parts of: spans give way when pulled, strings pull, and what a string's
    /// direction does to a span's reach is what the span's force does to the string, times its length.
    fn section(strings: usize, values: &[f64]) -> (Tangent, DMatrix<f64>) {
        let mut values = values.iter().copied().cycle();
        let mut matrix = || Matrix3::from_iterator(values.by_ref().take(9));
        let row = |string: usize| 3 * (strings + 1) + 4 * string;
        let mut dense = DMatrix::zeros(row(strings), row(strings));
        let length_m = 1.7;
        let turn = |part: Matrix3<f64>| Matrix3::identity() + part * 0.1;
        let turns: Vec<[Matrix3<f64>; 2]> = (0..strings).map(|_| [-turn(matrix()), turn(matrix())]).collect();
        let spans: Vec<SpanRows> = (0..=strings)
            .map(|span| {
                let part = Matrix3::from_diagonal(&Vector3::new(0.05, 3.0, 3.0)) * turn(matrix());
                let end = |side: usize, string: Option<usize>| {
                    let turns = string.and_then(|string| turns.get(string));
                    turns.map_or_else(Matrix3::zeros, |turns| turns[1 - side].transpose() * length_m)
                };
                SpanRows { give: part * part.transpose(), ends: [end(0, span.checked_sub(1)), end(1, Some(span))] }
            })
            .collect();
        let rows = turns.iter().map(|pull| {
            let direction = (Vector3::new(0.0, 0.0, -1.0) + matrix().column(0) * 0.3).normalize();
            let mut own = Matrix4::from_diagonal(&Vector4::new(-0.3, -0.3, -0.3, 0.0));
            own.fixed_view_mut::<3, 1>(0, 3).copy_from(&-direction);
            own.fixed_view_mut::<1, 3>(3, 0).copy_from(&direction.transpose());
            StringRows { pull: *pull, own }
        });
        let rows: Vec<StringRows> = rows.collect();
        for (index, span) in spans.iter().enumerate() {
            dense.fixed_view_mut::<3, 3>(3 * index, 3 * index).copy_from(&span.give);
            for (string, end) in [(index.checked_sub(1), &span.ends[0]), (Some(index), &span.ends[1])] {
                if let Some(string) = string.filter(|string| *string < strings) {
                    dense.fixed_view_mut::<3, 3>(3 * index, row(string)).copy_from(end);
                }
            }
        }
        for (index, string) in rows.iter().enumerate() {
            for side in 0..2 {
                dense.fixed_view_mut::<3, 3>(row(index), 3 * (index + side)).copy_from(&string.pull[side]);
            }
            dense.fixed_view_mut::<4, 4>(row(index), row(index)).copy_from(&string.own);
        }
        (Tangent::new(spans.into_iter(), rows.into_iter()).expect("regular blocks"), dense)
    }

    proptest! {
        #[test]
        fn blocks_solve_as_the_whole_does(strings in 1..8_usize, values in prop::collection::vec(-1.0..1.0_f64, 61)) {
            let (tangent, dense) = section(strings, &values);
            let expected = dense.clone().try_inverse().expect("regular");
            let apart = (tangent.inverse() - &expected).amax() / expected.amax();
            prop_assert!(apart < 1e-11, "{apart:e}");
            let rhs = DVector::from_fn(dense.nrows(), |k, _| values[k % values.len()]);
            let mut solved = rhs.clone();
            tangent.solve(solved.as_mut_slice());
            prop_assert!((dense * &solved - rhs).amax() < 1e-11 * (1.0 + solved.amax()));
        }
    }
}
