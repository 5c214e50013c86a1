//! Proof that a section balances in every state of a box, and where its strings and tensions then are.
//!
//! About the balanced middle y₀ the unknowns follow y₀ + y₁·p + e. Krawczyk's operator for e is −Y·(F₀ + R), with Y the
//! inverse of the Jacobian and R all that is not linear, bounded in `docs/theory/strings.md`. Where it maps the box |e| ≤ ρ into
//! itself there is a balance in it (Brouwer), and as the section has no second one, it is the balance.

use std::ops::AddAssign;

use nalgebra::{DMatrix, DVector, Matrix3, Vector3};

use super::balance::Balanced;
use super::model::{Parts, in_space};
use super::spread::{Forces, Linear, SpanSpread};
use super::{DIMENSIONS, Section, SectionBox};
use crate::interval::Interval;

/// What is proven of a section over a box of states.
#[derive(Clone, Debug, PartialEq)]
pub struct Bounds {
    /// For each support, dead ends included, the range of the vector from the fixed point to the wire, in the string's frame, m.
    pub ends_m: Vec<Corners>,
    /// For each span, the range of its catenary constant a = H/w, m.
    pub constants_m: Vec<Interval>,
}

/// A box of vectors.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corners {
    pub low: Vector3<f64>,
    pub high: Vector3<f64>,
}

/// Bounds, and the linear parts that they were found with.
pub struct Enclosure {
    pub bounds: Bounds,
    /// Change of the unknowns over half of each range.
    pub rates: DMatrix<f64>,
    /// Relative change of the catenary constant of each span over half of each range.
    pub constant_shares: Vec<[f64; DIMENSIONS]>,
    pub spreads: Vec<SpanSpread>,
    /// How much each number of the state bends the equations of each span.
    pub bends: Vec<[f64; DIMENSIONS]>,
}

/// What came of a proof.
pub enum Attempt {
    /// It holds.
    Proven(Enclosure),
    /// The box is too large for it; how much each number of the state bends the equations.
    TooLarge([f64; DIMENSIONS]),
}

/// A local vector over the box: linear parts and, per component, a bound on the rest.
struct Vectors {
    rates: [Vector3<f64>; DIMENSIONS],
    rest: Vector3<f64>,
}

/// How much more a change square to the chord bends the equations than one along it; decides where to split.
const SQUARE_WEIGHT: f64 = 4.0;
const PANELS: usize = 8;
const TRIES: usize = 12;
/// Room that each try leaves above the bound that it starts from.
const ROOM: f64 = 1.1;
/// What rounding may add, as a share of the unknowns (force unit, direction).
const ROUNDING: f64 = 1e-11;

impl Section {
    /// The proof for a box about a balanced middle with its lengths and loads, and with the lengths clamped in over the box.
    pub(super) fn enclose(&self, states: &SectionBox, center: &Balanced, parts: &Parts, lengths: &[Linear]) -> Attempt {
        let y0 = &center.unknowns;
        let Some(inverse) = self.tangent(parts, y0).map(|tangent| tangent.inverse()) else {
            return Attempt::TooLarge(states.half_widths());
        };
        let spreads = lengths.iter().enumerate().map(|(span, length)| self.span_spread(span, states, length));
        let spreads: Vec<SpanSpread> = spreads.collect();
        let pushes: Vec<Forces> = self.hangers.iter().map(|hanger| self.push_spread(hanger, states)).collect();
        let mut slopes = DMatrix::zeros(self.order(), DIMENSIONS);
        let mut fixed = self.misfit(parts, y0).map(f64::abs);
        let mut totals = Vec::new();
        for (span, member) in self.members.iter().enumerate() {
            let (cable, spread) = (self.cable(parts, y0, span), &spreads[span]);
            let reach = member.frame.tr_mul(&cable.reach_m()) / cable.unstretched_m;
            let droop = member.frame.tr_mul(&(cable.droop_m_per_n() * member.frame));
            let total = in_frame(&spread.total_n, &member.frame, &member.axes());
            let length = &spread.unstretched_m;
            for k in 0..DIMENSIONS {
                let slope = reach * length.rates[k] - droop * total.rates[k];
                slopes.fixed_view_mut::<3, 1>(3 * span, k).copy_from(&slope);
            }
            let rest = reach.abs() * length.rest + droop.abs() * total.rest;
            fixed.fixed_rows_mut::<3>(3 * span).add_assign(&rest);
            totals.push(total);
        }
        for (index, hanger) in self.hangers.iter().enumerate() {
            let row = self.string_row(index);
            let total = in_frame(&spreads[index].total_n, &hanger.frame, &self.members[index].axes());
            let push = in_frame(&pushes[index], &hanger.frame, &hanger.axes());
            for k in 0..DIMENSIONS {
                slopes.fixed_view_mut::<3, 1>(row, k).copy_from(&((total.rates[k] + push.rates[k]) / self.unit_n));
            }
            fixed.fixed_rows_mut::<3>(row).add_assign(&((total.rest + push.rest) / self.unit_n));
        }
        let rates = -(&inverse * slopes);
        let spread = Spread { section: self, center: y0, rates: &rates, totals: &totals, spreads: &spreads };
        let bounds = spread.krawczyk(&inverse.map(f64::abs), &fixed).and_then(|rest| spread.bounds(&rest));
        let Some((bounds, constant_shares)) = bounds else {
            return Attempt::TooLarge(spread.bends(states));
        };
        let bends = (0..self.members.len()).map(|span| spread.curvature(span)).collect();
        Attempt::Proven(Enclosure { bounds, constant_shares, bends, rates, spreads })
    }
}

