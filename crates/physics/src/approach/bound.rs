//! Lower bound of the distance over a cell, by separating planes. Proof in `docs/theory/certified-search.md`.

use nalgebra::Vector3;

use super::cell::{Cell, Dimension};
use super::hull::{PlacedFeature, nearest_on_hull};
use super::limiter::{self, Limiter};
use super::posed::{Carried, Joints, Posed};
use super::strand::{Curve, Pair};
use super::support::{Near, Support, nearest_pose, support};
use crate::line::{Cover, CoveredStates, DIMENSIONS, Reach, StateBox, WireSpan};

/// What rounding in the transcendental functions may cost, m (argued in `docs/theory/certified-search.md`).
pub const ROUNDING_PAD_M: f64 = 1e-6;

/// How much the linear part of the bound counts, against its remainder, when choosing where to split.
const LINEAR_WEIGHT: f64 = 0.05;

/// Planes tried in a cell, each along the nearest points of the pose and state that the one before prefers.
const PLANES: usize = 2;

/// Planes tried for one pose.
const STANDING_PLANES: usize = 4;

/// Another plane is tried while the last one gained this share of what is missing.
const WORTHWHILE: f64 = 0.1;

/// Times that the plane of a ball is turned to the state of the wire that it prefers.
const BALL_TURNS: usize = 2;

/// Tries for the nearest points of wire and body that give a plane its direction.
const PAIR_TRIES: usize = 40;

/// Where the known looseness explains less than this share of what is missing, the widest dimension is split.
const EXPLAINED: f64 = 0.02;

/// Halvings on end without gain after which the dimension that was halved least has its turn.
const PATIENCE: u8 = 8;

/// A halving that raises the bound by less than this share of what is missing counts as one without gain.
const GAIN: f64 = 1e-3;

/// What halving a cell along a dimension may be worth.
struct Offer {
    dimension: Dimension,
    /// By how much the dimension loosens the bound, about, m.
    looseness_m: f64,
    /// How far machine or wire moves over it, about, m.
    move_m: f64,
    /// Whether the cell has an extent there at all.
    is_wide: bool,
}

/// One body and one span.
#[derive(Clone, Copy)]
pub struct Candidate<'a> {
    /// The body.
    pub carried: &'a Carried<'a>,
    /// Index of the body in its machine.
    pub body: usize,
    /// The span.
    pub wire: &'a WireSpan,
    /// Index of the span in its wire.
    pub span: usize,
    /// What holds the machine below a height or within a reach.
    pub limiters: &'a [Limiter<'a>],
}

/// A lower bound over a cell from one plane, and what it depends on.
struct Plane {
    /// Its direction, from the wire to the body.
    normal: Vector3<f64>,
    /// Where the wire is, for guesses.
    near: Near,
    lower_m: f64,
    support: Support,
    /// Greatest n·d: how much the wire's sag counts toward the body.
    drop: f64,
    /// Spread of n·d over the swing.
    drop_spread: f64,
    /// Share of the swing's range where n·d is greatest.
    lean: f64,
    /// Fraction of the chord where the wire reaches farthest.
    fraction: f64,
}

/// Room for one body's pose, kept between bounds.
#[derive(Default)]
pub struct Scratch {
    /// In the middle of a cell.
    pub middle: Posed,
    preferred: Posed,
}

