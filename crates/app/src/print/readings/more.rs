//! Sets that were read again, spacers at four places, the cover gap.

use report::{Cell, Column, Table};
use store::sheet::field::{self, FieldKind, GAP_DEGREES, PAIRS, SETS_MAX};

use super::{Form, as_typed};

impl Form<'_> {
    /// How the clearance was measured, and under which load the stack was seated.
    pub(super) fn method(&mut self) -> String {
        let chosen = self.detail.entry("clearance.method").unwrap_or("bench");
        let words = match field::kind("clearance.method") {
            // In full, as the rule of the bench has it.
            _ if chosen == "bench" => "bench, stacked without spacers",
            Some(FieldKind::Choice(list)) => list.shown(chosen).unwrap_or(chosen),
            _ => chosen,
        };
        match self.reading("clearance.load") {
            Some(load) => format!("{words}, seated under {}", as_typed(load, "")),
            None => words.to_owned(),
        }
    }

    /// Sets of gaps that were read before and do not count.
    pub(crate) fn earlier(&mut self) -> Option<Table> {
        let mut rows = Vec::new();
        for pair in PAIRS {
            for set in 1..=SETS_MAX {
                let paths = GAP_DEGREES.map(|d| field::earlier_gap(pair, set, d));
                if !self.is_any(|path| paths.iter().any(|one| one == path)) {
                    continue;
                }
                let mut cells = vec![Cell::text(format!(
                    "{}, set {set}",
                    self.show.pair_name(pair)
                ))];
                cells.extend(paths.iter().map(|path| self.typed(path)));
                let why = self.detail.entry(&format!("repeat.why.{pair}"));
                cells.push(Cell::text(why.unwrap_or_default()));
                rows.push(cells);
            }
        }
        let mut columns = vec![Column::text("set")];
        columns.extend(GAP_DEGREES.map(|d| Column::number(format!("gap {d}\u{b0}"))));
        columns.push(Column::wide("read again, because"));
        (!rows.is_empty()).then(|| Table {
            title: "Gaps read before, not counting".into(),
            note: format!("as typed, {}", self.show.unit.sign()),
            columns,
            rows,
            half: false,
        })
    }

    /// Spacers at four places, as found or after grinding.
    pub(crate) fn places(&mut self, is_after: bool) -> Option<Table> {
        let at = if is_after {
            field::after_at
        } else {
            field::spacer_at
        };
        let others = |path: &str| {
            let mut all = PAIRS
                .into_iter()
                .flat_map(|p| [90, 180, 270].map(|d| at(p, d)));
            all.any(|one| one == path)
        };
        if !self.is_any(others) {
            return None;
        }
        let (title, spread) = if is_after {
            (
                "Spacers at four places, after grinding",
                "parallel_after_nm",
            )
        } else {
            ("Spacers at four places, as found", "spacer_parallel_nm")
        };
        let mut columns = vec![Column::text("spacer")];
        columns.extend(GAP_DEGREES.map(|d| Column::number(format!("{d}\u{b0}"))));
        columns.push(Column::number("largest less smallest"));
        let rows = PAIRS.map(|pair| {
            let mut cells = vec![Cell::text(self.show.spacer(pair))];
            cells.extend(GAP_DEGREES.map(|degrees| self.typed(&at(pair, degrees))));
            cells.push(self.value(spread, pair));
            cells
        });
        Some(Table {
            title: title.into(),
            note: format!("as typed, {}; their mean counts", self.show.unit.sign()),
            columns,
            rows: rows.into(),
            half: false,
        })
    }

    /// The cover gap and the pack that was put in.
    pub(crate) fn cover(&mut self) -> Option<Table> {
        if !self.is_any(|path| path.starts_with("cover.gap.") || path == "shim.fitted") {
            return None;
        }
        let mut columns: Vec<Column> = GAP_DEGREES
            .map(|d| Column::number(format!("gap {d}\u{b0}")))
            .into();
        columns.extend(["mean gap", "pack it asks for", "pack put in"].map(Column::number));
        let mut cells: Vec<Cell> = GAP_DEGREES
            .map(|degrees| self.typed(&field::cover_gap(degrees)))
            .into();
        cells.push(self.value("cover_gap_mean_nm", 0));
        cells.push(self.value("cover_pack_nm", 0));
        cells.push(self.typed("shim.fitted"));
        Some(Table {
            title: "Cover gap and shims".into(),
            note: format!(
                "as typed, {}; the gap measured decides",
                self.show.unit.sign()
            ),
            columns,
            rows: vec![cells],
            half: false,
        })
    }
}
