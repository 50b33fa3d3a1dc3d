//! `cargo bench -p report`: what a history of 300 events with 60 sheets and their pictures takes, as a multiple of what the
//! bare typesetter takes for an equal document that is written down directly. Both make a PDF/A-2a in the same
//! run, so the machine does not matter. Nothing fails on a time.
#![allow(missing_docs)]

use std::time::{Duration, Instant};

use report::{
    Cell, Column, EventLine, History, Photo, Piece, SheetDetail, Table, UtcMoment, VerdictLine,
};
use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};

const EVENTS: usize = 300;
const SHEETS: usize = 60;
const RUNS: usize = 3;

fn main() {
    let picture = picture();
    let history = history(&picture);
    let world = Bare::of(&history, picture);
    let (mut ours, mut bare) = (Duration::MAX, Duration::MAX);
    let (mut our_size, mut bare_size) = (0, 0);
    for _ in 0..RUNS {
        // Nothing of the run before may help this one.
        typst::comemo::evict(0);
        let from = Clock::start();
        our_size = report::history_pdf(&history)
            .expect("a history is set")
            .len();
        ours = ours.min(from.elapsed());
        typst::comemo::evict(0);
        let from = Clock::start();
        bare_size = world.pdf().len();
        bare = bare.min(from.elapsed());
    }
    let times = ours.as_secs_f64() / bare.as_secs_f64();
    println!(
        "history of {EVENTS} events, {SHEETS} sheets with pictures: {ours:.2?}, {our_size} bytes"
    );
    println!("an equal document in the bare typesetter: {bare:.2?}, {bare_size} bytes");
    println!(
        "ratio {times:.1}, best of {RUNS} each; most memory of the run {}",
        peak()
    );
}

/// Time of the processor that this process took, where the system tells it: what else the machine does stays out of it.
struct Clock {
    began: Instant,
    worked: Option<Duration>,
}

impl Clock {
    fn start() -> Self {
        Self {
            began: Instant::now(),
            worked: worked(),
        }
    }

    fn elapsed(&self) -> Duration {
        match (worked(), self.worked) {
            (Some(now), Some(then)) => now.saturating_sub(then),
            _ => self.began.elapsed(),
        }
    }
}

/// User and system time so far, in steps of 10 ms.
fn worked() -> Option<Duration> {
    let stat = std::fs::read_to_string("/proc/self/stat").ok()?;
    // The name of the program may hold blanks: what counts comes after it.
    let fields: Vec<&str> = stat.rsplit_once(')')?.1.split_whitespace().collect();
    let ticks: u64 = fields.get(11)?.parse::<u64>().ok()? + fields.get(12)?.parse::<u64>().ok()?;
    Some(Duration::from_millis(ticks * 10))
}

/// The most memory that this process ever held, where the system tells it.
fn peak() -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    line.map_or_else(|| "not known here".into(), |text| text.trim().to_owned())
}

/// A picture of the size that the logbook keeps small ones in.
fn picture() -> Vec<u8> {
    let mut bytes = std::io::Cursor::new(Vec::new());
    let shade = |x: u32, y: u32| {
        image::Rgb([
            (x * 7 % 256) as u8,
            (y * 5 % 256) as u8,
            ((x ^ y) % 256) as u8,
        ])
    };
    image::RgbImage::from_fn(240, 180, shade)
        .write_to(&mut bytes, image::ImageFormat::Jpeg)
        .expect("a picture is written");
    bytes.into_inner()
}

fn history(picture: &[u8]) -> History {
    History {
        title_line: "History of bearing TH-4T-008".into(),
        serial: "TH-4T-008".into(),
        anchor: "0671 8D1F".into(),
        printed_utc: UtcMoment::default(),
        events: (0..EVENTS).map(event).collect(),
        sheets: (0..SHEETS).map(|at| sheet(at, picture)).collect(),
        ..History::default()
    }
}

