//! The loads that a piece of wire may carry, whatever the rest of the span carries: a convex polygon.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use super::Across;
use crate::interval::Interval;
use crate::line::{Conditions, LoadModel, Span, WindDirection};

/// Directions in which a polygon touches the set that it holds.
const DIRECTIONS: usize = 24;

/// Widest arc of wind directions that is bounded at once, rad.
const WIDEST_ARC_RAD: f64 = TAU / 72.0;

/// The winds that may blow at a place: any speed up to the strongest, from anywhere in a fan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WindFan {
    /// Strongest wind, m/s.
    pub wind_m_per_s: f64,
    /// Least angle on the map from the span's run to where the wind blows, counted to the left, rad.
    pub from_rad: f64,
    /// Width of the fan, rad.
    pub sweep_rad: f64,
    /// Sine of the angle by which the wind may fall (negative: rise).
    pub fall: Interval,
}

impl WindFan {
    /// The fan of the conditions, seen from a span.
    #[must_use]
    pub fn new(conditions: &Conditions, span: &Span) -> Self {
        let run = span.chord();
        let (from_rad, sweep_rad) = match conditions.wind_direction {
            WindDirection::Any => (0.0, TAU),
            // Wind from the bearing β blows toward β + π; bearings count to the right.
            WindDirection::Sector { from_rad, sweep_rad } => {
                (run.x.atan2(run.y) - PI - from_rad - sweep_rad, sweep_rad)
            }
        };
        let rise = conditions.wind_rise_rad;
        let fall = Interval::hull(-rise.high().sin(), -rise.low().sin());
        Self { wind_m_per_s: conditions.wind_m_per_s.high(), from_rad, sweep_rad, fall }
    }

    fn arcs(&self, slope: f64, off: f64) -> Vec<Arc> {
        let count = (self.sweep_rad / WIDEST_ARC_RAD).ceil().max(1.0) as usize;
        let width_rad = self.sweep_rad / count as f64;
        let arc = |i: usize| Arc::new(self, (self.from_rad + width_rad * i as f64, width_rad), slope, off);
        (0..count).map(arc).collect()
    }
}

/// Winds from a narrow arc, as pieces of wire with a range of slopes meet them.
struct Arc {
    /// Cosine and sine of the wind's angle to the run, at both ends.
    ends: [(f64, f64); 2],
    /// 1/cos of half the width.
    stretch: f64,
    most_cosine: f64,
    /// Greatest share of the wind that is square to the wire.
    square: f64,
}

impl Arc {
    fn new(fan: &WindFan, (from_rad, width_rad): (f64, f64), slope: f64, off: f64) -> Self {
        let to_rad = from_rad + width_rad;
        let passes = |angle: f64| (angle - from_rad).rem_euclid(PI) <= width_rad;
        let ends = [from_rad, to_rad].map(|angle| (angle.cos(), angle.sin()));
        let [near, far] = ends;
        let most = |a: f64, b: f64, crest: bool| if crest { 1.0 } else { a.abs().max(b.abs()) };
        let least_cosine = if passes(FRAC_PI_2) { 0.0 } else { near.0.abs().min(far.0.abs()) };
        let (most_cosine, most_sine) = (most(near.0, far.0, passes(0.0)), most(near.1, far.1, passes(FRAC_PI_2)));
        let steepest = slope.abs() + off;
        let fall = fan.fall.low().abs().max(fan.fall.high().abs());
        let level = (1.0 - fall * fall).sqrt();
        let along = level * least_cosine - off * most_sine - fall * steepest;
        let along = along.max(0.0) / (1.0 + steepest * steepest).sqrt();
        Self { ends, stretch: (0.5 * width_rad).cos().recip(), most_cosine, square: (1.0 - along * along).sqrt() }
    }

    /// The most that `a·(W_t − W_e·p)` is, by the wind's speed.
    fn most_toward(&self, a: &Across, (slope, off): (f64, f64), fall: Interval) -> f64 {
        let level = |(cosine, sine): (f64, f64)| a.y * sine - a.x * slope * cosine;
        let level = level(self.ends[0]).max(level(self.ends[1])).max(0.0) * self.stretch;
        let fallen = (a.x * fall.low()).max(a.x * fall.high());
        level + off * self.most_cosine * a.norm() + fallen
    }
}

/// What may load a piece of wire: its weight over a range of strain and growth, ice, wind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoadSet {
    /// How ice and wind load the wire.
    pub load: LoadModel,
    /// The winds.
    pub fan: WindFan,
    /// Radial ice, m.
    pub ice_m: Interval,
}

/// By what a load per metre of unstretched wire is multiplied to be that per metre of stretched wire.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PerStretched {
    /// The wire's own weight: it grew by heat, creep and pull.
    pub metal: Interval,
    /// Ice and wind.
    pub rest: Interval,
}

