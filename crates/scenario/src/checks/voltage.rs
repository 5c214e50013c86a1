//! The basis of a voltage goes with its current.

use crate::code::Code;
use crate::here::Here;
use crate::problem::Problems;
use crate::raw::{CurrentWord, RawVoltage, VoltageBasisWord};

pub(super) fn check(voltage: &RawVoltage, here: &Here<'_>) -> Problems {
    let RawVoltage::Known(known) = voltage else { return Problems::none() };
    let poles = matches!(known.basis, VoltageBasisWord::PoleToPole | VoltageBasisWord::PoleToGround);
    if poles == (known.current == CurrentWord::Dc) {
        return Problems::none();
    }
    let message = if poles {
        "a voltage between poles is direct current, but the current is \"ac\""
    } else {
        "a voltage between phases, or phase and ground, is alternating current, but the current is \"dc\""
    };
    let help = "use \"phase to phase\" or \"phase to ground\" for ac, \"pole to pole\" or \"pole to ground\" for dc";
    here.key("basis").problem(Code::VoltageBasis, message, help).into()
}
