//! The documents beside the history, read as models; each is set into pages too.

use std::collections::BTreeSet;

use report::{BlankPart, Paper, Part, SheetPart, Table};
use store::query::{find_sheets, find_things};
use store::sheet::field::{self, GAP_DEGREES, PAIRS, SEAT_DEGREES, SeatName};
use store::sheet::{FieldKind, Section};

use super::*;
use crate::print::{Key, What, Wish};

/// The gap blocks read 12 um too large: all their gaps were smaller, all end plays larger.
pub(super) const FOUND_OUT: &str = "{\"kind\":\"gauge_found_out\",\"at\":\"2026-09-25T08:00\",\"gauge\":\"GB-01\",\"error_um\":\"12\",\"text\":\"on a block of 24\"}\n";

/// A shop with two teardowns, the second with bore readings.
pub(super) fn shop() -> Shop {
    let shop = Shop::new();
    shop.regrind();
    shop.log(&second_teardown(), "Foreman A", &BOTH);
    shop
}

/// The document that was wished with these texts.
pub(super) fn wished(
    shop: &Shop,
    what: What,
    texts: &[(Key, &str)],
) -> std::result::Result<Document, String> {
    let logbook = shop.open();
    let text = |key: Key| {
        let found = texts.iter().find(|(of, _)| *of == key);
        found.map(|(_, text)| (*text).to_owned())
    };
    let wish = Wish {
        what,
        text: &text,
        name: Key::option,
    };
    wish.document(logbook.connection(), job(Show::default()).now)
}

/// The PDF of a wish.
fn pdf(shop: &Shop, what: What, texts: &[(Key, &str)]) -> Vec<u8> {
    let document = wished(shop, what, texts).unwrap();
    document
        .pdf(shop.open().connection(), &job(Show::default()))
        .unwrap()
}

pub(super) fn no(shop: &Shop, entity: &str, code: &str) -> store::ThingNo {
    let things = find_things(shop.open().connection()).unwrap();
    let found = things.iter().find(|t| t.entity == entity && t.code == code);
    found.unwrap_or_else(|| panic!("no {entity} {code}")).no
}

pub(super) fn table<'a>(paper: &'a Paper, title: &str) -> &'a Table {
    let found = paper.parts.iter().find_map(|part| match part {
        Part::Table(table) if table.title == title => Some(table),
        _ => None,
    });
    found.unwrap_or_else(|| panic!("no table {title}"))
}

pub(super) fn sheets(paper: &Paper) -> Vec<&SheetPart> {
    let mut sheets = Vec::new();
    for part in &paper.parts {
        if let Part::Sheet(sheet) = part {
            sheets.push(&**sheet);
        }
    }
    sheets
}

/// All texts of a row, those below each other too.
pub(super) fn words(table: &Table, at: usize) -> Vec<String> {
    let cell = |cell: &report::Cell| match cell.under.as_str() {
        "" => text(cell),
        under => format!("{} | {under}", text(cell)),
    };
    table.rows[at].iter().map(cell).collect()
}

#[test]
fn the_same_wish_at_the_same_time_has_the_same_bytes_and_makes_a_pdf() {
    let shop = shop();
    shop.log(FOUND_OUT, ENGINEER, &PIN);
    let all: [(What, &[(Key, &str)]); 12] = [
        (What::History, &[(Key::Bearing, "th-4t-101")]),
        (What::Sheet, &[(Key::Bearing, "TH-4T-101")]),
        (What::Blank, &[(Key::Type, "N4T-480/620-336")]),
        (What::Chock, &[(Key::Chock, "WC-37")]),
        (
            What::Gauge,
            &[(Key::Gauge, "GB-01"), (Key::Since, "2026-01-01")],
        ),
        (What::Impact, &[(Key::Gauge, "GB-01")]),
        (
            What::Grind,
            &[(Key::Bearing, "TH-4T-101"), (Key::Date, "2026-03-21")],
        ),
        (What::Packet, &[(Key::Chock, "WC-37")]),
        (
            What::Stand,
            &[(Key::Stand, "F6"), (Key::From, "2026-01-01")],
        ),
        (What::Handover, &[]),
        (What::Labels, &[(Key::Kind, "gauge")]),
        // The last sheet decided to hold it.
        (What::Tag, &[(Key::Thing, "th-4t-101")]),
    ];
    assert_eq!(all.map(|(what, _)| what), What::ALL);
    for (what, texts) in all {
        let first = pdf(&shop, what, texts);
        assert!(first.starts_with(b"%PDF"), "{what:?}");
        let claim = String::from_utf8_lossy(&first).contains("pdfaid:part");
        assert!(claim, "{what:?} does not say that it is for archives");
        assert!(first == pdf(&shop, what, texts), "{what:?}: other bytes");
    }
}

