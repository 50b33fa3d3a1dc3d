//! Which backups stay, and when the next one is due. Pure rules, and the one place that deletes.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use super::copy::remove_part;
use super::list::{Relation, list};
use super::name::{Name, stem};
use crate::error::{Result, StoreError};
use crate::time::{DAY_MS, Stamp};

/// The newest backup of so many days is kept.
const DAYS: usize = 14;
/// The newest backup of so many months is kept.
const MONTHS: usize = 24;

/// Which backups stay, one answer for each time: the newest of each of the last 14 days that have one, and the newest
/// of each of the last 24 months that have one. Days and months are those of the wall clock that made the backup.
/// One that seems to come from the future stays and takes nobody's place: some clock was wrong.
pub fn kept(times: &[Stamp], now: Stamp) -> Vec<bool> {
    let mut newest_first: Vec<usize> = (0..times.len()).collect();
    newest_first.sort_by_key(|&i| std::cmp::Reverse((times[i].ms, i)));
    let (mut days, mut months) = (BTreeSet::new(), BTreeSet::new());
    let mut stays = vec![false; times.len()];
    for i in newest_first {
        let (year, month, day, ..) = times[i].parts();
        stays[i] = times[i].ms > now.ms
            || (days.len() < DAYS && days.insert((year, month, day)))
                | (months.len() < MONTHS && months.insert((year, month)));
    }
    stays
}

/// Whether to make a backup: something changed since the last one, and that is older than `after_ms` or seems to come
/// from the future (the clock was set back).
pub fn is_due(last: Option<Stamp>, changed_since: bool, after_ms: i64, now: Stamp) -> bool {
    changed_since && last.is_none_or(|last| now.ms - last.ms > after_ms || last.ms > now.ms)
}

/// Deletes the backups of this logbook that need not stay, and parts that were left over a day ago. What is not proven
/// to be wholly contained in the logbook (another copy's backup, one with more events, one that cannot be read) is
/// never touched. Answers what was deleted.
pub fn prune(logbook: &Path, folder: &Path, now: Stamp) -> Result<Vec<PathBuf>> {
    let own = stem(logbook);
    let name_of = |path: &Path| Name::parse(&path.file_name()?.to_string_lossy());
    let mine: Vec<_> = list(logbook, folder)?
        .into_iter()
        .filter(|b| matches!(b.relation, Relation::Prefix { .. }))
        .filter(|b| name_of(&b.path).is_some_and(|name| name.stem == own))
        .collect();
    let times: Vec<Stamp> = mine.iter().map(|b| b.at).collect();
    let mut deleted = Vec::new();
    for (backup, stays) in mine.iter().zip(kept(&times, now)) {
        if !stays {
            std::fs::remove_file(&backup.path).map_err(|source| StoreError::Io {
                what: format!("cannot delete the old backup {}", backup.path.display()),
                source,
            })?;
            deleted.push(backup.path.clone());
        }
    }
    for (path, name) in super::list::names(folder)? {
        if !name.is_whole && name.stem == own && name.ms < now.ms - DAY_MS {
            remove_part(&path);
            deleted.push(path);
        }
    }
    Ok(deleted)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::time::HOUR_MS;
    use proptest::prelude::*;

    fn at(text: &str) -> Stamp {
        Stamp::parse(text, 60).unwrap()
    }

    #[test]
    fn of_three_years_of_days_fourteen_and_of_their_months_twenty_four_stay() {
        let start = at("2024-01-01T18:00").ms;
        let times: Vec<Stamp> = (0..3 * 2 * 365)
            .map(|half_day| Stamp::second(start + half_day * DAY_MS / 2, 60))
            .collect();
        let stays = kept(&times, at("2030-01-01"));
        let dates: Vec<String> = times
            .iter()
            .zip(&stays)
            .filter(|(_, stays)| **stays)
            .map(|(at, _)| at.date_time())
            .collect();
        assert_eq!(
            dates.len(),
            14 + 23,
            "the newest is the one of its day and its month: {dates:?}"
        );
        assert_eq!(dates[0], "2025-01-31 18:00");
        assert_eq!(dates[22], "2026-11-30 18:00");
        assert_eq!(dates[23], "2026-12-18 18:00");
        assert_eq!(dates[36], "2026-12-31 06:00", "the newest of all");
    }

    #[test]
    fn a_backup_is_due_after_an_hour_and_only_if_something_changed() {
        let now = at("2026-10-30T14:00");
        for (last, changed, due) in [
            (None, true, true),
            (None, false, false),
            (Some("2026-10-30T13:00"), true, false),
            (Some("2026-10-30T12:59"), true, true),
            (Some("2026-10-30T12:59"), false, false),
            (Some("2026-10-30T14:01"), true, true),
        ] {
            assert_eq!(is_due(last.map(at), changed, HOUR_MS, now), due, "{last:?}");
        }
    }

    proptest! {
        #[test]
        fn the_newest_always_stays_and_what_stayed_once_stays_again(
            ms in proptest::collection::vec(-10_i64..1500, 0..80),
            now in 0_i64..1500,
            offset in -720_i64..720,
        ) {
            let times: Vec<Stamp> = ms.iter().map(|h| Stamp::second(h * 11 * HOUR_MS, offset)).collect();
            let now = Stamp::second(now * 11 * HOUR_MS, offset);
            let stays = kept(&times, now);
            let left: Vec<Stamp> = times.iter().zip(&stays).filter(|(_, s)| **s).map(|(t, _)| *t).collect();
            prop_assert_eq!(left.iter().max(), times.iter().max());
            let newest_past = |of: &[Stamp]| of.iter().filter(|t| t.ms <= now.ms).max().copied();
            prop_assert_eq!(newest_past(&left), newest_past(&times), "a wrong clock costs nobody the last good one");
            prop_assert!(kept(&left, now).iter().all(|s| *s), "a second time nothing more goes");
            prop_assert!(left.iter().filter(|t| t.ms <= now.ms).count() <= DAYS + MONTHS);
        }
    }
}
