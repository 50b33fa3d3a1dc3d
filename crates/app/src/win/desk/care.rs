//! What is done for the file itself: backups, the check of the record, the way back from trouble.

use std::path::PathBuf;

use egui::Context;
use store::backup::check_folder;

use super::Desk;
use crate::win::closing::{Closed, Troubles};
use crate::win::command::{Care, Command, Notice, Reply, sentence};
use crate::win::recover::{Lost, Out, Recover};
use crate::win::route::Route;
use crate::win::watch::Watch;
use crate::win::work::Running;
use crate::win::worker::Worker;

/// What is left of a desk when its pages are gone: the file is still open.
#[derive(Debug)]
pub struct Rest {
    worker: Worker,
    watch: Watch,
    running: Option<Running>,
    recover: Option<Recover>,
    closed: Option<(Closed, Troubles)>,
}

impl Rest {
    /// Closes the file, the last of all who have it open, so that it stands for itself. Answers what is to be done
    /// then. It may take a moment.
    pub fn close(self) -> Option<(Closed, Troubles)> {
        self.running.into_iter().for_each(Running::end);
        self.recover.into_iter().for_each(Recover::end);
        self.watch.end();
        drop(self.worker);
        self.closed
    }
}

impl Desk {
    /// Notes which backups were not made in this folder of the program, and tells of the last one.
    pub fn keep_notes(&mut self, troubles: Troubles) {
        self.watch.keep_notes(troubles);
        let trouble = self.watch.health().backup.trouble.clone();
        self.notice = trouble.map(Notice::error).or(self.notice.take());
    }

    /// Closes the pages; what is left is done by whoever closes the file.
    pub fn into_rest(self) -> Rest {
        Rest {
            closed: self.watch.closed(self.now),
            worker: self.worker,
            watch: self.watch,
            running: self.running,
            recover: self.recover,
        }
    }

    /// The logbook to open next, and the page.
    pub fn take_next(&mut self) -> Option<(PathBuf, Route)> {
        self.next.take()
    }

    /// Whether something that looks after the file is under way.
    pub fn is_cared_for(&self) -> bool {
        self.watch.is_busy() || self.recover.as_ref().is_some_and(Recover::is_busy)
    }

    /// Before each frame.
    pub(super) fn look_after(&mut self, time: f64) {
        self.take_seen();
        let Some(snapshot) = self.snapshot.value() else {
            return;
        };
        let folder = snapshot.backup_folder.as_deref();
        if let Some(told) = self.watch.logic(folder, self.now, time) {
            self.notice = Some(told);
        }
    }

    /// What the worker saw of the file.
    fn take_seen(&mut self) {
        let Some(seen) = self.worker.seen() else {
            return;
        };
        self.fixed.is_free = seen.is_free;
        if self.fixed.read_only.is_none() && seen.read_only.is_some() {
            self.fixed.is_lost = true;
            self.fixed.read_only = seen.read_only;
            self.watch.is_lost();
        }
    }

    pub(super) fn care(&mut self, care: Care) {
        match care {
            Care::BackUp => self.watch.back_up(self.now),
            Care::StopBackup => self.watch.stop_backup(),
            Care::UseFolder(place, folder) => self.write(Some(place), move |logbook| {
                let used =
                    check_folder(&folder).and_then(|()| logbook.set_backup_folder(Some(&folder)));
                match used {
                    Ok(()) => Reply::Done(place, "Backups are kept there from now on.".into()),
                    Err(e) => Reply::Refused(Some(place), sentence(&e.to_string())),
                }
            }),
            Care::Check => self.watch.check(),
            Care::StopCheck => self.watch.stop_check(),
            Care::Restore => self.recover = Some(Recover::restore(self.lost(), self.worker.wake())),
            Care::Salvage => self.recover = Some(Recover::salvage(self.lost(), self.worker.wake())),
            Care::Open(path) => {
                let route = if path == self.fixed.path {
                    self.route()
                } else {
                    Route::RAIL[0]
                };
                self.next = Some((path, route));
                self.flush();
                self.is_closing = true;
            }
        }
    }

    /// Draws the way back from trouble, where it is open.
    pub(super) fn recover_ui(&mut self, ctx: &Context, commands: &mut Vec<Command>) {
        let Some(recover) = &mut self.recover else {
            return;
        };
        match recover.ui(ctx) {
            Some(Out::Close) => self.recover = None,
            Some(Out::Open(path)) => {
                self.recover = None;
                commands.push(Command::Care(Care::Open(path)));
            }
            None => {}
        }
    }

    fn lost(&self) -> Lost {
        Lost {
            path: self.fixed.path.clone(),
            readable: self.fixed.read_path.clone(),
            folder: self.watch.health().backup.folder.clone(),
            now: self.now,
        }
    }
}
