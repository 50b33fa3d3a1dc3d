//! A small shop in a folder that goes away, for tests of the command line and of prints.

use std::sync::atomic::Ordering;

use super::{World, carry_out};
use crate::hands::HandsMaker;
use crate::hands::tests::{FakeClock, fake};

/// Name of its engineer.
pub(crate) const ENGINEER: &str = "Roll-shop Engineer";
/// PINs as `log` wants them: the engineer signs.
pub(crate) const PIN: [(&str, &str); 1] = [("CHOCKBOOK_PIN", "1470")];
/// The foreman signs, the engineer orders.
pub(crate) const BOTH: [(&str, &str); 2] =
    [("CHOCKBOOK_PIN", "2468"), ("CHOCKBOOK_ORDER_PIN", "1470")];

/// What a command line came to.
#[derive(Debug)]
pub(crate) struct Run {
    pub(crate) code: u8,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// The shop.
pub(crate) struct Shop {
    folder: tempfile::TempDir,
    hands: HandsMaker,
    clock: FakeClock,
    /// The logbook.
    pub(crate) file: String,
}

impl Shop {
    /// A folder without a logbook.
    pub(crate) fn bare() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let (hands, clock) = fake();
        let file = folder.path().join("shop.chockbook").display().to_string();
        Self {
            folder,
            hands,
            clock,
            file,
        }
    }

    /// Register, one bearing in a chock with 1,005 h: the data of the whole-program tests.
    pub(crate) fn new() -> Self {
        Self::of(include_str!("../../../../tests/data/shop.jsonl"))
    }

    /// The same with other lines.
    pub(crate) fn of(lines: &str) -> Self {
        let shop = Self::bare();
        let plant = "Tarnhollow Rolling Works";
        let made = shop.run(
            &["new", &shop.file, "--plant", plant, "--engineer", ENGINEER],
            "",
            &PIN,
        );
        assert_eq!(made.code, 0, "{}", made.err);
        shop.log(lines, ENGINEER, &PIN);
        shop
    }

    /// A path in its folder.
    pub(crate) fn path(&self, name: &str) -> String {
        self.folder.path().join(name).display().to_string()
    }

    /// Sets its clock on.
    pub(crate) fn wait_ms(&self, ms: i64) {
        self.clock.0.fetch_add(ms, Ordering::SeqCst);
    }

    /// Its logbook.
    pub(crate) fn open(&self) -> store::Logbook {
        store::Logbook::open(std::path::Path::new(&self.file), (self.hands)()).unwrap()
    }

    /// Runs a command line.
    pub(crate) fn run(&self, args: &[&str], input: &str, variables: &[(&str, &str)]) -> Run {
        let args: Vec<String> = args.iter().map(|arg| (*arg).to_owned()).collect();
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let variable = |name: &str| {
            variables
                .iter()
                .find(|(n, _)| *n == name)
                .map(|(_, value)| (*value).to_owned())
        };
        let mut world = World {
            input: &mut input.as_bytes(),
            out: &mut out,
            err: &mut err,
            variable: &variable,
            hands: self.hands.clone(),
            is_watched: false,
        };
        let code = carry_out(&args, &mut world);
        Run {
            code,
            out: String::from_utf8(out).unwrap(),
            err: String::from_utf8(err).unwrap(),
        }
    }

    /// Signs lines that must all be good.
    pub(crate) fn log(&self, lines: &str, person: &str, variables: &[(&str, &str)]) -> Run {
        let mut args = vec!["log", &self.file, "--from", "-", "--person", person];
        if variables.len() > 1 {
            args.extend(["--ordered-by", ENGINEER]);
        }
        let run = self.run(&args, lines, variables);
        assert_eq!(run.code, 0, "{}", run.err);
        run
    }

    /// The regrind of story C in the demo plant, on the bearing of this shop.
    pub(crate) fn regrind(&self) {
        self.log(
            include_str!("../../../../tests/data/regrind.jsonl"),
            "Foreman A",
            &BOTH,
        );
    }
}
