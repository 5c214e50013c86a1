//! Nothing comes closer: bounds, searches and controls attacked by samples, properties and independent solvers.

mod attained;
mod bounds;
mod ceiling;
mod controls_search;
mod directions;
mod falling;
mod gap;
mod hung;
mod properties;
mod rising;
mod samples;
mod stops;
mod strangers;
mod stretched_arm;
mod strings;
mod sway;
mod sway_motion;
mod sway_strings;
mod uneven;
