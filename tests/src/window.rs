//! The real window in a private virtual screen, driven by `tests/drive`: real keys, and names as a screen reader
//! finds them.

use std::path::PathBuf;
use std::process::{Command, Output};
use std::time::{Duration, Instant};

use crate::{Bench, binary};

/// How long a condition may take on a slow machine before the test gives up.
const PATIENCE: Duration = Duration::from_mins(1);

/// A running program in its own screen; both end when this goes.
#[derive(Debug)]
pub struct Window {
    session: String,
}

/// A control as a screen reader finds it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Control {
    /// `entry`, `push button`, `label` ...
    pub role: String,
    /// Its whole name.
    pub name: String,
    /// What stands in it.
    pub value: String,
    /// Whether it has the caret.
    pub is_focused: bool,
}

fn drive() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("drive")
}

fn checked(output: &Output, what: &str) -> String {
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    assert!(
        output.status.success(),
        "{what}: {}{}",
        text(&output.stdout),
        text(&output.stderr)
    );
    text(&output.stdout)
}

impl Window {
    /// Opens the window on a logbook, its settings inside the bench.
    pub fn open(bench: &Bench, size: &str, words: &[&str], env: &[&str]) -> Self {
        let mut command = Command::new(drive());
        command.args(["start", "--a11y", "-q", "-w", "60", "-s", size]);
        let config = format!("XDG_CONFIG_HOME={}", bench.path("config").display());
        for pair in env.iter().copied().chain([config.as_str()]) {
            command.args(["-e", pair]);
        }
        command.arg("--").arg(binary()).args(words);
        let output = command.current_dir(bench.path("")).output().unwrap();
        let session = checked(&output, "the window").trim().to_owned();
        let window = Self { session };
        window.act(&["settle"]);
        window
    }

    /// One command of the driver.
    pub fn act(&self, words: &[&str]) -> String {
        let mut command = Command::new(drive());
        command.args(["do", &self.session]).args(words);
        checked(&command.output().unwrap(), &words.join(" "))
    }

    /// Keys by their X names, then waits until the picture is still.
    pub fn keys(&self, keys: &[&str]) {
        let words: Vec<&str> = ["key"].into_iter().chain(keys.iter().copied()).collect();
        self.act(&words);
        self.act(&["settle"]);
    }

    /// Types texts, each with Enter, as a hand or a gauge does.
    pub fn enter(&self, texts: &[&str]) {
        for text in texts {
            self.act(&["type", text]);
            self.act(&["key", "Return"]);
        }
        self.act(&["settle"]);
    }

    /// Everything that a screen reader finds.
    pub fn controls(&self) -> Vec<Control> {
        self.act(&["tree"]).lines().filter_map(control).collect()
    }

    /// Waits until a condition on the controls holds.
    #[track_caller]
    pub fn wait(&self, what: &str, holds: impl Fn(&[Control]) -> bool) -> Vec<Control> {
        let begun = Instant::now();
        loop {
            let controls = self.controls();
            if holds(&controls) {
                return controls;
            }
            assert!(
                begun.elapsed() < PATIENCE,
                "{what} did not come:\n{}",
                listed(&controls)
            );
        }
    }

    /// Waits until something with this in its name is there.
    #[track_caller]
    pub fn wait_for(&self, name: &str) -> Vec<Control> {
        self.wait(name, |all| all.iter().any(|c| c.name.contains(name)))
    }

    /// Waits until the control with this name has the caret.
    #[track_caller]
    pub fn wait_caret(&self, name: &str) -> Vec<Control> {
        let here = |c: &Control| c.is_focused && c.name == name;
        self.wait(&format!("the caret in {name}"), |all| all.iter().any(here))
    }

    /// Presses a button by its name.
    pub fn press(&self, name: &str) {
        self.act(&["a-press", name]);
        self.act(&["settle"]);
    }

    /// Keeps the picture for a person: `target/pictures/NAME.png`.
    pub fn picture(&self, name: &str) {
        let target = binary();
        let folder = target.ancestors().nth(2).unwrap().join("pictures");
        std::fs::create_dir_all(&folder).unwrap();
        let file = folder.join(format!("{name}.png"));
        self.act(&["shot", file.to_str().unwrap()]);
        self.act(&["alive"]);
    }

    /// Ends the program as a power cut does: no word to it, nothing tidied.
    pub fn kill(self, file: &str) {
        let mut command = Command::new("pkill");
        command.args(["-KILL", "-f", &format!("chockbook {file}")]);
        assert!(command.status().unwrap().success(), "nothing to kill");
    }
}

impl Drop for Window {
    fn drop(&mut self) {
        // The exit status is that of the program, which a drill may have killed.
        let _stopped = Command::new(drive()).args(["stop", &self.session]).output();
    }
}

/// The controls, a line each.
fn listed(controls: &[Control]) -> String {
    let line = |c: &Control| {
        let caret = if c.is_focused { " (caret)" } else { "" };
        format!("{} {:?} {:?}{caret}\n", c.role, c.name, c.value)
    };
    controls.iter().map(line).collect()
}

/// Reads a line of the driver's tree: `role 'name' = 'value' x,y wxh flags`.
fn control(line: &str) -> Option<Control> {
    let (role, rest) = line.trim_start().split_once(" '")?;
    let (name, rest) = match rest.split_once("' = '") {
        Some((name, rest)) => (name, rest),
        None => rest.rsplit_once('\'').map(|(name, flags)| (name, flags))?,
    };
    let (value, flags) = if line.contains("' = '") {
        rest.rsplit_once('\'')?
    } else {
        ("", rest)
    };
    Some(Control {
        role: role.to_owned(),
        name: name.to_owned(),
        value: value.to_owned(),
        is_focused: flags.split(' ').any(|flag| flag == "focused"),
    })
}
