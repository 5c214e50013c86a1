//! Shows where and when a machine comes closest to an overhead wire: a window, pictures, films, lessons.
//!
//! This crate computes no physics: gaps, shapes and answers come from the other crates. It narrows numbers to f32 and turns
//! axes in `frame` alone.

pub mod adapter;
pub mod args;
pub mod capture;
pub mod encode;
pub mod frame;
pub mod gusts;
pub mod hours;
pub mod loaded;
pub mod moment;
pub mod opening;
pub mod panel_model;
pub mod paths;
pub mod posting;
pub mod proportions;
pub mod scene;
pub mod scheduling;
pub mod sighting;
pub mod solid;
pub mod strings;
pub mod studio;
pub mod teaching;
pub mod terrain;
pub mod theme;
pub mod timing;
pub mod view_model;
pub mod views;
pub mod window;
