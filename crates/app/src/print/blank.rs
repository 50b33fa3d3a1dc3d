//! The teardown sheet to be filled by hand while the PC is down: a box for every field of the screen, in its order.
//!
//! Fields, sections and words come from the sheet itself ([`store::sheet::field`]) and their order from the screen, so
//! the paper cannot ask for something else than the window does. Nothing measured stands in it beforehand.

use report::{Blank, BlankField, BlankPart, BlankSection};
use store::draft::{DraftField, Fields, Source};
use store::entry::{Quantity, Show};
use store::sheet::field::{
    self, Cell as Place, Choice, GAP_DEGREES, OTHER_PLACES, PAIRS, SEAT_DEGREES, SeatName,
};
use store::sheet::findings::{self, Key};
use store::sheet::{Assessment, Facts, FieldKind, Section, TypeFacts, assess};
use store::{Connection, ThingNo, query};

use super::imprint::{CAUTIONS, imprint, to_sign};
use super::{PrintError, PrintJob, Result, pictures, three};
use crate::drawings::{self, GapState};
use crate::win::screens::teardown::order::{self, Sheet};

/// The sheet of this program is for these.
const KIND: &str = "four_row_tapered";
/// Findings that the paper has room for; more go on its back.
const FINDINGS: usize = 8;
/// Boxes side by side.
const ABREAST: usize = 4;

/// The sheet for bearings of a type.
pub(super) fn blank(conn: &Connection, bearing_type: ThingNo, job: &PrintJob) -> Result<Blank> {
    let t = TypeFacts::load(conn, bearing_type, job.now.ms)?;
    if t.kind != KIND {
        return Err(PrintError::NoSheetFor(t.code));
    }
    // A sheet on which everything is asked for: to learn the order of the screen.
    let fields = asking_for_all();
    let facts = Facts::load(conn, &Fields::new(), job.now)?;
    let mut assessment = assess(&fields, &facts, job.show.unit);
    // No chock is known yet: room for as many planes as any chock of this bearing asks for.
    assessment.bore.planes = query::bore_planes(conn, bearing_type)?;
    let sections =
        Section::ALL.map(|section| section_of(section, &fields, &assessment, &t, job.show));
    let title = format!("Teardown sheet, {}", t.code);
    by_hand(conn, job, title, sections.into())
}

/// What every sheet that is filled by hand says about itself.
pub(super) fn by_hand(
    conn: &Connection,
    job: &PrintJob,
    title_line: String,
    sections: Vec<BlankSection>,
) -> Result<Blank> {
    let mut imprint = imprint(conn, job, &[], &CAUTIONS)?;
    imprint.anchor = String::new();
    imprint.standing = "a blank sheet, no part of the record until it is entered and signed".into();
    imprint.signature_lines = to_sign(&[
        ("", "fitter: name, date, time"),
        ("", "foreman: name, date, time"),
        ("", "entered into the logbook by, date, time"),
    ]);
    Ok(Blank {
        title_line,
        summary: "To be filled by hand and entered later in the same order. Write readings as the gauge shows them. What \
                  is not measured gets a reason, never a guess."
            .into(),
        sections,
        imprint,
    })
}

/// Texts with which the screen shows the fields that it otherwise hides.
fn asking_for_all() -> Fields {
    let mut fields = Fields::new();
    let mut put = |path: &str, text: &str| {
        let text = text.to_owned();
        let source = Source::Typed;
        fields.insert(path.to_owned(), DraftField { text, source });
    };
    for (_, field) in field::named(field::PLAIN) {
        let path = field.path;
        if path.starts_with("skip.") || path.ends_with(".reason") {
            put(path, "x");
        }
    }
    put("decision.choice", "regrind_spacers");
    put("seals.done", "changed");
    put("zone.rings", "other");
    fields
}

/// The fields of a section in the order of the screen. One that the screen shows in rare cases only stands after the
/// field that it follows in the list of all fields.
fn paths(
    section: Section,
    seat: SeatName,
    fields: &Fields,
    assessment: &Assessment,
) -> Vec<String> {
    let sheet = Sheet {
        assessment,
        fields,
        asks_engineer: false,
    };
    let mut paths = order::order(section, seat, &sheet);
    // Who signs, and with which PIN, is no field of the record; what another section asks is asked there only.
    paths.retain(|path| field::section(path) == Some(section));
    let mut before: Option<&str> = None;
    for (_, field) in field::named(field::PLAIN).filter(|(of, _)| *of == section) {
        let path = field.path;
        // What is no neck's belongs to the chock.
        let is_neck = path.trim_start_matches("skip.").starts_with("neck");
        let is_of_other_seat = is_neck != (seat == SeatName::Neck);
        if section == Section::Seats && is_of_other_seat {
            continue;
        }
        if !paths.iter().any(|known| known == path) {
            let at = before.and_then(|before| paths.iter().position(|known| known == before));
            paths.insert(at.map_or(0, |at| at + 1), path.to_owned());
        }
        before = Some(path);
    }
    paths
}