impl Candidate<'_> {
    /// What lies between centre lines and surfaces: radii of body and wire, margins, rounding, m.
    fn thickness_m(&self, radius_m: f64) -> f64 {
        self.carried.body().radius_m + radius_m + self.wire.margin_m() + ROUNDING_PAD_M
    }

    /// A lower bound over all poses and states that costs next to nothing: ball about the machine, wire about its chord.
    pub fn far_bound_m(&self) -> f64 {
        let ((center, reach_m), span) = (self.carried.reach(), self.wire.span());
        let chord = span.chord();
        let t = ((center - span.from()).dot(&chord) / chord.norm_squared()).clamp(0.0, 1.0);
        let to_chord_m = (span.from() + chord * t - center).norm();
        (to_chord_m - reach_m - self.wire.around_m() - ROUNDING_PAD_M).max(0.0)
    }

    /// A lower bound over all poses and states from one plane, and its direction: a ball that holds the body in every
    /// pose, against the wire.
    pub fn ball_bound(&self, cover: &Cover) -> (f64, Vector3<f64>) {
        let (center, reach_m) = self.carried.reach();
        let ball = [PlacedFeature { at: center, axis: Vector3::z(), ring_m: 0.0 }];
        let away = |curve: Curve<'_>| curve.close_pair(&ball, 0.0, 1.0, PAIR_TRIES).normal().unwrap_or(-Vector3::z());
        let swing_rad = cover.envelope().swing_rad().center();
        let mut normal = away(Curve::new(cover.span(), cover.envelope().most(), swing_rad));
        for _ in 0..BALL_TURNS {
            normal = away(nearest_curve(cover, &normal));
        }
        let wire_m = cover.reach(&normal, 0.0, 1.0).reach_m;
        // `reach` already counts the body's radius.
        let thickness_m = self.thickness_m(cover.envelope().radius_m()) - self.carried.body().radius_m;
        (normal.dot(&center.coords) - reach_m - wire_m - thickness_m, normal)
    }

    /// Bounds the distance over a cell: raises its lower bound where it can, and chooses where to split next.
    ///
    /// The first plane stands across the nearest points in the middle of the cell. Where a close pose is known with its
    /// nearest points, a single plane stands across those, and that pose is the one that the cell prefers.
    pub fn bound(&self, cell: &mut Cell, prune_m: f64, scratch: &mut Scratch, known: Option<&(Joints, Pair)>) {
        self.carried.pose(&cell.center, &mut scratch.middle);
        let swing_rad = cell.wire.envelope().swing_rad().center();
        let curve = Curve::new(cell.wire.span(), cell.wire.envelope().most(), swing_rad);
        let near = || curve.close_pair(&scratch.middle.features, cell.from, cell.to, PAIR_TRIES);
        let mut pair = known.map_or_else(near, |(_, pair)| *pair);
        let mut best: Option<Plane> = None;
        for _ in 0..PLANES {
            let normal = pair.normal().unwrap_or(-Vector3::z());
            let plane = self.plane(cell, &scratch.middle, normal, pair.distance_m());
            let lower_m = plane.lower_m;
            let gain_m = lower_m - best.as_ref().map_or(f64::NEG_INFINITY, |b| b.lower_m);
            if lower_m < prune_m {
                self.prefer(cell, &plane, &scratch.middle);
                if let Some((joints, _)) = known {
                    cell.preferred = *joints;
                }
                pair = self.preferred_pair(cell, &plane, &mut scratch.preferred);
                cell.promise_m = pair.distance_m() - self.thickness_m(cell.wire.envelope().radius_m());
            }
            if gain_m > 0.0 {
                best = Some(plane);
            }
            if lower_m >= prune_m || known.is_some() || gain_m < WORTHWHILE * (prune_m - lower_m) {
                break;
            }
        }
        let on_wire = pair.on_wire;
        let normals: Vec<_> = limiter::planes(self.limiters, &scratch.middle, on_wire).collect();
        for normal in normals {
            // The height or reach that is left may keep the whole cell away.
            let held = self.plane(cell, &scratch.middle, normal, pair.distance_m());
            if best.as_ref().is_none_or(|best| held.lower_m > best.lower_m) {
                self.prefer(cell, &held, &scratch.middle);
                pair = self.preferred_pair(cell, &held, &mut scratch.preferred);
                cell.promise_m = pair.distance_m() - self.thickness_m(cell.wire.envelope().radius_m());
                best = Some(held);
            }
        }
        if let Some(plane) = best {
            let gains = plane.lower_m - cell.lower_m > GAIN * (prune_m - cell.lower_m);
            cell.idle = if gains { 0 } else { cell.idle.saturating_add(1) };
            cell.lower_m = cell.lower_m.max(plane.lower_m);
            cell.split = self.choose_split(cell, &plane, prune_m);
        }
    }

    /// A lower bound of the distance in one pose under all states of the wire: what the bound of a cell about that pose comes to
    /// as the cell shrinks, where dividing the states gains nothing.
    pub fn standing_bound_m(&self, pose: &Joints, cover: &Cover, pair: &Pair, posed: &mut Posed) -> f64 {
        self.carried.pose(pose, posed);
        let thickness_m = self.thickness_m(cover.envelope().radius_m());
        let mut normal = pair.normal().unwrap_or(-Vector3::z());
        let mut best_m = f64::NEG_INFINITY;
        for _ in 0..STANDING_PLANES {
            let free = support(self.carried, posed, &Joints::default(), &normal);
            let reach = cover.reach(&normal, 0.0, 1.0);
            best_m = best_m.max(free.lower_m - reach.reach_m - thickness_m);
            let Some(on_wire) = cover.farthest_point(&normal, reach.fraction) else { break };
            let on_body = nearest_on_hull(&posed.features, &on_wire);
            normal = (on_body - on_wire).try_normalize(1e-9).unwrap_or(normal);
        }
        best_m
    }

    /// n·p over the body's cell less n·x over the wire's cell, less thicknesses: below every distance in the cell.
    fn plane(&self, cell: &Cell, middle: &Posed, normal: Vector3<f64>, distance_m: f64) -> Plane {
        let (span, envelope) = (cell.wire.span(), cell.wire.envelope());
        let near = Near { distance_m, along: span.chord().normalize() };
        let free = support(self.carried, middle, &cell.half, &normal);
        let held = self.limiters.iter().filter_map(|l| l.support(self.carried, middle, &cell.half, (&normal, &free)));
        let support = held.fold(free, |best, held| if held.lower_m > best.lower_m { held } else { best });
        let Reach { reach_m: wire_m, fraction, drops } = cell.wire.reach(&normal, cell.from, cell.to);
        let lower_m = support.lower_m - wire_m - self.thickness_m(envelope.radius_m());
        let lean = envelope.lean(span, &normal);
        Plane { normal, near, lower_m, support, drop: drops.high(), lean, drop_spread: drops.width(), fraction }
    }

    /// Remembers the pose and state of the cell that the plane prefers.
    fn prefer(&self, cell: &mut Cell, plane: &Plane, middle: &Posed) {
        let at = nearest_pose(self.carried, middle, &cell.half, (&plane.normal, &plane.near), &plane.support);
        let pose = cell.center.iter().zip(&cell.half).zip(&at).map(|((center, half), at)| center + half * at);
        cell.preferred.iter_mut().zip(pose).for_each(|(preferred, value)| *preferred = value);
        cell.shares = match cell.wire.hints() {
            None => [if plane.drop > 0.0 { 1.0 } else { 0.0 }, plane.lean, 0.5, 0.5, 0.5],
            Some(_) => leaning_shares(cell, plane),
        };
    }

    /// Nearest points of wire and body at the pose and state that a plane prefers.
    fn preferred_pair(&self, cell: &Cell, plane: &Plane, preferred: &mut Posed) -> Pair {
        self.carried.pose(&cell.preferred, preferred);
        if let Some(on_wire) = cell.wire.farthest_point(&plane.normal, plane.fraction) {
            return Pair { fraction: plane.fraction, on_wire, on_body: nearest_on_hull(&preferred.features, &on_wire) };
        }
        let curve = nearest_curve(&cell.wire, &plane.normal);
        curve.close_pair(&preferred.features, cell.from, cell.to, PAIR_TRIES)
    }

    /// The dimension that loosens the bound most; where that explains too little of what is missing, the one over which
    /// machine or wire moves most; where halving has not helped for a while, the one that was halved least. None where every
    /// dimension is as small as rounding.
    fn choose_split(&self, cell: &Cell, plane: &Plane, prune_m: f64) -> Option<Dimension> {
        let offers = self.offers(cell, plane).filter(|offer| cell.may_halve(offer.dimension));
        let offers: Vec<Offer> = offers.collect();
        if cell.idle >= PATIENCE {
            let wide = offers.iter().filter(|offer| offer.is_wide);
            return wide.map(|offer| offer.dimension).min_by_key(|dimension| cell.halvings[dimension.number()]);
        }
        let most = |size: fn(&Offer) -> f64| {
            let larger = |best: Option<&Offer>, offer: &Offer| best.is_none_or(|best| size(offer) > size(best));
            offers.iter().fold(None, |best, offer| if larger(best, offer) { Some(offer) } else { best })
        };
        let (loosest, widest) = (most(|offer| offer.looseness_m)?, most(|offer| offer.move_m)?);
        let missing_m = prune_m - plane.lower_m;
        let explains = loosest.looseness_m >= EXPLAINED * missing_m || widest.move_m <= 0.0;
        Some(if explains { loosest.dimension } else { widest.dimension })
    }

    /// What halving along each dimension may be worth.
    fn offers(&self, cell: &Cell, plane: &Plane) -> impl Iterator<Item = Offer> {
        let along = Offer {
            dimension: Dimension::Along,
            looseness_m: self.along_looseness_m(cell, plane),
            move_m: 0.0,
            is_wide: true,
        };
        let joint = |joint: usize| {
            let linear_m = plane.support.rates[joint].abs() * cell.half[joint];
            let looseness_m = plane.support.looseness_m[joint] + LINEAR_WEIGHT * linear_m;
            let (move_m, is_wide) = (plane.support.moves_m[joint], cell.half[joint] > 0.0);
            Offer { dimension: Dimension::Joint(joint as u8), looseness_m, move_m, is_wide }
        };
        let joints: Vec<Offer> = (0..self.carried.joints().len()).map(joint).collect();
        let rows: Vec<(usize, f64, f64)> = match cell.wire.states() {
            CoveredStates::Rigid(_) if cell.wire.is_uneven() => Vec::new(),
            CoveredStates::Rigid(states) => self.state_looseness_m(cell, states, plane).to_vec(),
            CoveredStates::Strung { .. } => {
                let rows = strung_looseness_m(cell, plane).into_iter().enumerate();
                rows.map(|(dimension, (looseness_m, move_m))| (dimension, looseness_m, move_m)).collect()
            }
        };
        let ranges = cell.wire.ranges();
        let states = rows.into_iter().map(move |(dimension, looseness_m, move_m)| {
            let is_wide = ranges[dimension].width() > 0.0;
            Offer { dimension: Dimension::State(dimension as u8), looseness_m, move_m, is_wide }
        });
        std::iter::once(along).chain(joints).chain(states)
    }

    /// Where the wire sags away from the body, the bound takes the ends of the stretch: short of the curve by its bulge.
    fn along_looseness_m(&self, cell: &Cell, plane: &Plane) -> f64 {
        let width = cell.to - cell.from;
        let bulge_m = cell.wire.envelope().most().greatest_sag_m() * width * width;
        if plane.drop < 0.0 { -plane.drop * bulge_m } else { 1e-9 * width }
    }

    /// The sag that the bound takes goes with the longest (or shortest) wire and the heaviest (or lightest) load. It is
    /// loose where the swing that it takes goes with another load, and by what the envelope itself is loose.
    fn state_looseness_m(&self, cell: &Cell, states: &StateBox, plane: &Plane) -> [(usize, f64, f64); 3] {
        let envelope = cell.wire.envelope();
        let most_m = envelope.most().sag_m(plane.fraction) * plane.drop.abs();
        let least_m = envelope.least().sag_m(plane.fraction) * plane.drop.abs();
        let loaded_m = (most_m - least_m) * (1.0 - envelope.length_share());
        let load_m = if swing_suits_sag(cell, states, plane) { 0.0 } else { loaded_m };
        let (wind_share, ice_share) = self.load_shares(states);
        let swing_m = LINEAR_WEIGHT * envelope.most().sag_m(plane.fraction) * plane.drop_spread;
        let linear_m = LINEAR_WEIGHT * (most_m - least_m);
        let inner_m = most_m * envelope.slack();
        let (length, load) = (envelope.length_share(), 1.0 - envelope.length_share());
        let loaded_m = load_m + swing_m + (linear_m + inner_m) * load;
        let spread_m = most_m - least_m;
        let load_move_m = spread_m * load + swing_m / LINEAR_WEIGHT;
        [
            (0, (linear_m + inner_m) * length, spread_m * length),
            (1, loaded_m * wind_share, load_move_m * wind_share),
            (2, loaded_m * ice_share, load_move_m * ice_share),
        ]
    }

    /// How the range of the load divides between wind and ice; zero for both where it is a single load.
    fn load_shares(&self, states: &StateBox) -> (f64, f64) {
        let (load, wind, ice) = (self.wire.strand().load(), states.wind_m_per_s, states.ice_m);
        let push = |v| load.lateral_n_per_m(v, ice.high());
        let wind_n = push(wind.high()) - push(wind.low());
        let ice_n = load.down_n_per_m(ice.high()) - load.down_n_per_m(ice.low());
        let total_n = wind_n + ice_n;
        if total_n > 1e-12 * load.down_n_per_m(ice.high()) { (wind_n / total_n, ice_n / total_n) } else { (0.0, 0.0) }
    }
}

