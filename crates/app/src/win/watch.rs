//! Looks after the open logbook: makes the daily backup, lists the backups, checks the record; each on a thread of its
//! own, beside the worker, by the path of the file.

use std::path::{Path, PathBuf};

use store::Stamp;
use store::backup::{Backup, Kept, back_up_and_prune, back_up_if_due, list};
use store::time::DAY_MS;
use store::verify::{Report, verify_file};

use super::closing::{Closed, Troubles, not_made};
use super::command::Notice;
use super::health::{CheckState, Health, Listed, entries};
use super::work::Job;
use super::worker::Wake;

/// After a daily backup that failed, the next one is tried so much later, s.
const AGAIN_S: f64 = 3600.0;

/// Looks after the open logbook.
pub struct Watch {
    health: Health,
    /// The file to read: the logbook, or what could be read of a damaged one.
    path: PathBuf,
    wake: Wake,
    troubles: Troubles,
    looking: Option<Job<store::Result<Vec<Backup>>>>,
    backing: Option<Backing>,
    checking: Option<Job<store::Result<Option<Report>>>>,
    /// The check that follows the opening was begun.
    is_checked: bool,
    /// When the next daily backup may be tried: time of the window, s.
    next_try: f64,
}

struct Backing {
    job: Job<store::Result<Kept>>,
    at: Stamp,
    /// Somebody asked for it, and wants to be told.
    is_asked: bool,
}

impl std::fmt::Debug for Watch {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Watch")
            .field("health", &self.health)
            .finish_non_exhaustive()
    }
}

impl Watch {
    /// Begins to look after a logbook; `is_wanted` says that somebody has to see to its backups.
    pub fn new(path: &Path, is_wanted: bool, wake: Wake) -> Self {
        let mut health = Health::default();
        health.backup.is_wanted = is_wanted;
        Self {
            health,
            path: path.into(),
            wake,
            troubles: Troubles::at(None),
            looking: None,
            backing: None,
            checking: None,
            is_checked: false,
            next_try: 0.0,
        }
    }

    /// Notes there which backups were not made; tells what was noted of the last one.
    pub fn keep_notes(&mut self, troubles: Troubles) {
        if self.health.backup.is_wanted {
            self.health.backup.trouble = troubles.of(&self.path);
        }
        self.troubles = troubles;
    }

    /// The file is known to be damaged: what could be read of it was checked on the way.
    pub fn is_damaged(&mut self) {
        self.is_checked = true;
    }

    /// The file is another one now: no backup of it is made for this logbook.
    pub fn is_lost(&mut self) {
        self.health.backup.is_wanted = false;
        self.stop_backup();
    }

    /// What is known.
    pub fn health(&self) -> &Health {
        &self.health
    }

    /// What is left to do once the logbook is closed; none where nobody wants it.
    pub fn closed(&self, now: Stamp) -> Option<(Closed, Troubles)> {
        let folder = self.health.backup.folder.clone()?;
        let path = self.path.clone();
        let closed = Closed { path, folder, now };
        let is_wanted = self.health.backup.is_wanted;
        is_wanted.then(|| (closed, self.troubles.clone()))
    }

    /// Before each frame: takes what has come, begins what is due. Answers with what somebody asked for and is to be
    /// told. `time` is that of the window, s.
    pub fn logic(&mut self, folder: Option<&Path>, now: Stamp, time: f64) -> Option<Notice> {
        if self.health.backup.folder.as_deref() != folder {
            self.health.backup.folder = folder.map(Into::into);
            self.next_try = time;
            self.look();
        }
        if !std::mem::replace(&mut self.is_checked, true) {
            self.check();
        }
        self.take_list();
        self.take_check(now);
        let told = self.take_backup(time);
        self.back_up_daily(now, time);
        told
    }

    /// Looks into the folder again.
    pub fn look(&mut self) {
        let Some(folder) = self.health.backup.folder.clone() else {
            (self.health.backup.list, self.looking) = (Listed::NotYet, None);
            return;
        };
        let path = self.path.clone();
        let job = Job::start("chockbook-backups", &self.wake, move |_| {
            list(&path, &folder)
        });
        match job {
            Ok(job) => self.looking = Some(job),
            Err(why) => self.health.backup.list = Listed::Failed(why),
        }
    }

    /// Makes a backup now, whatever the last one is.
    pub fn back_up(&mut self, now: Stamp) {
        self.begin_backup(now, true);
    }

    /// Stops the backup that is being made; nothing of it is left.
    pub fn stop_backup(&mut self) {
        if let Some(backing) = &self.backing {
            backing.job.stop();
        }
    }

