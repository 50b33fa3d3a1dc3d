//! Long work (printing, verifying): a named thread with its own connection for reading, progress, and a stop.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicI64, Ordering};
use std::sync::mpsc;

use store::{Connection, Stamp};

use super::worker::{Answer, Progress, Wake};

/// How far long work is; it looks here whether it is to stop.
#[derive(Clone)]
pub struct Pace {
    done: Arc<AtomicI64>,
    all: Arc<AtomicI64>,
    is_stopped: Arc<AtomicBool>,
    wake: Wake,
}

impl std::fmt::Debug for Pace {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_tuple("Pace").field(&self.far()).finish()
    }
}

impl Pace {
    /// At nothing done yet.
    pub fn new(wake: Wake) -> Self {
        Self {
            done: Arc::default(),
            all: Arc::default(),
            is_stopped: Arc::default(),
            wake,
        }
    }

    /// Tells how far the work is. Answers false where it is to stop: as the store's progress wants it.
    pub fn tell(&self, done: i64, all: i64) -> bool {
        self.all.store(all, Ordering::Relaxed);
        let before = self.done.swap(done, Ordering::Relaxed);
        // A frame for each hundredth is enough: one for each event would keep the window busy with nothing else.
        let hundredth = |done: i64| done * 100 / all.max(1);
        if hundredth(before) != hundredth(done) {
            (self.wake)();
        }
        !self.is_stopped.load(Ordering::Relaxed)
    }

    /// Asks the work to stop; it ends at the next place where it can.
    pub fn stop(&self) {
        self.is_stopped.store(true, Ordering::Relaxed);
    }

    /// How far it is: done and all; all is 0 while that is not known.
    pub fn far(&self) -> (i64, i64) {
        (
            self.done.load(Ordering::Relaxed),
            self.all.load(Ordering::Relaxed),
        )
    }
}

/// Long work beside the worker: a named thread that answers once, told how far it is, stopped when it is dropped.
pub struct Job<T> {
    pace: Pace,
    ended: Option<Answer<T>>,
}

impl<T: Send + 'static> Job<T> {
    /// Starts it.
    ///
    /// # Errors
    /// What the system says where it has no thread to give.
    pub fn start(
        name: &str,
        wake: &Wake,
        run: impl FnOnce(&Pace) -> T + Send + 'static,
    ) -> Result<Self, String> {
        let pace = Pace::new(Arc::clone(wake));
        let (send, ended) = mpsc::channel();
        let (given, wake) = (pace.clone(), Arc::clone(wake));
        let body = move || {
            // Whoever asked may have gone meanwhile.
            let _unwanted = send.send(run(&given));
            wake();
        };
        let thread = std::thread::Builder::new().name(name.into());
        thread
            .spawn(body)
            .map_err(|e| format!("no thread for it: {e}"))?;
        let ended = Some(Answer::of(ended));
        Ok(Self { pace, ended })
    }

    /// How far it is: done and all; all is 0 while that is not known.
    pub fn far(&self) -> (i64, i64) {
        self.pace.far()
    }

    /// Asks it to stop; it ends at the next place where it can.
    pub fn stop(&self) {
        self.pace.stop();
    }

    /// How it ended, once it has; an error only where the program stumbled.
    pub fn ended(&self) -> Option<Result<T, String>> {
        match self.ended.as_ref()?.look() {
            Progress::Waiting => None,
            Progress::Here(ended) => Some(Ok(ended)),
            Progress::Stopped => Some(Err(super::worker::STOPPED.into())),
        }
    }

    /// Stops it and waits until it has let go of its files. Not for a frame.
    pub fn end(mut self) {
        self.stop();
        let _unwanted = self.ended.take().and_then(Answer::wait);
    }
}

impl<T> Drop for Job<T> {
    fn drop(&mut self) {
        self.pace.stop();
    }
}

/// What long work is given.
pub struct Given {
    /// Its own connection, for reading.
    pub conn: Connection,
    /// The logbook.
    pub path: PathBuf,
    /// The time on the logbook's clock.
    pub now: Stamp,
    /// Where it tells how far it is.
    pub pace: Pace,
}

/// A sentence of what was done, none where it was stopped, or why it could not be done.
pub type Ended = Result<Option<String>, String>;

/// Long work to start.
pub struct Work {
    /// What is being done: `Printing the history of TH-4T-031`.
    pub title: String,
    /// What the progress counts: `events`.
    pub unit: &'static str,
    pub(super) run: Box<dyn FnOnce(Given) -> Ended + Send>,
}

impl std::fmt::Debug for Work {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Work")
            .field("title", &self.title)
            .finish_non_exhaustive()
    }
}

impl Work {
    /// Work with its title, what its progress counts, and what it does.
    pub fn new(
        title: impl Into<String>,
        unit: &'static str,
        run: impl FnOnce(Given) -> Ended + Send + 'static,
    ) -> Self {
        Self {
            title: title.into(),
            unit,
            run: Box::new(run),
        }
    }
}

/// Long work under way.
pub struct Running {
    /// What is being done.
    pub title: String,
    /// What the progress counts.
    pub unit: &'static str,
    pace: Pace,
    ended: Option<Answer<Ended>>,
}

impl std::fmt::Debug for Running {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Running")
            .field("title", &self.title)
            .finish_non_exhaustive()
    }
}

impl Running {
    /// Starts the work as soon as the worker has a connection to give.
    pub fn start(work: Work, worker: &super::worker::Worker) -> Self {
        let pace = Pace::new(worker.wake());
        let (send, ended) = mpsc::channel();
        let given = pace.clone();
        let wake = worker.wake();
        let run = work.run;
        // What is thrown away here is only the answer that the work has begun.
        let _begun = worker.ask(move |logbook| {
            let given = logbook.reader().map(|conn| Given {
                conn,
                path: logbook.path().into(),
                now: logbook.now(),
                pace: given,
            });
            let failed = send.clone();
            let started = given.map_err(|e| e.to_string()).and_then(|given| {
                let thread = std::thread::Builder::new().name("chockbook-work".into());
                let body = move || {
                    // The window may have closed the logbook meanwhile.
                    let _unwanted = send.send(run(given));
                    wake();
                };
                thread.spawn(body).map_err(|e| e.to_string())
            });
            if let Err(why) = started {
                let _unwanted = failed.send(Err(why));
            }
        });
        Self {
            title: work.title,
            unit: work.unit,
            pace,
            ended: Some(Answer::of(ended)),
        }
    }

    /// How far it is: done and all; all is 0 while that is not known.
    pub fn far(&self) -> (i64, i64) {
        self.pace.far()
    }

    /// Asks it to stop; it ends at the next place where it can.
    pub fn stop(&self) {
        self.pace.stop();
    }

    /// How it ended, once it has.
    pub fn ended(&self) -> Option<Ended> {
        match self.ended.as_ref()?.look() {
            Progress::Waiting => None,
            Progress::Here(ended) => Some(ended),
            Progress::Stopped => Some(Err(super::worker::STOPPED.into())),
        }
    }

    /// Stops it and waits until it has let go of its files. Not for a frame.
    pub fn end(mut self) {
        self.stop();
        let _unwanted = self.ended.take().and_then(Answer::wait);
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        self.stop();
    }
}
