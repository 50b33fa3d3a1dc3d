//! Readings that are taken in rows or round a ring: clearance of a whole bearing, bore of an inner ring, and what a
//! mounting sheet asks for. A grid that was not read is not printed.

use report::{Cell, Column, Table};
use store::mounting::field::RING;
use store::sheet::field::halves;
use store::sheet::field::radial::{DIAMETER_DEGREES, ROWS_MAX, RadialCell, Way, lines};
use store::sheet::field::{GAP_DEGREES, PAIRS, PLANES_USUAL, SEAT_DEGREES};

use super::{Form, as_typed};

/// Title of the sizes of an inner ring on the neck.
const RING_FOUND: &str = "Bore of the inner ring";

/// Title of what was read before a ring was driven off its taper.
pub(crate) const ON_TAPER: &str = "Clearance on the taper";

/// Columns and, row by row, a name and the paths below them.
struct Grid {
    title: &'static str,
    note: String,
    lead: &'static str,
    columns: Vec<String>,
    rows: Vec<(String, Vec<String>)>,
}

impl Form<'_> {
    /// The clearance of a whole bearing, read in one of its ways, with what each row comes to.
    pub(crate) fn radial(&mut self) -> Vec<Table> {
        [Way::Diameters, Way::Leaves, Way::ThinRing, Way::Axial]
            .into_iter()
            .filter_map(|way| self.way(way))
            .collect()
    }

    fn way(&mut self, way: Way) -> Option<Table> {
        let at = |degrees: &[i64], of: &str| -> Vec<String> {
            degrees.iter().map(|d| format!("{of}{d}\u{b0}")).collect()
        };
        let (title, columns) = match way {
            Way::Diameters => (
                "Radial clearance",
                [
                    at(&DIAMETER_DEGREES, "raceway "),
                    at(&DIAMETER_DEGREES, "under rollers "),
                ]
                .concat(),
            ),
            Way::Leaves => ("Radial clearance", at(&GAP_DEGREES, "leaf at ")),
            Way::ThinRing => (
                "Radial clearance",
                ["side 1", "open place", "side 2"].map(str::to_owned).into(),
            ),
            Way::Axial => ("Axial clearance", at(&GAP_DEGREES, "")),
        };
        let named = self.detail.named_rows(self.show);
        let name = |cell: RadialCell| match (cell, cell.row()) {
            (RadialCell::Passes { row, .. }, _) => format!("{}, passes", named.row(row)),
            (RadialCell::Refused { row, .. }, _) => format!("{}, refused", named.row(row)),
            (_, Some(row)) => named.row(row).to_string(),
            (_, None) => "thrust bearing".to_owned(),
        };
        let grid = Grid {
            title,
            note: format!("as typed, {}; {}", self.show.unit.sign(), way.method()),
            lead: if way == Way::Axial { "" } else { "row" },
            columns,
            rows: lines(way, ROWS_MAX)
                .into_iter()
                .map(|line| {
                    let paths = line.iter().map(|cell| cell.path()).collect();
                    (name(line[0]), paths)
                })
                .collect(),
        };
        let has_rows = self.detail.result("row_clearance_nm", 1).is_some();
        let mut table = self.grid(grid)?;
        table.half = way != Way::Leaves;
        table.columns.push(Column::number("clearance"));
        for (line, cells) in (1..).zip(&mut table.rows) {
            // Two lines of leaves make a row.
            let row = if way == Way::Leaves {
                (line % 2 == 1).then_some(line / 2 + 1)
            } else {
                Some(line)
            };
            cells.push(match row {
                Some(row) if has_rows => self.value("row_clearance_nm", row),
                Some(row) => self.value("clearance_nm", row),
                None => Cell::default(),
            });
        }
        Some(table)
    }

    /// Bore of an inner ring, found or to be mounted; plays, faces and cover as mounted.
    pub(crate) fn fitted(&mut self) -> Vec<Table> {
        let unit = self.show.unit.sign();
        let note = || format!("as typed, {unit}");
        let at = |degrees: &[i64]| -> Vec<String> {
            degrees.iter().map(|d| format!("{d}\u{b0}")).collect()
        };
        let line = |title, columns, paths: Vec<String>| Grid {
            title,
            note: note(),
            lead: "",
            columns,
            rows: vec![(String::new(), paths)],
        };
        let numbered = |prefix: &str, count: usize| -> Vec<String> {
            (1..=count).map(|n| format!("{prefix}.{n}")).collect()
        };
        let round = |prefix: &str| GAP_DEGREES.map(|d| format!("{prefix}.{d}")).to_vec();
        let planes = (1..=PLANES_USUAL).map(|plane| {
            let paths = SEAT_DEGREES.map(|degrees| halves::ring(plane, degrees));
            (plane.to_string(), paths.into())
        });
        let found = Grid {
            title: RING_FOUND,
            note: note()
                + &self.warmth(
                    |path| halves::parse_ring(path).is_some(),
                    "ring.temp",
                    "ring.temp_gauge",
                ),
            lead: "plane",
            columns: at(&SEAT_DEGREES),
            rows: planes.collect(),
        };
        let mut ring = line(
            "Bore of the ring to be mounted",
            at(&SEAT_DEGREES),
            numbered("mount.ring", SEAT_DEGREES.len()),
        );
        ring.note += &self.warmth(
            |path| RING.contains(&path),
            "mount.ring.temp",
            "mount.ring.temp_gauge",
        );
        let places = |count: usize| (1..=count).map(|place| format!("place {place}")).collect();
        let two = self.show.rows.of(2);
        let rows = || [1, 2].map(|row| format!("row {}", two.row(row))).to_vec();
        let grids = [
            found,
            line(ON_TAPER, rows(), halves::MOUNTED.map(str::to_owned).into()),
            ring,
            line(
                "Gap at the ring faces",
                at(&GAP_DEGREES),
                round("mount.seat"),
            ),
            line(
                "End play as mounted",
                PAIRS.map(|pair| self.show.pair_name(pair)).into(),
                numbered("mount.play", PAIRS.len()),
            ),
            line(
                "Radial play before mounting",
                rows(),
                numbered("mount.before", 2),
            ),
            line(
                "Radial play as mounted",
                places(3),
                numbered("mount.radial", 3),
            ),
            line("Cover gap", at(&GAP_DEGREES), round("mount.cover")),
        ];
        let mut tables: Vec<Table> = grids
            .into_iter()
            .filter_map(|grid| self.grid(grid))
            .collect();
        if let Some(found) = tables.first_mut().filter(|t| t.title == RING_FOUND) {
            self.at_20(found);
        }
        tables
    }

    /// The sizes of the inner ring at 20 C below those that were typed.
    fn at_20(&self, table: &mut Table) {
        let mut has_any = false;
        for line in &mut table.rows {
            let plane = line.first().and_then(|cell| cell.pieces.first());
            let plane = plane.and_then(|piece| piece.text.parse::<usize>().ok());
            let Some(plane) = plane.filter(|plane| *plane > 0) else {
                continue;
            };
            for (direction, cell) in (1..).zip(line.iter_mut().skip(1)) {
                let item = (plane - 1) * SEAT_DEGREES.len() + direction;
                if let Some(size) = self.text("ring_size_nm", item) {
                    cell.under = size;
                    has_any = true;
                }
            }
        }
        if has_any {
            table.note += "; below at 20 \u{b0}C";
        }
    }

    /// The temperatures under which the sizes of these paths were read, for the note of their table; without a size
    /// there is no such table.
    fn warmth(&mut self, is_size: impl Fn(&str) -> bool, part: &str, gauge: &str) -> String {
        if !self.is_any(is_size) {
            return String::new();
        }
        let of = |form: &mut Self, path| form.reading(path).map(|r| as_typed(r, "C"));
        match (of(self, part), of(self, gauge)) {
            (Some(part), Some(gauge)) => format!("; part {part} \u{b0}C, gauge {gauge} \u{b0}C"),
            (Some(part), None) => format!("; part {part} \u{b0}C"),
            (None, Some(gauge)) => format!("; gauge {gauge} \u{b0}C"),
            (None, None) => String::new(),
        }
    }

    /// The table of a grid; its lines that nobody read are left out.
    fn grid(&mut self, grid: Grid) -> Option<Table> {
        let is_read =
            |form: &Self, paths: &[String]| form.is_any(|path| paths.iter().any(|one| one == path));
        let mut rows = Vec::new();
        for (name, paths) in grid.rows {
            if is_read(self, &paths) {
                let mut cells = Vec::new();
                if !grid.lead.is_empty() || !name.is_empty() {
                    cells.push(Cell::text(name));
                }
                cells.extend(paths.iter().map(|path| self.typed(path)));
                rows.push(cells);
            }
        }
        let has_lead = rows.first()?.len() > grid.columns.len();
        let lead = has_lead.then(|| Column::text(grid.lead));
        let columns = grid.columns.into_iter().map(Column::number);
        Some(Table {
            title: grid.title.into(),
            note: grid.note,
            columns: lead.into_iter().chain(columns).collect(),
            rows,
            half: true,
        })
    }
}
