//! How far any distribution of the loads moves the wire at one place in one direction.

use super::influence::Influence;
use super::premises::{Premises, tension_for};
use super::reference::Reference;
use super::{Across, PIECES};

/// Steps toward the worst loads, whose shape is the reference.
const STEPS_UP: usize = 8;

/// Narrowings of the share of a step, by the golden section.
const NARROWINGS: usize = 10;

/// A step that gains less than this share is the last.
const WORTH: f64 = 1e-4;

/// Times that both ends of the piece are sought.
const ROUNDS: usize = 2;

/// Steps that adapt the multiplier to a reference.
const STEPS: usize = 3;

/// Relative room within which the greatest bound over the tensions is close enough.
const CLOSE: f64 = 1e-4;

/// Most ranges of tension that are looked at.
const RANGES: usize = 24;

/// Greatest a/H by a reference and a law of slack, as it is closed in on.
struct Hunt<'a> {
    premises: &'a Premises,
    reference: &'a Reference,
    influence: &'a Influence,
    law: (f64, f64),
    /// Slack at no tension against the reference, m.
    slack_m: f64,
}

/// The loads that are worst by a multiplier: a − θ·B and B of them.
struct Worst {
    /// Z(θ), an upper bound of a − θ·B, N·m².
    most: f64,
    /// B of those loads, N·m.
    moment: f64,
    loads: [[Across; 2]; PIECES],
}

impl Premises {
    /// A number that n·d at a fraction of the run does not exceed under any loads, m; d is how far the wire lies off its chord.
    pub fn reach_m(&self, fraction: f64, normal: &Across) -> f64 {
        if fraction <= 0.0 || fraction >= 1.0 {
            return 0.0;
        }
        let influence = Influence::new(fraction, *normal);
        let free = influence.worst(self, None, 0.0);
        if free.most <= 0.0 {
            return free.most / self.tension_n.high();
        }
        let by_law = |law: &(f64, f64)| self.reach_by_law_m(&influence, *law);
        self.slack.iter().map(by_law).fold(f64::INFINITY, f64::min)
    }

    fn reach_by_law_m(&self, influence: &Influence, law: (f64, f64)) -> f64 {
        let mut found = Found::new(self, influence, law);
        for _ in 0..STEPS_UP {
            if !found.step_up(self, influence, law) {
                break;
            }
        }
        let reference = found.reference(self);
        let hunt = Hunt::new(self, &reference, influence, law);
        hunt.greatest_m(found.force.tension_n, found.multiplier(law, &reference))
    }
}

/// The worst distribution of loads found so far: its shears, and what they make of the place.
struct Found {
    /// Shear off its mean in the middle of each piece, N.
    shears_n: [Across; PIECES],
    force: Force,
}

/// What decides how far a distribution of loads moves a place.
#[derive(Clone, Copy)]
struct Force {
    /// H·n·d at the place, N·m.
    moment_nm: f64,
    tension_n: f64,
}

impl Force {
    /// With the mean square of the shears (N²), by the parabola's slack.
    fn new(premises: &Premises, (slack_m, rate): (f64, f64), moment_nm: f64, square_n2: f64) -> Self {
        let moment_m = 0.5 * premises.run_m * square_n2 / premises.chord_per_run();
        Self { moment_nm, tension_n: tension_for(moment_m, slack_m, rate) }
    }

    fn reach_m(&self) -> f64 {
        self.moment_nm / self.tension_n
    }
}

