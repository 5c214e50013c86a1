//! A wind sector has a width.

use std::f64::consts::TAU;

use crate::code::Code;
use crate::here::Here;
use crate::problem::Problems;
use crate::raw::RawWindFrom;

/// Bearings closer than this are the same, rad.
const SAME_RAD: f64 = 1e-9;

pub(super) fn check(wind: &RawWindFrom, here: &Here<'_>) -> Problems {
    let RawWindFrom::Sector(sector) = wind else { return Problems::none() };
    let sweep_rad = (sector.to.si - sector.from.si).rem_euclid(TAU);
    if (SAME_RAD..=TAU - SAME_RAD).contains(&sweep_rad) {
        return Problems::none();
    }
    let message = format!(
        "the sector runs from {} to {}, which is one bearing or a full circle",
        sector.from.written, sector.to.written
    );
    let help = "write \"any\" for every direction, or two bearings, clockwise from the first to the second";
    here.problem(Code::WindSector, message, help).into()
}
