//! Every reading of a sheet as it was typed, in the order of measuring.

use std::collections::BTreeSet;

use report::{Cell, Column, Piece, Table};
use store::entry::Show;
use store::payload::Reading;
use store::query::SheetDetail;
use store::sheet::field::{self, GAP_DEGREES, PAIRS, PLANES, PLANES_USUAL, SEAT_DEGREES, SeatName};

mod grids;
mod more;

pub(crate) use grids::ON_TAPER;

use super::mark;

/// The tables of a sheet. What was read and has no table of its own comes in the last one.
pub(super) fn tables(detail: &SheetDetail, show: Show) -> Vec<Table> {
    let mut form = Form::new(detail, show);
    form.place_checks();
    let mut tables: Vec<Table> = [
        form.findings(),
        form.bench(),
        form.earlier(),
        form.places(false),
        form.ground(),
        form.places(true),
        form.stack(),
        form.cover(),
    ]
    .into_iter()
    .flatten()
    .collect();
    tables.extend(form.radial());
    tables.extend(
        [SeatName::Bore, SeatName::Neck]
            .into_iter()
            .filter_map(|seat| form.seat(seat)),
    );
    tables.extend(form.temperatures());
    tables.extend(form.fitted());
    tables.extend(form.grease());
    tables.extend(form.others());
    tables
}

/// What was read of a seat: its temperatures, and its sizes as typed and at 20 C.
pub(super) fn of_seat(detail: &SheetDetail, seat: SeatName, show: Show) -> Vec<Table> {
    let mut form = Form::new(detail, show);
    let temperatures = form.temperatures_of(&[seat]);
    temperatures.into_iter().chain(form.seat(seat)).collect()
}

/// Gauges that are tried on their standard before use, with the beginning of what they read there.
const CHECKED: [(&str, &str); 3] = [
    ("bore.gauge", "bore"),
    ("neck.gauge", "neck"),
    ("mount.ring.gauge", "mount.ring"),
];

/// What a gauge read on its standard and what that is, as typed: "read 620.001, is 620.000 mm".
pub(crate) fn check(detail: &SheetDetail, gauge_field: &str, show: Show) -> Option<String> {
    let (_, prefix) = CHECKED.iter().find(|(gauge, _)| *gauge == gauge_field)?;
    let of = |end: &str| {
        let path = format!("{prefix}.check.{end}");
        let found = detail.body.readings.iter().find(|r| r.path == path)?;
        Some(as_typed(found, show.unit.sign()))
    };
    Some(format!(
        "read {}, is {} {}",
        of("read")?,
        of("standard")?,
        show.unit.sign()
    ))
}

/// A sheet being laid out; remembers which readings have found their place.
pub(crate) struct Form<'a> {
    pub(super) detail: &'a SheetDetail,
    pub(super) show: Show,
    placed: BTreeSet<&'a str>,
}

impl<'a> Form<'a> {
    /// A sheet of which nothing is laid out yet.
    pub(crate) fn new(detail: &'a SheetDetail, show: Show) -> Self {
        Self {
            detail,
            show,
            placed: BTreeSet::new(),
        }
    }