/// The wire in the state in which it reaches farthest along a direction, about.
pub fn nearest_curve<'a>(cover: &'a Cover, normal: &Vector3<f64>) -> Curve<'a> {
    let (span, envelope) = (cover.span(), cover.envelope());
    let sags = envelope.drop_range(span, normal).high() > 0.0;
    let catenary = if sags { envelope.most() } else { envelope.least() };
    Curve::new(span, catenary, envelope.swing_rad().at(envelope.lean(span, normal)))
}

/// Whether the swing that leans most to the body goes with the load that the bound takes for the sag: the heaviest
/// where sag counts toward the body, else the lightest.
fn swing_suits_sag(cell: &Cell, states: &StateBox, plane: &Plane) -> bool {
    let swing = cell.wire.envelope().swing_rad();
    let at = swing.at(plane.lean).abs();
    let heaviest = swing.low().abs().max(swing.high().abs());
    let lightest = if swing.contains(0.0) { 0.0 } else { swing.low().abs().min(swing.high().abs()) };
    let wanted = if plane.drop > 0.0 { heaviest } else { lightest };
    states.ice_m.width() == 0.0 && (at - wanted).abs() <= 1e-12
}

/// How far each number of a section's state moves the wire toward the body over half of its range, to first order, m: by
/// the ends of the span, by its sag, by its swing.
fn strung_moves_m(cell: &Cell, plane: &Plane) -> [[f64; 3]; DIMENSIONS] {
    let Some(hints) = cell.wire.hints() else { return Default::default() };
    let (envelope, t) = (cell.wire.envelope(), plane.fraction);
    let swing_rad = envelope.swing_rad().at(plane.lean);
    let aside = cell.wire.span().lateral() * swing_rad.cos() - cell.wire.span().plumb() * swing_rad.sin();
    let sag_m = envelope.most().sag_m(t);
    std::array::from_fn(|k| {
        let ends = hints.near_m[k] * (1.0 - t) + hints.far_m[k] * t;
        let swing_m = sag_m * plane.normal.dot(&aside) * hints.swing_rad[k];
        [plane.normal.dot(&ends), -plane.drop * sag_m * hints.constant[k], swing_m]
    })
}

