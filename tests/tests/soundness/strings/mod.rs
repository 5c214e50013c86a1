//! Wires hung on suspension strings: the balance itself, its proven bounds, and the search over them.

mod balance;
mod bounds;
mod hills;
mod light_wind;
mod search;
