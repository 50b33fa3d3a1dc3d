//! How many keys a whole teardown takes: story C, teardown 5, with four places of each spacer, both seats, one finding,
//! one picture, the regrind and what closes the chock. The digits of the readings are not counted, every Enter is.

use std::sync::Arc;

use egui::{Key, Modifiers};
use store::payload::KeptFile;
use store::sheet::Section;
use store::sheet::field;

use super::bench::{Bench, Shop, fields};
use crate::win::command::Command;

/// Keys beyond the digits of the readings that a teardown may take.
const KEYS_MAX: usize = 110;

struct Hand {
    bench: Bench,
    keys: usize,
    readings: usize,
}

impl Hand {
    /// A reading that goes on by itself, its digits one by one.
    fn whole(&mut self, path: &str, text: &str) {
        assert_eq!(self.bench.caret(), path);
        for digit in text.chars() {
            self.bench.type_in(&digit.to_string());
        }
        self.bench.h.run_steps(4);
        assert_eq!(self.bench.text(path), text, "{path} is committed");
        self.readings += 1;
    }

    /// A reading with its Enter.
    fn reading(&mut self, path: &str, text: &str) {
        assert_eq!(self.bench.caret(), path);
        self.bench.enter(text);
        self.bench.h.run_steps(4);
        assert_eq!(self.bench.text(path), text);
        self.readings += 1;
        self.keys += 1;
    }

    /// Words or a code, every character counted, and Enter.
    fn words(&mut self, path: &str, text: &str) {
        assert_eq!(self.bench.caret(), path);
        self.bench.enter(text);
        self.bench.h.run_steps(4);
        self.keys += text.chars().count() + 1;
    }

    /// One key on a choice or an offer.
    fn press(&mut self, path: &str, key: &str, expected: &str) {
        assert_eq!(self.bench.caret(), path);
        self.bench.press(key);
        assert_eq!(self.bench.text(path), expected, "{path} by {key}");
        self.keys += 1;
    }
}

