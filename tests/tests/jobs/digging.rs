//! Digging parts against random poses: none comes closer to the sheet below a mark than the lower end says.

use nalgebra::Point3;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use wideberth_physics::verdict::Verdict;
use wideberth_plan::digging::{Digger, digging};
use wideberth_scenario::{Context, Job};
use wideberth_tests::generated::repository_root;
use wideberth_tests::oracle::solids;

fn job(change: impl Fn(String) -> String) -> Job {
    let path = repository_root().join("scenarios/trench-beside-a-buried-cable.json");
    let text = change(std::fs::read_to_string(path).expect("there"));
    let context = Context::without_files().expect("the catalogue is right");
    Job::from_text(&text, &context).unwrap_or_else(|problems| panic!("{problems}"))
}

/// Points of the sheet below a course, from the surface down to a depth.
fn sheet(job: &Job, depth_m: f64) -> Vec<Point3<f64>> {
    let buried = &job.ground_work.as_ref().expect("ground work").buried[0];
    let along =
        buried.course.windows(2).flat_map(|pair| (0..=60).map(|k| pair[0] + (pair[1] - pair[0]) * f64::from(k) / 60.0));
    along
        .flat_map(|at| (0..=8).map(move |k| Point3::new(at.x, at.y, buried.ground_m - depth_m * f64::from(k) / 8.0)))
        .collect()
}

#[test]
fn no_sampled_pose_comes_closer_to_the_sheet() {
    // A wider stop than in the demonstration, so that the bucket gets near.
    let job = job(|text| text.replace(r#""range": ["-90 deg", "0 deg"]"#, r#""range": ["-90 deg", "8 deg"]"#));
    let found = digging(&job).expect("a distance");
    let bucket = found.iter().find(|finding| finding.what == Digger::Part(0)).expect("the bucket");
    let part = job.ground_work.as_ref().expect("ground work").parts[0];
    let machine = &job.study.machines[part.machine];
    let (solid, body) = (&solids(machine)[part.body], &machine.bodies()[part.body]);
    let sheet = sheet(&job, part.depth_m);
    let mut random = ChaCha8Rng::seed_from_u64(11);
    let mut least_m = f64::INFINITY;
    for _ in 0..6_000 {
        let pose: Vec<f64> = machine.ranges().iter().map(|r| random.random_range(r.low()..=r.high())).collect();
        let posed = solid.pose(&machine.place(&pose));
        let apart_m = sheet.iter().map(|point| solid.distance_m(&posed, point)).fold(f64::INFINITY, f64::min);
        least_m = least_m.min(apart_m - body.radius_m);
    }
    assert!(least_m.max(0.0) >= bucket.distance.lower_m - 1e-6, "{least_m}, {:?}", bucket.distance);
    assert!(least_m - bucket.distance.upper_m < 1.0, "the samples come near: {least_m}, {:?}", bucket.distance);
    assert!(bucket.distance.lower_m > 0.0, "{:?}", bucket.distance);
}

#[test]
fn a_measured_depth_tells_the_distance_in_space_and_leaves_the_zone_alone() {
    let unknown = job(|text| text);
    let measured =
        job(|text| text.replace(r#""depth": "unknown""#, r#""depth": {"measured": "0.9 m", "tolerance": "0.1 m"}"#));
    let bucket =
        |job: &Job| digging(job).expect("a distance").into_iter().find(|f| f.what == Digger::Part(0)).expect("it");
    let (unknown, measured) = (bucket(&unknown), bucket(&measured));
    assert_eq!((unknown.distance, unknown.verdict), (measured.distance, measured.verdict));
    assert_eq!(unknown.to_line, None);
    let to_line = measured.to_line.expect("a depth was measured");
    // In space the line is no nearer than the sheet that holds it, less the tolerance of its depth.
    assert!(to_line.upper_m >= measured.distance.lower_m, "{to_line:?}, {:?}", measured.distance);
    assert_eq!(measured.verdict, Verdict::Clear);
}

#[test]
fn the_zone_is_that_of_the_place_or_of_the_line() {
    let zone_m = |job: &Job| job.ground_work.as_ref().expect("ground work").buried[0].zone_m;
    assert_eq!(zone_m(&job(|text| text)), 1.0);
    let own = job(|text| text.replace(r#""depth": "unknown""#, r#""zone": "24 in", "depth": "unknown""#));
    assert!((zone_m(&own) - 0.6096).abs() < 1e-12);
}
