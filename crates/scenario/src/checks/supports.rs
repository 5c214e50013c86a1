//! Supports that follow each other stand apart.

use nalgebra::Point2;

use crate::code::Code;
use crate::here::Here;
use crate::problem::Problems;
use crate::raw::RawSupport;

/// Least distance of two supports on the map, m: below this there is no span (as in the physics).
pub(super) const LEAST_M: f64 = 1.0;

pub(super) fn check(supports: &[RawSupport], here: &Here<'_>) -> Problems {
    let mut problems = Problems::none();
    for (index, pair) in supports.windows(2).enumerate() {
        let [a, b] = pair else { continue };
        let apart_m = (place(b) - place(a)).norm();
        if apart_m < LEAST_M {
            let message = format!(
                "the supports \"{}\" and \"{}\" stand {apart_m:.2} m apart on the map, so there is no span between them",
                a.name, b.name
            );
            let here = here.index(index + 1).key("position");
            problems.add(here.problem(Code::ZeroSpan, message, "check both positions and their units"));
        }
    }
    problems
}

/// Place of a support on the map, m.
fn place(support: &RawSupport) -> Point2<f64> {
    Point2::new(support.position[0].si, support.position[1].si)
}