fn section_of(
    section: Section,
    fields: &Fields,
    assessment: &Assessment,
    t: &TypeFacts,
    show: Show,
) -> BlankSection {
    let mut sheet = Layout {
        t,
        show,
        bore_planes: assessment.bore.planes,
        parts: Vec::new(),
        boxes: Vec::new(),
    };
    let seats: &[SeatName] = match section {
        Section::Seats => &[SeatName::Bore, SeatName::Neck],
        _ => &[SeatName::Bore],
    };
    for seat in seats {
        for path in paths(section, *seat, fields, assessment) {
            sheet.place(&path);
        }
        sheet.close();
    }
    BlankSection {
        number: section.number(),
        title: section.title().into(),
        note: note(section, t, show),
        parts: sheet.parts,
    }
}

/// Limits that help to decide while the PC is down; they are settings of the type, nothing measured.
fn note(section: Section, t: &TypeFacts, show: Show) -> String {
    let unit = show.unit.sign();
    match section {
        Section::Clearance => {
            let each = |name: &str| three(PAIRS.map(|pair| t.pair(name, pair)), show);
            let told = [
                ("new", "clearance_min_nm"),
                ("to", "clearance_max_nm"),
                ("rework at", "rework_nm"),
            ];
            let told: Vec<String> = told
                .into_iter()
                .filter_map(|(word, name)| Some(format!("{word} {}", each(name)?)))
                .collect();
            if told.is_empty() {
                String::new()
            } else {
                format!("end play {}, {unit}", told.join(", "))
            }
        }
        Section::Findings => "angles from the zone-I line, clockwise seen from outboard".into(),
        _ => String::new(),
    }
}

/// A section being laid out.
struct Layout<'a> {
    t: &'a TypeFacts,
    show: Show,
    bore_planes: usize,
    parts: Vec<BlankPart>,
    /// Boxes that still have room beside them.
    boxes: Vec<BlankField>,
}

