//! Physics of a machine beside an overhead line: the shape of wires in every state, the reach of machines in every
//! pose, and a proven bracket of the closest approach between them.
//!
//! Frame of the site: x east, y north, z up. Lengths in metres, forces in newtons, angles in radians, temperatures in
//! degrees Celsius; each name says its unit.
//!
//! This crate does not read files, know laws or voltages, print, log, look at a clock or draw random numbers.

pub mod approach;
pub mod assess;
pub mod bracket;
pub mod interval;
pub mod line;
pub mod machine;
pub mod study;
pub mod sway;
pub mod verdict;
pub mod weather;

/// Standard acceleration of gravity, m/s² (ISO 80000-3; CGPM 1901).
pub const GRAVITY_M_PER_S2: f64 = 9.806_65;