#[test]
fn a_blank_sheet_asks_for_every_field_of_the_sheet_once_and_in_the_order_of_the_screen() {
    let shop = Shop::new();
    let bearing_type = no(&shop, "bearing_type", "N4T-480/620-336");
    let logbook = shop.open();
    let blank =
        crate::print::blank::blank(logbook.connection(), bearing_type, &job(Show::default()))
            .unwrap();
    let titles: Vec<&str> = blank.sections.iter().map(|s| s.title.as_str()).collect();
    assert_eq!(titles, Section::ALL.map(Section::title));
    for (section, printed) in Section::ALL.into_iter().zip(&blank.sections) {
        let mut asked: Vec<&str> = Vec::new();
        for part in &printed.parts {
            match part {
                BlankPart::Fields { fields } => asked.extend(fields.iter().map(|f| &*f.label)),
                BlankPart::Choice { label, words } => {
                    assert!(!words.is_empty(), "{label}");
                    asked.push(label);
                }
                BlankPart::Table { title, .. } => asked.push(title),
                BlankPart::Drawing(_) | BlankPart::Note { .. } => {}
            }
        }
        let unlike: BTreeSet<&str> = asked.iter().copied().collect();
        assert_eq!(
            unlike.len(),
            asked.len(),
            "{section:?} asks twice: {asked:?}"
        );
        let plain: Vec<&str> = field::named(field::PLAIN)
            .filter(|(of, _)| *of == section)
            .map(|(_, field)| field.label)
            .collect();
        for label in &plain {
            assert!(
                asked.contains(label),
                "{section:?} does not ask for {label}"
            );
        }
        let grids = asked.len() - plain.len();
        let expected = match section {
            Section::Findings => 1,
            // Of the bench: the gaps with their spacers, and the spacers at their other places.
            Section::Clearance | Section::Seats => 2,
            // The three widths after grinding, at four places each.
            Section::Reassemble => 12,
            _ => 0,
        };
        assert_eq!(grids, expected, "{section:?}: {asked:?}");
    }
    // In the order of the screen, which is not that of the list of fields.
    let BlankPart::Fields { fields } = &blank.sections[0].parts[0] else {
        panic!("boxes come first");
    };
    let first: Vec<&str> = fields.iter().map(|f| f.label.as_str()).collect();
    assert_eq!(first[..3], ["Chock", "Bearing", "Came from position"]);
}