fn event(at: usize) -> EventLine {
    EventLine {
        date: format!("2026-{:02}-{:02}", at % 12 + 1, at % 28 + 1),
        place: format!("F{}-W-T-O", at % 6 + 1),
        hours: format!("{} h", 900 + at % 100),
        found: vec![
            Piece::plain(format!("Teardown out of WC-17, sheet {at}: end play ")),
            Piece::bold("0.510 / 0.480 / 0.505 mm"),
        ],
        done: "Return after turning; zone III up".into(),
        signer: "Foreman A".into(),
        ..EventLine::default()
    }
}

fn sheet(at: usize, picture: &[u8]) -> SheetDetail {
    let row = |plane: usize| {
        let size = |direction: usize| {
            Cell::reading(format!("620.{:03}", 40 + plane + direction + at), "620.031")
        };
        std::iter::once(Cell::text(plane.to_string()))
            .chain((0..4).map(size))
            .collect()
    };
    let mut columns = vec![Column::text("plane")];
    columns.extend(["0", "45", "90", "135"].map(Column::number));
    let verdict = |item: usize| VerdictLine {
        about: format!("End play, rows {item}"),
        value: "0.510 mm".into(),
        uncertainty: "0.015 mm".into(),
        limit: "0.270 to below 0.600 mm".into(),
        origin: "rework level of N4T-480/620-336".into(),
        rule: "p over 0.999".into(),
        method: "clearance, version 1".into(),
        ..VerdictLine::default()
    };
    SheetDetail {
        title: format!("Sheet {}: teardown", at + 1),
        date: "2026-03-10 11:00".into(),
        tables: vec![Table {
            title: "Chock bore".into(),
            columns,
            rows: (1..=3).map(row).collect(),
            ..Table::default()
        }],
        verdicts: (1..=8).map(verdict).collect(),
        photos: vec![Photo {
            caption: format!("finding {at}: ring.jpg"),
            hash: format!("{at:064x}"),
            bytes: picture.to_vec(),
        }],
        ..SheetDetail::default()
    }
}

/// The typesetter with an equal document and nothing of ours.
struct Bare {
    main: Source,
    data: Bytes,
    picture: Bytes,
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
}

/// The same pages, written down directly: head and foot with the number of the page and of all pages, rules, two lines in
/// a cell, a drawn mark beside each verdict, a table whose head comes again on each page, titles that are bookmarks.
const TEMPLATE: &str = r#"#set document(title: "plain")
#set text(font: "Open Sans", size: 8.5pt, fallback: false, lang: "en")
#let d = json("data.json")
#let line = 0.6pt + luma(60%)
#set page(
  width: 595.28pt, height: 841.89pt, margin: (x: 41.64pt, top: 70pt, bottom: 60pt),
  header: block(width: 100%, stroke: (bottom: 1pt), inset: (bottom: 9pt), grid(
    columns: (1fr, 170pt), text(size: 14.5pt, d.title), align(right)[plant],
  )),
  footer: block(width: 100%, stroke: (top: line), inset: (top: 5pt), grid(
    columns: (1fr, 170pt), [anchor 0671 8D1F],
    align(right, context [page #counter(page).display() of #counter(page).final().first()]),
  )),
)
#show heading: set text(size: 13pt)
#let lines(pair) = stack(spacing: 0.58em, ..pair.map(text))
#let listing(columns, heads, rows) = table(
  columns: columns, stroke: (_, _) => (bottom: line), inset: (left: 0pt, right: 10pt, y: 4.1pt),
  table.header(..heads), ..rows.flatten(),
)
#let shape = box(width: 1em, image(bytes(d.shape), format: "svg", width: 1em, alt: "mark"))
#heading[What happened]
#listing((66pt, 78pt, 1fr, 132pt), ([date], [where], [found], [done]), d.events.map(event => event.map(lines)))
#for sheet in d.sheets {
  pagebreak()
  heading(sheet.title)
  heading(level: 2)[Chock bore]
  listing(5, ([plane], [0], [45], [90], [135]), sheet.sizes.map(row => row.map(lines)))
  heading(level: 2)[Pictures]
  image("picture.jpg", height: 96pt, alt: sheet.caption)
  lines((sheet.caption, sheet.hash))
  heading(level: 2)[Verdicts]
  listing(
    (1fr, 74pt, 152pt, 78pt, 78pt), ([about], [value], [limit], [rule], [verdict]),
    sheet.verdicts.map(row => row.map(lines) + (grid(columns: (1em, 1fr), shape, [pass]),)),
  )
}
"#;

