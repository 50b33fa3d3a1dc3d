//! The thread that owns the logbook.
//!
//! Nothing else touches it. [`Worker::ask`] hands it a piece of work and gives back an [`Answer`] to look into in
//! later frames; the work is done in the order it was asked for, so what is read after a write shows it. Every write
//! raises the generation, and a [`Topic`] that holds an older one asks anew.
//!
//! Before each piece of work, and each second while there is none, the thread looks at the file: what another program
//! wrote raises the generation as well.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError, Sender, TryRecvError};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::JoinHandle;
use std::time::Duration;

use store::{Logbook, Seen};

use super::wear::{SharedWear, Wear};

/// Asks the window for a frame, from any thread.
pub type Wake = Arc<dyn Fn() + Send + Sync>;

/// How often the file is looked at while there is nothing else to do.
const LOOK_EVERY: Duration = Duration::from_secs(1);

type Job = Box<dyn FnOnce(&mut Logbook) + Send>;

/// What is shown where a piece of work stopped without an answer: a defect of the program, not of the data.
pub const STOPPED: &str = "this could not be read: the program stumbled. Nothing was changed; close the logbook and open it again";

/// The thread that owns the logbook. When it is dropped, what was asked for is still done before it ends.
pub struct Worker {
    jobs: Option<Sender<Job>>,
    thread: Option<JoinHandle<()>>,
    generation: Arc<AtomicU64>,
    seen: Arc<Mutex<Option<Seen>>>,
    wake: Wake,
    wear: SharedWear,
}

impl std::fmt::Debug for Worker {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Worker")
            .field("generation", &self.generation())
            .finish_non_exhaustive()
    }
}

/// An answer that comes later.
#[derive(Debug)]
pub struct Answer<T>(Receiver<T>);

/// How far an [`Answer`] is.
#[derive(Debug, PartialEq, Eq)]
pub enum Progress<T> {
    /// Not there yet.
    Waiting,
    /// Here it is; the answer is used up.
    Here(T),
    /// It will never come.
    Stopped,
}

impl<T> Answer<T> {
    /// An answer that some other thread will send.
    pub fn of(receiver: Receiver<T>) -> Self {
        Self(receiver)
    }

    /// Waits for it; None where it will never come. Not for a frame.
    pub fn wait(self) -> Option<T> {
        self.0.recv().ok()
    }

    /// Looks without waiting.
    pub fn look(&self) -> Progress<T> {
        match self.0.try_recv() {
            Ok(value) => Progress::Here(value),
            Err(TryRecvError::Empty) => Progress::Waiting,
            Err(TryRecvError::Disconnected) => Progress::Stopped,
        }
    }
}

impl Worker {
    /// Starts the thread; `wake` is called after each piece of work.
    ///
    /// # Errors
    /// What the system says where it has no thread to give.
    pub fn start(mut logbook: Logbook, wake: Wake) -> std::io::Result<Self> {
        let (jobs, asked) = mpsc::channel::<Job>();
        let wake_after = Arc::clone(&wake);
        let generation = Arc::new(AtomicU64::new(1));
        let seen = Arc::new(Mutex::new(None));
        let eye = Eye {
            generation: Arc::clone(&generation),
            seen: Arc::clone(&seen),
        };
        let work = move || {
            loop {
                let job = match asked.recv_timeout(LOOK_EVERY) {
                    Ok(job) => job,
                    Err(RecvTimeoutError::Timeout) => {
                        if eye.look(&mut logbook) {
                            wake_after();
                        }
                        continue;
                    }
                    Err(RecvTimeoutError::Disconnected) => return,
                };
                // Nothing is read from a file that is another one now.
                eye.look(&mut logbook);
                // A defect in one piece of work must not take the drafts of the next with it. SQLite rolls an
                // unfinished transaction back, so the logbook is as it was before.
                let done = catch_unwind(AssertUnwindSafe(|| job(&mut logbook)));
                if done.is_err() {
                    log::error!("a piece of work with the logbook stopped");
                }
                wake_after();
            }
        };
        let thread = std::thread::Builder::new()
            .name("chockbook-logbook".into())
            .spawn(work)?;
        Ok(Self {
            jobs: Some(jobs),
            thread: Some(thread),
            generation,
            seen,
            wake,
            wear: SharedWear::default(),
        })
    }

