//! The wear of the shop: fitted once for each state of the record, away from the window and from the logbook's own
//! thread, and shared by Today, Stands, sheets and bearings.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, Mutex, PoisonError};

use store::query::{NoWear, Question, ShopWear, WearPool, revision};

use super::worker::{Wake, Worker};

/// What the wear model says of a state of the record, or why it says nothing.
pub type Wear = Arc<Result<ShopWear, NoWear>>;

/// The fit that is shared.
#[derive(Debug, Clone, Default)]
pub struct SharedWear(Arc<Mutex<Kept>>);

#[derive(Debug, Default)]
struct Kept {
    /// Generation of the worker when it was looked last.
    asked: u64,
    /// Last event that the fit knows of.
    revision: Option<i64>,
    fit: Option<Wear>,
    is_running: bool,
}

/// Says that no fit is under way any more, however it ended.
struct Running(SharedWear, Wake);

impl Drop for Running {
    fn drop(&mut self) {
        self.0.with(|kept| kept.is_running = false);
        (self.1)();
    }
}

impl SharedWear {
    fn with<T>(&self, of: impl FnOnce(&mut Kept) -> T) -> T {
        of(&mut self.0.lock().unwrap_or_else(PoisonError::into_inner))
    }

    /// The newest fit there is; where the record may be newer, the next one is begun. To be called in each frame; it
    /// never waits.
    pub fn look(&self, worker: &Worker) -> Option<Wear> {
        let generation = worker.generation();
        let (fit, is_old) = self.with(|kept| {
            let is_old = kept.asked != generation && !kept.is_running;
            if is_old {
                kept.asked = generation;
                kept.is_running = true;
            }
            (kept.fit.clone(), is_old)
        });
        if is_old {
            let running = Running(self.clone(), worker.wake());
            let _later = worker.ask(move |logbook| running.begin(logbook.connection()));
        }
        fit
    }

    /// Whether a fit is under way.
    pub fn is_running(&self) -> bool {
        self.with(|kept| kept.is_running)
    }

    fn keep(&self, revision: Option<i64>, fit: Result<ShopWear, NoWear>) {
        self.with(|kept| {
            kept.revision = revision;
            kept.fit = Some(Arc::new(fit));
        });
    }
}

impl Running {
    /// On the logbook's thread: reads what the model is told, and leaves the arithmetic to a thread of its own.
    fn begin(self, conn: &store::Connection) {
        let kept_in = self.0.clone();
        let read = revision(conn).and_then(|now| {
            if self.0.with(|kept| kept.revision == Some(now)) {
                return Ok(None);
            }
            Ok(Some((now, WearPool::read(conn, None)?)))
        });
        match read {
            Ok(None) => {}
            Ok(Some((now, pool))) => {
                let fit = move || {
                    let shared = self.0.clone();
                    match catch_unwind(AssertUnwindSafe(|| pool.review(None))) {
                        Ok(Ok(fit)) => shared.keep(Some(now), fit),
                        Ok(Err(why)) => shared.keep(Some(now), failed(&why.to_string())),
                        Err(_) => shared.keep(Some(now), failed("the arithmetic stopped")),
                    }
                    drop(self);
                };
                let thread = std::thread::Builder::new().name("chockbook-wear".into());
                if let Err(why) = thread.spawn(fit) {
                    kept_in.keep(None, failed(&format!("no thread for it: {why}")));
                }
            }
            Err(why) => self.0.keep(None, failed(&why.to_string())),
        }
    }
}

/// No fit: it is told in the log as well as in the window.
fn failed(why: &str) -> Result<ShopWear, NoWear> {
    log::error!("the wear of the shop: {why}");
    Err(NoWear::not_fitted(why))
}

/// A fit as the key of what is read with it: another fit is another key.
#[derive(Debug, Clone, Default)]
pub struct WearKey(pub Option<Wear>);

impl PartialEq for WearKey {
    fn eq(&self, other: &Self) -> bool {
        match (&self.0, &other.0) {
            (Some(a), Some(b)) => Arc::ptr_eq(a, b),
            (a, b) => a.is_none() && b.is_none(),
        }
    }
}

impl WearKey {
    /// What the model says, where it has said anything.
    pub fn wear(&self) -> Option<&ShopWear> {
        self.0.as_ref()?.as_ref().as_ref().ok()
    }

    /// Why the model has nothing to say.
    pub fn none(&self) -> Option<&NoWear> {
        self.0.as_ref()?.as_ref().as_ref().err()
    }

    /// Readings that do not fit, bearing by bearing; where every growth was refused too.
    pub fn questions(&self) -> Vec<Question> {
        match self.0.as_deref() {
            Some(Ok(wear)) => wear.questions(),
            Some(Err(none)) => none.questions(),
            None => Vec::new(),
        }
    }
}
