//! Random studies from a seed: lines, machines, and machines placed near, beside, above and below wires.

mod body;
mod draw;
mod line;
mod machine;
mod place;

pub use draw::Draw;
pub use line::{RandomWire, random_box, random_wire};
pub use machine::{Sketch, random_sketch};
pub use place::{RandomStudy, random_study};
