//! The demo logbook: the invented plant Tarnhollow Rolling Works, generated through the store's own commands.
//!
//! The same build and seed give the same bytes on every machine. What the plant is and what happens in it stands as
//! data in the folder `demo/`; [`write()`] tells that history event by event in the order of time, so that the finished
//! file is a logbook like any other.

mod bench;
mod data;
mod dice;
mod engine;
mod evidence;
mod plan;
mod register;

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use store::time::DAY_MS;
use store::{Clock, Hands, Logbook, Stamp, StoreError};

use crate::dice::Dice;
use crate::engine::Engine;

/// Which demo.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Options {
    /// How many years of history, up to October 2026: 2 to 20.
    pub years: u32,
    /// Everything that is random follows from it.
    pub seed: u64,
}

impl Default for Options {
    fn default() -> Self {
        Self { years: 2, seed: 1 }
    }
}

/// What was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Summary {
    /// Events in the logbook.
    pub events: i64,
    /// Teardown sheets among them.
    pub sheets: i64,
    /// Size of the file.
    pub bytes: u64,
    /// Last event of the chain as an anchor code.
    pub head: String,
}

/// Why no demo was written. Nothing is left behind then.
#[derive(Debug, thiserror::Error)]
pub enum DemoError {
    /// The logbook refused.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// A sheet of the demo cannot be signed.
    #[error("the demo's sheet of {chock} on {day} cannot be signed: {source}")]
    Sheet {
        /// Which chock was torn down.
        chock: String,
        /// The day.
        day: String,
        /// What the logbook said.
        source: Box<StoreError>,
    },
    /// A data file of the demo cannot be read.
    #[error("the demo's data file {file} is wrong: {why}")]
    Data {
        /// Its name.
        file: &'static str,
        /// What is wrong.
        why: String,
    },
    /// The stories do not fit together.
    #[error("the demo's stories do not fit together: {why}")]
    Plan {
        /// What does not.
        why: String,
    },
    /// A number of years that the demo does not have.
    #[error("{years} years: the demo has 2 to 20")]
    Years {
        /// What was asked for.
        years: u32,
    },
    /// Stopped on request.
    #[error("stopped; no file was written")]
    Cancelled,
    /// The file system said no.
    #[error("{what}: {source}")]
    Io {
        /// What was tried.
        what: String,
        /// Why it failed.
        source: std::io::Error,
    },
}

/// Names and PINs of the people of the demo, for its banner.
///
/// # Errors
/// `Data` where the list cannot be read, which is a fault of the build.
pub fn pins() -> Result<Vec<(String, String)>, DemoError> {
    Ok(data::Data::read()?
        .people
        .into_iter()
        .map(|p| (p.name, p.pin))
        .collect())
}

/// Writes the demo logbook, whole or not at all. `progress` is told days done and days in all, and stops the work by
/// answering false.
///
/// # Errors
/// See [`DemoError`]; a file that exists already is never overwritten.
pub fn write(
    path: &Path,
    options: &Options,
    progress: &mut dyn FnMut(u32, u32) -> bool,
) -> Result<Summary, DemoError> {
    if !(2..=20).contains(&options.years) {
        return Err(DemoError::Years {
            years: options.years,
        });
    }
    if path.exists() {
        return Err(StoreError::Exists { path: path.into() }.into());
    }
    let (part, compact) = (beside(path, ".part"), beside(path, ".part-compact"));
    clear(&part);
    clear(&compact);
    let written =
        generate(&part, &compact, options, progress).and_then(|(events, sheets, head)| {
            let failed = |what: &str| {
                let what = format!("{what} {}", path.display());
                move |source| DemoError::Io { what, source }
            };
            let file = std::fs::File::open(&compact).map_err(failed("cannot read back"))?;
            file.sync_all().map_err(failed("cannot write"))?;
            let bytes = file.metadata().map_err(failed("cannot read back"))?.len();
            // A link fails where the name has been taken meanwhile; a rename would overwrite it.
            std::fs::hard_link(&compact, path)
                .or_else(|_| {
                    if path.exists() {
                        Err(std::io::ErrorKind::AlreadyExists.into())
                    } else {
                        std::fs::rename(&compact, path)
                    }
                })
                .map_err(failed("cannot write"))?;
            Ok(Summary {
                events,
                sheets,
                bytes,
                head,
            })
        });
    clear(&part);
    clear(&compact);
    written
}

fn generate(
    part: &Path,
    compact: &Path,
    options: &Options,
    progress: &mut dyn FnMut(u32, u32) -> bool,
) -> Result<(i64, i64, String), DemoError> {
    let data = data::Data::read()?;
    let plan = plan::plan(&data, options.years, options.seed)?;
    let set_up_ms = plan.start_ms - plan::SET_UP_DAYS * DAY_MS;
    let clock = Arc::new(AtomicI64::new(set_up_ms));
    let hands = Hands {
        clock: Box::new(DemoClock(Arc::clone(&clock))),
        entropy: Box::new(Dice::new(options.seed, 1)),
        install: [0; 16],
        program: concat!("Chockbook ", env!("CARGO_PKG_VERSION")).into(),
        drive: store::drive::network,
    };
    let mut logbook = Logbook::create(part, hands, &data.plant.name)?;
    logbook.write_without_waiting()?;
    let engine = Engine::new(&data, &plan, options.seed, logbook, clock, set_up_ms)?
        .tell(set_up_ms, progress)?;
    let (events, sheets) = (engine.events, engine.sheets);
    let mut logbook = engine.into_logbook();
    let head = logbook.anchor()?.unwrap_or_default();
    logbook.become_demo(plan.clock)?;
    logbook.write_compact(compact)?;
    Ok((events, sheets, head))
}

/// The clock of the generator: the time of the event that is being written.
struct DemoClock(Arc<AtomicI64>);

impl Clock for DemoClock {
    fn now(&self) -> Stamp {
        Stamp::second(self.0.load(Ordering::Relaxed), plan::OFFSET_MIN)
    }
}

fn beside(path: &Path, end: &str) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(end);
    path.with_file_name(name)
}

/// Takes away a temporary file of this generator with everything that SQLite and the lock put beside it.
fn clear(path: &Path) {
    for end in ["", "-wal", "-shm", "-journal", "-lock"] {
        // What was never made cannot be removed.
        let _removed = std::fs::remove_file(beside(path, end));
    }
}
