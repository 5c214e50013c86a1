//! The map of where a machine may stand.

use nalgebra::Point2;
use wideberth_plan::stand::{Cell, Ground, StandMap};
use wideberth_scenario::Job;

use super::picture::PictureError;
use super::sheet::{Anchor, CLEAR, HEIGHT, INK, NOT_PROVEN, Sheet, WIDTH};
use crate::stand::StandDocument;
use crate::words::CAUTION;

/// Where the map lies on the sheet.
const FROM: [f64; 2] = [24.0, 84.0];
const SIZE: [f64; 2] = [720.0, 660.0];
/// Ground on which nobody can stand, whatever the wires do.
const LEFT_OUT: &str = "#9a9a9a";
/// Left edge of the words beside it.
const BESIDE: f64 = 772.0;

/// From places on the ground to the sheet, north up.
struct Frame {
    center: Point2<f64>,
    per_m: f64,
}

impl Frame {
    fn of(map: &StandMap) -> Self {
        let corners = map.area.corners().map(|corner| corner - map.area.center);
        let reach = |axis: usize| corners.iter().map(|c| c[axis].abs()).fold(1e-9, f64::max);
        let per_m = (0.5 * SIZE[0] / reach(0)).min(0.5 * SIZE[1] / reach(1)) * 0.97;
        Self { center: map.area.center, per_m }
    }

    fn at(&self, place: &Point2<f64>) -> [f64; 2] {
        let step = (place - self.center) * self.per_m;
        [FROM[0] + 0.5 * SIZE[0] + step.x, FROM[1] + 0.5 * SIZE[1] - step.y]
    }
}

/// The map as an SVG drawing.
///
/// # Errors
/// When the font is faulty.
pub fn map_svg(job: &Job, map: &StandMap, document: &StandDocument) -> Result<String, PictureError> {
    let title = format!("Where {} may stand", document.machine);
    let mut sheet = Sheet::new(&title)?;
    sheet.text([24.0, 40.0], 28.0, Anchor::Start, &title);
    sheet.text([24.0, 66.0], 15.0, Anchor::Start, &document.title);
    let frame = Frame::of(map);
    sheet.framed("map", FROM, SIZE, |sheet| {
        cells(sheet, map, &frame);
        lines(sheet, job, &frame);
        machine(sheet, job, map, &frame);
    });
    beside(&mut sheet, document);
    scale_bar(&mut sheet, &frame);
    sheet.north([FROM[0] + SIZE[0] - 26.0, FROM[1] + 52.0]);
    sheet.text([24.0, HEIGHT - 22.0], 14.0, Anchor::Start, CAUTION);
    Ok(sheet.finish())
}

fn cells(sheet: &mut Sheet, map: &StandMap, frame: &Frame) {
    for (ground, fill, edge) in [
        (Some(Ground::Clear), CLEAR, CLEAR),
        (Some(Ground::TooClose), "url(#hatch)", "none"),
        (Some(Ground::NotProven), NOT_PROVEN, NOT_PROVEN),
        (None, LEFT_OUT, LEFT_OUT),
    ] {
        let shown = |cell: &&Cell| ground.map_or(cell.left_out, |ground| cell.ground == ground && !cell.left_out);
        let own = map.cells.iter().filter(shown);
        let shapes: Vec<Vec<[f64; 2]>> =
            own.map(|cell| cell.area(&map.area).corners().iter().map(|c| frame.at(c)).collect()).collect();
        sheet.path(&shapes, fill, edge);
    }
}

fn lines(sheet: &mut Sheet, job: &Job, frame: &Frame) {
    for (line, info) in job.study.lines.iter().zip(&job.lines) {
        for span in line.wires.iter().flat_map(|wire| wire.variant_spans(0)) {
            let ends = [span.span().from().xy(), span.span().to().xy()].map(|place| frame.at(&place));
            sheet.line(&ends, INK, 1.6);
        }
        for support in &info.supports {
            let at = frame.at(&support.foot.xy());
            sheet.disc(at, 5.0, "white");
            sheet.text([at[0] + 8.0, at[1] - 7.0], 13.0, Anchor::Start, &support.name);
        }
    }
}

fn machine(sheet: &mut Sheet, job: &Job, map: &StandMap, frame: &Frame) {
    let Some(info) = job.machines.get(map.machine) else { return };
    let at = frame.at(&info.position.xy());
    let [x, y] = at;
    sheet.disc(at, 7.0, "white");
    sheet.line(&[[x - 7.0, y], [x + 7.0, y]], INK, 1.4);
    sheet.line(&[[x, y - 7.0], [x, y + 7.0]], INK, 1.4);
    sheet.text([x + 11.0, y + 5.0], 13.0, Anchor::Start, "place in the plan");
}

/// Legend and what follows from the map.
fn beside(sheet: &mut Sheet, document: &StandDocument) {
    let mut y = FROM[1] + 6.0;
    for (fill, words) in [
        (CLEAR, "CLEAR: proven, wherever in this ground the reference point stands"),
        ("url(#hatch)", "TOO CLOSE: proven, do not stand here"),
        (NOT_PROVEN, "NOT PROVEN: do not stand here"),
        (LEFT_OUT, "LEFT OUT: too near a support, or fenced"),
    ] {
        sheet.key([BESIDE, y], fill, words);
        y += 46.0;
    }
    sheet.line(&[[BESIDE, y + 9.0], [BESIDE + 26.0, y + 9.0]], INK, 1.6);
    sheet.text([BESIDE + 36.0, y + 14.0], 13.5, Anchor::Start, "wires (straight between supports)");
    y += 44.0;
    for words in document.remarks() {
        y += sheet.paragraph([BESIDE, y], 14.0, 44, &words) + 10.0;
    }
}

/// A bar of a round length.
fn scale_bar(sheet: &mut Sheet, frame: &Frame) {
    let wanted_m = 150.0 / frame.per_m;
    let decade = 10.0_f64.powf(wanted_m.log10().floor());
    let length_m = [5.0, 2.0, 1.0].into_iter().map(|f| f * decade).find(|m| *m <= wanted_m).unwrap_or(decade);
    let (x, y) = (WIDTH - 40.0 - length_m * frame.per_m, HEIGHT - 60.0);
    let end = x + length_m * frame.per_m;
    sheet.line(&[[x, y - 6.0], [x, y], [end, y], [end, y - 6.0]], INK, 2.0);
    sheet.text([0.5 * (x + end), y + 18.0], 14.0, Anchor::Middle, &format!("{length_m} m"));
}
