//! The balance of a section in one state: Newton's method on all spans and strings at once.
//!
//! Unknowns: for each span the force at its near end in its frame (3), for each string its direction in its frame (3) and its
//! tension (1); forces in units of the section. Equations: each span reaches from string to string; forces at the lower end of
//! each string cancel; each direction has length 1.

use nalgebra::{DVector, Matrix3, Matrix4, Point3, Vector3};

use super::cable::Cable;
use super::model::{Hanger, Parts};
use super::tangent::{SpanRows, StringRows, Tangent};
use super::{Section, SectionError, SectionState, StringSwing};
use crate::line::{Catenary, Span};

/// A balanced state.
#[derive(Clone, Debug, PartialEq)]
pub struct Balanced {
    /// The state.
    pub state: SectionState,
    /// The unknowns.
    pub unknowns: DVector<f64>,
}

const NEWTON_STEPS: usize = 20;
/// Shortest share of the way to a new state that is tried on its own.
const LEAST_STRIDE: f64 = 1.0 / 512.0;
/// Change of the unknowns below which Newton's method has settled: its next step, about the square of this, would move no wire by
/// a nanometre. Proofs count in what is left.
const SETTLED: f64 = 1e-6;

impl Section {
    /// How many unknowns.
    pub(super) fn order(&self) -> usize {
        3 * self.members.len() + 4 * self.hangers.len()
    }

    /// Where the unknowns and equations of a string begin.
    pub(super) fn string_row(&self, hanger: usize) -> usize {
        3 * self.members.len() + 4 * hanger
    }

    /// The balance at a tension near that of clamping in, strings plumb, still air.
    ///
    /// # Errors
    /// When the forces do not balance, or a string is lifted.
    pub(super) fn balanced_at_rest(&self, clamped_n: f64) -> Result<Balanced, SectionError> {
        let state = SectionState { clamped_n, growth: 1.0, wind_m_per_s: 0.0, wind_from_rad: 0.0, ice_m: 0.0 };
        let mut unknowns = DVector::zeros(self.order());
        let weight = self.load.down_n_per_m(0.0);
        let mut vertical_n = vec![0.0; self.hangers.len()];
        for (span, member) in self.members.iter().enumerate() {
            let shape = Catenary::with_tension(member.rest.chord_in_plane(0.0), clamped_n, weight, self.stiffness_n)?;
            let (near, far) = shape.end_slopes();
            let way = member.rest.chord().xy().normalize() * clamped_n;
            let force_n = Vector3::new(way.x, way.y, near * clamped_n);
            unknowns.fixed_rows_mut::<3>(3 * span).copy_from(&(member.frame.tr_mul(&force_n) / self.unit_n));
            if let Some(n) = vertical_n.get_mut(span) {
                *n += far * clamped_n;
            }
            if let Some(n) = span.checked_sub(1).and_then(|before| vertical_n.get_mut(before)) {
                *n -= near * clamped_n;
            }
        }
        for (index, hanger) in self.hangers.iter().enumerate() {
            let row = self.string_row(index);
            unknowns[row + 2] = -1.0;
            unknowns[row + 3] = (vertical_n[index] + 0.5 * hanger.string.weight_n) / self.unit_n;
        }
        self.newton(&self.parts(&state)?, &state, &unknowns)
    }

    /// The balance in a state, on the way from a balanced one: in one stride where Newton's method manages, else in shorter
    /// ones.
    ///
    /// # Errors
    /// When the forces do not balance, or a string is lifted on the way.
    pub(super) fn balanced(&self, state: &SectionState, start: &Balanced) -> Result<Balanced, SectionError> {
        self.balanced_under(&self.parts(state)?, state, start)
    }

    /// The same where the lengths and loads in that state are known.
    ///
    /// # Errors
    /// As [`Section::balanced`].
    pub(super) fn balanced_under(
        &self,
        parts: &Parts,
        state: &SectionState,
        start: &Balanced,
    ) -> Result<Balanced, SectionError> {
        let (mut here, mut done, mut stride) = (start.unknowns.clone(), 0.0, 1.0_f64);
        loop {
            let next = (done + stride).min(1.0);
            let found = if next == 1.0 {
                self.newton(parts, state, &here)
            } else {
                let between = start.state.toward(state, next);
                self.newton(&self.parts(&between)?, &between, &here)
            };
            match found {
                Ok(found) if next == 1.0 => return Ok(found),
                Ok(found) => {
                    (here, done, stride) = (found.unknowns, next, 2.0 * stride);
                }
                Err(error) if stride <= LEAST_STRIDE => return Err(error),
                Err(_) => stride *= 0.5,
            }
        }
    }

