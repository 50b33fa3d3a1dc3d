//! How well the logbook is looked after: its backups, and whether its record was found whole.
//!
//! Plain data, filled by [`super::watch`]; [`Health::lines`] puts it into sentences for the pages that show it.

use std::path::PathBuf;

use store::Stamp;
use store::backup::{Backup, Relation};
use store::time::DAY_MS;
use store::verify::Report;

use super::command::{Care, Command, sentence};
use super::route::{Route, SetupPage};

/// The last good backup may be so old, in days, before a warning is due.
const OLD_DAYS: i64 = 2;

/// How well the logbook is looked after.
#[derive(Debug, Default)]
pub struct Health {
    /// Its backups.
    pub backup: BackupState,
    /// The check of its record.
    pub check: CheckState,
}

/// What is known of the backups.
#[derive(Debug, Default)]
pub struct BackupState {
    /// True where this program writes the logbook and it is no demo: then somebody has to see to backups.
    pub is_wanted: bool,
    /// Where they are kept.
    pub folder: Option<PathBuf>,
    /// What lies there.
    pub list: Listed,
    /// How far the one is that is being made.
    pub running: Option<(i64, i64)>,
    /// Why the last one was not made; gone with the next good one.
    pub trouble: Option<String>,
}

/// What lies in the backup folder.
#[derive(Debug, Default)]
pub enum Listed {
    /// Not looked at yet.
    #[default]
    NotYet,
    /// The backups of this logbook, oldest first.
    Here(Vec<Backup>),
    /// The folder cannot be read.
    Failed(String),
}

/// What is known of the record.
#[derive(Debug, Default)]
pub enum CheckState {
    /// Not checked since it was opened.
    #[default]
    NotYet,
    /// Being checked: done and all.
    Running(i64, i64),
    /// Somebody stopped it.
    Stopped,
    /// It could not be checked.
    Failed(String),
    /// Checked at this time.
    Done(Box<Report>, Stamp),
}

/// How soon somebody should act.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Urgency {
    /// All well; good to know.
    Quiet,
    /// Soon.
    Warning,
    /// Now: the record does not hold.
    Wrong,
}

/// One sentence about the logbook, and what can be done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HealthLine {
    /// How soon.
    pub urgency: Urgency,
    /// What is so.
    pub sentence: String,
    /// What can be done about it.
    pub offer: Option<Offer>,
}

/// What a line offers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Offer {
    /// Makes a backup.
    BackUp,
    /// Opens the page where the folder is chosen and the findings stand.
    OpenSetup(&'static str),
    /// Checks the record.
    Check,
}

impl Offer {
    /// The words of its button.
    pub const fn words(self) -> &'static str {
        match self {
            Self::BackUp => "Back up now",
            Self::OpenSetup(words) => words,
            Self::Check => "Check now",
        }
    }

    /// What the button does.
    pub fn command(self) -> Command {
        match self {
            Self::BackUp => Command::Care(Care::BackUp),
            Self::OpenSetup(_) => Command::Go(Route::Setup(SetupPage::Care, None)),
            Self::Check => Command::Care(Care::Check),
        }
    }
}

impl HealthLine {
    fn new(urgency: Urgency, sentence: impl Into<String>, offer: Option<Offer>) -> Self {
        Self {
            urgency,
            sentence: sentence.into(),
            offer,
        }
    }
}

impl Health {
    /// What is to be said, the most urgent first.
    pub fn lines(&self, now: Stamp) -> Vec<HealthLine> {
        let mut lines: Vec<HealthLine> = self.check.line().into_iter().collect();
        lines.extend(self.backup.line(now));
        lines.sort_by_key(|line| std::cmp::Reverse(line.urgency));
        lines
    }
}

impl BackupState {
    /// The newest good backup.
    pub fn last_good(&self) -> Option<&Backup> {
        if let Listed::Here(list) = &self.list {
            list.iter().rev().find(|backup| backup.is_good())
        } else {
            None
        }
    }

