//! The window is closed and its backup is made by a program that nobody sees any more; now and then that is killed.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use rusqlite::Connection;
use whole_program::window::Window;
use whole_program::{Bench, is_quick};

use super::{hold, log_words, names, rounds, shop, watched};

/// A shop with enough in it that its backup takes a while, one good backup of two hours ago, and something new.
fn backed_up_shop() -> (Bench, PathBuf, PathBuf) {
    let (bench, file) = shop();
    let folder = bench.path("backups");
    std::fs::create_dir(&folder).unwrap();
    let conn = Connection::open(&file).unwrap();
    let sql = "WITH RECURSIVE n (i) AS (VALUES (1) UNION ALL SELECT i + 1 FROM n WHERE i < 200)
        INSERT INTO setting SELECT 'pad ' || i, hex(randomblob(150000)) FROM n";
    conn.execute_batch(sql).unwrap();
    let sql = "INSERT INTO setting VALUES ('backup_folder', ?1)";
    conn.execute(sql, [folder.to_str()]).unwrap();
    drop(conn);
    let words = ["backup", file.to_str().unwrap(), folder.to_str().unwrap()];
    watched(&bench, &words, "").expect(0);
    let made = folder.join(&names(&folder)[0]);
    let old = folder.join(format!("shop-{}.chockbook", two_hours_ago()));
    std::fs::rename(made, old).unwrap();
    watched(&bench, &log_words(&file), &hold("brown tint")).expect(0);
    (bench, file, folder)
}

fn two_hours_ago() -> String {
    let mut date = Command::new("date");
    date.args(["-u", "-d", "2 hours ago", "+%Y%m%dT%H%M%SZ"]);
    let out = date.output().unwrap().stdout;
    String::from_utf8(out).unwrap().trim().to_owned()
}

/// The size of what is being written in the folder just now.
fn part(folder: &Path) -> Option<u64> {
    let name = names(folder)
        .into_iter()
        .find(|name| name.ends_with("-part"))?;
    let about = std::fs::metadata(folder.join(name));
    about.ok().map(|about| about.len())
}

/// The backups in the folder, each of which must hold.
fn whole(bench: &Bench, folder: &Path) -> Vec<String> {
    let mut names = names(folder);
    names.retain(|name| name.ends_with(".chockbook"));
    for name in &names {
        let path = folder.join(name);
        watched(bench, &["verify", path.to_str().unwrap()], "").expect(0);
    }
    names
}

fn wait_until(what: &str, mut holds: impl FnMut() -> bool) {
    let begun = Instant::now();
    while !holds() {
        assert!(
            begun.elapsed() < Duration::from_mins(1),
            "{what} did not come"
        );
        std::thread::yield_now();
    }
}

#[test]
fn a_backup_after_closing_is_finished_unseen_and_a_kill_in_between_spoils_no_older_one() {
    if is_quick("kills during the backup after closing") {
        return;
    }
    let (mut killed, count) = (0, rounds(4, 60));
    for round in 0..count {
        let (bench, file, folder) = backed_up_shop();
        let before = whole(&bench, &folder);
        let old = std::fs::read(folder.join(&before[0])).unwrap();
        let window = Window::open_managed(&bench, "1280x800", &[file.to_str().unwrap()]);
        window.wait_for("New teardown");
        window.act(&["close"]);
        // From its first byte on, each round a little later.
        let so_far = round * 30_000_000 / count;
        wait_until("a backup", || {
            part(&folder).is_some_and(|size| size >= so_far)
        });
        window.kill();
        killed += 1;
        let left = whole(&bench, &folder);
        assert!(left.contains(&before[0]), "round {round}: {left:?}");
        assert!(
            std::fs::read(folder.join(&before[0])).unwrap() == old,
            "round {round}"
        );
        // The next opening tells it, and the next closing makes up for it.
        window.again();
        if left == before {
            window.wait_for("was not finished");
        }
        window.wait_for("New teardown");
        window.act(&["close"]);
        window.act(&["expect-exit", "60"]);
        // Before anything looks into it.
        assert_eq!(
            super::beside(&file),
            Vec::<PathBuf>::new(),
            "the file does not stand for itself"
        );
        let made = whole(&bench, &folder);
        let newest = folder.join(made.last().unwrap());
        assert_ne!(made, before, "round {round}: no backup was made");
        let events = |path: &Path| super::events(path).unwrap();
        assert_eq!(events(&newest), events(&file), "round {round}");
    }
    println!(
        "kills during the backup after closing: {killed}; every older backup is whole, every next one was made"
    );
}