impl Found {
    /// One load on a piece of the span that holds the place, and still air elsewhere.
    fn new(premises: &Premises, influence: &Influence, law: (f64, f64)) -> Self {
        let load = premises.support(PIECES / 2, &influence.normal).1;
        let even = Self::on_piece(premises, influence, law, load, (0.0, 1.0));
        let reference = even.reference(premises);
        let worst = influence.worst(premises, Some(&reference), even.multiplier(law, &reference));
        let load = worst.loads[((influence.fraction * PIECES as f64) as usize).min(PIECES - 1)][0];
        let (mut from, mut to) = (0.0, 1.0);
        let at = |from: f64, to: f64| premises.on_piece(influence, law, load, (from, to)).reach_m();
        for _ in 0..ROUNDS {
            to = crest((influence.fraction, 1.0), |to| at(from, to));
            from = crest((0.0, influence.fraction), |from| at(from, to));
        }
        let piece = Self::on_piece(premises, influence, law, load, (from, to));
        if piece.force.reach_m() > even.force.reach_m() { piece } else { even }
    }

    /// A load between two fractions of the run, the calm one elsewhere.
    fn on_piece(
        premises: &Premises,
        influence: &Influence,
        law: (f64, f64),
        load: Across,
        (from, to): (f64, f64),
    ) -> Self {
        let (calm, more, width) = (premises.calm, load - premises.calm, to - from);
        let mean = width * (1.0 - 0.5 * (from + to));
        let shear = |i: usize| {
            let xi = (i as f64 + 0.5) / PIECES as f64;
            (calm * (0.5 - xi) + more * (mean - (xi - from).clamp(0.0, width))) * premises.run_m
        };
        Self { shears_n: std::array::from_fn(shear), force: premises.on_piece(influence, law, load, (from, to)) }
    }

    fn reference(&self, premises: &Premises) -> Reference {
        Reference::new(premises, &self.shears_n.map(|shear_n| shear_n / self.force.tension_n))
    }

    /// θ with which a − θ·B rises as a/H does.
    fn multiplier(&self, (slack_m, rate): (f64, f64), reference: &Reference) -> f64 {
        let Force { moment_nm, tension_n } = self.force;
        moment_nm / (tension_n * (slack_m - reference.constant_m + 2.0 * rate * tension_n))
    }

    /// A step toward the loads that are worst to first order (Frank and Wolfe), as far as n·d rises: a/H has one crest, since a is
    /// linear in the loads and H convex. False when it no longer rises by what counts.
    fn step_up(&mut self, premises: &Premises, influence: &Influence, law: (f64, f64)) -> bool {
        let reference = self.reference(premises);
        let multiplier = self.multiplier(law, &reference);
        let worst = influence.worst(premises, Some(&reference), multiplier);
        let (shears_n, moment_nm) = (worst.shears_n(premises.run_m), worst.most + multiplier * worst.moment);
        let own_nm = self.force.moment_nm;
        let [of_own, of_both, of_other] =
            [(&self.shears_n, &self.shears_n), (&self.shears_n, &shears_n), (&shears_n, &shears_n)]
                .map(|(a, b)| premises.mean_product(a, b));
        let mixed = |share: f64| {
            let rest = 1.0 - share;
            let square = rest * rest * of_own + 2.0 * rest * share * of_both + share * share * of_other;
            Force::new(premises, law, rest * own_nm + share * moment_nm, square)
        };
        let share = crest((0.0, 1.0), |share| mixed(share).reach_m());
        let force = mixed(share);
        let gain_m = force.reach_m() - self.force.reach_m();
        if gain_m > 0.0 {
            *self = Self { shears_n: std::array::from_fn(|i| self.shears_n[i].lerp(&shears_n[i], share)), force };
        }
        gain_m > WORTH * force.reach_m()
    }
}

/// Where a function with one crest is greatest, about: by the golden section.
fn crest((mut low, mut high): (f64, f64), of: impl Fn(f64) -> f64) -> f64 {
    const RATIO: f64 = 0.618_033_988_749_895;
    let (mut a, mut b) = (high - RATIO * (high - low), low + RATIO * (high - low));
    let (mut of_a, mut of_b) = (of(a), of(b));
    for _ in 0..NARROWINGS {
        if of_a >= of_b {
            (high, b, of_b) = (b, a, of_a);
            a = high - RATIO * (high - low);
            of_a = of(a);
        } else {
            (low, a, of_a) = (a, b, of_b);
            b = low + RATIO * (high - low);
            of_b = of(b);
        }
    }
    0.5 * (low + high)
}