/// Forces in a frame, by the axes along which they are.
fn in_frame(forces: &Forces, frame: &Matrix3<f64>, axes: &[Vector3<f64>; 3]) -> Vectors {
    let axes = axes.map(|axis| frame.tr_mul(&axis));
    let sum = |part: &dyn Fn(usize) -> Vector3<f64>| part(0) + part(1) + part(2);
    Vectors {
        rates: std::array::from_fn(|k| sum(&|i| axes[i] * forces[i].rates[k])),
        rest: sum(&|i| axes[i].abs() * forces[i].rest),
    }
}

/// Their middle.
fn center(forces: &Forces, frame: &Matrix3<f64>, axes: &[Vector3<f64>; 3]) -> Vector3<f64> {
    frame.tr_mul(&in_space(axes, &[forces[0].center, forces[1].center, forces[2].center]))
}

impl Vectors {
    fn reach(&self) -> Vector3<f64> {
        self.rates.iter().fold(self.rest, |sum, rate| sum + rate.abs())
    }
}

/// All that the rest of the equations depends on.
struct Spread<'a> {
    section: &'a Section,
    center: &'a DVector<f64>,
    rates: &'a DMatrix<f64>,
    totals: &'a [Vectors],
    spreads: &'a [SpanSpread],
}

impl Spread<'_> {
    /// Bounds on strings and tensions; none where a string could push or a tension vanish.
    fn bounds(&self, rest: &DVector<f64>) -> Option<(Bounds, Vec<[f64; DIMENSIONS]>)> {
        if !self.strings_pull(rest) {
            return None;
        }
        let spans = 0..self.section.members.len();
        let constants = spans.map(|span| self.constant(span, rest)).collect::<Option<Vec<_>>>()?;
        let (constants_m, shares) = constants.into_iter().unzip();
        Some((Bounds { ends_m: self.ends(rest), constants_m }, shares))
    }

    /// How much each number of the state changes the forces, those that bend the equations most counted most; what the load
    /// has beside its linear part is the wind's.
    fn bends(&self, states: &SectionBox) -> [f64; DIMENSIONS] {
        let mut bends = [0.0_f64; DIMENSIONS];
        for span in 0..self.totals.len() {
            let (rates, curved) = (self.force_rates(span), self.wind_rests(span));
            bends.iter_mut().enumerate().for_each(|(k, bend)| *bend = bend.max(rates[k] + curved[k]));
        }
        std::array::from_fn(|k| if states.ranges[k].width() > 0.0 { bends[k].max(f64::MIN_POSITIVE) } else { 0.0 })
    }

    /// How much each number of the state adds to what is not linear in one span: what is linear in it bends the equations with its
    /// square.
    fn curvature(&self, span: usize) -> [f64; DIMENSIONS] {
        let (rates, curved) = (self.force_rates(span), self.wind_rests(span));
        std::array::from_fn(|k| rates[k] * rates[k] + curved[k])
    }

    /// How much each number of the state changes the forces of a span, in units of the section.
    fn force_rates(&self, span: usize) -> [f64; DIMENSIONS] {
        std::array::from_fn(|k| {
            let rate = self.rates.fixed_view::<3, 1>(3 * span, k);
            rate.x.abs() + SQUARE_WEIGHT * rate.yz().norm()
        })
    }

    /// What the load of a span has beside its linear part, for each number of the state, in units of the section.
    fn wind_rests(&self, span: usize) -> [f64; DIMENSIONS] {
        let curved = SQUARE_WEIGHT * self.totals[span].rest.norm() / self.section.unit_n;
        let [first, second] = self.spreads[span].wind_shares(self.section.rises);
        [0.0, 0.0, curved * first, curved * second, 0.0]
    }

    /// ρ with |Y|·(fixed + R(ρ)) ≤ ρ.
    fn krawczyk(&self, inverse: &DMatrix<f64>, fixed: &DVector<f64>) -> Option<DVector<f64>> {
        let image = |rest: &DVector<f64>| Some((inverse * (fixed + self.bent(rest)?)).add_scalar(ROUNDING));
        let (mut rest, mut growth) = (DVector::zeros(fixed.len()), f64::INFINITY);
        for _ in 0..TRIES {
            let next = image(&rest)?;
            if next.iter().zip(rest.iter()).all(|(next, rest)| next <= rest) {
                return Some(rest);
            }
            let last = std::mem::replace(&mut rest, next * ROOM);
            let grown = std::mem::replace(&mut growth, (&rest - last).amax());
            // The image is convex: steps that do not shrink will not.
            if growth >= grown {
                return None;
            }
        }
        None
    }

    /// Bound on what the equations have beside their linear part while the unknowns stay within `rest` of it. None where a
    /// wire could lead backward.
    fn bent(&self, rest: &DVector<f64>) -> Option<DVector<f64>> {
        let section = self.section;
        let mut bent = DVector::zeros(rest.len());
        for span in 0..section.members.len() {
            bent.fixed_rows_mut::<3>(3 * span).copy_from(&self.bent_span_m(span, rest)?);
        }
        for index in 0..section.hangers.len() {
            let row = section.string_row(index);
            let direction = self.unknown(row, rest, 1.0).reach();
            let tension = self.rates.row(row + 3).abs().sum() + rest[row + 3];
            bent.fixed_rows_mut::<3>(row).copy_from(&(direction * tension));
            bent[row + 3] = 0.5 * direction.norm_squared();
        }
        Some(bent)
    }

    /// Three unknowns over the box.
    fn unknown(&self, row: usize, rest: &DVector<f64>, unit: f64) -> Vectors {
        Vectors {
            rates: std::array::from_fn(|k| self.rates.fixed_view::<3, 1>(row, k).into_owned() * unit),
            rest: rest.fixed_rows::<3>(row).into_owned() * unit,
        }
    }

    /// The rest of L·∫g(f − Qσ)dσ, g(v) = v/|v| + v/EA, by panels of σ, along and square to the chord.
    ///
    /// D²g[δ,δ] = (−2·δ∥·δ⊥ − |δ⊥|²·t)/|v|², δ∥ = δ·t, δ⊥ = δ − δ∥·t, t = v/|v|. With |sin| of the angle between t and the chord at
    /// most s, and δ at most α along the chord and β square to it: |δ⊥| ≤ αs + β = d, |δ∥| ≤ α + βs, δ⊥ along the chord ≤ d·s.
    fn bent_span_m(&self, span: usize, rest: &DVector<f64>) -> Option<Vector3<f64>> {
        let section = self.section;
        let member = &section.members[span];
        let force = self.unknown(3 * span, rest, section.unit_n);
        let force_n = self.center.fixed_rows::<3>(3 * span).into_owned() * section.unit_n;
        let total_n = center(&self.spreads[span].total_n, &member.frame, &member.axes());
        let total = &self.totals[span];
        let length = &self.spreads[span].unstretched_m;
        let (length_m, change_m) = (length.center + length.reach(), length.reach());
        let at = |share: f64| {
            let shift = (0..DIMENSIONS)
                .fold(force.rest + total.rest * share, |sum, k| sum + (force.rates[k] - total.rates[k] * share).abs());
            (force_n - total_n * share, shift)
        };
        let (mut chordwise, mut square) = (0.0, 0.0);
        for panel in 0..PANELS {
            let width = 1.0 / PANELS as f64;
            let ends = [at(panel as f64 * width), at((panel + 1) as f64 * width)];
            let alpha = ends[0].1.x.max(ends[1].1.x);
            let beta = ends[0].1.yz().norm().max(ends[1].1.yz().norm());
            let along_n = ends[0].0.x.min(ends[1].0.x) - alpha;
            if along_n.is_nan() || along_n <= 0.0 {
                return None;
            }
            let aside_n = ends[0].0.yz().norm().max(ends[1].0.yz().norm()) + beta;
            let s = aside_n / aside_n.hypot(along_n);
            let (d, parallel) = (alpha * s + beta, alpha + beta * s);
            let second = 0.5 * length_m / (along_n * along_n);
            let first = change_m / along_n;
            chordwise += width * (second * (2.0 * parallel * d * s + d * d) + first * d * s);
            square += width * (second * (2.0 * parallel * d + d * d * s) + first * d);
            chordwise += width * change_m * alpha / section.stiffness_n;
            square += width * change_m * beta / section.stiffness_n;
        }
        Some(Vector3::new(chordwise, square, square))
    }

    fn strings_pull(&self, rest: &DVector<f64>) -> bool {
        (0..self.section.hangers.len()).all(|index| {
            let row = self.section.string_row(index) + 3;
            self.center[row] - self.rates.row(row).abs().sum() - rest[row] > 0.0
        })
    }

    /// Where the strings' lower ends are.
    fn ends(&self, rest: &DVector<f64>) -> Vec<Corners> {
        let still = Corners { low: Vector3::zeros(), high: Vector3::zeros() };
        let strings = self.section.hangers.iter().enumerate().map(|(index, hanger)| {
            let row = self.section.string_row(index);
            let (length_m, direction) = (hanger.string.length_m, self.center.fixed_rows::<3>(row).into_owned());
            let reach = self.unknown(row, rest, 1.0).reach();
            Corners { low: (direction - reach) * length_m, high: (direction + reach) * length_m }
        });
        std::iter::once(still).chain(strings).chain([still]).collect()
    }

    /// The range of a = |f × q|/|q|², and its relative change over half of each range.
    fn constant(&self, span: usize, rest: &DVector<f64>) -> Option<(Interval, [f64; DIMENSIONS])> {
        let (section, member, spread) = (self.section, &self.section.members[span], &self.spreads[span]);
        let axes = member.axes();
        let force = self.unknown(3 * span, rest, section.unit_n);
        let f = self.center.fixed_rows::<3>(3 * span).into_owned() * section.unit_n;
        let load = in_frame(&spread.load_n_per_m, &member.frame, &axes);
        let q = center(&spread.load_n_per_m, &member.frame, &axes);
        let moment = f.cross(&q);
        let size = moment.norm();
        let way = moment / size;
        let turned: [Vector3<f64>; DIMENSIONS] =
            std::array::from_fn(|k| force.rates[k].cross(&q) + f.cross(&load.rates[k]));
        let both = force.reach().norm() * load.reach().norm();
        let along = q.cross(&way).abs().dot(&force.rest) + way.cross(&f).abs().dot(&load.rest) + both;
        let numerator = Linear { center: size, rates: turned.map(|rate| way.dot(&rate)), rest: along };
        let least = size - numerator.reach();
        let aside: f64 = turned.iter().map(|rate| (rate - way * way.dot(rate)).norm()).sum::<f64>()
            + force.rest.norm() * q.norm()
            + f.norm() * load.rest.norm()
            + both;
        let [left, down, lift] = spread.load_n_per_m;
        let squared = left.times(&left).plus(&down.times(&down)).plus(&lift.times(&lift));
        let squared = squared.plus(&down.times(&lift).scaled(2.0 * axes[1].dot(&axes[2])));
        let least_squared = squared.center - squared.reach();
        if !(least > 0.0 && least_squared > 0.0) {
            return None;
        }
        let center = size / squared.center;
        let rates: [f64; DIMENSIONS] = std::array::from_fn(|k| numerator.rates[k] - center * squared.rates[k]);
        let rest = numerator.rest + 0.5 * aside * aside / least + center * squared.rest;
        let reach = (rates.iter().map(|rate| rate.abs()).sum::<f64>() + rest) / least_squared;
        (reach < center).then(|| (Interval::hull(center - reach, center + reach), rates.map(|rate| rate / size)))
    }
}