#[test]
fn the_grids_of_a_blank_sheet_have_a_box_for_each_reading() {
    let shop = Shop::new();
    let bearing_type = no(&shop, "bearing_type", "N4T-480/620-336");
    let logbook = shop.open();
    let blank =
        crate::print::blank::blank(logbook.connection(), bearing_type, &job(Show::default()))
            .unwrap();
    let boxes = |section: Section, title: &str| {
        let parts = &blank.sections[section as usize].parts;
        let found = parts.iter().find_map(|part| match part {
            BlankPart::Table {
                title: of,
                heads,
                rows,
                ..
            } if of == title => Some((heads.len() - 1) * rows.len()),
            _ => None,
        });
        found.unwrap_or_else(|| panic!("no grid {title}"))
    };
    let gaps = PAIRS.len() * (GAP_DEGREES.len() + 1);
    assert_eq!(boxes(Section::Clearance, "Gaps and spacers"), gaps);
    assert_eq!(field::clearance_order().len(), gaps);
    for seat in [SeatName::Bore, SeatName::Neck] {
        assert_eq!(
            boxes(Section::Seats, seat.title()),
            PAIRS.len() * SEAT_DEGREES.len()
        );
    }
    let keys = store::sheet::findings::Key::ALL.len();
    assert_eq!(boxes(Section::Findings, "Findings"), 8 * keys);
    // Nothing measured stands in it: not even in the drawing.
    let drawing = blank.sections[Section::Clearance as usize].parts.iter();
    let drawn: Vec<_> = drawing
        .filter_map(|part| match part {
            BlankPart::Drawing(drawing) => Some(&drawing.svg),
            _ => None,
        })
        .collect();
    assert!(drawn.len() == 1 && !drawn[0].contains("not read"));
    let is_number = |part: &BlankPart| matches!(part, BlankPart::Fields { fields } if fields.iter().any(|f| f.unit == "mm"));
    assert!(
        blank.sections[Section::Reassemble as usize]
            .parts
            .iter()
            .any(is_number)
    );
    assert!(matches!(
        field::kind("grease.row.1"),
        Some(FieldKind::Number(_))
    ));
}

#[test]
fn the_newest_sheet_that_of_a_day_and_that_of_a_record_are_found() {
    let shop = shop();
    let sheet = |texts: &[(Key, &str)]| match wished(&shop, What::Sheet, texts) {
        Ok(Document::Sheet(event)) => Ok(event),
        Ok(other) => panic!("{other:?}"),
        Err(why) => Err(why),
    };
    let newest = sheet(&[(Key::Bearing, "TH-4T-101")]).unwrap();
    let first = sheet(&[(Key::Bearing, "TH-4T-101"), (Key::Date, "2026-03-21")]).unwrap();
    assert!(newest > first);
    let logbook = shop.open();
    let job = job(Show::default());
    let paper = crate::print::one_sheet::paper(logbook.connection(), first, &job).unwrap();
    assert_eq!(sheet(&[(Key::Event, &paper.name)]), Ok(first));
    assert!(
        find_sheets(logbook.connection(), "nonsense")
            .unwrap()
            .is_empty()
    );
    assert!(
        sheet(&[(Key::Event, "ffffffff:1")])
            .unwrap_err()
            .contains("stands on every print")
    );
    let other_day = sheet(&[(Key::Bearing, "TH-4T-101"), (Key::Date, "2026-03-22")]);
    assert!(other_day.unwrap_err().contains("there is 2026-03-21"));

    assert_eq!(paper.title_line, "Teardown sheet of TH-4T-101, 2026-03-21");
    let printed = sheets(&paper)[0];
    assert_eq!(printed.sheet.drawings[0].title, "Stack as measured");
    assert!(printed.sheet.drawings[0].alt.contains("23.372"));
    let all = format!("{printed:?}");
    let detail = store::query::sheet_detail(logbook.connection(), first, Show::default())
        .unwrap()
        .unwrap();
    for reading in &detail.body.readings {
        assert!(all.contains(reading.text.trim()), "{}", reading.path);
    }
}

#[test]
fn a_history_says_what_was_left_out_by_wish() {
    let shop = shop();
    shop.log("{\"kind\":\"cost\",\"at\":\"2026-05-01\",\"thing\":\"TH-4T-101\",\"amount\":\"3100\",\"text\":\"reconditioning\"}\n", ENGINEER, &PIN);
    let of = |texts: &[(Key, &str)]| {
        let mut all = vec![(Key::Bearing, "TH-4T-101")];
        all.extend_from_slice(texts);
        let Ok(Document::History { bearing, parts }) = wished(&shop, What::History, &all) else {
            panic!("no history")
        };
        history(
            shop.open().connection(),
            bearing,
            &parts,
            &job(Show::default()),
        )
        .unwrap()
    };
    let costs = |history: &History| {
        history
            .events
            .iter()
            .filter(|e| e.found[0].text == "Cost")
            .count()
    };
    let usual = of(&[]);
    assert_eq!((usual.sheets.len(), costs(&usual)), (2, 0));
    assert!(
        usual.left_out.contains("what was paid"),
        "{}",
        usual.left_out
    );
    let paid = of(&[(Key::Costs, "yes")]);
    assert_eq!((costs(&paid), paid.left_out.as_str()), (1, ""));
    let bare = of(&[
        (Key::NoReadings, "yes"),
        (Key::From, "2026-06-01"),
        (Key::Until, "2026-12-31"),
    ]);
    assert_eq!(bare.sheets.len(), 1);
    assert!(
        bare.sheets[0].title.starts_with("Sheet 2"),
        "it keeps its number"
    );
    assert!(bare.sheets[0].tables.is_empty());
    for said in ["before 2026-06-01 and after 2027-01-01", "raw readings"] {
        assert!(bare.left_out.contains(said), "{}", bare.left_out);
    }
}