#[test]
fn a_whole_teardown_takes_few_keys_beyond_the_digits_of_its_readings() {
    let mut shop = Shop::new(fields(&[]), "");
    let mut facts = (*shop.facts).clone();
    if let Some(t) = &mut facts.bearing_type {
        for (name, value) in [
            ("spacer_parallel_nm", 20_000),
            ("cover_bolt_torque_mnm", 680_000),
        ] {
            t.values.insert((name.to_owned(), 0), value);
        }
    }
    // The register has a thermometer: it is named beside the gauge of each seat.
    let mut thermometer = facts.gauges["TW-02"].clone();
    (thermometer.code, thermometer.measures) = ("TC-03".into(), "temperature".into());
    facts.gauges.insert("TC-03".into(), thermometer);
    for path in ["bore.thermometer", "neck.thermometer"] {
        facts.shop.usual.insert(path.into(), "TC-03".into());
    }
    shop.facts = Arc::new(facts);
    let mut hand = Hand {
        bench: Bench::new(shop),
        keys: 0,
        readings: 0,
    };
    hand.words("identify.chock", "WC-40");
    hand.press("identify.roll", "+", "R-118");
    hand.press("identify.zone", "2", "II");
    hand.press("found.seal", "+", "sound");
    assert_eq!(
        hand.bench.text("found.chips"),
        "none",
        "one key says that nothing is out of the ordinary"
    );
    assert_eq!(hand.bench.text("found.bolts"), "tight");
    hand.reading("shim.found", "1.20");
    hand.press("clean.state", "+", "used");
    assert_eq!(hand.bench.text("clean.preserved"), "oil", "as last time");

    hand.press("findings.none", "s", "no");
    hand.words("finding.1.part", "oute");
    assert_eq!(hand.bench.text("finding.1.part"), "outer raceway");
    hand.press("finding.1.row", "1", "1");
    hand.words("finding.1.mode", "5.5.3");
    hand.press("finding.1.severity", "1", "1");
    hand.reading("finding.1.from", "200");
    hand.reading("finding.1.to", "228");
    hand.reading("finding.1.size", "2");
    hand.words("finding.1.note", "");
    photo(&mut hand);
    hand.words("finding.2.part", "");
    hand.press("findings.cracks", "d", "dye_clear");

    let gaps = [
        ["23.372", "23.366", "23.378", "23.372", "24.012"],
        ["29.424", "29.418", "29.430", "29.424", "30.004"],
        ["23.378", "23.370", "23.384", "23.380", "24.008"],
    ];
    for (path, text) in field::clearance_order().iter().zip(gaps.as_flattened()) {
        hand.whole(path, text);
    }
    hand.press("clearance.gauge_gap", "+", "GB-01");
    assert_eq!(hand.bench.text("clearance.gauge_width"), "HG-02");
    for (path, text) in field::places_order().iter().zip(
        ["24.012", "30.004", "24.008"]
            .iter()
            .flat_map(|width| [*width; 3]),
    ) {
        hand.whole(path, text);
    }
    for (seat, size, standard, gauge) in [
        (field::SeatName::Bore, "620.050", "620.000", "BG-03"),
        (field::SeatName::Neck, "479.730", "480.000", "OM-02"),
    ] {
        let prefix = seat.prefix();
        hand.press(&format!("{prefix}.gauge"), "+", gauge);
        let thermometer = format!("{prefix}.thermometer");
        assert_eq!(hand.bench.text(&thermometer), "TC-03", "as last time");
        hand.whole(&format!("{prefix}.check.read"), standard);
        hand.whole(&format!("{prefix}.check.standard"), standard);
        let order = field::seat_order(seat);
        for path in &order {
            if path.contains("temp") {
                hand.reading(path, "22.5");
            } else {
                hand.whole(path, size);
            }
        }
    }
    hand.press("neck.cracks", "m", "magnetic_clear");

    hand.press("decision.choice", "+", "regrind_spacers");
    for (pair, width) in [(1, "23.674"), (2, "29.726"), (3, "23.682")] {
        for degrees in field::GAP_DEGREES {
            hand.whole(&field::after_at(pair, degrees), width);
        }
    }
    hand.press("retention.checked", "c", "yes");
    hand.press("parts.order", "r", "as_marked");
    hand.press("seals.done", "c", "changed");
    hand.press("seals.batch", "+", "SB-57");
    // The dents at 200 to 228 degrees keep IV, III and II out of the load.
    hand.press("zone.choice", "+", "I");
    hand.press("zone.rings", "a", "alike");
    hand.press("reassemble.chock", "+", "WC-40");
    hand.press("grease.kind", "+", "GR-1");
    for row in 1..=4 {
        hand.reading(&format!("grease.row.{row}"), "310");
    }
    for degrees in field::GAP_DEGREES {
        hand.whole(&field::cover_gap(degrees), "0.535");
    }
    hand.whole("shim.fitted", "0.536");
    hand.reading("bolts.torque", "680");
    hand.press("bolts.pattern", "c", "crosswise");
    hand.press("bolts.wrench", "+", "TW-02");
    hand.press("protect.with", "c", "textile");

    assert_eq!(hand.bench.shop().view.section(), Section::Sign);
    let a = hand.bench.assessment();
    assert_eq!(a.blockers().collect::<Vec<_>>(), []);
    hand.words("sign.fitter", "Fitter 4");
    hand.words("sign.engineer", "r");
    hand.words("sign.engineer_pin", "2222");
    hand.words("sign.pin", "1111");
    hand.bench.key(Modifiers::NONE, Key::Enter);
    hand.keys += 1;
    let commands = &hand.bench.shop().commands;
    assert!(
        commands.iter().any(|c| matches!(c, Command::SignSheet(_))),
        "it is handed over to be signed"
    );
    println!(
        "a whole teardown: {} readings, {} keys beyond their digits (at most {KEYS_MAX})",
        hand.readings, hand.keys
    );
    assert!(hand.readings >= 70, "{}", hand.readings);
    assert!(hand.keys <= KEYS_MAX, "{} keys", hand.keys);
}

/// A picture is dropped on the window, which takes no key; here it is kept already.
fn photo(hand: &mut Hand) {
    let kept = KeptFile {
        name: "row-1.jpg".into(),
        hash: "0".repeat(64),
        bytes: 120_000,
        media: "image/jpeg".into(),
        original_hash: String::new(),
        thumbnail_hash: String::new(),
    };
    let text = serde_json::to_string(&kept).unwrap_or_default();
    hand.bench
        .shop()
        .view
        .entries
        .choose(&field::photo(1, 1), &text);
    hand.bench.h.run_steps(3);
}
