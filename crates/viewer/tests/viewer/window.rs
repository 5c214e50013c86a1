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
        wait(Duration::from_secs(30), up).expect("the screen comes up");
        screen
    }

    /// What xdotool answers; none where it fails.
    fn tool(&self, arguments: &[&str]) -> Option<String> {
        let run = Command::new("xdotool").env("DISPLAY", &self.display).args(arguments).output();
        let run = run.expect("xdotool is installed (Debian: apt-get install xdotool)");
        run.status.success().then(|| String::from_utf8_lossy(&run.stdout).trim().to_string())
    }

    fn viewer(&self, arguments: &[&str], last_state: &Path) -> Child {
        Command::new(env!("CARGO_BIN_EXE_wideberth-view"))
            .env("DISPLAY", &self.display)
            .env_remove("WAYLAND_DISPLAY")
            .args(arguments)
            .args(["--size", "640x360", "--last-state"])
            .arg(last_state)
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

fn wait(most: Duration, done: impl Fn() -> bool) -> Option<()> {
    let start = Instant::now();
    while start.elapsed() < most {
        if done() {
            return Some(());
        }
        sleep(Duration::from_millis(100));
    }
    None
}

#[test]
fn the_window_starts_drags_plays_and_closes() {
    let screen = Screen::open();
    let folder = folder("window");
    let (still, moved) = (folder.join("still.txt"), folder.join("moved.txt"));
    let file = demonstration("tipper-on-a-hot-afternoon");
    let file = file.to_str().expect("a name");

    // Untouched, it shows the certified worst case.
    let status = screen.viewer(&[file, "--close-after", "2"], &still).wait().expect("it ends");
    assert_eq!(status.code(), Some(0));
    let at_rest = fs::read_to_string(&still).expect("a last state");
    assert!(at_rest.contains("inside the limit"), "{at_rest}");

    let mut viewer = screen.viewer(&[file], &moved);
    let shown = || screen.tool(&["search", "--name", "wideberth"]).is_some_and(|ids| !ids.is_empty());
    wait(Duration::from_secs(120), shown).expect("a window appears");
    sleep(Duration::from_secs(15));
    screen.tool(&["mousemove", "200", "300", "mousedown", "1"]);
    for x in ["230", "260", "300"] {
        screen.tool(&["mousemove", x, "290"]);
        sleep(Duration::from_millis(400));
    }
    screen.tool(&["mouseup", "1"]);
    for key in ["2", "h", "h", "u", "s"] {
        screen.tool(&["key", key]);
        sleep(Duration::from_millis(800));
    }
    screen.tool(&["key", "space"]);
    sleep(Duration::from_secs(4));
    screen.tool(&["key", "Escape"]);
    let start = Instant::now();
    let status = loop {
        if let Some(status) = viewer.try_wait().expect("it can be asked") {
            break status;
        }
        assert!(start.elapsed() < Duration::from_secs(60), "it does not close");
        sleep(Duration::from_millis(100));
    };
    assert_eq!(status.code(), Some(0));
    let played = fs::read_to_string(&moved).expect("a last state");
    assert_ne!(played, at_rest, "the work did not play");
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