impl Bare {
    fn of(history: &History, picture: Vec<u8>) -> Self {
        let said = |cell: &Cell| {
            let words: String = cell.pieces.iter().map(|p| p.text.as_str()).collect();
            [words, cell.under.clone()]
        };
        let events = history.events.iter().map(|e| {
            let found: String = e.found.iter().map(|p| p.text.as_str()).collect();
            [
                vec![e.date.clone()],
                vec![e.place.clone(), e.hours.clone()],
                vec![found],
                vec![e.done.clone(), e.signer.clone()],
            ]
        });
        let sheets = history.sheets.iter().map(|s| {
            let sizes: Vec<Vec<[String; 2]>> = s.tables[0]
                .rows
                .iter()
                .map(|row| row.iter().map(said).collect())
                .collect();
            let verdicts = s.verdicts.iter().map(|v| {
                [
                    vec![v.about.clone(), v.method.clone()],
                    vec![v.value.clone(), v.uncertainty.clone()],
                    vec![v.limit.clone(), v.origin.clone()],
                    vec![v.rule.clone()],
                ]
            });
            serde_json::json!({
                "title": s.title, "sizes": sizes, "verdicts": verdicts.collect::<Vec<_>>(),
                "caption": s.photos[0].caption, "hash": s.photos[0].hash,
            })
        });
        let shape = r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 8 8"><circle cx="4" cy="4" r="4"/></svg>"#;
        let data = serde_json::json!({ "title": history.title_line, "shape": shape, "events": events.collect::<Vec<_>>(), "sheets": sheets.collect::<Vec<_>>() });
        let regular: &[u8] = include_bytes!("../../../assets/fonts/OpenSans-Regular.ttf");
        let fonts: Vec<Font> = Font::iter(Bytes::new(regular)).collect();
        Self {
            main: Source::new(id("main.typ"), TEMPLATE.to_owned()),
            data: Bytes::from_string(data.to_string()),
            picture: Bytes::new(picture),
            library: LazyHash::new(Library::default()),
            book: LazyHash::new(FontBook::from_fonts(&fonts)),
            fonts,
        }
    }

    fn pdf(&self) -> Vec<u8> {
        let document = typst::compile::<PagedDocument>(self)
            .output
            .expect("the plain document is set");
        let moment = Datetime::from_ymd_hms(2026, 10, 30, 14, 2, 0).expect("a day of the calendar");
        let options = PdfOptions {
            ident: Smart::Custom("plain".into()),
            timestamp: Some(Timestamp::new_utc(moment)),
            standards: PdfStandards::new(&[PdfStandard::A_2a]).expect("one standard"),
            ..PdfOptions::default()
        };
        typst_pdf::pdf(&document, &options).expect("the plain document is written")
    }
}

fn id(name: &str) -> FileId {
    let path = VirtualPath::new(name).expect("a plain name");
    RootedPath::new(VirtualRoot::Project, path).intern()
}

impl World for Bare {
    fn library(&self) -> &LazyHash<Library> {
        &self.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.book
    }

    fn main(&self) -> FileId {
        self.main.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.main.id() {
            Ok(self.main.clone())
        } else {
            Err(FileError::AccessDenied)
        }
    }

    fn file(&self, asked: FileId) -> FileResult<Bytes> {
        if asked == id("data.json") {
            Ok(self.data.clone())
        } else if asked == id("picture.jpg") {
            Ok(self.picture.clone())
        } else {
            Err(FileError::AccessDenied)
        }
    }

    fn font(&self, index: usize) -> Option<Font> {
        self.fonts.get(index).cloned()
    }

    fn today(&self, _offset: Option<typst::foundations::Duration>) -> Option<Datetime> {
        None
    }
}
