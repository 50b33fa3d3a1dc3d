//! The logbook is looked after: backups when it is closed and while it is open, the way back, the check of the record.
#![allow(clippy::unwrap_used)]

use std::path::{Path, PathBuf};
use std::sync::atomic::Ordering;

use egui::{Key, Modifiers, Role};
use egui_kittest::kittest::Queryable;
use store::Logbook;
use store::backup::list;
use store::time::{DAY_MS, HOUR_MS};

use super::app::{App, Start};
use super::closing::Closing;
use super::command::{Care, Command};
use super::desk::Desk;
use super::health::CheckState;
use super::route::{Route, SetupPage};
use super::tests::{Bench, click, settle, window};
use super::worker::Progress;

/// Lets everything come to its end that looks after the file.
pub(crate) fn calm(b: &mut Bench) {
    b.settle();
    for _ in 0..4000 {
        if !b.h.state().desk().is_some_and(Desk::is_cared_for) {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(2));
        b.h.run_steps(1);
    }
    b.settle();
}

fn folder_of(b: &Bench, name: &str) -> PathBuf {
    let folder = b.path.with_file_name(name);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

fn with_folder() -> (Bench, PathBuf) {
    let mut b = Bench::with_people();
    let folder = folder_of(&b, "usb");
    let chosen = folder.clone();
    b.ask(move |logbook| logbook.set_backup_folder(Some(&chosen)).unwrap());
    b.h.state().desk().unwrap().worker().raise();
    calm(&mut b);
    (b, folder)
}

fn open_page(b: &mut Bench) {
    b.command(Command::Go(Route::Setup(SetupPage::Care, None)));
    calm(b);
}

fn fill(b: &mut Bench, label: &str, text: &str) {
    b.h.get_by_role_and_label(Role::TextInput, label).focus();
    b.settle();
    b.key(Modifiers::COMMAND, Key::A);
    b.type_in(text);
}

fn sign_a_hold(b: &mut Bench, reason: &'static str) {
    b.ask(move |logbook| {
        let engineer = logbook.sign_in("Roll-shop Engineer", "2222").unwrap();
        logbook
            .register_person(
                Some(&engineer),
                None,
                reason,
                store::payload::Role::Fitter,
                "3333",
            )
            .unwrap();
    });
}

fn backups(b: &Bench, folder: &Path) -> usize {
    list(&b.path, folder).unwrap().len()
}

#[test]
fn closing_makes_a_backup_where_something_changed_and_the_last_is_over_an_hour_old() {
    let (mut b, folder) = with_folder();
    assert_eq!(backups(&b, &folder), 1, "the first one is made at once");
    sign_a_hold(&mut b, "Fitter 1");
    let close = |mut b: Bench| {
        b.h.state_mut().close();
        b.h.state().closing().finish();
        b
    };
    let b = close(b);
    assert_eq!(backups(&b, &folder), 1, "not an hour old yet");

    let mut b = b.reopen();
    calm(&mut b);
    b.clock.0.fetch_add(HOUR_MS + 60_000, Ordering::SeqCst);
    b.wait_s(61.0);
    let b = close(b);
    let newest = |b: &Bench| list(&b.path, &folder).unwrap().pop().unwrap();
    assert_eq!(newest(&b).at.date_time(), "2026-10-30 15:01");
    assert!(newest(&b).is_good());
    assert_eq!(backups(&b, &folder), 1, "of one day the newest stays");

    let mut b = b.reopen();
    calm(&mut b);
    b.clock.0.fetch_add(9 * DAY_MS, Ordering::SeqCst);
    b.wait_s(61.0);
    calm(&mut b);
    let b = close(b);
    assert_eq!(
        newest(&b).at.date_time(),
        "2026-10-30 15:01",
        "nothing changed"
    );
}

#[test]
fn a_backup_that_failed_after_closing_is_told_at_the_next_opening_until_one_is_made() {
    let (mut b, folder) = with_folder();
    sign_a_hold(&mut b, "Fitter 1");
    b.clock.0.fetch_add(2 * HOUR_MS, Ordering::SeqCst);
    b.wait_s(61.0);
    std::fs::remove_dir_all(&folder).unwrap();
    b.h.state_mut().close();
    b.h.state().closing().finish();
    let mut b = b.reopen();
    calm(&mut b);
    assert!(b.has("The backup of 2026-10-30 16:0"), "it is told");
    std::fs::create_dir(&folder).unwrap();
    open_page(&mut b);
    b.click("Back up now");
    calm(&mut b);
    assert!(b.has("Backed up and verified"));
    let mut b = b.reopen();
    calm(&mut b);
    assert!(!b.has("was not made"));
    assert_eq!(backups(&b, &folder), 1);
}

#[test]
fn a_program_that_stays_open_for_days_makes_a_backup_each_day() {
    let (mut b, folder) = with_folder();
    for day in 1..=3 {
        sign_a_hold(&mut b, ["", "Fitter 1", "Fitter 2", "Fitter 3"][day]);
        // Half a day later nothing is due yet.
        for _ in 0..2 {
            b.clock.0.fetch_add(DAY_MS / 2 + HOUR_MS, Ordering::SeqCst);
            b.wait_s(3700.0);
            calm(&mut b);
            b.wait_s(3700.0);
            calm(&mut b);
        }
        assert_eq!(backups(&b, &folder), 1 + day);
    }
}

#[test]
fn a_folder_that_cannot_be_used_says_why_and_another_is_chosen() {
    let mut b = Bench::with_people();
    open_page(&mut b);
    assert!(b.has("No folder for backups is chosen"));
    let usb = b.path.with_file_name("usb");
    let rows = [
        (usb.display().to_string(), "plug the drive in"),
        (b.path.display().to_string(), "this is a file"),
        ("usb".to_owned(), "give the whole path"),
    ];
    for (path, says) in rows {
        fill(&mut b, "Folder for backups", &path);
        b.key(Modifiers::NONE, Key::Enter);
        calm(&mut b);
        assert!(b.has(says), "{path}");
    }
    std::fs::create_dir(&usb).unwrap();
    fill(&mut b, "Folder for backups", &usb.display().to_string());
    b.click("Use this folder");
    calm(&mut b);
    assert!(!b.has("This folder cannot be used"));
    assert!(b.has("The last good backup is of 2026-10-30 14:00, verified."));
    assert!(b.has("Backup of 2026-10-30 14:00"), "it stands in the list");
    assert_eq!(backups(&b, &usb), 1);
}

#[test]
fn a_backup_is_restored_in_three_steps_and_opened_and_nothing_is_written_over() {
    let (mut b, _folder) = with_folder();
    sign_a_hold(&mut b, "Fitter 1");
    sign_a_hold(&mut b, "Fitter 2");
    let before = b.ask(|logbook| logbook.anchor().unwrap());
    open_page(&mut b);
    b.click("Restore a backup");
    calm(&mut b);
    assert!(b.has("2 entries are not in it"));
    b.click("Restore the backup of 2026-10-30 14:00");
    calm(&mut b);
    let new = b.path.with_file_name("mill-restored-2026-10-30.chockbook");
    let proposed = b.h.get_by_role_and_label(Role::TextInput, "The new file");
    assert_eq!(proposed.value(), Some(new.display().to_string()));
    // Never over the present file.
    let present = b.path.display().to_string();
    fill(&mut b, "The new file", &present);
    b.click("Make the new file");
    calm(&mut b);
    assert!(b.has("exists already: choose another name"));
    fill(&mut b, "The new file", &new.display().to_string());
    b.click("Make the new file");
    calm(&mut b);
    assert!(b.has("2 entries of the present file"));
    b.click("Open the new file");
    calm(&mut b);
    let (path, fitters) = b.ask(|logbook| {
        let people = store::people::people(logbook.connection()).unwrap();
        (logbook.path().to_owned(), people.len())
    });
    assert_eq!((path, fitters), (new, 2));
    // The present file is as it was.
    let (hands, _) = crate::hands::tests::fake();
    let present = Logbook::open(&b.path, hands()).unwrap();
    assert_eq!(present.anchor().unwrap(), before);
}

#[test]
fn the_record_is_checked_after_opening_and_what_does_not_hold_is_a_banner() {
    let (mut b, _folder) = with_folder();
    let is_whole = |b: &Bench| {
        let health = b.h.state().desk().unwrap().health();
        matches!(&health.check, CheckState::Done(report, _) if report.holds())
    };
    assert!(is_whole(&b));
    open_page(&mut b);
    assert!(b.has("3 entries, everything holds"));
    // Somebody alters an entry behind the program's back, early enough to be missed at opening.
    let path = b.path.clone();
    let conn = store::Connection::open(&path).unwrap();
    let sql =
        "PRAGMA foreign_keys = OFF; UPDATE person SET name = 'Nobody' WHERE name = 'Foreman A'";
    conn.execute_batch(sql).unwrap();
    drop(conn);
    b.click("Check the whole record");
    calm(&mut b);
    assert!(b.has("The check found that something does not hold"));
    assert!(!is_whole(&b));
    b.command(Command::Go(Route::Log));
    calm(&mut b);
    b.click("See what was found");
    calm(&mut b);
    assert_eq!(b.route(), Route::Setup(SetupPage::Care, None));
}

#[test]
fn a_check_can_be_stopped_and_asked_for_again() {
    let (mut b, _folder) = with_folder();
    open_page(&mut b);
    b.command(Command::Care(Care::Check));
    b.command(Command::Care(Care::StopCheck));
    calm(&mut b);
    // It may have been through before it was stopped.
    let stopped = b.has("The check of the record was stopped.");
    assert!(stopped || b.has("everything holds"));
    b.click("Check the whole record");
    calm(&mut b);
    assert!(b.has("everything holds"));
}

/// Tears the file: so many bytes of it are left, or its beginning is gone.
fn torn(b: Bench, tear: impl FnOnce(&mut Vec<u8>)) -> Bench {
    let mut b = b.reopen_after(|path| {
        let mut bytes = std::fs::read(path).unwrap();
        tear(&mut bytes);
        std::fs::write(path, bytes).unwrap();
    });
    calm(&mut b);
    b
}

#[test]
fn a_damaged_file_opens_as_far_as_it_can_be_read_and_offers_both_ways_on() {
    for (tear, says) in [
        (0, "it ends after"),
        (1, "its beginning cannot be read"),
        (2, "cannot be read"),
    ] {
        let (mut b, _folder) = with_folder();
        for name in ["Fitter 1", "Fitter 2", "Fitter 3"] {
            sign_a_hold(&mut b, name);
        }
        let mut b = torn(b, |bytes| match tear {
            0 => bytes.truncate(bytes.len() - 5000),
            1 => bytes[..100].fill(0x55),
            _ => bytes[100..4096].fill(0xaa),
        });
        let before = std::fs::read(&b.path).unwrap();
        assert!(b.has("This file is damaged"), "{says}");
        assert!(b.has(says), "{says}");
        assert!(
            b.h.state()
                .desk()
                .unwrap()
                .health()
                .lines(now(&b))
                .is_empty()
        );
        let people = b.ask(|logbook| store::people::people(logbook.connection()).unwrap().len());
        assert_eq!(people, 5, "all of it can be read: {says}");
        let refused = b.ask(|logbook| logbook.start_draft("teardown_sheet", None).is_err());
        assert!(refused, "nothing is written into it");

        b.click("Save what can be read");
        calm(&mut b);
        b.click("Make the new file");
        calm(&mut b);
        let saved = b.path.with_file_name("mill-saved-2026-10-30.chockbook");
        assert!(b.has("6 entries") && saved.is_file());
        b.click("Open the new file");
        calm(&mut b);
        assert!(!b.has("This file is damaged"));
        let path = b.ask(|logbook| logbook.path().to_owned());
        assert_eq!(path, saved);
        assert!(
            std::fs::read(&b.path).unwrap() == before,
            "the damaged file was changed"
        );
    }
}

fn now(b: &Bench) -> store::Stamp {
    store::Stamp::second(b.clock.0.load(Ordering::SeqCst), 60)
}

#[test]
fn a_damaged_file_is_restored_from_its_newest_good_backup() {
    let (mut b, folder) = with_folder();
    sign_a_hold(&mut b, "Fitter 1");
    let mut b = torn(b, |bytes| bytes[..100].fill(0));
    // Where the settings are gone with the first page, the folder is asked for.
    b.click("Restore a backup");
    calm(&mut b);
    if !b.has("Restore the backup of") {
        fill(
            &mut b,
            "Folder with the backups",
            &folder.display().to_string(),
        );
        b.click("Look there");
        calm(&mut b);
    }
    assert!(b.has("1 entry is not in it"), "beside what can be read");
    b.click("Restore the backup of 2026-10-30 14:00");
    calm(&mut b);
    b.click("Make the new file");
    calm(&mut b);
    assert!(b.has("1 entry of the present file"));
    b.click("Open the new file");
    calm(&mut b);
    assert!(!b.has("damaged"));
    assert!(b.path.is_file(), "the damaged file is kept");
}

type Window = egui_kittest::Harness<'static, App>;

/// A second window on the same logbook.
fn second(b: &Bench) -> Window {
    let (hands, _) = crate::hands::tests::fake();
    let mut h = window(Start {
        file: Some(b.path.clone()),
        hands,
        wake: std::sync::Arc::new(|| {}),
        config: None,
        theme: None,
        closing: Closing::default(),
    });
    settle(&mut h);
    h
}

/// Waits for something that comes of itself, within some seconds.
fn wait_for(h: &mut Window, label: &str) {
    for _ in 0..400 {
        h.run_steps(1);
        if h.query_all_by_label_contains(label).next().is_some() {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    panic!("{label} did not come");
}

#[test]
fn a_second_window_shows_what_the_first_writes_and_goes_on_when_that_is_asked_for() {
    let mut b = Bench::with_people();
    let mut other = second(&b);
    wait_for(&mut other, "For reading only");
    click(&other, "Setup");
    settle(&mut other);
    click(&other, "Setup: People");
    settle(&mut other);
    assert!(other.query_by_label("Open Fitter 1").is_none());
    sign_a_hold(&mut b, "Fitter 1");
    wait_for(&mut other, "Open Fitter 1");
    let is_offered = |h: &Window| h.query_by_label("Write here").is_some();
    assert!(!is_offered(&other), "the first is still at work");
    b.h.state_mut().close();
    wait_for(&mut other, "has closed it");
    assert!(is_offered(&other), "it is not done by itself");
    click(&other, "Write here");
    settle(&mut other);
    settle(&mut other);
    assert!(
        other
            .query_all_by_label_contains("For reading only")
            .next()
            .is_none()
    );
    let desk = other.state().desk().unwrap();
    assert!(
        matches!(desk.route(), Route::Setup(..)),
        "the page is the same"
    );
    let answer = desk.worker().ask(|logbook| logbook.access().clone());
    settle(&mut other);
    assert_eq!(answer.look(), Progress::Here(store::Access::Write));
}

#[test]
fn a_file_written_over_in_place_is_told_within_a_second_and_left_alone() {
    let (mut b, folder) = with_folder();
    let mut b = {
        sign_a_hold(&mut b, "Fitter 1");
        b.reopen()
    };
    calm(&mut b);
    sign_a_hold(&mut b, "Fitter 2");
    let backup = list(&b.path, &folder).unwrap().remove(0);
    let bytes = std::fs::read(backup.path).unwrap();
    std::fs::write(&b.path, &bytes).unwrap();
    wait_for(&mut b.h, "wrote over");
    calm(&mut b);
    assert!(b.has("Not saved") && b.has("Restore a backup"));
    b.h.state_mut().close();
    b.h.state().closing().finish();
    assert!(std::fs::read(&b.path).unwrap() == bytes);
    assert_eq!(backups(&b, &folder), 1, "no backup is made of another file");
}