    /// Asks for work that only reads.
    pub fn ask<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Logbook) -> T + Send + 'static,
    ) -> Answer<T> {
        self.send(work, None)
    }

    /// Asks for work that writes: the generation goes up before the answer is there.
    pub fn write<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Logbook) -> T + Send + 'static,
    ) -> Answer<T> {
        self.send(work, Some(Arc::clone(&self.generation)))
    }

    fn send<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Logbook) -> T + Send + 'static,
        generation: Option<Arc<AtomicU64>>,
    ) -> Answer<T> {
        let (answer, later) = mpsc::channel();
        let job: Job = Box::new(move |logbook| {
            let value = work(logbook);
            if let Some(generation) = generation {
                generation.fetch_add(1, Ordering::SeqCst);
            }
            // Whoever asked may have gone elsewhere meanwhile; the work is done all the same.
            let _unwanted = answer.send(value);
        });
        if let Some(jobs) = &self.jobs {
            // A closed channel drops the job and with it `answer`: the answer then says that it was stopped.
            let _stopped = jobs.send(job);
        }
        Answer(later)
    }

    /// What the last look at the file showed.
    pub fn seen(&self) -> Option<Seen> {
        lock(&self.seen).clone()
    }

    /// Goes up with every write.
    pub fn generation(&self) -> u64 {
        self.generation.load(Ordering::SeqCst)
    }

    /// Makes every topic ask anew, after something that was kept aside of the record.
    pub fn raise(&self) {
        self.generation.fetch_add(1, Ordering::SeqCst);
    }

    /// Asks the window for a frame.
    pub fn wake(&self) -> Wake {
        Arc::clone(&self.wake)
    }

    /// The wear of the shop as it was fitted last; begins a fit where the record is newer. It never waits.
    pub fn wear(&self) -> Option<Wear> {
        self.wear.look(self)
    }

    /// Waits until all that was asked for is done. Not for a frame: for tests, and before the window closes.
    pub fn settle(&self) {
        // A stopped thread has nothing left to wait for.
        let _settled = self.ask(|_| ()).0.recv();
        while self.wear.is_running() {
            std::thread::sleep(Duration::from_millis(2));
        }
    }
}

/// Looks at the file and remembers what it saw.
struct Eye {
    generation: Arc<AtomicU64>,
    seen: Arc<Mutex<Option<Seen>>>,
}

impl Eye {
    /// True where something is new.
    fn look(&self, logbook: &mut Logbook) -> bool {
        // What is wrong with the file is told by the second look: nothing is written any more, and why.
        let Ok(now) = logbook.look().or_else(|_| logbook.look()) else {
            return false;
        };
        let mut seen = lock(&self.seen);
        if seen.as_ref() == Some(&now) {
            return false;
        }
        // The first look is no news.
        if seen
            .as_ref()
            .is_some_and(|seen| seen.version != now.version)
        {
            self.generation.fetch_add(1, Ordering::SeqCst);
        }
        *seen = Some(now);
        true
    }
}

fn lock<T>(of: &Mutex<T>) -> std::sync::MutexGuard<'_, T> {
    of.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Drop for Worker {
    fn drop(&mut self) {
        self.jobs = None;
        if let Some(thread) = self.thread.take() {
            // The thread catches what panics in it.
            let _ended = thread.join();
        }
    }
}

/// What a screen shows: waiting, ready or failed, with the last good value kept.
#[derive(Debug)]
pub enum Load<T> {
    /// Asked for; the value before, if there was one.
    Waiting(Option<Arc<T>>),
    /// Here.
    Ready(Arc<T>),
    /// Why not; the value before, if there was one.
    Failed(String, Option<Arc<T>>),
}

impl<T> Load<T> {
    /// The value to show, fresh or not.
    pub fn value(&self) -> Option<&Arc<T>> {
        match self {
            Self::Ready(value) => Some(value),
            Self::Waiting(value) | Self::Failed(_, value) => value.as_ref(),
        }
    }

    /// Why there is no fresh one.
    pub fn error(&self) -> Option<&str> {
        if let Self::Failed(why, _) = self {
            Some(why)
        } else {
            None
        }
    }
}

/// One thing to read from the logbook and keep up to date; `K` says which (a bearing, a filter, or `()`).
#[derive(Debug)]
pub struct Topic<K, T> {
    key: Option<K>,
    generation: u64,
    load: Load<T>,
    answer: Option<Answer<Result<T, String>>>,
}

impl<K, T> Default for Topic<K, T> {
    fn default() -> Self {
        Self {
            key: None,
            generation: 0,
            load: Load::Waiting(None),
            answer: None,
        }
    }
}

impl<K: PartialEq + Clone + Send + 'static, T: Send + 'static> Topic<K, T> {
    /// Takes an answer that has come, and asks if the key is another or the logbook is newer. To be called in each
    /// frame, from `Screen::refresh`; it never waits.
    pub fn refresh(
        &mut self,
        worker: &Worker,
        key: &K,
        read: impl FnOnce(&Logbook, &K) -> store::Result<T> + Send + 'static,
    ) {
        self.take();
        let is_other = self.key.as_ref() != Some(key);
        let is_old = self.answer.is_none() && self.generation != worker.generation();
        if !(is_other || is_old) {
            return;
        }
        let last = if is_other {
            None
        } else {
            self.load.value().cloned()
        };
        self.load = Load::Waiting(last);
        self.key = Some(key.clone());
        self.generation = worker.generation();
        let key = key.clone();
        self.answer =
            Some(worker.ask(move |logbook| read(logbook, &key).map_err(|e| e.to_string())));
    }

    fn take(&mut self) {
        let Some(answer) = &self.answer else { return };
        let last = || self.load.value().cloned();
        self.load = match answer.look() {
            Progress::Waiting => return,
            Progress::Here(Ok(value)) => Load::Ready(Arc::new(value)),
            Progress::Here(Err(why)) => Load::Failed(why, last()),
            Progress::Stopped => Load::Failed(STOPPED.into(), last()),
        };
        self.answer = None;
    }

    /// What there is.
    pub fn load(&self) -> &Load<T> {
        &self.load
    }

    /// The value to show, fresh or not.
    pub fn value(&self) -> Option<&Arc<T>> {
        self.load.value()
    }

    /// The generation that was asked for last.
    pub fn generation(&self) -> u64 {
        self.generation
    }
}
