//! A section with suspension strings as one cable: every span of it, and each string as an element that holds its lower end.

use std::ops::Range;

use nalgebra::Vector3;

use super::cable::{Hanger, evenly_m};
use super::{Cable, CableState, SwayError};
use crate::GRAVITY_M_PER_S2;
use crate::line::{SectionPicture, SpanState, WireSpan};

/// A section that sways, seen from one of its spans.
#[derive(Clone, Debug)]
pub struct StrungCable {
    /// The whole section.
    pub cable: Cable,
    /// At rest.
    pub rest: CableState,
    /// The inner nodes that belong to the span, the lower ends of its strings too.
    pub nodes: Range<usize>,
    /// The same for each span of the section.
    pub spans: Vec<Range<usize>>,
}

/// Force per strain of a string of insulators, N: iron and glass or porcelain, far stiffer than any wire is by its sag.
const STRING_STIFFNESS_N: f64 = 2e7;

impl StrungCable {
    /// The section of a span in the state that a state of the span stands for; none where it hangs on no strings. The span has
    /// `elements` elements, the others such that theirs are about as long.
    ///
    /// # Errors
    /// As [`Cable::new`].
    pub fn new(span: &WireSpan, state: &SpanState, elements: usize) -> Result<Option<Self>, SwayError> {
        if !(4..=512).contains(&elements) {
            return Err(SwayError::Elements(elements));
        }
        let Some(picture) = span.section_picture(state) else { return Ok(None) };
        let picture = picture?;
        let counts = counts(&picture, elements);
        let (cable, places_m) = assembled(span, state, &picture, &counts);
        let rest = cable.rest(&places_m, state.wind_m_per_s)?;
        let mut before = 0;
        let spans: Vec<Range<usize>> = counts
            .iter()
            .map(|count| {
                // Inner node k stands after element k; the string before a span hangs at the node after all elements before it.
                let first = before;
                before += count;
                first.saturating_sub(1)..before.min(cable.nodes())
            })
            .collect();
        Ok(Some(Self { cable, rest, nodes: spans[picture.place].clone(), spans }))
    }
}

/// Elements of each span.
fn counts(picture: &SectionPicture, elements: usize) -> Vec<usize> {
    let run_m = |k: usize| picture.spans[k].1.span.run_m();
    let apart_m = run_m(picture.place) / elements as f64;
    (0..picture.spans.len()).map(|k| ((run_m(k) / apart_m).round() as usize).clamp(4, 512)).collect()
}

/// The cable and places near its rest.
fn assembled(
    span: &WireSpan,
    state: &SpanState,
    picture: &SectionPicture,
    counts: &[usize],
) -> (Cable, Vec<Vector3<f64>>) {
    let (strand, load) = (span.strand(), span.strand().load());
    let origin = strand.span().from();
    let (mut lengths_m, mut places_m, mut hangers) = (Vec::new(), Vec::new(), Vec::new());
    for (k, ((own, shape), count)) in picture.spans.iter().zip(counts).enumerate() {
        lengths_m.extend(std::iter::repeat_n(own.unstretched_m / *count as f64, *count));
        places_m.extend(evenly_m(shape, origin, *count));
        if let Some((top, string)) = picture.strings.get(k) {
            let node = places_m.len();
            let (top_m, length_m) = (top - origin, string.length_m);
            hangers.push(Hanger { node, top_m, length_m, stiffness_n: STRING_STIFFNESS_N });
            places_m.push(shape.span.to() - origin);
        }
    }
    let shares_m: Vec<f64> = lengths_m.windows(2).map(|pair| 0.5 * (pair[0] + pair[1])).collect();
    let (mass_kg_per_m, drag) =
        (load.down_n_per_m(state.ice_m) / GRAVITY_M_PER_S2, load.slow_drag_kg_per_m2(state.ice_m));
    let mut masses_kg: Vec<f64> = shares_m.iter().map(|share| share * mass_kg_per_m).collect();
    let mut drags_kg_per_m: Vec<f64> = shares_m.iter().map(|share| share * drag).collect();
    // An even rigid link hands half of its weight and of the wind on it to its lower end.
    for (hanger, (_, string)) in hangers.iter().zip(&picture.strings) {
        masses_kg[hanger.node] += 0.5 * string.weight_n / GRAVITY_M_PER_S2;
        drags_kg_per_m[hanger.node] += 0.5 * load.pressure_pa(1.0) * string.wind_area_m2;
    }
    let end = |k: usize| picture.spans[k].1.span;
    let cable = Cable {
        from_m: end(0).from() - origin,
        to_m: end(picture.spans.len() - 1).to() - origin,
        lateral: strand.span().lateral(),
        lengths_m,
        masses_kg,
        drags_kg_per_m,
        stiffness_n: strand.axial_stiffness_n(),
        load: *load,
        ice_m: state.ice_m,
        hangers,
    };
    (cable, places_m)
}
