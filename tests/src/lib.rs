//! What the whole-program tests need: the built binary, a small shop, a folder that goes away.
#![allow(clippy::unwrap_used, clippy::missing_panics_doc)] // a test that cannot set itself up has failed

pub mod mounting;
pub mod regrind;
pub mod window;

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

/// Name of the engineer of the small shop.
pub const ENGINEER: &str = "Roll-shop Engineer";
/// Their PIN.
pub const ENGINEER_PIN: &str = "1470";
/// PIN of the foreman of the small shop.
pub const FOREMAN_PIN: &str = "2468";

/// The binary under test, beside the test programs.
///
/// # Panics
/// Where it has not been built.
pub fn binary() -> PathBuf {
    let here = std::env::current_exe().unwrap();
    let folder = here.parent().unwrap().parent().unwrap();
    let binary = folder.join(format!("chockbook{}", std::env::consts::EXE_SUFFIX));
    assert!(
        binary.exists(),
        "no {}: run `cargo build --workspace` first",
        binary.display()
    );
    binary
}

/// The files of this crate.
pub fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("data")
        .join(name)
}

/// True where window tests and drills are left out; says so in the form that `tests/run` counts.
pub fn is_quick(what: &str) -> bool {
    let is_quick = std::env::var_os("CHOCKBOOK_QUICK").is_some();
    if is_quick {
        println!("left out: quick: {what}");
    }
    is_quick
}

/// A folder of its own with its own settings of the program.
pub struct Bench {
    folder: tempfile::TempDir,
}

impl Default for Bench {
    fn default() -> Self {
        Self::new()
    }
}

impl Bench {
    /// An empty folder.
    pub fn new() -> Self {
        Self {
            folder: tempfile::tempdir().unwrap(),
        }
    }

    /// A path in it.
    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// The program with these words, its settings inside the folder.
    pub fn command(&self, words: &[&str]) -> Command {
        let mut command = Command::new(binary());
        command
            .args(words)
            .current_dir(self.folder.path())
            .env("XDG_CONFIG_HOME", self.path("config"))
            .env("XDG_DATA_HOME", self.path("data"))
            .env_remove("CHOCKBOOK_PIN")
            .env_remove("CHOCKBOOK_ORDER_PIN")
            .env_remove("CHOCKBOOK_DRILL");
        command
    }

    /// Runs the program with these words and this on its standard input.
    pub fn run(&self, words: &[&str], input: &str, env: &[(&str, &str)]) -> Run {
        let mut command = self.command(words);
        command
            .envs(env.iter().copied())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        let mut child = command.spawn().unwrap();
        // A program that refuses early closes its input; that is for the test to judge by the exit status.
        let _refused = child.stdin.take().unwrap().write_all(input.as_bytes());
        Run::of(&child.wait_with_output().unwrap())
    }

    /// Makes the small shop as `shop.chockbook`: register, one bearing in a chock with 1,005 h.
    pub fn small_shop(&self) -> PathBuf {
        let file = self.path("shop.chockbook");
        let name = file.to_str().unwrap();
        let pin = [("CHOCKBOOK_PIN", ENGINEER_PIN)];
        self.run(
            &[
                "new",
                name,
                "--plant",
                "Tarnhollow Rolling Works",
                "--engineer",
                ENGINEER,
            ],
            "",
            &pin,
        )
        .expect(0);
        let lines = data("shop.jsonl");
        self.run(
            &[
                "log",
                name,
                "--from",
                lines.to_str().unwrap(),
                "--person",
                ENGINEER,
            ],
            "",
            &pin,
        )
        .expect(0);
        file
    }
}

/// What a run of the program came to.
#[derive(Debug)]
pub struct Run {
    /// Exit status; none where a signal ended it.
    pub code: Option<i32>,
    /// What it printed.
    pub out: String,
    /// What it complained of.
    pub err: String,
}

impl Run {
    /// Reads the output of a finished program.
    pub fn of(output: &Output) -> Self {
        Self {
            code: output.status.code(),
            out: String::from_utf8_lossy(&output.stdout).into_owned(),
            err: String::from_utf8_lossy(&output.stderr).into_owned(),
        }
    }

    /// Insists on an exit status.
    ///
    /// # Panics
    /// Where it is another one.
    #[track_caller]
    pub fn expect(self, code: i32) -> Self {
        assert_eq!(
            self.code,
            Some(code),
            "stdout:\n{}\nstderr:\n{}",
            self.out,
            self.err
        );
        self
    }
}