impl Premises {
    /// A load between two fractions of the run, the calm one elsewhere; with U the shear by unit load and run,
    /// ∫U_w² = 1/12, ∫U_w·U_b = ½∫ξ(1 − ξ) over the piece, ∫U_b² = c³/3 + (1 − b)·c² − mean².
    fn on_piece(&self, influence: &Influence, law: (f64, f64), load: Across, (from, to): (f64, f64)) -> Force {
        let (calm, more, width) = (self.calm, load - self.calm, to - from);
        let mean = width * (1.0 - 0.5 * (from + to));
        let product = |a: &Across, b: &Across| a.x * b.x / self.chord_per_run().powi(2) + a.y * b.y;
        let area = |xi: f64| xi * xi * (0.25 - xi / 6.0);
        let own = width.powi(3) / 3.0 + (1.0 - to) * width * width - mean * mean;
        let square = product(&calm, &calm) / 12.0
            + 2.0 * product(&calm, &more) * (area(to) - area(from))
            + product(&more, &more) * own;
        let arm = influence.area(to) - influence.area(from);
        let moment = influence.normal.dot(&(calm * influence.area(1.0) + more * arm));
        Force::new(self, law, self.run_m.powi(2) * moment, self.run_m.powi(2) * square)
    }

    /// Mean of the product of shears as the length of a wire weighs it, N².
    fn mean_product(&self, a: &[Across; PIECES], b: &[Across; PIECES]) -> f64 {
        let weight = self.chord_per_run().powi(-2);
        a.iter().zip(b).map(|(a, b)| weight * a.x * b.x + a.y * b.y).sum::<f64>() / PIECES as f64
    }
}

impl Worst {
    /// Shear off its mean in the middle of each piece, N.
    fn shears_n(&self, run_m: f64) -> [Across; PIECES] {
        let width_m = run_m / PIECES as f64;
        let mut shears_n = [Across::zeros(); PIECES];
        let mut at = Across::zeros();
        for (shear, [near, far]) in shears_n.iter_mut().zip(&self.loads) {
            *shear = at - (near * 0.375 + far * 0.125) * width_m;
            at -= (near + far) * (0.5 * width_m);
        }
        let mean = shears_n.iter().sum::<Across>() / PIECES as f64;
        shears_n.map(|shear| shear - mean)
    }
}

impl Influence {
    /// Z(θ) = ℓ²·∫ greatest (G·n − θ·Ψ)·k dξ, and the loads that attain it.
    fn worst(&self, premises: &Premises, reference: Option<&Reference>, multiplier: f64) -> Worst {
        let (mut most, mut moment) = (0.0, 0.0);
        let mut loads = [[Across::zeros(); 2]; PIECES];
        let weight = |i: usize| reference.map_or_else(Across::zeros, |reference| reference.weights[i]);
        for (i, piece_loads) in loads.iter_mut().enumerate() {
            let weights = [weight(i), weight(i + 1)];
            let mut piece = |from: f64, to: f64| {
                let width = to - from;
                let ends = [from, to].map(|share| weights[0] + (weights[1] - weights[0]) * share);
                let arms = [from, to].map(|share| self.at((i as f64 + share) / PIECES as f64));
                let toward = [0, 1].map(|end: usize| arms[end] - ends[end] * multiplier);
                let (value, loads) = premises.integral(i, &toward);
                most += width * value;
                moment += width * 0.5 * (loads[0].dot(&ends[0]) + loads[1].dot(&ends[1]));
                loads
            };
            // The influence line has its kink at the place itself.
            let kink = self.fraction * PIECES as f64 - i as f64;
            *piece_loads = if kink > 1e-9 && kink < 1.0 - 1e-9 {
                let (near, far) = (piece(0.0, kink), piece(kink, 1.0));
                [near[0], far[1]]
            } else {
                piece(0.0, 1.0)
            };
        }
        let scale = premises.run_m.powi(2) / PIECES as f64;
        Worst { most: most * scale, moment: moment * scale, loads }
    }
}

