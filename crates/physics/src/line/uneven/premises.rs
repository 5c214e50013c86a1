//! What holds of a span under every distribution of its loads: slopes, tension, and so the effective load of each piece.

use super::loads::{LoadSet, PerStretched, Polygon};
use super::reference::Reference;
use super::{Across, PIECES};
use std::f64::consts::PI;

use crate::interval::Interval;

/// Kinds of slope for which loads are bounded; a piece takes the next steeper one.
const STEPS: usize = 4;

/// Tries to find slopes and a tension that imply themselves.
const TRIES: usize = 30;

/// By how much they are widened after a try that failed.
const WIDER: f64 = 1.25;

/// Halvings that find a greatest slope.
const HALVINGS: usize = 16;

/// Times that slopes and tension, once proven, are made sharper.
const SHARPER: usize = 2;

/// A bound on the length of a wire that pulls: longest to shortest·(1 + T/EA).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StretchLaw {
    /// Unstretched length, m.
    pub unstretched_m: Interval,
    /// Axial stiffness, N.
    pub stiffness_n: f64,
}

/// A core of another metal: the wire is never longer than the core that pulls alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoreStretch {
    /// How it stretches.
    pub law: StretchLaw,
    /// Its least length by that of the whole wire, at no tension.
    pub share: f64,
    /// From this tension on the outer wires pull, N.
    pub knee_n: f64,
}

/// A span, and what its wire is and may carry anywhere.
#[derive(Clone, Debug, PartialEq)]
pub struct UnevenSpan {
    /// Horizontal distance between the ends, m.
    pub run_m: f64,
    /// By how much the chord falls per run.
    pub slope: f64,
    /// How the whole wire stretches.
    pub whole: StretchLaw,
    /// The core that carries alone while its outer wires are slack, where they may be.
    pub core: Option<CoreStretch>,
    /// By what the wire has grown since its mass was stated: (1 + heat)·(1 + creep).
    pub growth: Interval,
    /// Loads.
    pub loads: LoadSet,
}

/// Slopes off the chord, tension and stretch within which a wire stays.
#[derive(Clone, Debug)]
struct Stay {
    /// Greatest slope off the chord on each piece.
    off: [f64; PIECES],
    /// Range of the horizontal tension, N.
    tension_n: Interval,
}

/// What follows for every distribution of the loads.
#[derive(Clone, Debug, PartialEq)]
pub struct Premises {
    /// Run, m, fall per run, and length of the chord per run.
    pub run_m: f64,
    /// Fall of the chord per run.
    pub slope: f64,
    /// Loads by kind of slope.
    pub polygons: Vec<Polygon>,
    /// Of each piece: its kind, and the range of what its loads are multiplied by.
    pub pieces: [(usize, Interval); PIECES],
    /// For each law: slack at no tension, m, and its growth with the tension, m/N.
    pub slack: Vec<(f64, f64)>,
    /// Range of the horizontal tension, N.
    pub tension_n: Interval,
    /// Greatest slack, m.
    pub greatest_slack_m: f64,
    /// Greatest length of the wire by its unstretched length.
    pub greatest_stretch: f64,
    /// The load in still air without ice, N/m.
    pub calm: Across,
}

impl UnevenSpan {
    pub fn chord_per_run(&self) -> f64 {
        (1.0 + self.slope * self.slope).sqrt()
    }

    /// What holds under every distribution of the loads; none where slopes and tension have no bound that implies itself.
    ///
    /// Where the outer wires pull under all loads, the wire is as of one piece.
    pub fn premises(&self) -> Option<Premises> {
        let Some(core) = self.core else { return self.by_its_laws() };
        let whole = Self { core: None, ..*self }.by_its_laws();
        whole.filter(|premises| premises.tension_n.low() >= core.knee_n).or_else(|| self.by_its_laws())
    }

