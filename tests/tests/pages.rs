//! Today and Stands of a logbook that says little yet: an empty one, and one of a single bearing torn down once.
#![allow(clippy::unwrap_used)]

use whole_program::window::Window;
use whole_program::{Bench, ENGINEER, ENGINEER_PIN, FOREMAN_PIN, data, is_quick};

#[test]
fn today_and_stands_are_honest_of_an_empty_logbook_and_of_one_bearing() {
    if is_quick("the pages of a small logbook") {
        return;
    }
    let bench = Bench::new();
    let empty = bench.path("empty.chockbook");
    let pin = [("CHOCKBOOK_PIN", ENGINEER_PIN)];
    let words = ["new", empty.to_str().unwrap(), "--engineer", ENGINEER];
    bench.run(&words, "", &pin).expect(0);
    let window = Window::open(&bench, "1280x800", &[empty.to_str().unwrap()], &[]);
    window.keys(&["ctrl+1"]);
    window.wait_for("Nothing is registered yet.");
    window.keys(&["ctrl+5"]);
    window.wait_for("No stand is registered yet.");
    window.picture("stands-empty");
    drop(window);

    let shop = bench.small_shop();
    let file = shop.to_str().unwrap();
    let sheet = data("regrind.jsonl");
    let pins = [
        ("CHOCKBOOK_PIN", FOREMAN_PIN),
        ("CHOCKBOOK_ORDER_PIN", ENGINEER_PIN),
    ];
    let from = ["log", file, "--from", sheet.to_str().unwrap()];
    let who = ["--person", "Foreman A", "--ordered-by", ENGINEER];
    bench.run(&[from, who].concat(), "", &pins).expect(0);
    let window = Window::open(&bench, "1280x800", &[file], &[]);
    window.keys(&["ctrl+5"]);
    // One place has no peers, and that is said.
    window.wait_for("there is no other to compare it with");
    window.wait_for("1 in ready chocks");
    window.wait_for("day of the shutdown");
    window.picture("stands-one-bearing");
    window.keys(&["ctrl+1"]);
    window.wait_for("Hand over to the ");
    window.wait_for("New teardown");
    window.picture("today-one-bearing");
}