    /// The state of the backups in one line; none where nobody has to see to them, or nothing is known yet.
    pub fn line(&self, now: Stamp) -> Option<HealthLine> {
        use Urgency::{Quiet, Warning};
        if !self.is_wanted {
            return None;
        }
        let Some(folder) = &self.folder else {
            let words =
                "No folder for backups is chosen: a disk that fails takes the logbook with it.";
            let offer = Offer::OpenSetup("Choose a folder");
            return Some(HealthLine::new(Warning, words, Some(offer)));
        };
        let folder = folder.display();
        if self.running.is_some() {
            return Some(HealthLine::new(Quiet, "A backup is being made.", None));
        }
        if let Some(why) = &self.trouble {
            return Some(HealthLine::new(Warning, why, Some(Offer::BackUp)));
        }
        match &self.list {
            Listed::NotYet => return None,
            Listed::Failed(why) => {
                let offer = Offer::OpenSetup("See the backups");
                return Some(HealthLine::new(Warning, sentence(why), Some(offer)));
            }
            Listed::Here(_) => {}
        }
        let Some(last) = self.last_good() else {
            let words = format!("There is no good backup yet in {folder}.");
            return Some(HealthLine::new(Warning, words, Some(Offer::BackUp)));
        };
        let of = format!("The last good backup is of {}", last.at.date_time());
        let age_days = (now.ms - last.at.ms) / DAY_MS;
        let behind = match last.relation {
            Relation::Prefix { behind } => behind,
            _ => 0,
        };
        Some(if now.ms - last.at.ms <= OLD_DAYS * DAY_MS {
            HealthLine::new(Quiet, format!("{of}, verified."), None)
        } else if behind == 0 {
            let words = format!("{of}, {age_days} days old, and holds every entry.");
            HealthLine::new(Quiet, words, None)
        } else {
            let words = format!("{of}, {age_days} days old: {} in it.", missing(behind));
            HealthLine::new(Warning, words, Some(Offer::BackUp))
        })
    }
}

impl CheckState {
    /// The state of the check in one line; none before it begins.
    pub fn line(&self) -> Option<HealthLine> {
        use Urgency::{Quiet, Warning, Wrong};
        Some(match self {
            Self::NotYet => return None,
            Self::Running(..) => HealthLine::new(Quiet, "The record is being checked.", None),
            Self::Stopped => HealthLine::new(
                Quiet,
                "The check of the record was stopped.",
                Some(Offer::Check),
            ),
            Self::Failed(why) => {
                let words = format!("The record could not be checked: {}", sentence(why));
                HealthLine::new(Warning, words, Some(Offer::Check))
            }
            Self::Done(report, at) if report.holds() => {
                let words = format!(
                    "The record was checked at {}: {}, everything holds.",
                    at.date_time(),
                    entries(report.events)
                );
                HealthLine::new(Quiet, words, None)
            }
            Self::Done(report, _) => {
                let first = report.findings.first().map_or("", |f| f.what.as_str());
                let words = match report.findings.len() {
                    1 => format!(
                        "The check found that something does not hold: {}",
                        sentence(first)
                    ),
                    n => format!(
                        "The check found {n} things that do not hold; the first: {}",
                        sentence(first)
                    ),
                };
                HealthLine::new(Wrong, words, Some(Offer::OpenSetup("See what was found")))
            }
        })
    }
}

/// `1 entry`, `12 entries`.
pub fn entries(count: i64) -> String {
    match count {
        1 => "1 entry".into(),
        n => format!("{n} entries"),
    }
}

