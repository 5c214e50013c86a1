//! A real window on a virtual screen: started, dragged, played, closed.

use std::fs;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

use super::{demonstration, folder};

/// A virtual screen; ends with the test.
struct Screen {
    server: Child,
    display: String,
}

impl Screen {
    fn open() -> Self {
        let display = format!(":{}", 90 + std::process::id() % 900);
        let server = Command::new("Xvfb")
            .args([&display, "-screen", "0", "1280x720x24", "-nolisten", "tcp"])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("Xvfb is installed (Debian: apt-get install xvfb)");
        let screen = Self { server, display };
        let up = || screen.tool(&["getdisplaygeometry"]).is_some();
        wait(up).expect("the screen comes up");
        screen
    }

    /// What xdotool answers; none where it fails.
    fn tool(&self, arguments: &[&str]) -> Option<String> {
        let run = Command::new("xdotool").env("DISPLAY", &self.display).args(arguments).output();
        let run = run.expect("xdotool is installed (Debian: apt-get install xdotool)");
        run.status.success().then(|| String::from_utf8_lossy(&run.stdout).trim().to_string())
    }

    fn viewer(&self, file: &Path, state: &Path) -> Child {
        Command::new(env!("CARGO_BIN_EXE_wideberth-view"))
            .env("DISPLAY", &self.display)
            .env_remove("WAYLAND_DISPLAY")
            .arg(file)
            .args(["--size", "640x360", "--state"])
            .arg(state)
            .spawn()
            .expect("the viewer starts")
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        let _ = self.server.kill();
        let _ = self.server.wait();
    }
}

/// A processor that draws may take seconds for a frame when others use it too.
const PATIENCE: Duration = Duration::from_secs(180);

/// Pointer and button are told apart only in different frames.
const A_FEW_FRAMES: Duration = Duration::from_secs(3);

fn wait(done: impl Fn() -> bool) -> Option<()> {
    let start = Instant::now();
    while start.elapsed() < PATIENCE {
        if done() {
            return Some(());
        }
        sleep(Duration::from_millis(100));
    }
    None
}

/// What the panel says, once it says something else than before.
fn changed(state: &Path, before: &str) -> String {
    let says = || fs::read_to_string(state).unwrap_or_default();
    let other = || !says().is_empty() && says() != before;
    wait(other).unwrap_or_else(|| panic!("the panel still says {before}"));
    says()
}

#[test]
fn the_window_starts_drags_plays_and_closes() {
    let screen = Screen::open();
    let folder = folder("window");
    let (state, scenario) = (folder.join("state.txt"), folder.join("shell.json"));
    fs::copy(demonstration("silo-shell-tilts-under-a-farm-line"), &scenario).expect("copied");
    let mut viewer = screen.viewer(&scenario, &state);

    // Untouched, it shows the certified worst case.
    let worst = changed(&state, "");
    assert!(worst.contains("inside the limit"), "{worst}");

    // Without a window manager nobody else gives it the keys.
    let id = screen.tool(&["search", "--name", "wideberth"]).expect("the window has a name");
    screen.tool(&["windowfocus", &id]).expect("it takes the keys");

    // The slider of the tilt: below that of the heading, in the panel at the right.
    for step in [&["mousemove", "330", "159"][..], &["mousedown", "1"], &["mousemove", "345", "159"]] {
        screen.tool(step).expect("the pointer moves");
        sleep(A_FEW_FRAMES);
    }
    let dragged = changed(&state, &worst);
    screen.tool(&["mouseup", "1"]).expect("the pointer lets go");
    sleep(A_FEW_FRAMES);
    assert!(dragged.contains("tilt"), "{dragged}");

    let dragged = fs::read_to_string(&state).unwrap_or(dragged);
    screen.tool(&["key", "s"]).expect("a key");
    let start = changed(&state, &dragged);
    assert!(start.contains("outside the limit"), "{start}");

    screen.tool(&["key", "space"]).expect("a key");
    let played = changed(&state, &start);
    assert_ne!(played, start, "the work plays");

    // A picture of the window lies beside the scenario.
    screen.tool(&["key", "F12"]).expect("a key");
    let picture = folder.join("shell.1.png");
    let size = || png::Decoder::new(std::io::BufReader::new(fs::File::open(&picture).ok()?)).read_info().ok();
    wait(|| size().is_some()).expect("the picture comes");
    assert_eq!(size().map(|reader| (reader.info().width, reader.info().height)), Some((640, 360)));

    // Escape asks; enter ends.
    screen.tool(&["key", "Escape"]).expect("a key");
    sleep(A_FEW_FRAMES);
    assert!(screen.tool(&["search", "--name", "wideberth"]).is_some(), "it asks first");
    screen.tool(&["key", "Return"]).expect("a key");
    wait(|| screen.tool(&["search", "--name", "wideberth"]).is_none()).expect("it closes");
    assert_eq!(viewer.wait().expect("it ends").code(), Some(0));
}

#[test]
fn without_a_screen_it_says_what_to_do() {
    let run = Command::new(env!("CARGO_BIN_EXE_wideberth-view"))
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .output()
        .expect("the viewer runs");
    assert_eq!(run.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&run.stderr).contains("--picture"));
}