/// A convex set of loads between directions that touch it: whoever takes the corners takes a little more.
#[derive(Clone, Debug, PartialEq)]
pub struct Polygon {
    corners: Vec<Across>,
}

impl LoadSet {
    /// All q_t − q_e·p of pieces whose slope is within `off` of `slope` (both along the plane's first axis, down, per run).
    pub fn polygon(&self, per: &PerStretched, slope: f64, off: f64) -> Polygon {
        let arcs = self.fan.arcs(slope, off);
        let directions: [Across; DIRECTIONS] = std::array::from_fn(direction);
        let support = directions.map(|a| self.support(&a, per, &arcs, (slope, off)));
        let corner = |j: usize| {
            let next = (j + 1) % DIRECTIONS;
            meet((&directions[j], support[j]), (&directions[next], support[next]))
        };
        Polygon { corners: (0..DIRECTIONS).map(corner).collect() }
    }

    /// Greatest a·q: weight of the metal, and of t the worst: ice c·t·(d + t) with wind on d + 2t.
    fn support(&self, a: &Across, per: &PerStretched, arcs: &[Arc], slopes: (f64, f64)) -> f64 {
        let (load, fan) = (&self.load, &self.fan);
        let pressure = |arc: &Arc| {
            let speed_m_per_s = fan.wind_m_per_s * arc.square;
            let toward_m_per_s = fan.wind_m_per_s * arc.most_toward(a, slopes, fan.fall);
            speed_m_per_s * toward_m_per_s * load.drag_share(speed_m_per_s, self.ice_m.low())
        };
        let squares = arcs.iter().map(pressure).fold(0.0, f64::max);
        let push_pa = load.pressure_factor_kg_per_m3() * squares * per.rest.high();
        let factor = |range: Interval| if a.x > 0.0 { range.high() } else { range.low() };
        let bare_n_per_m = load.down_n_per_m(0.0);
        let at = |ice_m: f64| {
            let ice_n_per_m = a.x * (load.down_n_per_m(ice_m) - bare_n_per_m) * factor(per.rest);
            ice_n_per_m + push_pa * 2.0 * load.radius_m(ice_m)
        };
        // In t it is a parabola: its crest, where that lies within, or an end.
        let (low, high, middle) = (self.ice_m.low(), self.ice_m.high(), self.ice_m.center());
        let half = 0.5 * (high - low);
        let (rise, bend) = (0.5 * (at(high) - at(low)), at(high) - 2.0 * at(middle) + at(low));
        let crest = if bend < 0.0 { middle - half * rise / bend } else { low };
        let iced = at(low).max(at(high)).max(at(crest.clamp(low, high)));
        a.x * bare_n_per_m * factor(per.metal) + iced
    }

    /// The strongest push of the wind on a metre of wire, N/m.
    pub fn strongest_push_n_per_m(&self) -> f64 {
        let thin = self.load.drag_share(self.fan.wind_m_per_s, self.ice_m.low());
        let squares = self.fan.wind_m_per_s * self.fan.wind_m_per_s * thin;
        self.load.pressure_factor_kg_per_m3() * squares * 2.0 * self.load.radius_m(self.ice_m.high())
    }
}

/// The direction with a number, around from down.
fn direction(number: usize) -> Across {
    let (sine, cosine) = (TAU * number as f64 / DIRECTIONS as f64).sin_cos();
    Across::new(cosine, sine)
}

/// Where two lines a·q = h meet.
fn meet((a, of_a): (&Across, f64), (b, of_b): (&Across, f64)) -> Across {
    let det = a.x * b.y - a.y * b.x;
    Across::new(of_a * b.y - of_b * a.y, of_b * a.x - of_a * b.x) / det
}

impl Polygon {
    #[cfg(test)]
    pub fn of(corners: Vec<Across>) -> Self {
        Self { corners }
    }

    /// Greatest a·q, and the corner where it is attained.
    pub fn support(&self, a: &Across) -> (f64, Across) {
        let mut best = (f64::NEG_INFINITY, Across::zeros());
        for corner in &self.corners {
            let value = a.x * corner.x + a.y * corner.y;
            if value > best.0 {
                best = (value, *corner);
            }
        }
        best
    }

    /// Size of the greatest load.
    pub fn greatest(&self) -> f64 {
        self.corners.iter().map(Across::norm).fold(0.0, f64::max)
    }

    /// Greatest size of the projection of any load, by direction: |q| ≤ this · max over directions of a·q.
    pub fn rounding() -> f64 {
        (PI / DIRECTIONS as f64).cos().recip()
    }

    /// Directions in which sizes are compared.
    pub fn directions() -> impl Iterator<Item = Across> {
        (0..DIRECTIONS).map(direction)
    }
}