    fn laws(&self) -> impl Iterator<Item = StretchLaw> + '_ {
        std::iter::once(self.whole).chain(self.core.iter().map(|core| core.law))
    }

    fn by_its_laws(&self) -> Option<Premises> {
        let mut guess = self.first_guess()?;
        for _ in 0..TRIES {
            let follows = self.implied(&guess);
            match follows {
                Some(stay) if stay.within(&guess) => return self.sharpened(stay),
                Some(stay) => guess = guess.widened_to(&stay),
                None => guess = guess.widened(),
            }
            if guess.off[0] > 3.0 {
                return None;
            }
        }
        None
    }

    /// No load bends the wire farther from its chord than this, m, whatever its slopes: the ellipse with the ends as foci, for the
    /// greatest stretched length that a mean tension T̄ allows with T̄·(λ − c/L₀) ≤ q·(π/8)·√(Λ² − c²).
    pub fn farthest_m(&self) -> f64 {
        let chord_m = self.run_m * self.chord_per_run();
        let (length_m, stiffness_n) = (self.whole.unstretched_m.high(), self.whole.stiffness_n);
        let share = self.core.map_or(1.0, |core| core.share.min(1.0));
        let load = self.greatest_load_n_per_m();
        let reach_m = |mean_n: f64| {
            let stretched_m = length_m * (1.0 + (mean_n + load * length_m) / stiffness_n);
            (stretched_m * stretched_m - chord_m * chord_m).max(0.0).sqrt()
        };
        let may_be = |mean_n: f64| {
            let least = share * (1.0 + mean_n / stiffness_n) - chord_m / length_m;
            mean_n * least <= load * PI / 8.0 * reach_m(mean_n)
        };
        let (mut low_n, mut high_n) = (0.0, load * length_m);
        while may_be(high_n) && high_n < stiffness_n {
            high_n *= 2.0;
        }
        for _ in 0..40 {
            let middle_n = 0.5 * (low_n + high_n);
            if may_be(middle_n) { low_n = middle_n } else { high_n = middle_n }
        }
        0.5 * reach_m(high_n) * self.chord_per_run()
    }

    /// The greatest load of a metre of unstretched wire, N/m: weight, ice and wind in one direction, stretched by 2 % at most.
    fn greatest_load_n_per_m(&self) -> f64 {
        let load = &self.loads.load;
        let (bare, iced) = (load.down_n_per_m(0.0), load.down_n_per_m(self.loads.ice_m.high()));
        let metal = bare * self.growth.low().recip().max(1.0);
        metal + 1.02 * (iced - bare + self.loads.strongest_push_n_per_m())
    }

    fn sharpened(&self, mut stay: Stay) -> Option<Premises> {
        for _ in 0..SHARPER {
            stay = self.implied(&stay).filter(|sharper| sharper.within(&stay)).unwrap_or(stay);
        }
        Some(self.under(&stay))
    }

    /// Slopes and tensions of the wire under the weakest and the strongest load everywhere, widened.
    fn first_guess(&self) -> Option<Stay> {
        let per = PerStretched { metal: Interval::hull(1.0, 1.0), rest: Interval::hull(1.0, 1.0) };
        let polygon = self.loads.polygon(&per, self.slope, 0.0);
        let weakest = -polygon.support(&Across::new(-1.0, 0.0)).0;
        if weakest <= 0.0 {
            return None;
        }
        let law = &self.whole;
        let chord_m = self.run_m * self.chord_per_run();
        let rate = chord_m * self.chord_per_run() / law.stiffness_n;
        let squares = |load: f64| self.run_m.powi(3) * load * load / (24.0 * self.chord_per_run());
        let low_n = tension_for(squares(weakest), law.unstretched_m.high() - chord_m, rate);
        let high_n = tension_for(squares(polygon.greatest()), law.unstretched_m.low() - chord_m, rate);
        let slack_m = law.unstretched_m.high() - chord_m + rate * high_n;
        // A parabola with slack s has end slopes √(6·s/ℓ).
        let off = 1.5 * (6.0 * slack_m.max(0.0) / self.run_m).sqrt();
        Some(Stay { off: [off; PIECES], tension_n: Interval::hull(0.8 * low_n, 1.2 * high_n) })
    }

    /// What holds of the loads where the wire stays within slopes and tensions.
    fn under(&self, stay: &Stay) -> Premises {
        let steepest = stay.off.iter().copied().fold(0.0, f64::max);
        let secant = (1.0 + (self.slope.abs() + steepest).powi(2)).sqrt();
        let pull = self.pull(stay, secant);
        let (low_n, high_n) = (stay.tension_n.low() * (1.0 - pull), stay.tension_n.high() * (1.0 + pull));
        let whole_n = self.whole.stiffness_n;
        let least = 1.0 + low_n / whole_n;
        let least = self.core.map_or(least, |core| core.share.min(least));
        let stretch = Interval::hull(least, 1.0 + high_n * secant / whole_n);
        let shrunk = Interval::hull(stretch.high().recip(), stretch.low().recip());
        let mass = Interval::hull(self.growth.high().recip().min(1.0), self.growth.low().recip().max(1.0));
        let per = PerStretched {
            metal: Interval::hull(mass.low() * shrunk.low(), mass.high() * shrunk.high()),
            rest: Interval::hull(shrunk.low(), shrunk.high().max(1.0)),
        };
        let step = |off: f64| ((off / steepest * STEPS as f64).ceil() as usize).clamp(1, STEPS);
        let polygon = |k: usize| self.loads.polygon(&per, self.slope, steepest * k as f64 / STEPS as f64);
        let piece = |off: f64| {
            let (flat, steep) = ((self.slope.abs() - off).max(0.0), self.slope.abs() + off);
            let secant = |slope: f64| (1.0 + slope * slope).sqrt();
            (step(off) - 1, Interval::hull(secant(flat) / (1.0 + pull), secant(steep) / (1.0 - pull)))
        };
        let greatest_slack_m = self.greatest_slack_m(high_n * secant);
        // ∫(1 + p²)dx ≤ c²/ℓ + 2·S³·slack, since the length is convex in p with at least 1/S³.
        let squares_m = self.run_m * self.chord_per_run().powi(2) + 2.0 * secant.powi(3) * greatest_slack_m;
        let chord_m = self.run_m * self.chord_per_run();
        let slack = |law: StretchLaw| {
            let share = (law.unstretched_m.high() / self.whole.unstretched_m.low()).max(1.0);
            let share = if self.core.is_some() { share } else { 1.0 };
            (law.unstretched_m.high() - chord_m, (1.0 + pull) * share * shrunk.high() * squares_m / law.stiffness_n)
        };
        Premises {
            run_m: self.run_m,
            slope: self.slope,
            polygons: (1..=STEPS).map(polygon).collect(),
            pieces: stay.off.map(piece),
            slack: self.laws().map(slack).collect(),
            tension_n: stay.tension_n,
            greatest_slack_m,
            greatest_stretch: stretch.high(),
            calm: Across::new(self.loads.load.down_n_per_m(0.0), 0.0),
        }
    }

    /// Greatest stretched length less the chord at a greatest tension, m.
    fn greatest_slack_m(&self, greatest_n: f64) -> f64 {
        let chord_m = self.run_m * self.chord_per_run();
        let slack_m = |law: StretchLaw| law.unstretched_m.high() * (1.0 + greatest_n / law.stiffness_n) - chord_m;
        self.laws().map(slack_m).fold(f64::INFINITY, f64::min).max(0.0)
    }

    /// η: by which share the horizontal tension may differ from its middle along the span, ∫κ·|q_e|dx/(2·H).
    fn pull(&self, stay: &Stay, secant: f64) -> f64 {
        let fall = self.loads.fan.fall.low().abs().max(self.loads.fan.fall.high().abs());
        let share = |off: &f64| {
            let steep = self.slope.abs() + off;
            steep.powi(4).mul_add(1.0, off * off).sqrt() + fall * steep
        };
        let mean = stay.off.iter().map(share).sum::<f64>() / PIECES as f64;
        let along_n = self.run_m * secant * mean * self.loads.strongest_push_n_per_m();
        (0.5 * along_n / stay.tension_n.low()).min(0.9)
    }

    /// Slopes and tensions that follow where the wire stays within given ones; none where nothing holds it down.
    fn implied(&self, stay: &Stay) -> Option<Stay> {
        let premises = self.under(stay);
        let low_n = premises.least_tension_n()?;
        let steepest = stay.off.iter().copied().fold(0.0, f64::max);
        let secant = (1.0 + (self.slope.abs() + steepest).powi(2)).sqrt();
        let high_n = self.greatest_tension_n(&premises, self.pull(stay, secant));
        // ∫|u|²dξ ≤ 2·S³·slack/ℓ, as the length is convex in the slope with at least 1/S³.
        let mean_square = 2.0 * secant.powi(3) * premises.greatest_slack_m / self.run_m;
        let off = premises.greatest_slopes(low_n, mean_square);
        Some(Stay { off, tension_n: Interval::hull(low_n, high_n.max(low_n)) })
    }

    /// H: at most that of the strongest load everywhere: H²·slack(H) ≤ ℓ³·k²/(24·c/ℓ), the slack that of the shortest wire.
    fn greatest_tension_n(&self, premises: &Premises, pull: f64) -> f64 {
        let ratio = self.chord_per_run();
        let strongest = premises.greatest_load_n_per_m();
        let squares = self.run_m.powi(3) * strongest * strongest / (24.0 * ratio);
        let greatest = |law: StretchLaw| {
            let share = self.core.map_or(1.0, |core| core.share.min(1.0));
            let rate =
                (1.0 - pull) * share * self.run_m * ratio * ratio / (law.stiffness_n * premises.greatest_stretch);
            tension_for(squares, law.unstretched_m.low() - self.run_m * ratio, rate)
        };
        self.laws().map(greatest).fold(0.0, f64::max)
    }
}

