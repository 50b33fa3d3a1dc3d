//! Killed while it signs in the window: the sheet is on disk whole and its draft gone, or there is only the draft.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use rusqlite::{Connection, OpenFlags};
use whole_program::regrind::{fill_regrind, new_sheet, sign_in_foreman};
use whole_program::window::Window;
use whole_program::{Bench, ENGINEER, ENGINEER_PIN, FOREMAN_PIN, is_quick};

use super::{Dice, beside, first_seed, rounds, watched};

/// So many looks at the log take about as long as the window takes to sign: the PINs are what is slow.
const LOOKS_MAX: usize = 400_000;
/// A signing writes about so many bytes into that log; kills are spread over somewhat more.
const GROWTH_MAX: usize = 130_000;
/// A window that has not written so much by then has signed all it was going to sign.
const PATIENCE: Duration = Duration::from_secs(2);

#[test]
fn a_sheet_signed_in_the_window_is_whole_or_a_draft_whenever_it_is_killed() {
    if is_quick("kills while signing in the window") {
        return;
    }
    let (bench, base) = ready_to_sign();
    let (mut whole, mut drafts, mut said) = (0, 0, 0);
    let kills = rounds(6, 100);
    for seed in (first_seed()..).take(usize::try_from(kills).unwrap()) {
        println!("CHOCKBOOK_SEED={seed}");
        let is_said = sign_and_kill(&bench, &base, seed);
        let file = bench.path("killed.chockbook");
        watched(&bench, &["verify", file.to_str().unwrap()], "").expect(0);
        let (sheets, left) = found(&file);
        assert_eq!(
            sheets + left,
            1,
            "{sheets} sheets and {left} drafts after a kill"
        );
        assert!(
            sheets == 1 || !is_said,
            "the window said signed, and the sheet is lost"
        );
        whole += sheets;
        drafts += left;
        said += i64::from(is_said);
    }
    println!(
        "kills survived: {kills}; sheets whole: {whole} (said to be: {said}), still drafts: {drafts}"
    );
}

/// A logbook whose draft wants only the PINs: the file with what SQLite keeps beside it, as a kill leaves them.
fn ready_to_sign() -> (Bench, PathBuf) {
    let bench = Bench::new();
    let file = bench.small_shop();
    let window = Window::open(&bench, "1280x800", &[file.to_str().unwrap()], &[]);
    new_sheet(&window);
    fill_regrind(&window);
    window.wait_for("draft kept");
    window.kill();
    (bench, file)
}

/// Signs in a copy, and kills the program after so many looks at the log beside the file, or when so many bytes have
/// been written into it, as the seed says. True where the window had said by then that the sheet is signed.
fn sign_and_kill(bench: &Bench, base: &Path, seed: u64) -> bool {
    let file = bench.path("killed.chockbook");
    for path in beside(&file) {
        fs::remove_file(path).unwrap();
    }
    for path in beside(base).iter().chain([&base.to_path_buf()]) {
        let name = path.file_name().unwrap().to_str().unwrap();
        fs::copy(path, bench.path(&name.replace("shop", "killed"))).unwrap();
    }
    let mut dice = Dice(seed);
    let (looks, growth) = match seed % 3 {
        0 => (usize::MAX, dice.below(GROWTH_MAX)),
        _ => (dice.below(LOOKS_MAX), usize::MAX),
    };
    let window = Window::open(bench, "1280x800", &[file.to_str().unwrap()], &[]);
    window.press("Open the draft of WC-37");
    sign_in_foreman(&window);
    window.wait_caret("Engineer");
    window.enter(&[ENGINEER, ENGINEER_PIN, FOREMAN_PIN]);
    window.wait_caret("Sign for good");
    let process = process_of(&file);
    let before = log_size(&file);
    std::thread::scope(|scope| {
        // The key is answered only once the picture has changed, and by then all is written.
        let key = scope.spawn(|| window.tried(&["key", "Return"]));
        let begun = Instant::now();
        let mut looked = 0;
        while looked < looks && log_size(&file) - before < growth && begun.elapsed() < PATIENCE {
            looked += 1;
        }
        let is_late = begun.elapsed() >= PATIENCE;
        let is_said = is_late
            && window
                .controls()
                .iter()
                .any(|c| c.name.contains("Signed as"));
        let killed = Command::new("kill")
            .args(["-9", &process])
            .status()
            .unwrap();
        assert!(killed.success(), "the program ended by itself");
        key.join().unwrap();
        is_said
    })
}

/// The process that has this file as its word.
fn process_of(file: &Path) -> String {
    let word = file.to_str().unwrap().as_bytes();
    let binary = whole_program::binary();
    let is_it = |folder: &Path| {
        let words = fs::read(folder.join("cmdline")).unwrap_or_default();
        let exe = fs::read_link(folder.join("exe")).unwrap_or_default();
        exe == binary && words.split(|b| *b == 0).any(|w| w == word)
    };
    let all = fs::read_dir("/proc")
        .unwrap()
        .map(|entry| entry.unwrap().path());
    let found = all
        .into_iter()
        .find(|folder| is_it(folder))
        .expect("no process has the file");
    found.file_name().unwrap().to_str().unwrap().to_owned()
}

/// Bytes of the log beside a file.
fn log_size(file: &Path) -> usize {
    let log = fs::metadata(format!("{}-wal", file.display()));
    log.map_or(0, |m| usize::try_from(m.len()).unwrap())
}

/// Signed sheets, and drafts.
fn found(file: &Path) -> (i64, i64) {
    let conn = Connection::open_with_flags(file, OpenFlags::SQLITE_OPEN_READ_ONLY).unwrap();
    let count = |sql: &str| conn.query_row(sql, [], |row| row.get(0)).unwrap();
    (
        count("SELECT count(*) FROM event WHERE kind = 'teardown_sheet'"),
        count("SELECT count(*) FROM draft"),
    )
}