    /// Checks the whole record.
    pub fn check(&mut self) {
        let path = self.path.clone();
        let job = Job::start("chockbook-check", &self.wake, move |pace| {
            verify_file(&path, None, &mut |done, all| pace.tell(done, all))
        });
        match job {
            Ok(job) => {
                self.checking = Some(job);
                self.health.check = CheckState::Running(0, 0);
            }
            Err(why) => self.health.check = CheckState::Failed(why),
        }
    }

    /// Stops the check.
    pub fn stop_check(&mut self) {
        if let Some(job) = &self.checking {
            job.stop();
        }
    }

    /// True while something is under way whose end changes what is known.
    pub fn is_busy(&self) -> bool {
        self.looking.is_some() || self.backing.is_some() || self.checking.is_some()
    }

    /// Stops all that is under way, and waits until it has let go of the file. Not for a frame.
    pub fn end(self) {
        self.looking.into_iter().for_each(Job::end);
        self.backing
            .into_iter()
            .for_each(|backing| backing.job.end());
        self.checking.into_iter().for_each(Job::end);
    }

    fn begin_backup(&mut self, now: Stamp, is_asked: bool) {
        let Some(folder) = self.health.backup.folder.clone() else {
            return;
        };
        if self.backing.is_some() {
            return;
        }
        let path = self.path.clone();
        let job = Job::start("chockbook-backup", &self.wake, move |pace| {
            let progress = &mut |done, all| pace.tell(done, all);
            if is_asked {
                back_up_and_prune(&path, &folder, now, progress)
            } else {
                back_up_if_due(&path, &folder, DAY_MS, now, progress)
            }
        });
        match job {
            Ok(job) => {
                self.health.backup.running = Some(job.far());
                self.backing = Some(Backing {
                    job,
                    at: now,
                    is_asked,
                });
            }
            Err(why) => self.health.backup.trouble = Some(not_made(now, &why)),
        }
    }

    /// While the program stays open for days.
    fn back_up_daily(&mut self, now: Stamp, time: f64) {
        let backup = &self.health.backup;
        if !backup.is_wanted
            || self.looking.is_some()
            || self.backing.is_some()
            || time < self.next_try
            || !matches!(backup.list, Listed::Here(_))
        {
            return;
        }
        let is_old = backup
            .last_good()
            .is_none_or(|last| now.ms - last.at.ms > DAY_MS || last.at.ms > now.ms);
        self.next_try = time + AGAIN_S;
        if is_old {
            self.begin_backup(now, false);
        }
    }

    fn take_list(&mut self) {
        let Some(ended) = self.looking.as_ref().and_then(Job::ended) else {
            return;
        };
        self.looking = None;
        self.health.backup.list = match ended.map(|list| list.map_err(|e| e.to_string())) {
            Ok(Ok(list)) => Listed::Here(list),
            Ok(Err(why)) | Err(why) => Listed::Failed(why),
        };
    }

    fn take_check(&mut self, now: Stamp) {
        let Some(job) = &self.checking else { return };
        let Some(ended) = job.ended() else {
            let (done, all) = job.far();
            self.health.check = CheckState::Running(done, all);
            return;
        };
        self.checking = None;
        self.health.check = match ended.map(|report| report.map_err(|e| e.to_string())) {
            Ok(Ok(Some(report))) => CheckState::Done(Box::new(report), now),
            Ok(Ok(None)) => CheckState::Stopped,
            Ok(Err(why)) | Err(why) => CheckState::Failed(why),
        };
    }

    fn take_backup(&mut self, time: f64) -> Option<Notice> {
        let backing = self.backing.as_ref()?;
        let Some(ended) = backing.job.ended() else {
            self.health.backup.running = Some(backing.job.far());
            return None;
        };
        let (at, is_asked) = (backing.at, backing.is_asked);
        (self.backing, self.health.backup.running) = (None, None);
        self.next_try = time + AGAIN_S;
        let notice = match ended.map(|kept| kept.map_err(|e| e.to_string())) {
            Ok(Ok(Kept::Made { backup, untidy, .. })) => {
                self.put_trouble(None);
                let words = format!(
                    "Backed up and verified: {}, {}.",
                    backup.path.display(),
                    entries(backup.events)
                );
                let untidy =
                    untidy.map_or(String::new(), |why| format!(" The old ones stay: {why}"));
                Notice::done(words + &untidy)
            }
            Ok(Ok(Kept::Stopped)) => {
                Notice::done("The backup was stopped; nothing of it was left.")
            }
            Ok(Ok(Kept::NotDue)) => Notice::done("Nothing changed since the last backup."),
            Ok(Err(why)) | Err(why) => {
                let words = not_made(at, &why);
                self.put_trouble(Some(&words));
                Notice::error(words)
            }
        };
        self.look();
        is_asked.then_some(notice)
    }

    fn put_trouble(&mut self, trouble: Option<&str>) {
        self.troubles.put(&self.path, trouble);
        self.health.backup.trouble = trouble.map(Into::into);
    }
}
