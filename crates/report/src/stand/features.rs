//! The map as GeoJSON (RFC 7946), in metres of the site instead of degrees.

use geojson::{Feature, FeatureCollection, GeoJson, Geometry, GeometryValue, JsonObject, Position};
use nalgebra::Point2;
use serde_json::json;
use wideberth_plan::stand::{Cell, Ground, StandMap};
use wideberth_scenario::Job;

use super::{StandDocument, verdict_of};

/// The map as GeoJSON text: one feature for each verdict, one for each wire, and the machine's place in the plan.
///
/// The coordinates are metres east and north of the site's origin, which the standard has no way to declare: a foreign
/// member "wideberth" says so.
#[must_use]
pub fn to_geojson(job: &Job, map: &StandMap, document: &StandDocument) -> String {
    let grounds = [Some(Ground::Clear), Some(Ground::TooClose), Some(Ground::NotProven), None];
    let grounds = grounds.map(|ground| cells(map, ground));
    let wires = job.study.lines.iter().zip(&job.lines).flat_map(|(line, info)| {
        line.wires.iter().map(|wire| {
            let spans: Vec<_> = wire.variant_spans(0).map(|span| span.span()).collect();
            let ends =
                spans.first().map(|span| span.from().xy()).into_iter().chain(spans.iter().map(|span| span.to().xy()));
            feature(
                GeometryValue::LineString { coordinates: ends.map(|place| position(&place)).collect() },
                json!({ "kind": "wire", "line": info.name, "wire": wire.name() }),
            )
        })
    });
    let machine = job.machines.get(map.machine).map(|machine| {
        let at = position(&machine.position.xy());
        feature(
            GeometryValue::Point { coordinates: at },
            json!({ "kind": "place in the plan", "machine": machine.name }),
        )
    });
    let about = json!({
        "wideberth": {
            "coordinates": "metres east and north of the site's origin, not degrees",
            "title": document.title,
            "machine": document.machine,
            "caution": document.caution,
        }
    });
    let features = grounds.into_iter().chain(wires).chain(machine).collect();
    let foreign_members = about.as_object().cloned();
    GeoJson::from(FeatureCollection { bbox: None, features, foreign_members }).to_string() + "\n"
}

/// The cells of which something is proven; without, those that are left out.
fn cells(map: &StandMap, ground: Option<Ground>) -> Feature {
    let shown = |cell: &&Cell| ground.map_or(cell.left_out, |ground| cell.ground == ground && !cell.left_out);
    let own = map.cells.iter().filter(shown);
    let rings = own.map(|cell| {
        let corners = cell.area(&map.area).corners();
        let closed = corners.iter().chain(corners.first());
        vec![closed.map(position).collect()]
    });
    feature(
        GeometryValue::MultiPolygon { coordinates: rings.collect() },
        json!({ "kind": "ground", "verdict": ground.map_or("left-out", |ground| verdict_of(ground).name()) }),
    )
}

/// To a tenth of a millimetre.
fn position(place: &Point2<f64>) -> Position {
    let rounded = |m: f64| (m * 1e4).round() / 1e4;
    Position::from(vec![rounded(place.x), rounded(place.y)])
}

fn feature(value: GeometryValue, properties: serde_json::Value) -> Feature {
    let properties: Option<JsonObject> = properties.as_object().cloned();
    Feature { bbox: None, geometry: Some(Geometry::new(value)), id: None, properties, foreign_members: None }
}