impl Stay {
    /// Whether it lies inside another, so that the other implies itself.
    fn within(&self, other: &Self) -> bool {
        let slopes = self.off.iter().zip(&other.off).all(|(own, other)| own < other);
        slopes && self.tension_n.low() >= other.tension_n.low() && self.tension_n.high() <= other.tension_n.high()
    }

    fn widened(&self) -> Self {
        let (low, high) = (self.tension_n.low(), self.tension_n.high());
        Self { off: self.off.map(|off| WIDER * off), tension_n: Interval::hull(low / WIDER, high * WIDER) }
    }

    /// Wider by a step, and beyond what followed.
    fn widened_to(&self, follows: &Self) -> Self {
        let needed = follows.off.iter().copied().fold(0.0, f64::max);
        let off = self.off[0].max(1.05 * needed);
        let low = self.tension_n.low().min(0.97 * follows.tension_n.low());
        let high = self.tension_n.high().max(1.03 * follows.tension_n.high());
        Self { off: [off; PIECES], tension_n: Interval::hull(low, high) }
    }
}

/// The root H of H²·(s + r·H) = Q by Newton's method from above, with s of either sign.
pub fn tension_for(squares: f64, slack_m: f64, rate_m_per_n: f64) -> f64 {
    let balance = |h: f64| h * h * (slack_m + rate_m_per_n * h) - squares;
    let taut_n = (-slack_m / rate_m_per_n).max(0.0);
    // Either term alone gives more than both.
    let by_stretch_n = taut_n + (squares / rate_m_per_n).cbrt();
    let mut tension_n = if slack_m > 0.0 { by_stretch_n.min((squares / slack_m).sqrt()) } else { by_stretch_n };
    for _ in 0..60 {
        let slope = tension_n * (2.0 * slack_m + 3.0 * rate_m_per_n * tension_n);
        let step = balance(tension_n) / slope;
        // From above the steps of this convex rise stay above the root.
        if step.is_nan() || step <= 1e-12 * tension_n {
            break;
        }
        tension_n -= step;
    }
    tension_n * (1.0 + 1e-9)
}

