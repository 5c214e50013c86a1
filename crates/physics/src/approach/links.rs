//! Lower bound of n·p over a box of poses, link by link. Proof in `docs/theory/certified-search.md`, section 2.
//!
//! A link runs from one hinge to the next, or to the point p. The hinges above it turn it from where it is in the middle
//! of the box by at most the sum of their half-widths Θ, so n·w ≥ |w|·cos(min(π, ∠(n, w) + Θ)). A single hinge above it
//! turns only what is square to its axis. Slides move the end of a link along lines; the bound is concave in how far, so
//! it is least at their ends.

use std::f64::consts::PI;

use nalgebra::{Point3, Vector3};

use super::hull::PlacedFeature;
use super::posed::{CarriedFeature, Joints, Posed, Step};
use crate::machine::MAX_JOINTS;

/// Slides of one link that are tried at both ends together; more of them count with their whole travel.
const MOST_SLIDES: usize = 3;

/// What turns a link within the box: by Θ at most, about one axis or about several.
#[derive(Clone, Copy)]
struct Turn {
    half: f64,
    /// The axis, where it is a single hinge.
    only: Option<Vector3<f64>>,
    sin: f64,
    cos: f64,
}

impl Turn {
    const NONE: Self = Self { half: 0.0, only: None, sin: 0.0, cos: 1.0 };

    fn with(self, axis: Vector3<f64>, half: f64) -> Self {
        if half == 0.0 {
            return self;
        }
        let sum = self.half + half;
        let (sin, cos) = sum.min(PI).sin_cos();
        Self { half: sum, only: (self.half == 0.0).then_some(axis), sin, cos }
    }

    /// Least n·w of a link that is `link` in the middle of the box.
    fn least_m(&self, normal: &Vector3<f64>, link: &Vector3<f64>) -> f64 {
        let Some(axis) = self.only else { return self.turned_m(normal, link) };
        let (up, link_up_m) = (normal.dot(&axis), link.dot(&axis));
        up * link_up_m + self.turned_m(&(normal - axis * up), &(link - axis * link_up_m))
    }

    /// |n|·|w|·cos(min(π, ∠(n, w) + Θ)).
    fn turned_m(&self, normal: &Vector3<f64>, link: &Vector3<f64>) -> f64 {
        if self.half == 0.0 {
            return normal.dot(link);
        }
        let (along, across) = (normal.dot(link), normal.cross(link).norm());
        // The sine of the whole angle, not positive from π on.
        if self.half >= PI || across * self.cos + along * self.sin <= 0.0 {
            return -(normal.norm_squared() * link.norm_squared()).sqrt();
        }
        along * self.cos - across * self.sin
    }
}

/// The slides of one link: their axes and half-widths, m.
struct Slides {
    travels: [Vector3<f64>; MAX_JOINTS],
    count: usize,
}

impl Slides {
    fn none() -> Self {
        Self { travels: [Vector3::zeros(); MAX_JOINTS], count: 0 }
    }

    fn add(&mut self, travel: Vector3<f64>) {
        self.travels[self.count] = travel;
        self.count += 1;
    }

    /// Least n·w over the ends of the slides.
    fn least_m(&self, turn: &Turn, normal: &Vector3<f64>, link: &Vector3<f64>) -> f64 {
        let (tried, rest) = self.travels[..self.count].split_at(self.count.min(MOST_SLIDES));
        let rest_m: f64 = rest.iter().map(Vector3::norm).sum();
        let corner = |ends: u32| {
            let moved = tried.iter().enumerate().map(|(k, travel)| if ends >> k & 1 == 1 { *travel } else { -travel });
            turn.least_m(normal, &(link + moved.sum::<Vector3<f64>>()))
        };
        (0..1 << tried.len()).map(corner).fold(f64::INFINITY, f64::min) - rest_m
    }
}

/// Lower bound of n·p for the point or the centre of the ring of a feature over the box `middle ± half`, m.
pub fn lower_m(
    feature: &CarriedFeature<'_>,
    placed: &PlacedFeature,
    middle: &Posed,
    half: &Joints,
    normal: &Vector3<f64>,
) -> f64 {
    let (mut sum_m, mut from, mut turn, mut slides) = (0.0, Point3::origin(), Turn::NONE, Slides::none());
    let mut close = |to: Point3<f64>, turn: Turn, slides: &mut Slides| {
        sum_m += slides.least_m(&turn, normal, &(to - from));
        (from, *slides) = (to, Slides::none());
    };
    // From the site down to the feature; a plumb point keeps the axes of the site.
    for step in feature.steps.iter().rev() {
        match *step {
            Step::Slide(joint) => slides.add(middle.axes[joint] * half[joint]),
            Step::Hinge(joint) => {
                close(middle.origins[joint], turn, &mut slides);
                turn = turn.with(middle.axes[joint], half[joint]);
            }
            Step::Plumb(frame) => {
                close(middle.hang_point(frame), turn, &mut slides);
                turn = Turn::NONE;
            }
        }
    }
    close(placed.at, turn, &mut slides);
    sum_m
}
