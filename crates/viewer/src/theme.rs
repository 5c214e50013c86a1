//! Colours and icons. A verdict is always a word, an icon and a colour; the colours differ for people who see them otherwise.

use wideberth_report::words::VerdictName;

/// A colour: red, green, blue, 0..=255 (sRGB).
pub type Rgb = [u8; 3];

/// How a verdict looks beside its words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct VerdictLook {
    /// Icon.
    pub icon: char,
    /// Ground of the banner.
    pub ground: Rgb,
    /// Text on it.
    pub ink: Rgb,
}

/// The look of a verdict.
#[must_use]
pub fn verdict(verdict: VerdictName) -> VerdictLook {
    match verdict {
        VerdictName::Clear => VerdictLook { icon: '✔', ground: [0, 92, 151], ink: WHITE },
        VerdictName::NotProven => VerdictLook { icon: '?', ground: [240, 196, 60], ink: INK },
        VerdictName::TooClose => VerdictLook { icon: '⚠', ground: [186, 66, 0], ink: WHITE },
        VerdictName::Contact => VerdictLook { icon: '⚡', ground: [106, 8, 56], ink: WHITE },
    }
}

/// What the banner says at a glance. Clear alone is not ready, and looks like neither.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sign {
    /// There is no answer: it is on its way, or the ranges are refused.
    NoAnswer,
    /// A verdict that stops the work.
    Stop(VerdictName),
    /// Clear, but something is missing before work may start.
    NotReady,
    /// Clear, and nothing is missing.
    Ready,
}

impl Sign {
    /// Every sign.
    pub const ALL: [Self; 6] = [
        Self::NoAnswer,
        Self::Stop(VerdictName::NotProven),
        Self::Stop(VerdictName::TooClose),
        Self::Stop(VerdictName::Contact),
        Self::NotReady,
        Self::Ready,
    ];

    /// The sign of an answer.
    #[must_use]
    pub fn of(verdict: VerdictName, ready: bool) -> Self {
        match (verdict, ready) {
            (VerdictName::Clear, true) => Self::Ready,
            (VerdictName::Clear, false) => Self::NotReady,
            (stop, _) => Self::Stop(stop),
        }
    }
}

/// The look of a sign.
#[must_use]
pub fn sign(sign: Sign) -> VerdictLook {
    match sign {
        Sign::NoAnswer => VerdictLook { icon: '…', ground: [84, 92, 102], ink: WHITE },
        Sign::Stop(stop) => verdict(stop),
        Sign::NotReady => VerdictLook { icon: '✎', ground: [214, 224, 234], ink: INK },
        Sign::Ready => verdict(VerdictName::Clear),
    }
}

/// White.
pub const WHITE: Rgb = [255, 255, 255];
/// Dark text.
pub const INK: Rgb = [24, 30, 38];
/// Dark cards behind light text.
pub const CARD: Rgb = [22, 30, 40];
/// Dim text on dark cards.
pub const DIM: Rgb = [188, 199, 210];
/// Sky at the zenith.
pub const SKY: Rgb = [112, 160, 205];
/// Sky at the horizon, and haze.
pub const HAZE: Rgb = [214, 226, 235];
/// Ground.
pub const GROUND: Rgb = [152, 166, 118];
/// Fine lines of the grid.
pub const GRID_FINE: Rgb = [138, 152, 104];
/// Coarse lines of the grid.
pub const GRID_COARSE: Rgb = [96, 108, 80];
/// Poles.
pub const POLE: Rgb = [110, 88, 68];
/// Steel.
pub const STEEL: Rgb = [124, 132, 140];
/// Insulators.
pub const INSULATOR: Rgb = [150, 172, 180];
/// Wires.
pub const WIRE: Rgb = [26, 28, 34];
/// Limit of approach.
pub const LIMIT: Rgb = [235, 110, 0];
/// Region that a wire can reach.
pub const REACH: Rgb = [58, 120, 190];
/// Machines.
pub const MACHINE: Rgb = [244, 205, 80];
/// Machine parts on the ground.
pub const MACHINE_DARK: Rgb = [134, 138, 144];
/// Hung loads.
pub const LOAD: Rgb = [198, 204, 210];
/// The worst case as a ghost.
pub const GHOST: Rgb = [110, 20, 100];
/// The gap of the moment, outside the limit.
pub const GAP: Rgb = [0, 96, 170];
/// The gap of the moment, inside the limit.
pub const GAP_INSIDE: Rgb = [190, 10, 20];
/// A gap of which nothing is proven: it lies outside the ranges of the answer, or the answer is in doubt.
pub const DOUBT: Rgb = [102, 90, 84];
/// Buried lines and their zones.
pub const BURIED: Rgb = [190, 24, 150];
/// Controls in place: stops, fences, posts.
pub const CONTROL: Rgb = [0, 112, 92];
/// Working clothes.
pub const VEST: Rgb = [242, 116, 32];
/// Trousers.
pub const TROUSERS: Rgb = [44, 58, 86];
/// Skin.
pub const SKIN: Rgb = [196, 152, 120];
/// Helmets.
pub const HELMET: Rgb = [250, 250, 245];