impl Premises {
    /// A level span of a wire that does not stretch, each piece under any load of a polygon.
    #[cfg(test)]
    pub fn of(run_m: f64, polygon: Polygon, slack_m: f64) -> Self {
        let one = Interval::hull(1.0, 1.0);
        let mut premises = Self {
            run_m,
            slope: 0.0,
            polygons: vec![polygon],
            pieces: [(0, one); PIECES],
            slack: vec![(slack_m, 1e-12)],
            tension_n: one,
            greatest_slack_m: slack_m,
            greatest_stretch: 1.0,
            calm: Across::new(1.0, 0.0),
        };
        let low_n = premises.least_tension_n().unwrap_or(0.0);
        let strongest = premises.greatest_load_n_per_m();
        let high_n = tension_for(run_m.powi(3) * strongest * strongest / 24.0, slack_m, 1e-12);
        premises.tension_n = Interval::hull(low_n, high_n);
        premises
    }

    pub fn chord_per_run(&self) -> f64 {
        (1.0 + self.slope * self.slope).sqrt()
    }

    /// Greatest a·k over the effective loads of a piece, and the load that attains it.
    pub fn support(&self, piece: usize, a: &Across) -> (f64, Across) {
        let (kind, factor) = self.pieces[piece];
        let (value, corner) = self.polygons[kind].support(a);
        let factor = if value > 0.0 { factor.high() } else { factor.low() };
        (factor * value, corner * factor)
    }

