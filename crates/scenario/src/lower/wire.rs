//! One wire: attachments in space, spans, conductor, tautness, states.

use nalgebra::{Point3, Vector2};
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{KnownError, SectionError, Span, SpanError, SuspensionString, WireError};

use crate::code::Code;
use crate::defaults::{ATTACHMENT_TOLERANCE_M, Defaults};
use crate::here::Here;
use crate::problem::{Problem, Problems};
use crate::raw::{RawAttachment, RawString, RawSupport, RawWire};

/// What every variant of a wire shares.
pub(super) struct Common {
    pub spans: Vec<Span>,
    /// The string at each support; none where the wire is held rigidly.
    pub strings: Vec<Option<SuspensionString>>,
    pub position_tolerance_m: f64,
}

/// Supports of a line with the directions of their crossarms.
pub(super) struct Row<'a> {
    pub supports: &'a [RawSupport],
    /// Unit vector to the right of each, on the map.
    pub right: &'a [Vector2<f64>],
}

/// Spans and tolerances of a wire.
pub(super) fn common(
    raw: &RawWire,
    row: &Row<'_>,
    here: &Here<'_>,
    defaults: &mut Defaults,
) -> Result<Common, Problems> {
    let spans = spans(raw, row, here)?;
    let words = "how far attachments may be off from where they are stated";
    let position_tolerance_m = defaults.take(
        raw.attachment_tolerance.as_ref(),
        &here.key("attachment_tolerance"),
        ATTACHMENT_TOLERANCE_M,
        "0.2 m",
        words,
    );
    let strings = raw.attachments.iter().map(|attachment| attachment.string.as_ref().map(string)).collect();
    note_wind_areas(raw, here, defaults);
    Ok(Common { spans, strings, position_tolerance_m })
}

/// A range, or a problem that names the place where its ends come from.
pub(super) fn interval(low: f64, high: f64, here: &Here<'_>) -> Result<Interval, Problems> {
    Interval::new(low, high).map_err(|error| here.problem(Code::Structure, error.to_string(), "correct it").into())
}

fn spans(raw: &RawWire, row: &Row<'_>, here: &Here<'_>) -> Result<Vec<Span>, Problems> {
    let points: Vec<Point3<f64>> = raw
        .attachments
        .iter()
        .zip(row.supports)
        .zip(row.right)
        .map(|((a, s), right)| attachment(a, s, right))
        .collect();
    let mut problems = Problems::none();
    let spans: Vec<_> = points
        .windows(2)
        .enumerate()
        .filter_map(|(index, ends)| {
            let here = here.key("attachments").index(index + 1);
            Span::new(ends[0], ends[1]).map_err(|error| problems.add(span_problem(&error, &here))).ok()
        })
        .collect();
    problems.into_result(spans)
}

fn attachment(raw: &RawAttachment, support: &RawSupport, right: &Vector2<f64>) -> Point3<f64> {
    let offset_m = raw.offset.as_ref().map_or(0.0, |offset| offset.si);
    let ground_m = support.ground.as_ref().map_or(0.0, |ground| ground.si);
    let (x, y) = (support.position[0].si, support.position[1].si);
    Point3::new(x + right.x * offset_m, y + right.y * offset_m, ground_m + raw.height.si)
}

fn span_problem(error: &SpanError, here: &Here<'_>) -> Problem {
    let (code, help) = match error {
        SpanError::TooShort { .. } => (Code::ZeroSpan, "check the positions and offsets"),
        SpanError::TooSteep { .. } => (Code::SteepSpan, "check the ground levels and attachment heights"),
        SpanError::NotFinite => (Code::OutOfRange, "check the positions"),
    };
    here.problem(code, error.to_string(), help)
}

fn string(raw: &RawString) -> SuspensionString {
    SuspensionString {
        length_m: raw.length.si,
        weight_n: raw.weight.si,
        wind_area_m2: raw.wind_area.as_ref().map_or(0.0, |area| area.si),
    }
}

/// One note for all strings without wind area.
fn note_wind_areas(raw: &RawWire, here: &Here<'_>, defaults: &mut Defaults) {
    let bare = |a: &RawAttachment| a.string.as_ref().is_some_and(|string| string.wind_area.is_none());
    let count = raw.attachments.iter().filter(|a| bare(a)).count();
    if let Some(first) = raw.attachments.iter().position(bare) {
        let here = here.key("attachments").index(first).key("string").key("wind_area");
        defaults.note(&here, "0 m2", &format!("no wind on {count} suspension strings of this wire, only on the wire"));
    }
}

/// A measured height that leaves no sag: what of it the measurement says, and what the tolerance of the attachments.
fn no_sag([height_m, attachments_m, tolerance_m, chord_m]: [f64; 4], stated: bool, value: &Here<'_>) -> Problem {
    if height_m >= chord_m || attachments_m <= 0.0 {
        let message = format!(
            "with its tolerance the measured height reaches {height_m:.2} m (site height), where the straight line between the attachments runs at {chord_m:.2} m: the wire would not sag"
        );
        return value.problem(Code::KnownHeight, message, "check height, tolerance, ground and attachments");
    }
    let default = if stated { "" } else { ", the default," };
    let message = format!(
        "the measured height leaves a sag of {:.2} m below the straight line between the attachments, but these may lie elsewhere by an attachment tolerance of {tolerance_m:.2} m{default} which makes {attachments_m:.2} m of that sag uncertain: the wire might not sag at all",
        chord_m - height_m
    );
    let help =
        "measure how high the wire is attached at both supports, and state that tolerance as \"attachment_tolerance\"";
    value.problem(Code::KnownHeight, message, help)
}