/// Part of linear light, 0..1, of a channel (IEC 61966-2-1).
#[must_use]
pub fn linear(channel: u8) -> f64 {
    let c = f64::from(channel) / 255.0;
    if c <= 0.040_45 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
}

/// Contrast of two colours, 1..21 (WCAG 2.1, relative luminance).
#[must_use]
pub fn contrast(a: Rgb, b: Rgb) -> f64 {
    let luminance = |c: Rgb| 0.2126 * linear(c[0]) + 0.7152 * linear(c[1]) + 0.0722 * linear(c[2]);
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// How people without one kind of cone see linear light. Source: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A
    /// physiologically-based model for simulation of color vision deficiency", IEEE TVCG 15(6), 2009, severity 1.0; from memory.
    const WITHOUT: [[[f64; 3]; 3]; 3] = [
        [[0.152_286, 1.052_583, -0.204_868], [0.114_503, 0.786_281, 0.099_216], [-0.003_882, -0.048_116, 1.051_998]],
        [[0.367_322, 0.860_646, -0.227_968], [0.280_085, 0.672_501, 0.047_413], [-0.011_820, 0.042_940, 0.968_881]],
        [[1.255_528, -0.076_749, -0.178_779], [-0.078_411, 0.930_809, 0.147_602], [0.004_733, 0.691_367, 0.303_900]],
    ];

    fn seen(color: Rgb, matrix: &[[f64; 3]; 3]) -> [f64; 3] {
        let light = color.map(linear);
        matrix.map(|row| row.iter().zip(light).map(|(m, c)| m * c).sum::<f64>().clamp(0.0, 1.0).powf(1.0 / 2.2))
    }

    fn apart(a: [f64; 3], b: [f64; 3]) -> f64 {
        a.iter().zip(b).map(|(x, y)| (x - y).powi(2)).sum::<f64>().sqrt()
    }

    #[test]
    fn the_words_of_a_verdict_can_be_read_on_its_colour() {
        for each in Sign::ALL.map(sign) {
            assert!(contrast(each.ground, each.ink) >= 4.5, "{each:?}");
        }
        assert!(contrast(CARD, DIM) >= 7.0);
    }

    #[test]
    fn signs_differ_in_icon_and_for_every_eye_in_colour() {
        for (index, a) in Sign::ALL.map(sign).iter().enumerate() {
            for b in &Sign::ALL.map(sign)[..index] {
                assert_ne!(a.icon, b.icon);
                for matrix in &WITHOUT {
                    assert!(apart(seen(a.ground, matrix), seen(b.ground, matrix)) > 0.18, "{a:?} {b:?}");
                }
            }
        }
    }

    /// Light of a colour as everybody sees it.
    const WITH_ALL: [[f64; 3]; 3] = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];

    /// CIE L*a*b* of a colour as an eye sees it, white D65 (CIE 15; matrix of IEC 61966-2-1).
    fn lab(color: Rgb, matrix: &[[f64; 3]; 3]) -> [f64; 3] {
        const XYZ: [[f64; 3]; 3] = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]];
        let light = color.map(linear);
        let seen = matrix.map(|row| row.iter().zip(light).map(|(m, c)| m * c).sum::<f64>().clamp(0.0, 1.0));
        let [x, y, z] = XYZ.map(|row| {
            let part = row.iter().zip(seen).map(|(m, c)| m * c).sum::<f64>() / row.iter().sum::<f64>();
            if part > 216.0 / 24_389.0 { part.cbrt() } else { (24_389.0 / 27.0 * part + 16.0) / 116.0 }
        });
        [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
    }

    #[test]
    fn what_means_different_things_looks_different_to_every_eye() {
        // A difference of about 2 can just be seen; the blue of the gap and that of the reach never stand for each other.
        let all = [WIRE, LIMIT, REACH, MACHINE, GHOST, GAP, GAP_INSIDE, DOUBT, GROUND];
        for (index, a) in all.iter().enumerate() {
            for b in all[..index].iter().filter(|b| [*a, **b] != [GAP, REACH]) {
                for matrix in WITHOUT.iter().chain([&WITH_ALL]) {
                    let difference = apart(lab(*a, matrix), lab(*b, matrix));
                    assert!(difference > 20.0, "{a:?} {b:?} {difference}");
                }
            }
        }
        assert!((apart(lab(WHITE, &WITH_ALL), lab([0, 0, 0], &WITH_ALL)) - 100.0).abs() < 0.1);
    }

    #[test]
    fn white_labels_can_be_read_on_every_ground() {
        for ground in [WIRE, GHOST, GAP, GAP_INSIDE, DOUBT, BURIED, CONTROL, CARD] {
            assert!(contrast(ground, WHITE) >= 4.5, "{ground:?}");
        }
    }
}
