//! The range chart as a round drawing, north up.

use super::picture::PictureError;
use super::sheet::{Anchor, CLEAR, HEIGHT, INK, NOT_PROVEN, Sheet};
use crate::chart::{ChartDocument, SectorResult, sector_words};
use crate::words::{CAUTION, VerdictName};

const MIDDLE: [f64; 2] = [390.0, 420.0];
const RADIUS: f64 = 310.0;
/// Left edge of the words beside it.
const BESIDE: f64 = 760.0;
/// Degrees of one step of an arc.
const ARC_DEG: f64 = 2.0;

/// The chart as an SVG drawing.
///
/// # Errors
/// When the font is faulty.
pub fn chart_svg(document: &ChartDocument) -> Result<String, PictureError> {
    let title = format!("Range chart of {}", document.machine);
    let mut sheet = Sheet::new(&title)?;
    sheet.text([24.0, 40.0], 28.0, Anchor::Start, &title);
    sheet.text([24.0, 66.0], 15.0, Anchor::Start, &document.title);
    for sector in &document.sectors {
        wedge(&mut sheet, document, sector);
    }
    sheet.disc(MIDDLE, 9.0, "white");
    ahead(&mut sheet, document);
    sheet.north([700.0, 130.0]);
    beside(&mut sheet, document);
    sheet.text([24.0, HEIGHT - 22.0], 14.0, Anchor::Start, CAUTION);
    Ok(sheet.finish())
}

/// A place on the sheet at a bearing and a distance from the middle.
fn at(bearing_rad: f64, radius: f64) -> [f64; 2] {
    [MIDDLE[0] + radius * bearing_rad.sin(), MIDDLE[1] - radius * bearing_rad.cos()]
}

fn wedge(sheet: &mut Sheet, document: &ChartDocument, sector: &SectorResult) {
    let [from, to] = sector.slew_rad.map(|slew| document.heading_rad - slew);
    let steps = ((from - to).abs().to_degrees() / ARC_DEG).ceil().max(1.0) as usize;
    let arc = (0..=steps).map(|step| at(from + (to - from) * step as f64 / steps as f64, RADIUS));
    let shape: Vec<[f64; 2]> = std::iter::once(MIDDLE).chain(arc).collect();
    let fill = match (sector.whole, sector.most_rad.or(sector.least_rad)) {
        (VerdictName::Clear, _) => CLEAR,
        (_, Some(_)) => NOT_PROVEN,
        (_, None) => "url(#hatch)",
    };
    sheet.polygon(&shape, fill, INK);
    let middle = 0.5 * (from + to);
    let narrow = (from - to).abs() < 7.0_f64.to_radians();
    let [x, y] = at(middle, 0.82 * RADIUS);
    for (index, words) in short_words(sector).iter().enumerate() {
        let size = if narrow { 9.0 } else { 12.5 };
        sheet.text([x, y + index as f64 * 14.0], size, Anchor::Middle, words);
    }
    let [x, y] = at(from, RADIUS + 16.0);
    sheet.text([x, y + 4.0], 11.0, Anchor::Middle, &format!("{:.0}", sector.slew_rad[0].to_degrees() + 0.0));
    let [x, y] = at(to, RADIUS + 16.0);
    sheet.text([x, y + 4.0], 11.0, Anchor::Middle, &format!("{:.0}", sector.slew_rad[1].to_degrees() + 0.0));
}

/// What stands in a wedge: limits of the luff in degrees.
fn short_words(sector: &SectorResult) -> Vec<String> {
    let deg = |rad: f64| format!("{:.1}", rad.to_degrees());
    match (sector.whole, sector.least_rad, sector.most_rad) {
        (VerdictName::Clear, ..) => vec!["all".into()],
        (_, None, None) => vec!["NO".into()],
        (_, least, most) => {
            let least = least.map(|rad| format!("≥ {}", deg(rad)));
            least.into_iter().chain(most.map(|rad| format!("≤ {}", deg(rad)))).collect()
        }
    }
}

/// Which way is straight ahead.
fn ahead(sheet: &mut Sheet, document: &ChartDocument) {
    let tip = at(document.heading_rad, 46.0);
    sheet.line(&[MIDDLE, tip], INK, 3.0);
    let [x, y] = at(document.heading_rad, 60.0);
    sheet.text([x, y + 4.0], 11.0, Anchor::Middle, "slew 0");
}

fn beside(sheet: &mut Sheet, document: &ChartDocument) {
    let luff = &document.luff;
    let mut y = 170.0;
    let [low, high] = document.luff_range_rad.map(f64::to_degrees);
    for (fill, words) in [
        (CLEAR, format!("all: {luff} anywhere from {low:.1} to {high:.1} deg is proven clear")),
        (NOT_PROVEN, format!("only with the {luff} held at or beyond the number, in degrees: proven clear")),
        ("url(#hatch)", "NO: keep out of this sector".to_string()),
    ] {
        sheet.key([BESIDE, y], fill, &words);
        y += 62.0;
    }
    let about = format!(
        "Numbers round the edge are the {} in degrees, positive to the left. Stops are settings: the overrun of {} and {luff} \
         comes on top and is counted, and so are swing, bending, setting-out and every state of the wires. A stop holds for its \
         whole sector.",
        document.slew, document.slew
    );
    y += sheet.paragraph([BESIDE, y + 10.0], 14.0, 46, &about) + 24.0;
    let limited: Vec<&SectorResult> =
        document.sectors.iter().filter(|sector| sector.whole != VerdictName::Clear).collect();
    for sector in limited.iter().take(14) {
        let [from, to] = sector.slew_rad.map(|rad| rad.to_degrees() + 0.0);
        sheet.text([BESIDE, y + 14.0], 13.0, Anchor::Start, &format!("{from:.0} to {to:.0}: {}", sector_words(sector)));
        y += 18.0;
    }
}
