//! What is assessed: lines, machines, and the limit for each machine and wire.

use crate::line::Wire;
use crate::machine::Machine;

/// A line: wires that belong together.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Name.
    pub name: String,
    /// Wires.
    pub wires: Vec<Wire>,
}

/// One machine against one wire.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pairing {
    /// Index of the machine.
    pub machine: usize,
    /// Index of the line.
    pub line: usize,
    /// Index of the wire in its line.
    pub wire: usize,
    /// Limit of approach, m: what must stay between their surfaces.
    pub limit_m: f64,
}

/// Everything that an assessment needs.
#[derive(Clone, Debug, PartialEq)]
pub struct Study {
    /// Lines.
    pub lines: Vec<Line>,
    /// Machines.
    pub machines: Vec<Machine>,
    /// Every machine against every wire that it must keep away from.
    pub pairings: Vec<Pairing>,
}
