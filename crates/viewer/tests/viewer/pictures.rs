//! Pictures of a few scenes by the software renderer, against pictures that somebody has looked at. With WIDEBERTH_BLESS=1
//! they are written anew.

use std::fs::{self, File};
use std::io::BufReader;
use std::path::{Path, PathBuf};
use std::process::Command;

use super::{demonstration, file, folder};

/// A channel may differ by this much, of 255: rounding of another version of the renderer.
const CHANNEL: u8 = 12;
/// This share of the pixels may differ by more: edges.
const DIFFERENT: f64 = 0.004;

const SCENES: [(&str, &str, &[&str]); 3] = [
    ("worst", "silo-shell-tilts-under-a-farm-line", &["--camera", "orbit"]),
    ("plan", "crane-beside-a-line-in-wind", &["--camera", "plan", "--at", "start"]),
    ("question", "silo-shell-tilts-under-a-farm-line", &["--step", "3", "--units", "us"]),
];

struct Pixels {
    size: (u32, u32),
    rgb: Vec<u8>,
}

fn read(path: &Path) -> Pixels {
    let file = File::open(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let mut reader = png::Decoder::new(BufReader::new(file)).read_info().expect("a picture");
    let mut rgb = vec![0; reader.output_buffer_size().expect("a size")];
    let info = reader.next_frame(&mut rgb).expect("pixels");
    rgb.truncate(info.buffer_size());
    Pixels { size: (info.width, info.height), rgb }
}

/// Share of the pixels that differ.
fn different(a: &Pixels, b: &Pixels) -> f64 {
    let pairs = a.rgb.chunks_exact(3).zip(b.rgb.chunks_exact(3));
    let count = pairs.filter(|(a, b)| a.iter().zip(*b).any(|(x, y)| x.abs_diff(*y) > CHANNEL)).count();
    count as f64 / (a.rgb.len() / 3) as f64
}

fn draw(scenario: &str, options: &[&str], path: &Path) {
    let run = Command::new(env!("CARGO_BIN_EXE_wideberth-view"))
        .arg(demonstration(scenario))
        .args(["--size", "640x360", "--picture"])
        .arg(path)
        .args(options)
        .output()
        .expect("the viewer runs");
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
}

fn kept(name: &str) -> PathBuf {
    file("tests/data/pictures").join(format!("{name}.png"))
}

#[test]
fn scenes_look_as_they_did() {
    let folder = folder("pictures");
    for (name, scenario, options) in SCENES {
        let path = folder.join(format!("{name}.png"));
        draw(scenario, options, &path);
        if std::env::var_os("WIDEBERTH_BLESS").is_some() {
            fs::create_dir_all(file("tests/data/pictures")).expect("a folder");
            fs::copy(&path, kept(name)).expect("written");
        }
        let (drawn, wanted) = (read(&path), read(&kept(name)));
        assert_eq!(drawn.size, wanted.size, "{name}");
        let share = different(&drawn, &wanted);
        assert!(share <= DIFFERENT, "{name}: {:.2} % of the pixels differ, see {}", 100.0 * share, path.display());
    }
    // The comparison can fail: two scenes are not one.
    assert!(different(&read(&kept("worst")), &read(&kept("plan"))) > 0.2);
}

#[test]
fn a_film_has_its_frames_and_an_animation() {
    let folder = folder("film");
    let run = Command::new(env!("CARGO_BIN_EXE_wideberth-view"))
        .arg(demonstration("tipper-on-a-cool-morning"))
        .args(["--size", "160x90", "--rate", "2", "--seconds", "2", "--film"])
        .arg(&folder)
        .output()
        .expect("the viewer runs");
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let (first, last) = (read(&folder.join("frame-00000.png")), read(&folder.join("frame-00003.png")));
    assert_eq!(first.size, (160, 90));
    assert!(different(&first, &last) > 0.01, "nothing moves");
    let gif = fs::read(folder.join("film.gif")).expect("an animation");
    assert!(gif.starts_with(b"GIF89a"));
}

#[test]
fn a_joint_outside_its_range_is_refused() {
    let path = folder("refused").join("never.png");
    let run = Command::new(env!("CARGO_BIN_EXE_wideberth-view"))
        .arg(demonstration("tipper-on-a-cool-morning"))
        .args(["--size", "160x90", "--at", "raise=80 deg", "--picture"])
        .arg(&path)
        .output()
        .expect("the viewer runs");
    assert_eq!(run.status.code(), Some(1));
    let says = String::from_utf8_lossy(&run.stderr).into_owned();
    assert!(says.contains("\"raise\" at 80 deg is outside its working range"), "{says}");
    assert!(!path.exists());
}
