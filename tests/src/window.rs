//! The real window in a private virtual screen, driven by `tests/drive`: real keys, and names as a screen reader
//! finds them.
//!
//! Nothing here sleeps: what takes time is waited for by a condition, with a deadline for a slow machine. A window
//! that goes out of scope in a failed test leaves its picture in `target/tmp`.

use std::path::PathBuf;
use std::process::{Command, Output};
use std::time::{Duration, Instant};

use serde_json::Value;

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
    /// What stands in it; empty where nothing can.
    pub value: String,
    /// `focused`, `checked`, `disabled` ...
    pub flags: Vec<String>,
}

impl Control {
    fn of(found: &Value) -> Self {
        let text = |key: &str| found[key].as_str().unwrap_or_default().to_owned();
        let flags = found["flags"].as_array().into_iter().flatten();
        Self {
            role: text("role"),
            name: text("name"),
            value: text("value"),
            flags: flags
                .filter_map(|f| f.as_str().map(str::to_owned))
                .collect(),
        }
    }

    /// Whether it has the caret.
    pub fn is_focused(&self) -> bool {
        self.has("focused")
    }

    /// Whether it has this flag.
    pub fn has(&self, flag: &str) -> bool {
        self.flags.iter().any(|f| f == flag)
    }

    /// Whether it is a field or a choice that can have the caret.
    pub fn is_field(&self) -> bool {
        ["entry", "password text", "panel", "push button"].contains(&self.role.as_str())
    }
}

fn drive() -> Command {
    let mut command = Command::new(concat!(env!("CARGO_MANIFEST_DIR"), "/drive"));
    command.env("DRIVE_PATIENCE", PATIENCE.as_secs().to_string());
    command
}

#[track_caller]
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
    #[track_caller]
    pub fn open(bench: &Bench, size: &str, words: &[&str], env: &[&str]) -> Self {
        Self::open_with(&[], bench, size, words, env)
    }

    /// The same under a window manager, by which it can be asked to close.
    #[track_caller]
    pub fn open_managed(bench: &Bench, size: &str, words: &[&str]) -> Self {
        Self::open_with(&["--wm"], bench, size, words, &[])
    }

    #[track_caller]
    fn open_with(
        options: &[&str],
        bench: &Bench,
        size: &str,
        words: &[&str],
        env: &[&str],
    ) -> Self {
        let mut command = drive();
        command.args(["start", "--a11y", "-q", "-w", "60", "-s", size]);
        command.args(options);
        let config = format!("XDG_CONFIG_HOME={}", bench.path("config").display());
        for pair in env.iter().copied().chain([config.as_str()]) {
            command.args(["-e", pair]);
        }
        command.arg("--").arg(binary()).args(words);
        let output = command.current_dir(bench.path("")).output().unwrap();
        let session = checked(&output, "the window").trim().to_owned();
        Self { session }
    }

    /// One command of the driver.
    #[track_caller]
    pub fn act(&self, words: &[&str]) -> String {
        checked(&self.tried(words), &words.join(" "))
    }

    /// The same, whatever comes of it.
    pub fn tried(&self, words: &[&str]) -> Output {
        let mut command = drive();
        command.args(["do", &self.session]).args(words);
        command.output().unwrap()
    }

    /// Waits until the picture is still.
    #[track_caller]
    pub fn settle(&self) {
        self.act(&["settle", &PATIENCE.as_secs().to_string()]);
    }

    /// Keys by their X names.
    #[track_caller]
    pub fn keys(&self, keys: &[&str]) {
        let words: Vec<&str> = ["key"].into_iter().chain(keys.iter().copied()).collect();
        self.act(&words);
    }

    /// Types a text and leaves the caret behind it.
    #[track_caller]
    pub fn type_in(&self, text: &str) {
        self.act(&["type", text]);
    }

    /// Types texts, each with Enter, as a hand or a gauge does.
    #[track_caller]
    pub fn enter(&self, texts: &[&str]) {
        for text in texts {
            self.act(&["enter", text]);
        }
    }

    /// Everything that a screen reader finds.
    #[track_caller]
    pub fn controls(&self) -> Vec<Control> {
        let all: Vec<Value> = serde_json::from_str(&self.act(&["controls"])).unwrap();
        all.iter().map(Control::of).collect()
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
        self.wait(&format!("the caret in {name}"), |all| {
            caret(all) == Some(name)
        })
    }

    /// Presses a button by its name, once it is there.
    #[track_caller]
    pub fn press(&self, name: &str) {
        self.act(&["a-press", name]);
    }

    /// Keeps the picture for a person, `target/tmp/NAME.png`, and makes sure that something is painted and alive.
    #[track_caller]
    pub fn picture(&self, name: &str) {
        self.act(&["painted"]);
        self.settle();
        self.act(&["shot", kept(&format!("{name}.png")).to_str().unwrap()]);
        self.act(&["alive"]);
    }

    /// Ends the program as a power cut does: no word to it, nothing tidied. The screen stays.
    #[track_caller]
    pub fn kill(&self) {
        self.act(&["kill"]);
    }

    /// Starts the program again in the same screen.
    #[track_caller]
    pub fn again(&self) {
        self.act(&["again"]);
    }
}

impl Drop for Window {
    fn drop(&mut self) {
        let is_failed = std::thread::panicking();
        if is_failed {
            let test = std::thread::current();
            let name = format!("failed-{}.png", test.name().unwrap_or("window"));
            let _picture = self.tried(&["shot", kept(&name).to_str().unwrap()]);
        }
        let said = String::from_utf8_lossy(&self.tried(&["log"]).stdout).into_owned();
        // The exit status is that of the program, which a drill may have killed.
        let _stopped = drive().args(["stop", &self.session]).output();
        assert!(
            is_failed || !said.contains("panicked at"),
            "the program panicked:\n{said}"
        );
    }
}

/// A file for what a person may want to look at, `target/tmp/NAME.png` for a picture.
pub fn kept(name: &str) -> PathBuf {
    let folder = binary().ancestors().nth(2).unwrap().join("tmp");
    std::fs::create_dir_all(&folder).unwrap();
    folder.join(name)
}

/// The name of the field or choice that has the caret.
pub fn caret(controls: &[Control]) -> Option<&str> {
    let found = controls.iter().find(|c| c.is_field() && c.is_focused());
    found.map(|c| c.name.as_str())
}

/// The controls, a line each.
fn listed(controls: &[Control]) -> String {
    let line = |c: &Control| {
        format!(
            "{} {:?} {:?} {}\n",
            c.role,
            c.name,
            c.value,
            c.flags.join(" ")
        )
    };
    controls.iter().map(line).collect()
}