    fn newton(&self, parts: &Parts, state: &SectionState, start: &DVector<f64>) -> Result<Balanced, SectionError> {
        let mut unknowns = start.clone();
        for _ in 0..NEWTON_STEPS {
            let mut step = self.misfit(parts, &unknowns);
            self.tangent(parts, &unknowns).ok_or(SectionError::NotBalanced)?.solve(step.as_mut_slice());
            unknowns -= &step;
            let change = step.amax();
            if !change.is_finite() || change > 1e3 {
                return Err(SectionError::NotBalanced);
            }
            if change <= SETTLED {
                return self.hanging(state, unknowns);
            }
        }
        Err(SectionError::NotBalanced)
    }

    /// Refuses a balance in which a string would have to push or is pulled above its support, or a wire leads backward.
    fn hanging(&self, state: &SectionState, unknowns: DVector<f64>) -> Result<Balanced, SectionError> {
        let is_lifted = |&index: &usize| {
            let row = self.string_row(index);
            unknowns[row + 3] <= 0.0 || unknowns[row + 2] >= 0.0
        };
        let lifted = (0..self.hangers.len()).find(is_lifted);
        if let Some(index) = lifted {
            return Err(SectionError::Uplift { support: self.hangers[index].support, state: *state });
        }
        let backward = (0..self.members.len()).any(|span| unknowns[3 * span] <= 0.0);
        if backward { Err(SectionError::NotBalanced) } else { Ok(Balanced { state: *state, unknowns }) }
    }

    pub(super) fn cable(&self, parts: &Parts, unknowns: &DVector<f64>, span: usize) -> Cable {
        let local = unknowns.fixed_rows::<3>(3 * span).into_owned() * self.unit_n;
        let unstretched_m = parts.unstretched_m[span];
        Cable {
            force_n: self.members[span].frame * local,
            total_n: parts.load_n_per_m[span] * unstretched_m,
            unstretched_m,
            stiffness_n: self.stiffness_n,
        }
    }

    /// Where the wire is held at a support of the section, from 0 at the near dead end, m.
    pub(super) fn end(&self, unknowns: &DVector<f64>, support: usize) -> Point3<f64> {
        if support == 0 {
            return self.members[0].rest.from();
        }
        match self.hangers.get(support - 1) {
            Some(hanger) => {
                let direction = unknowns.fixed_rows::<3>(self.string_row(support - 1)).into_owned();
                hanger.top + hanger.frame * direction * hanger.string.length_m
            }
            None => self.members[support - 1].rest.to(),
        }
    }

    /// The left-hand sides of all equations, zero in balance.
    pub(super) fn misfit(&self, parts: &Parts, unknowns: &DVector<f64>) -> DVector<f64> {
        let mut misfit = DVector::zeros(self.order());
        let cables: Vec<Cable> = (0..self.members.len()).map(|span| self.cable(parts, unknowns, span)).collect();
        for (span, (member, cable)) in self.members.iter().zip(&cables).enumerate() {
            let gap = cable.reach_m() - (self.end(unknowns, span + 1) - self.end(unknowns, span));
            misfit.fixed_rows_mut::<3>(3 * span).copy_from(&member.frame.tr_mul(&gap));
        }
        for (index, hanger) in self.hangers.iter().enumerate() {
            let row = self.string_row(index);
            let (near, far) = (&cables[index], &cables[index + 1]);
            let pull_n = far.force_n - near.force_n + near.total_n + parts.push_n[index];
            let direction = unknowns.fixed_rows::<3>(row).into_owned();
            let sum = hanger.frame.tr_mul(&pull_n) / self.unit_n - direction * unknowns[row + 3];
            misfit.fixed_rows_mut::<3>(row).copy_from(&sum);
            misfit[row + 3] = 0.5 * (direction.norm_squared() - 1.0);
        }
        misfit
    }