impl Layout<'_> {
    fn place(&mut self, path: &str) {
        if let Some(place) = field::grid(path) {
            return self.grid(place, path);
        }
        if findings::parse(path).is_some() {
            return self.findings();
        }
        let label = self.named(path);
        match field::kind(path) {
            Some(FieldKind::Choice(choice)) => self.choice(label, &words(choice)),
            Some(FieldKind::Zone) => {
                self.choice(label, &["I", "II", "III", "IV"].map(str::to_owned));
            }
            Some(FieldKind::Words) => {
                self.close();
                let lines = if path == "identify.note" { 2 } else { 1 };
                self.fields(vec![BlankField {
                    label,
                    lines,
                    share: 1,
                    unit: String::new(),
                }]);
            }
            Some(FieldKind::Number(quantity)) => self.one(label, self.unit(quantity)),
            Some(FieldKind::Time) => self.one(label, "date, time".into()),
            Some(FieldKind::Code(_)) => self.one(label, String::new()),
            // No paper holds a picture: it is taken when the sheet is entered.
            Some(FieldKind::Picture) | None => {}
        }
    }

    /// The name of a field, as the plant counts rows.
    fn named(&self, path: &str) -> String {
        self.show.rows.of(self.t.rows()).told(&field::label(path))
    }

    fn unit(&self, quantity: Quantity) -> String {
        match quantity {
            Quantity::Length => self.show.unit.sign().into(),
            Quantity::Temperature => "\u{b0}C".into(),
            Quantity::Mass => "g".into(),
            Quantity::Angle => "\u{b0}".into(),
            Quantity::Torque => "N m".into(),
            Quantity::Load => "kg".into(),
        }
    }

    /// A box beside the one before.
    fn one(&mut self, label: String, unit: String) {
        self.boxes.push(BlankField {
            label,
            unit,
            lines: 1,
            share: 1,
        });
        if self.boxes.len() == ABREAST {
            self.close();
        }
    }

    fn fields(&mut self, fields: Vec<BlankField>) {
        self.parts.push(BlankPart::Fields { fields });
    }

    /// Ends the line of boxes.
    fn close(&mut self) {
        if !self.boxes.is_empty() {
            let fields = std::mem::take(&mut self.boxes);
            self.fields(fields);
        }
    }

    fn choice(&mut self, label: String, words: &[String]) {
        self.close();
        self.parts.push(BlankPart::Choice {
            label,
            words: words.to_vec(),
        });
    }

    /// A grid stands where its first field does; the others are in it.
    fn grid(&mut self, place: Place, path: &str) {
        match place {
            Place::Gap { pair: 1, degrees } if degrees == GAP_DEGREES[0] => self.bench(),
            Place::Size {
                seat,
                plane: 1,
                degrees,
            } if degrees == SEAT_DEGREES[0] => self.seat(seat),
            Place::SpacerAt { pair: 1, degrees } if degrees == OTHER_PLACES[0] => self.places(),
            Place::After { .. } | Place::AfterAt { .. } => {
                self.one(self.named(path), self.unit(Quantity::Length));
            }
            Place::Gap { .. }
            | Place::Spacer { .. }
            | Place::SpacerAt { .. }
            | Place::Earlier { .. }
            | Place::Radial(_)
            | Place::Ring { .. }
            | Place::Size { .. } => {}
        }
    }

    fn bench(&mut self) {
        self.close();
        let mut map = drawings::stack_of([GapState::default(); 3], self.t, None, self.show);
        for pair in &mut map.pairs {
            // Nothing is read yet, and the paper does not say so either.
            (pair.value, pair.hit) = (String::new(), None);
        }
        let alt = map.title.clone();
        let note = "without spacers, on the bench";
        self.parts.push(BlankPart::Drawing(pictures::drawing(
            "Where the gaps are",
            note,
            &map.scene(pictures::PAGE),
            alt,
        )));
        let mut heads = vec!["rows".to_owned()];
        heads.extend(GAP_DEGREES.map(|degrees| format!("gap {degrees}\u{b0}")));
        heads.push("spacer width".into());
        self.table(
            "Gaps and spacers",
            heads,
            PAIRS
                .map(|pair| format!("{}, {}", self.show.pair_name(pair), self.show.spacer(pair)))
                .into(),
        );
    }

    /// The other places of the spacers; the first stands beside its gaps.
    fn places(&mut self) {
        self.close();
        let mut heads = vec!["spacer".to_owned()];
        heads.extend(OTHER_PLACES.map(|degrees| format!("width {degrees}\u{b0}")));
        self.table(
            "Spacers at their other places",
            heads,
            PAIRS.map(|pair| self.show.spacer(pair)).into(),
        );
    }

    fn seat(&mut self, seat: SeatName) {
        self.close();
        let planes = match seat {
            SeatName::Bore => self.bore_planes,
            SeatName::Neck => PAIRS.len(),
        };
        let mut heads = vec!["plane from the barrel".to_owned()];
        heads.extend(SEAT_DEGREES.map(|degrees| format!("{degrees}\u{b0}")));
        self.table(
            seat.title(),
            heads,
            (1..=planes).map(|plane| plane.to_string()).collect(),
        );
    }

    fn table(&mut self, title: &str, heads: Vec<String>, rows: Vec<String>) {
        self.parts.push(BlankPart::Table {
            title: title.into(),
            note: format!("{}, as the gauge shows it", self.show.unit.sign()),
            heads,
            rows,
            first_wide: true,
        });
    }

    fn findings(&mut self) {
        let is_there = |part: &BlankPart| matches!(part, BlankPart::Table { .. });
        if self.parts.iter().any(is_there) {
            return;
        }
        self.close();
        let map = drawings::finding_map(&[], &[], Some(self.t), None, None, self.show);
        let alt = "Outer raceways unrolled, to mark what is found".to_owned();
        let map = draw::RingMap {
            note_right: String::new(),
            title: alt.clone(),
            ..map
        };
        let note = "mark what is found with its number";
        self.parts.push(BlankPart::Drawing(pictures::drawing(
            "Outer raceways, unrolled",
            note,
            &map.scene(pictures::PAGE),
            alt,
        )));
        let mut heads = vec!["no.".to_owned()];
        heads.extend(Key::ALL.map(|key| match key.kind() {
            FieldKind::Number(quantity) => format!("{}, {}", key.label(), self.unit(quantity)),
            _ => key.label().to_owned(),
        }));
        self.parts.push(BlankPart::Table {
            title: "Findings".into(),
            note: "more on the back".into(),
            heads,
            rows: (1..=FINDINGS).map(|number| number.to_string()).collect(),
            first_wide: false,
        });
        for (what, choice) in [
            ("Parts", Choice::Part),
            ("What it is (ISO 15243)", Choice::Mode),
            ("Severity", Choice::Severity),
        ] {
            self.parts.push(BlankPart::Note {
                text: format!("{what}: {}.", coded(choice).join(", ")),
            });
        }
    }
}

/// The words to tick.
fn words(choice: Choice) -> Vec<String> {
    choice
        .words()
        .into_iter()
        .map(|(_, words)| words.to_owned())
        .collect()
}

/// The words with their codes, where a code is shorter to write.
fn coded(choice: Choice) -> Vec<String> {
    let told = |(code, words): (&str, &str)| {
        if code == words {
            words.to_owned()
        } else {
            format!("{code} {words}")
        }
    };
    choice.words().into_iter().map(told).collect()
}