/// `1 entry is not`, `12 entries are not`.
pub fn missing(count: i64) -> String {
    format!(
        "{} {} not",
        entries(count),
        if count == 1 { "is" } else { "are" }
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn backup(at: &str, relation: Relation) -> Backup {
        Backup {
            path: "/usb/mill-20261030T143205Z.chockbook".into(),
            at: Stamp::parse(at, 0).unwrap(),
            bytes: 1,
            events: 31,
            ends: Vec::new(),
            last_entered: None,
            relation,
        }
    }

    fn state(list: Vec<Backup>) -> BackupState {
        BackupState {
            is_wanted: true,
            folder: Some("/usb".into()),
            list: Listed::Here(list),
            ..BackupState::default()
        }
    }

    #[track_caller]
    fn check(state: &BackupState, urgency: Urgency, says: &str, offer: Option<Offer>) {
        let line = state.line(Stamp::parse("2026-10-30T14:00", 0).unwrap());
        let line = line.unwrap();
        assert_eq!((line.urgency, line.offer), (urgency, offer), "{line:?}");
        assert!(line.sentence.contains(says), "{line:?}");
    }

    #[test]
    fn a_backup_older_than_two_days_that_lacks_entries_is_a_warning() {
        use Urgency::{Quiet, Warning};
        let of = |at, behind| state(vec![backup(at, Relation::Prefix { behind })]);
        let offer = Some(Offer::BackUp);
        check(
            &of("2026-10-28T14:00", 7),
            Quiet,
            "of 2026-10-28 14:00, verified",
            None,
        );
        check(
            &of("2026-10-28T13:59", 7),
            Warning,
            "2 days old: 7 entries are not in it",
            offer,
        );
        check(
            &of("2026-10-20T13:59", 1),
            Warning,
            "10 days old: 1 entry is not in it",
            offer,
        );
        check(&of("2026-10-20T13:59", 0), Quiet, "holds every entry", None);
        // One that cannot be read does not count, however young it is.
        let bad = Relation::Unreadable { why: "torn".into() };
        let mut both = of("2026-10-20T13:59", 3);
        if let Listed::Here(list) = &mut both.list {
            list.push(backup("2026-10-30T13:00", bad.clone()));
        }
        check(&both, Warning, "of 2026-10-20 13:59", offer);
        check(
            &state(vec![backup("2026-10-30T13:00", bad)]),
            Warning,
            "no good backup yet in /usb",
            offer,
        );
    }

    #[test]
    fn without_a_folder_or_after_trouble_the_way_on_is_offered() {
        let none = BackupState {
            is_wanted: true,
            ..BackupState::default()
        };
        let offer = Some(Offer::OpenSetup("Choose a folder"));
        check(&none, Urgency::Warning, "No folder for backups", offer);
        let mut trouble = state(Vec::new());
        trouble.trouble = Some("The disk was full.".into());
        check(
            &trouble,
            Urgency::Warning,
            "The disk was full.",
            Some(Offer::BackUp),
        );
        let now = Stamp::parse("2026-10-30", 0).unwrap();
        assert_eq!(BackupState::default().line(now), None, "a demo needs none");
    }

    #[test]
    fn what_does_not_hold_comes_first() {
        let finding = store::verify::Finding {
            event: None,
            no: None,
            what: "event 7 is not what was signed".into(),
        };
        let now = Stamp::parse("2026-10-30T14:00", 0).unwrap();
        let report = |findings| Report {
            path: "/mill".into(),
            events: 31,
            heads: Vec::new(),
            findings,
            checked: Vec::new(),
            limits: Vec::new(),
        };
        let mut health = Health {
            check: CheckState::Done(Box::new(report(vec![finding])), now),
            backup: BackupState {
                is_wanted: true,
                ..BackupState::default()
            },
        };
        let lines = health.lines(now);
        let urgencies: Vec<_> = lines.iter().map(|line| line.urgency).collect();
        assert_eq!(urgencies, [Urgency::Wrong, Urgency::Warning]);
        assert!(
            lines[0]
                .sentence
                .contains("Event 7 is not what was signed.")
        );
        health.check = CheckState::Done(Box::new(report(Vec::new())), now);
        assert!(
            health.lines(now)[1]
                .sentence
                .contains("31 entries, everything holds")
        );
    }
}