/// A picture of one point (PNG).
const POINT: &[u8] = &[
    0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0x00, 0x00, 0x00, 0x0d, 0x49, 0x48, 0x44, 0x52,
    0x00, 0x00, 0x00, 0x01, 0x00, 0x00, 0x00, 0x01, 0x08, 0x06, 0x00, 0x00, 0x00, 0x1f, 0x15, 0xc4,
    0x89, 0x00, 0x00, 0x00, 0x0d, 0x49, 0x44, 0x41, 0x54, 0x78, 0xda, 0x63, 0x64, 0xf8, 0xcf, 0x50,
    0x0f, 0x00, 0x03, 0x86, 0x01, 0x80, 0x5a, 0x34, 0x7d, 0x6b, 0x00, 0x00, 0x00, 0x00, 0x49, 0x45,
    0x4e, 0x44, 0xae, 0x42, 0x60, 0x82,
];

#[test]
fn an_amended_reading_stands_struck_beside_the_one_that_counts_with_its_reason_on_every_print() {
    let shop = Shop::new();
    shop.regrind();
    let second = shop.log(&second_teardown(), "Foreman A", &BOTH);
    let record = second.out.split(' ').nth(1).unwrap();
    let line = format!(
        "{{\"kind\":\"amendment\",\"event\":\"{record}\",\"fields\":{{\"bore.1.0\":\"620.064\"}},\"reason\":\"digits read wrongly\"}}\n"
    );
    shop.log(&line, ENGINEER, &PIN);
    let history = printed(&shop, Show::default());
    let correction = &history.corrections[0];
    assert_eq!(
        (&*correction.code, correction.sheet, &*correction.reason),
        ("A", Some(1), "digits read wrongly")
    );
    assert_eq!(
        (&*correction.what, &*correction.old, &*correction.new),
        (
            "Chock bore plane 1 at 0 degrees",
            "620.062 mm",
            "620.064 mm"
        )
    );
    assert!(correction.signer.starts_with(ENGINEER));
    assert!(
        correction.effect.starts_with("follows: "),
        "{}",
        correction.effect
    );
    let bore = history.sheets[1]
        .tables
        .iter()
        .find(|t| t.title == "Chock bore")
        .unwrap();
    let pieces: Vec<(&str, report::Tone)> = bore.rows[0][1]
        .pieces
        .iter()
        .map(|p| (p.text.as_str(), p.tone))
        .collect();
    assert_eq!(pieces[0], ("620.062 mm", report::Tone::Struck));
    assert_eq!(pieces[2], ("620.064", report::Tone::Bold));
    assert!(history.events.iter().any(|e| e.amended));
    report::history_pdf(&history).unwrap();
    // The same on the print of the sheet alone and of the chock.
    let logbook = shop.open();
    let event = find_sheets(logbook.connection(), record).unwrap()[0];
    let job = job(Show::default());
    let sheet = crate::print::one_sheet::paper(logbook.connection(), event, &job).unwrap();
    assert_eq!(sheets(&sheet)[0].corrections.len(), 1);
    let chock = no(&shop, "chock", "WC-37");
    let chock = crate::print::chock::paper(logbook.connection(), chock, &job).unwrap();
    assert_eq!(sheets(&chock)[0].corrections.len(), 1);
}