    /// Derivatives of [`Section::misfit`] by the unknowns; none where they cannot be solved for.
    pub(super) fn tangent(&self, parts: &Parts, unknowns: &DVector<f64>) -> Option<Tangent> {
        let spans = self.members.iter().enumerate().map(|(span, member)| {
            let end = |index: Option<usize>, sign: f64| {
                let hanger = index.and_then(|index| self.hangers.get(index));
                let block = |hanger: &Hanger| member.frame.tr_mul(&hanger.frame) * (sign * hanger.string.length_m);
                hanger.map_or_else(Matrix3::zeros, block)
            };
            let give = self.cable(parts, unknowns, span).give_m_per_n();
            SpanRows {
                give: member.frame.tr_mul(&(give * member.frame)) * self.unit_n,
                ends: [end(span.checked_sub(1), 1.0), end(Some(span), -1.0)],
            }
        });
        let strings = self.hangers.iter().enumerate().map(|(index, hanger)| {
            let pull = |span: usize, sign: f64| hanger.frame.tr_mul(&self.members[span].frame) * sign;
            let row = self.string_row(index);
            let direction = unknowns.fixed_rows::<3>(row).into_owned();
            let mut own = Matrix4::from_diagonal_element(-unknowns[row + 3]);
            own[(3, 3)] = 0.0;
            own.fixed_view_mut::<3, 1>(0, 3).copy_from(&-direction);
            own.fixed_view_mut::<1, 3>(3, 0).copy_from(&direction.transpose());
            StringRows { pull: [pull(index, -1.0), pull(index + 1, 1.0)], own }
        });
        Tangent::new(spans, strings)
    }

    /// A span between the ends that it has in balance.
    ///
    /// # Errors
    /// When its ends are no span that the model covers.
    pub(super) fn span_in(&self, balanced: &Balanced, span: usize) -> Result<Span, SectionError> {
        let ends = [span, span + 1].map(|support| self.end(&balanced.unknowns, support));
        self.members[span].rest.moved(ends[0], ends[1]).map_err(|_| SectionError::NotBalanced)
    }

    /// How the string at a support of the section swings; none at a dead end.
    pub(super) fn swing(&self, balanced: &Balanced, support: usize) -> Option<StringSwing> {
        let index = support.checked_sub(1).filter(|index| *index < self.hangers.len())?;
        let direction = balanced.unknowns.fixed_rows::<3>(self.string_row(index)).into_owned();
        let angle = |part: f64| part.atan2(-direction.z);
        Some(StringSwing { along_rad: angle(direction.x), across_rad: angle(direction.y) })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::{Conductor, ConductorProperties, LoadModel, SuspensionString};
    use proptest::prelude::*;

    fn section() -> Section {
        let conductor = Conductor::new(ConductorProperties {
            diameter_m: 0.028,
            mass_kg_per_m: 1.6,
            axial_stiffness_n: 3.2e7,
            expansion_per_k: 19e-6,
            rated_strength_n: None,
        })
        .expect("a possible conductor");
        let points =
            [[0.0, 0.0, 20.0], [250.0, 90.0, 26.0], [400.0, 142.0, 19.0], [760.0, 275.0, 22.0]].map(Point3::from);
        let spans = points.windows(2).map(|p| Span::new(p[0], p[1]).expect("a possible span"));
        let string = SuspensionString { length_m: 1.7, weight_n: 700.0, wind_area_m2: 0.3 };
        let load = LoadModel::new(&conductor, 1.225, 1.0, 913.0);
        Section::new(&spans.collect::<Vec<_>>(), &[string; 2], load, 3.2e7, 2.4e4).expect("a possible section")
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(40))]
        #[test]
        fn the_tangent_solves_what_the_misfit_does(
            clamped_n in 1.8e4..3e4_f64, growth in 0.9995..1.001_f64, wind in -20.0..20.0_f64, ice in 0.0..0.01_f64,
        ) {
            let section = section();
            let state =
                SectionState { clamped_n, growth, wind_m_per_s: wind, wind_from_rad: 0.4, ice_m: ice };
            let start = section.balanced_at_rest(2.4e4).expect("balanced");
            let balanced = section.balanced(&state, &start).expect("balanced");
            let parts = section.parts(&state).expect("shapes");
            prop_assert!(section.misfit(&parts, &balanced.unknowns).amax() < 1e-9);
            let tangent = section.tangent(&parts, &balanced.unknowns).expect("regular");
            let inverse = &tangent.inverse();
            for k in 0..section.order() {
                let moved = |by: f64| {
                    let mut unknowns = balanced.unknowns.clone();
                    unknowns[k] += by;
                    section.misfit(&parts, &unknowns)
                };
                let slope = (moved(1e-5) - moved(-1e-5)) / 2e-5;
                let mut solved = slope.clone();
                tangent.solve(solved.as_mut_slice());
                prop_assert!((&solved - inverse * slope).amax() < 1e-9, "unknown {}", k);
                solved[k] -= 1.0;
                prop_assert!(solved.amax() < 2e-6, "unknown {}: {}", k, solved.amax());
            }
        }
    }
}