/// The problem with strings, at the support that it concerns where there is one.
fn string_problem(first: usize, error: &SectionError, supports: &[RawSupport], here: &Here<'_>) -> Problem {
    let name = |support: usize| supports.get(first + support).map_or("", |s| s.name.as_str());
    let at = |support: usize| here.key("attachments").index(first + support).key("string");
    match error {
        SectionError::String { support, quantity, value, min, max } => {
            let message = format!("the string's {quantity} of {value} is outside {min}..{max}");
            at(*support).problem(Code::ImpossibleString, message, "check the string")
        }
        SectionError::AtEnd { support } => {
            let message = format!("a string hangs at \"{}\", where the wire ends", name(*support));
            let help = "leave \"string\" out there: what lies beyond the last support is not known, and nothing else holds the wire";
            at(*support).problem(Code::StringAtEnd, message, help)
        }
        SectionError::Turns { support, turn_deg, most_deg } => {
            let message = format!(
                "the line turns by {turn_deg:.1} deg at \"{}\", where a string hangs; the model covers turns up to {most_deg} deg",
                name(*support)
            );
            at(*support).problem(
                Code::ImpossibleString,
                message,
                "check positions and offsets; at a bend a strain attachment is usual",
            )
        }
        SectionError::Uplift { support, state } => {
            let message = format!(
                "the wire lifts the string at \"{}\" in a state of the conditions (wire at {:.5} of the length it had when its tautness was known, wind {:.1} m/s, ice {:.1} mm)",
                name(*support),
                state.growth,
                state.wind_m_per_s.abs(),
                1000.0 * state.ice_m
            );
            at(*support).problem(
                Code::StringLifted,
                message,
                "check heights and tension; where it is true, ask the line's owner",
            )
        }
        SectionError::TooLong { .. } | SectionError::NotBalanced | SectionError::NotProven => {
            let help = "describe a shorter piece of line, or narrow its conditions";
            here.key("attachments").problem(Code::StringsNotProven, error.to_string(), help)
        }
        SectionError::Knee { .. } => {
            let help = "leave \"core\" out, which counts the wire as of one piece and lower; or narrow temperatures, \"free_at\" and \"permanent_set\"";
            here.key("core").problem(Code::StringsNotProven, error.to_string(), help)
        }
        SectionError::Shape(source) => {
            here.problem(Code::Shape, source.to_string(), "check tension, temperatures and attachments")
        }
    }
}

/// The problem that a refusal of the physics means, at the value that causes it.
pub(super) fn refusal(error: &WireError, raw: &RawWire, supports: &[RawSupport], here: &Here<'_>) -> Problems {
    let known = here.key("known_by");
    let way = ["horizontal_tension", "share_of_strength", "height", "tension"];
    let known_by = &raw.known_by;
    let given =
        [known_by.horizontal_tension.is_some(), known_by.share_of_strength.is_some(), known_by.height.is_some(), true];
    let value = known.key(way.iter().zip(given).find(|(_, given)| *given).map_or("height", |(way, _)| way));
    let span = |index: usize| match supports.get(index..=index + 1) {
        Some([a, b]) => format!("between \"{}\" and \"{}\"", a.name, b.name),
        _ => format!("in span {}", index + 1),
    };
    match error {
        WireError::Known(KnownError::NoStrength) => {
            value.problem(Code::NoStrength, error.to_string(), "give its strength, the tension, or a measured height")
        }
        WireError::Known(KnownError::Tension { tension_n, strength_n }) => {
            let message = format!(
                "with its tolerance, the horizontal tension reaches {tension_n:.0} N, which is not between 0 and the rated strength of {strength_n:.0} N"
            );
            value.problem(Code::AboveStrength, message, "check the tension, its tolerance and the conductor")
        }
        WireError::Known(KnownError::NoSag { height_m, attachments_m, tolerance_m, chord_m }) => {
            let stated = raw.attachment_tolerance.is_some();
            no_sag([*height_m, *attachments_m, *tolerance_m, *chord_m], stated, &value)
        }
        WireError::Known(KnownError::NoTension { .. }) => {
            value.problem(Code::KnownHeight, error.to_string(), "check height, tolerance, ground and attachments")
        }
        WireError::Known(KnownError::Place { .. }) => {
            value.problem(Code::KnownPlace, error.to_string(), "give a place inside a span")
        }
        WireError::AboveStrength { span: index, tension_n, strength_n } => {
            let message = format!(
                "{}, in the coldest, windiest and iciest state, the tension is {tension_n:.0} N, above the rated strength of {strength_n:.0} N, so such a state cannot occur with this wire",
                span(*index)
            );
            value.problem(Code::AboveStrength, message, "check tension, temperatures, wind, ice and conductor")
        }
        WireError::Lifted { span: index, slope, share, most } => {
            let message = format!(
                "{} the wire rises {slope:.2} m per metre, and the wind along it could lift {:.0} % of its weight; for a wire that hangs so the model covers {:.0} %",
                span(*index),
                100.0 * share,
                100.0 * most
            );
            here.key("attachments").problem(Code::WindLifts, message, "check heights and wind, or state where the wind comes from")
        }
        WireError::Strings { first, source } => string_problem(*first, source, supports, here),
        WireError::Shape { span: index, source } => {
            value.problem(Code::Shape, format!("{}: {source}", span(*index)), "check tension, temperatures and attachments")
        }
        WireError::Known(KnownError::Shape(source)) => {
            value.problem(Code::Shape, source.to_string(), "check tension, temperatures and attachments")
        }
        WireError::OutOfRange { .. } => here.problem(Code::OutOfRange, error.to_string(), "check the number"),
        WireError::NoSpan | WireError::Conditions(_) => here.problem(Code::Structure, error.to_string(), "correct it"),
    }
    .into()
}
