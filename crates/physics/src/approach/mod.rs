//! The certified search for the closest approach of one machine to one wire.

mod attained;
mod bound;
mod cell;
mod contenders;
mod descent;
mod expansion;
mod gap;
mod held;
mod hull;
mod limiter;
mod links;
mod posed;
mod probe;
mod quadratic;
mod search;
#[cfg(test)]
mod soundness;
mod strand;
mod support;
mod types;

pub use attained::{Attained, attained};
pub use gap::{Gap, Hanging, Pieces, Standing, gap, gap_to_pieces};
pub use held::Held;
pub use hull::{PlacedFeature, nearest_on_hull};
pub use posed::reach_m;
pub use search::closest_approach;
pub use types::{Approach, ApproachError, Margins, Options, StopReason, Witness};