    /// The reading of this path, which thereby has its place.
    pub(crate) fn reading(&mut self, path: &str) -> Option<&'a Reading> {
        let reading = self.detail.body.readings.iter().find(|r| r.path == path)?;
        self.placed.insert(&reading.path);
        Some(reading)
    }

    /// What a gauge read on its standard stands with the gauges.
    pub(crate) fn place_checks(&mut self) {
        for (gauge, prefix) in CHECKED {
            if self.detail.entry(gauge).is_some() {
                for end in ["read", "standard"] {
                    self.reading(&format!("{prefix}.check.{end}"));
                }
            }
        }
    }

    fn is_any(&self, is_it: impl Fn(&str) -> bool) -> bool {
        self.detail.body.readings.iter().any(|r| is_it(&r.path))
    }

    /// As typed, with the unit where it is not the one of the column; and how it came in.
    pub(super) fn typed(&mut self, path: &str) -> Cell {
        let column_unit = self.show.unit.sign();
        let now = match self.reading(path) {
            Some(reading) => as_typed(reading, column_unit),
            None => "\u{2013}".into(),
        };
        self.with_amended(path, now)
    }

    /// What counts; before it, struck through, what was recorded first.
    pub(super) fn with_amended(&self, path: &str, now: String) -> Cell {
        let label = self.detail.label(path, self.show);
        let amended = self.detail.amended.iter();
        let mut pieces: Vec<Piece> = amended
            .filter(|place| !place.is_consequence && place.place == label)
            .flat_map(|place| [Piece::struck(&place.old), Piece::plain(" ")])
            .collect();
        let piece = if pieces.is_empty() {
            Piece::plain(now)
        } else {
            Piece::bold(now)
        };
        pieces.push(piece);
        Cell {
            pieces,
            ..Cell::default()
        }
    }

    fn value(&self, name: &str, item: usize) -> Cell {
        Cell::text(self.text(name, item).unwrap_or_else(|| "\u{2013}".into()))
    }

    fn text(&self, name: &str, item: usize) -> Option<String> {
        self.detail
            .result(name, item as i64)
            .map(|nm| self.show.length(nm))
    }

    fn verdict(&self, about: &str, item: usize) -> Cell {
        let found = self
            .detail
            .body
            .verdicts
            .iter()
            .find(|v| v.about == about && v.item == item as i64);
        found.map_or_else(Cell::default, |v| Cell::verdict(mark(&v.verdict)))
    }

    /// The gaps, the spacers, and what follows.
    fn bench(&mut self) -> Option<Table> {
        if !self.is_any(|path| {
            path.starts_with("clearance.gap.") || path.starts_with("clearance.spacer.")
        }) {
            return None;
        }
        let mut columns = vec![Column::text("rows")];
        columns.extend(GAP_DEGREES.map(|d| Column::number(format!("gap {d}\u{b0}"))));
        columns.extend(["mean gap", "spacer", "end play"].map(Column::number));
        columns.push(Column::wide("verdict"));
        let rows = PAIRS.map(|pair| {
            let name = format!("{}, {}", self.show.pair_rows(pair), self.show.spacer(pair));
            let mut cells = vec![Cell::text(name)];
            cells.extend(GAP_DEGREES.map(|degrees| self.typed(&field::gap(pair, degrees))));
            cells.push(self.value("mean_gap_nm", pair));
            cells.push(self.typed(&field::spacer(pair)));
            cells.push(self.value("end_play_nm", pair));
            cells.push(self.verdict("clearance", pair));
            cells
        });
        let note = format!(
            "as typed, {}; {}{}",
            self.show.unit.sign(),
            self.method(),
            self.sources("clearance.")
        );
        Some(Table {
            title: "Gaps and spacers".into(),
            note,
            columns,
            rows: rows.into(),
            half: false,
        })
    }

    /// The spacers after grinding.
    fn ground(&mut self) -> Option<Table> {
        if !self.is_any(|path| path.starts_with("after.")) {
            return None;
        }
        let mut columns = vec![Column::text("spacer")];
        columns.extend(
            [
                "width",
                "grind off",
                "to",
                "measured after",
                "end play after",
            ]
            .map(Column::number),
        );
        columns.push(Column::wide("verdict"));
        let rows = PAIRS.map(|pair| {
            vec![
                Cell::text(format!(
                    "{}, {}",
                    self.show.spacer(pair),
                    self.show.pair_name(pair)
                )),
                self.typed(&field::spacer(pair)),
                self.value("grind_nm", pair),
                self.value("new_spacer_nm", pair),
                self.typed(&field::after(pair)),
                self.value("end_play_after_nm", pair),
                self.verdict("clearance_after", pair),
            ]
        });
        let note = format!(
            "measured widths as typed, {}{}",
            self.show.unit.sign(),
            self.sources("after.")
        );
        Some(Table {
            title: "Spacers after grinding".into(),
            note,
            columns,
            rows: rows.into(),
            half: false,
        })
    }

    /// What the shorter stacks mean for cover and neck.
    fn stack(&mut self) -> Option<Table> {
        let mut rows: Vec<(&str, String)> = Vec::new();
        let change = |nm: i64| self.show.deviation(nm);
        for (name, words) in [
            ("outer_stack_nm", "outer stack, change"),
            ("inner_stack_nm", "inner stack, change"),
        ] {
            rows.extend(self.detail.result(name, 0).map(|nm| (words, change(nm))));
        }
        if let Some(found) = self.reading("shim.found") {
            rows.push((
                "cover shims found, as typed",
                as_typed(found, self.show.unit.sign()),
            ));
        }
        rows.extend(
            self.text("cover_shim_nm", 0)
                .map(|text| ("cover shims now", text)),
        );
        if rows.is_empty() {
            return None;
        }
        let rows = rows
            .into_iter()
            .map(|(what, value)| vec![Cell::text(what), Cell::text(value)])
            .collect();
        let columns = vec![
            Column::wide("from measured widths"),
            Column::number("value"),
        ];
        Some(Table {
            title: "Stack and cover".into(),
            note: self.show.unit.sign().into(),
            columns,
            rows,
            half: false,
        })
    }

    /// Part and gauge temperatures, which frame the sizes.
    fn temperatures(&mut self) -> Option<Table> {
        self.temperatures_of(&[SeatName::Bore, SeatName::Neck])
    }

    fn temperatures_of(&mut self, seats: &[SeatName]) -> Option<Table> {
        const ENDS: [&str; 3] = ["temp_first", "temp_gauge", "temp_last"];
        let is_temperature = |path: &str| {
            seats.iter().any(|s| {
                ENDS.iter()
                    .any(|end| path == format!("{}.{end}", s.prefix()))
            })
        };
        if !self.is_any(is_temperature) {
            return None;
        }
        let mut rows = Vec::new();
        for &seat in seats {
            let cells: Vec<Option<Cell>> = ENDS
                .iter()
                .map(|end| {
                    let path = format!("{}.{end}", seat.prefix());
                    let now = self.reading(&path).map(|r| as_typed(r, "C"))?;
                    Some(self.with_amended(&path, now))
                })
                .collect();
            if cells.iter().any(Option::is_some) {
                let cells = cells
                    .into_iter()
                    .map(|c| c.unwrap_or_else(|| Cell::text("\u{2013}")));
                rows.push(
                    std::iter::once(Cell::text(seat.title()))
                        .chain(cells)
                        .collect(),
                );
            }
        }
        let mut columns = vec![Column::wide("part")];
        columns.extend(["part, first", "gauge", "part, last"].map(Column::number));
        let note = "as typed, \u{b0}C; sizes corrected to 20 \u{b0}C (ISO 1), steel 11.5 \u{b5}m/m per \u{b0}C";
        Some(Table {
            title: "Temperatures".into(),
            note: note.into(),
            columns,
            rows,
            half: true,
        })
    }

    /// The sizes of a seat, each as typed and at 20 C under it.
    fn seat(&mut self, seat: SeatName) -> Option<Table> {
        let prefix = seat.prefix();
        let is_size = |path: &str| matches!(field::grid(path), Some(field::Cell::Size { seat: of, .. }) if of == seat);
        if !self.is_any(is_size) {
            return None;
        }
        let mut columns = vec![Column::text("plane")];
        columns.extend(SEAT_DEGREES.map(|d| Column::number(format!("{d}\u{b0}"))));
        columns.push(Column::number("ovality"));
        let is_read = |plane: usize| {
            let mut paths = SEAT_DEGREES.iter().map(|d| field::size(seat, plane, *d));
            paths.any(|path| self.detail.body.readings.iter().any(|r| r.path == path))
        };
        let planes: Vec<usize> = PLANES
            .into_iter()
            .filter(|plane| *plane <= PLANES_USUAL || is_read(*plane))
            .collect();
        let rows = planes.into_iter().map(|plane| {
            let mut cells = vec![Cell::text(plane.to_string())];
            for (direction, degrees) in (1..).zip(SEAT_DEGREES) {
                let item = (plane - 1) * SEAT_DEGREES.len() + direction;
                let mut cell = self.typed(&field::size(seat, plane, degrees));
                cell.under = self
                    .text(&format!("{prefix}_size_nm"), item)
                    .unwrap_or_default();
                cells.push(cell);
            }
            cells.push(self.value(&format!("{prefix}_ovality_nm"), plane));
            cells
        });
        let rows = rows.collect();
        let note = format!(
            "as typed, {}; below at 20 \u{b0}C{}",
            self.show.unit.sign(),
            self.sources(&format!("{prefix}."))
        );
        Some(Table {
            title: seat.title().into(),
            note,
            columns,
            rows,
            half: true,
        })
    }

    fn grease(&mut self) -> Option<Table> {
        let rows: Vec<Option<String>> = (1..=4)
            .map(|row| {
                self.reading(&format!("grease.row.{row}"))
                    .map(|r| as_typed(r, "g"))
            })
            .collect();
        let kind = self.detail.entry("grease.kind");
        if kind.is_none() && rows.iter().all(Option::is_none) {
            return None;
        }
        let named = self.detail.named_rows(self.show);
        // A bearing of two rows has no third.
        let count = rows.iter().rposition(Option::is_some).map_or(4, |i| i + 1);
        let mut columns: Vec<Column> = (1..=count)
            .map(|row| Column::number(format!("row {}", named.row(row))))
            .collect();
        columns.insert(0, Column::wide("grease"));
        let cells = rows
            .into_iter()
            .take(count)
            .map(|c| Cell::text(c.unwrap_or_else(|| "\u{2013}".into())));
        let row = std::iter::once(Cell::text(kind.unwrap_or("kind not named")))
            .chain(cells)
            .collect();
        Some(Table {
            title: "Grease".into(),
            note: "as typed, g".into(),
            columns,
            rows: vec![row],
            half: true,
        })
    }

    /// What was read and has no place yet.
    pub(crate) fn left(&self) -> impl Iterator<Item = &'a Reading> {
        let readings = self.detail.body.readings.iter();
        readings.filter(|r| !self.placed.contains(r.path.as_str()))
    }

    /// Everything that was read and stands nowhere else.
    fn others(&self) -> Option<Table> {
        let left: Vec<&Reading> = self.left().collect();
        if left.is_empty() {
            return None;
        }
        let rows = left
            .into_iter()
            .map(|r| {
                vec![
                    Cell::text(self.detail.label(&r.path, self.show)),
                    Cell::text(as_typed(r, "")),
                ]
            })
            .collect();
        let columns = vec![Column::wide("reading"), Column::number("as typed")];
        Some(Table {
            title: "Other readings".into(),
            note: String::new(),
            columns,
            rows,
            half: true,
        })
    }

    /// How the readings came in, where not all were typed.
    fn sources(&self, prefix: &str) -> String {
        let mut words = Vec::new();
        for (source, word) in [
            ("gauge", "from the gauge"),
            ("pasted", "pasted"),
            ("imported", "from a file"),
        ] {
            let of = self
                .detail
                .body
                .readings
                .iter()
                .filter(|r| r.path.starts_with(prefix) && r.source == source);
            match of.count() {
                0 => {}
                count => words.push(format!("{count} {word}")),
            }
        }
        if words.is_empty() {
            String::new()
        } else {
            format!("; {}", words.join(", "))
        }
    }
}

/// The text as it was typed; a bare number in another unit than its column's gets its unit.
pub(super) fn as_typed(reading: &Reading, column_unit: &str) -> String {
    typed_in(&reading.text, &reading.unit, column_unit)
}

/// A text as it was typed in a unit, below a column of another or the same.
pub(crate) fn typed_in(text: &str, unit: &str, column_unit: &str) -> String {
    let text = text.trim();
    let has_unit = text.ends_with(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | ','));
    if has_unit || unit == column_unit {
        text.to_owned()
    } else {
        format!("{text} {unit}")
    }
}