/// The shares of a section's ranges at which the wire comes nearest to the body, to first order.
fn leaning_shares(cell: &Cell, plane: &Plane) -> [f64; DIMENSIONS] {
    strung_moves_m(cell, plane).map(|[ends_m, sag_m, swing_m]| {
        let toward_m = ends_m + sag_m + swing_m;
        if toward_m > 0.0 {
            1.0
        } else if toward_m < 0.0 {
            0.0
        } else {
            0.5
        }
    })
}

/// What each number of a section's state may loosen the bound by: ends, sag and swing are bounded apart though they go
/// together, and the proof leaves room beside what is linear, which goes by how much each number bends the equations.
fn strung_looseness_m(cell: &Cell, plane: &Plane) -> [(f64, f64); DIMENSIONS] {
    let (moves_m, room_m) = (strung_moves_m(cell, plane), strung_room_m(cell, plane));
    let bends = cell.wire.hints().map_or([0.0; DIMENSIONS], |hints| hints.bends);
    let all: f64 = bends.iter().sum();
    let rows: [(f64, f64); DIMENSIONS] = std::array::from_fn(|k| {
        let [ends_m, sag_m, swing_m] = moves_m[k].map(f64::abs);
        let apart_m = ends_m + sag_m + swing_m - moves_m[k].iter().sum::<f64>().abs();
        let room_m = if all > 0.0 { room_m * bends[k] / all } else { 0.0 };
        let move_m = 2.0 * (ends_m + sag_m + swing_m) + room_m;
        (apart_m + room_m + LINEAR_WEIGHT * move_m, move_m)
    });
    let Some(known) = cell.wire.divided() else { return rows };
    // Halves that the proof has made already cost nothing.
    let sum = rows.iter().fold((0.0, 0.0), |sum, row| (sum.0 + row.0, sum.1 + row.1));
    std::array::from_fn(|k| if k == known { sum } else { (0.0, 0.0) })
}

/// By how much ends, sag and swing of a span on strings differ over the cell beside what is linear, m.
fn strung_room_m(cell: &Cell, plane: &Plane) -> f64 {
    let (envelope, moves_m) = (cell.wire.envelope(), strung_moves_m(cell, plane));
    let linear_m = |part: usize| -> f64 { moves_m.iter().map(|parts| 2.0 * parts[part].abs()).sum() };
    let (most_m, least_m) = (envelope.most().sag_m(plane.fraction), envelope.least().sag_m(plane.fraction));
    let ends_m = 2.0 * cell.wire.sway_m(&plane.normal, plane.fraction, plane.fraction);
    let spreads_m = [ends_m, (most_m - least_m) * plane.drop.abs(), most_m * plane.drop_spread];
    (0..3).map(|part| (spreads_m[part] - linear_m(part)).max(0.0)).sum()
}

/// Values of the joints of a whole machine, from those of one body and the rest at their middles.
pub fn whole_pose(carried: &Carried, values: &Joints, middles: &[f64]) -> Vec<f64> {
    let mut pose = middles.to_vec();
    for (local, &joint) in carried.joints().iter().enumerate() {
        pose[joint] = values[local];
    }
    pose
}