impl<'a> Hunt<'a> {
    fn new(premises: &'a Premises, reference: &'a Reference, influence: &'a Influence, law: (f64, f64)) -> Self {
        Self { premises, reference, influence, law, slack_m: law.0 - reference.constant_m }
    }

    fn worst(&self, multiplier: f64) -> Worst {
        self.influence.worst(self.premises, Some(self.reference), multiplier)
    }

    /// Greatest of g(H) = Z/H + θ·(s + r·H) at two tensions; between them it is less, as g is convex.
    fn at_ends_m(&self, most: f64, multiplier: f64, [low_n, high_n]: [f64; 2]) -> f64 {
        let at = |tension_n: f64| most / tension_n + multiplier * (self.slack_m + self.law.1 * tension_n);
        at(low_n).max(at(high_n))
    }

    /// The multiplier with Z(θ) = θ·r·H₁·H₂, at which g is the same at both tensions, about; by Newton's method on what is
    /// convex in θ. Every bound on the way holds: the least of them, and the loads of the last.
    fn adapted(&self, ends_n: [f64; 2], start: f64, steps: usize) -> (f64, f64, Worst) {
        let product = self.law.1 * ends_n[0] * ends_n[1];
        let (mut multiplier, mut least_m) = (start, f64::INFINITY);
        let mut step = 0;
        loop {
            let worst = self.worst(multiplier);
            least_m = least_m.min(self.at_ends_m(worst.most, multiplier, ends_n));
            step += 1;
            let next = multiplier + (worst.most - multiplier * product) / (worst.moment + product);
            if step >= steps || !next.is_finite() || next <= 0.0 || (next - multiplier).abs() < 1e-6 * multiplier {
                return (least_m, multiplier, worst);
            }
            multiplier = next;
        }
    }

    /// The greatest bound over all tensions of the span, range by range.
    fn greatest_m(&self, about_n: f64, multiplier: f64) -> f64 {
        let (low_n, high_n) = (self.premises.tension_n.low(), self.premises.tension_n.high());
        let near = [0.96, 1.04].map(|share| (share * about_n).clamp(low_n, high_n));
        let mut attained_m = 0.0;
        let mut ranges: Vec<Range> = [[low_n, near[0]], near, [near[1], high_n]]
            .into_iter()
            .filter(|[from_n, to_n]| from_n < to_n || low_n == high_n)
            .map(|ends_n| self.range(ends_n, multiplier, &mut attained_m))
            .collect();
        loop {
            let Some(worst) = (0..ranges.len()).max_by(|a, b| ranges[*a].most_m.total_cmp(&ranges[*b].most_m)) else {
                return f64::INFINITY;
            };
            if ranges[worst].most_m <= attained_m * (1.0 + CLOSE) || ranges.len() >= RANGES {
                return ranges[worst].most_m;
            }
            let Range { ends_n: [from_n, to_n], multiplier, .. } = ranges.swap_remove(worst);
            let middle_n = (from_n * to_n).sqrt();
            ranges.extend(
                [[from_n, middle_n], [middle_n, to_n]].map(|ends_n| self.range(ends_n, multiplier, &mut attained_m)),
            );
        }
    }

    fn range(&self, ends_n: [f64; 2], start: f64, attained_m: &mut f64) -> Range {
        let (most_m, multiplier, worst) = self.adapted(ends_n, start, STEPS);
        let own_n = self.reference.tension_n(self.law, worst.moment);
        if own_n > 0.0 {
            *attained_m = attained_m.max((worst.most + multiplier * worst.moment) / own_n);
        }
        Range { most_m, ends_n, multiplier }
    }
}

/// A range of tensions with its bound.
struct Range {
    most_m: f64,
    ends_n: [f64; 2],
    multiplier: f64,
}