impl Corners {
    pub(super) fn hull(&self, other: &Self) -> Self {
        Self { low: self.low.inf(&other.low), high: self.high.sup(&other.high) }
    }

    pub(super) fn within(&self, other: &Self) -> Self {
        Self { low: self.low.sup(&other.low), high: self.high.inf(&other.high) }
    }
}

impl Bounds {
    /// Bounds over two boxes together.
    pub(super) fn hull(&self, other: &Self) -> Self {
        let range = |(a, b): (&Interval, &Interval)| Interval::hull(a.low().min(b.low()), a.high().max(b.high()));
        Self {
            ends_m: self.ends_m.iter().zip(&other.ends_m).map(|(a, b)| a.hull(b)).collect(),
            constants_m: self.constants_m.iter().zip(&other.constants_m).map(range).collect(),
        }
    }

    /// What two bounds over one box prove together.
    pub(super) fn within(&self, other: &Self) -> Self {
        let range = |(a, b): (&Interval, &Interval)| Interval::hull(a.low().max(b.low()), a.high().min(b.high()));
        Self {
            ends_m: self.ends_m.iter().zip(&other.ends_m).map(|(a, b)| a.within(b)).collect(),
            constants_m: self.constants_m.iter().zip(&other.constants_m).map(range).collect(),
        }
    }
}