    /// Greatest a·k anywhere.
    pub fn greatest_toward(&self, a: &Across) -> f64 {
        (0..PIECES).map(|piece| self.support(piece, a).0).fold(f64::NEG_INFINITY, f64::max)
    }

    fn greatest_load_n_per_m(&self) -> f64 {
        let factor = self.pieces.iter().map(|(_, factor)| factor.high()).fold(0.0, f64::max);
        factor * self.polygons.last().map_or(0.0, Polygon::greatest)
    }

    /// H under the weakest loads, by the shape that these give as the reference.
    fn least_tension_n(&self) -> Option<f64> {
        let down = Across::new(1.0, 0.0);
        let weakest = -self.greatest_toward(&-down);
        if weakest <= 0.0 {
            return None;
        }
        let ratio = self.chord_per_run();
        let least = |&(slack_m, rate): &(f64, f64)| {
            let squares = self.run_m.powi(3) * weakest * weakest / (24.0 * ratio);
            let tension_n = tension_for(squares, slack_m, rate);
            let reference = Reference::uniform(self, down * (weakest / tension_n));
            let least = -reference.most(self, -1.0);
            (least > 0.0).then(|| reference.tension_n((slack_m, rate), least))
        };
        self.slack.iter().filter_map(least).reduce(f64::max)
    }

    /// Greatest slope off the chord on each piece, at a least tension and a greatest mean square of the slopes.
    fn greatest_slopes(&self, low_n: f64, mean_square: f64) -> [f64; PIECES] {
        let supports: Vec<(f64, f64)> =
            Polygon::directions().map(|b| (self.greatest_toward(&b), self.greatest_toward(&-b))).collect();
        let bend = self.run_m / low_n;
        let at: [f64; PIECES + 1] = std::array::from_fn(|i| {
            let xi = i as f64 / PIECES as f64;
            let slope = |&(along, against): &(f64, f64)| {
                let by_shear = 0.5 * ((1.0 - xi).powi(2) * along + xi * xi * against) * bend;
                let tent = Tent { at: xi, ahead: along.max(0.0) * bend, behind: against.max(0.0) * bend };
                by_shear.min(tent.greatest(mean_square))
            };
            supports.iter().map(slope).fold(0.0, f64::max) * Polygon::rounding()
        });
        // Between two places b·u is less than at one of them, and what it may gain from there.
        let gain = |(along, against): &(f64, f64)| along.min(*against).max(0.0) * bend / PIECES as f64;
        let gain = 0.5 * supports.iter().map(gain).fold(0.0, f64::max);
        std::array::from_fn(|i| at[i].max(at[i + 1]) + gain)
    }
}

/// Slopes toward one side that are P at a place and fall from there no faster than the loads allow.
struct Tent {
    at: f64,
    /// Greatest fall of the slope per fraction of the run, ahead and behind.
    ahead: f64,
    behind: f64,
}

impl Tent {
    /// The greatest P with ∫v² + (∫v)²/w ≤ mean square: v is what the slope is at least about the place, w the rest of the run,
    /// on which the slopes make up for it, as their mean is 0.
    fn greatest(&self, mean_square: f64) -> f64 {
        let needs = |peak: f64| {
            let side = |fall: f64, room: f64| {
                let width = if fall * room > peak { peak / fall } else { room };
                let end = peak - fall * width;
                let area = 0.5 * (peak + end) * width;
                (width, area, (peak * peak + peak * end + end * end) / 3.0 * width)
            };
            let (ahead, behind) = (side(self.ahead, 1.0 - self.at), side(self.behind, self.at));
            let (rest, area) = (1.0 - ahead.0 - behind.0, ahead.1 + behind.1);
            if rest <= 0.0 { f64::INFINITY } else { ahead.2 + behind.2 + area * area / rest }
        };
        let (mut low, mut high) = (0.0, 1.0);
        while needs(high) < mean_square {
            high *= 2.0;
        }
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if needs(middle) > mean_square { high = middle } else { low = middle }
        }
        high
    }
}