#[test]
fn pictures_of_a_sheet_are_printed_with_their_hashes_or_left_out_by_wish() {
    let shop = Shop::new();
    shop.regrind();
    let mut logbook = shop.open();
    let prepared = store::attachment::prepare(POINT, "ring.png").unwrap();
    logbook.keep_file(&prepared).unwrap();
    drop(logbook);
    let file = serde_json::to_string(&serde_json::to_string(&prepared.file).unwrap()).unwrap();
    let with_photo = second_teardown().replace(
        "\"bore.gauge\":",
        &format!("\"photo.1.1\":{file},\"bore.gauge\":"),
    );
    shop.log(&with_photo, "Foreman A", &BOTH);
    let history = printed(&shop, Show::default());
    let photo = &history.sheets[1].photos[0];
    assert_eq!(photo.hash, prepared.file.hash);
    assert!(
        photo.caption.starts_with("finding 1, ring.png"),
        "{}",
        photo.caption
    );
    assert!(!photo.bytes.is_empty());
    report::history_pdf(&history).unwrap();
    let bearing = no(&shop, "bearing", "TH-4T-101");
    let parts = HistoryParts {
        has_photos: false,
        ..HistoryParts::default()
    };
    let logbook = shop.open();
    let without =
        crate::print::history(logbook.connection(), bearing, &parts, &job(Show::default()))
            .unwrap();
    assert!(without.sheets[1].photos.is_empty());
    assert!(
        without.left_out.contains("the pictures"),
        "{}",
        without.left_out
    );
}

#[test]
fn the_blank_mounting_sheet_asks_for_every_field_of_the_screen_in_its_order() {
    use store::mounting::{Family, Section, field as mounting};
    let shop = shop();
    let logbook = shop.open();
    let bearing_type =
        store::sheet::thing_by_code(logbook.connection(), "bearing_type", "N4T-480/620-336")
            .unwrap()
            .unwrap()
            .0;
    let blank =
        crate::print::mounting::blank(logbook.connection(), bearing_type, &job(Show::default()))
            .unwrap();
    let titles: Vec<&str> = blank.sections.iter().map(|s| s.title.as_str()).collect();
    let sections = Section::of(Family::Tapered);
    assert_eq!(
        titles,
        sections.iter().map(|s| s.title()).collect::<Vec<_>>()
    );
    let nothing = store::draft::Fields::new();
    let wanted = mounting::Asked {
        family: Family::Tapered,
        fields: &nothing,
        is_other_grease: true,
        is_other_zone: true,
    };
    for (section, printed) in sections.into_iter().zip(&blank.sections) {
        let asked: usize = printed
            .parts
            .iter()
            .map(|part| match part {
                BlankPart::Fields { fields } => fields.len(),
                _ => 1,
            })
            .sum();
        let fields = mounting::order(section, &wanted);
        assert!(asked >= fields.len(), "{}", section.title());
    }
    let pdf = pdf(
        &shop,
        What::Blank,
        &[(Key::Type, "N4T-480/620-336"), (Key::Mounting, "yes")],
    );
    assert!(pdf.starts_with(b"%PDF"));
}

#[test]
fn a_tag_is_for_what_waits_and_says_why() {
    let shop = shop();
    let logbook = shop.open();
    let find = |entity: &str, code: &str| {
        store::sheet::thing_by_code(logbook.connection(), entity, code)
            .unwrap()
            .unwrap()
            .0
    };
    let held = crate::print::tag::tag(
        logbook.connection(),
        find("bearing", "TH-4T-101"),
        &job(Show::default()),
    )
    .unwrap();
    assert_eq!(held.labels[0].mark, "TH-4T-101");
    assert!(held.labels[0].kind.starts_with("ON HOLD"));
    assert!(
        held.labels[0].detail.contains("Foreman A")
            && held.labels[0].detail.contains("the engineer")
    );
    let free = crate::print::tag::tag(
        logbook.connection(),
        find("gauge", "GB-01"),
        &job(Show::default()),
    );
    assert!(
        free.unwrap_err()
            .to_string()
            .contains("GB-01 is not on hold")
    );
}
