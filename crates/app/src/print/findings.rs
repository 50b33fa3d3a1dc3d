//! The findings of a sheet as a table: what, where on the ring, how bad; angles as judged, and as typed where that differs.

use calc::finding::{Mode, SEVERITY};
use report::{Cell, Column, Piece, Table};
use store::payload::FindingSeen;
use store::sheet::findings::{Key, path};

use super::readings::{Form, as_typed};

impl Form<'_> {
    /// What was found, a row each; none where nothing was.
    pub(super) fn findings(&mut self) -> Option<Table> {
        let all = &self.detail.body.findings;
        if all.is_empty() {
            return None;
        }
        let rows = all.iter().map(|seen| self.finding(seen)).collect();
        Some(Table {
            title: "Findings".into(),
            note:
                "angles from the zone-I line, clockwise seen from the outboard end; severity 0 to 3"
                    .into(),
            columns: vec![
                Column::text("no."),
                Column::text("part, row"),
                Column::text("mode, ISO 15243"),
                Column::text("angle"),
                Column::text("severity"),
                Column::text(format!("size, {}", self.show.unit.sign())),
                Column::wide("remark"),
            ],
            rows,
            half: false,
        })
    }

    fn finding(&mut self, seen: &FindingSeen) -> Vec<Cell> {
        let number = usize::try_from(seen.number).unwrap_or(0);
        let amended = |key: Key, now: String| self.with_amended(&path(number, key), now);
        let rows = self.detail.named_rows(self.show);
        let row = seen.row.and_then(|row| usize::try_from(row).ok());
        let row = row.map_or_else(
            || "all rows".to_owned(),
            |row| format!("row {}", rows.row(row)),
        );
        let mut part = amended(Key::Part, seen.part.clone());
        part.pieces.push(Piece::plain(", "));
        part.pieces.extend(amended(Key::Row, row).pieces);
        let known = Mode::of(&seen.mode);
        let name = known.map_or_else(|| seen.mode.clone(), |mode| mode.name.to_owned());
        let mut mode = amended(Key::Mode, name);
        if seen.mode.starts_with('5') {
            mode.under.clone_from(&seen.mode);
        }
        let worst = usize::try_from(seen.severity).ok();
        let meant = worst.and_then(|at| SEVERITY.get(at)).unwrap_or(&"");
        let mut severity = amended(Key::Severity, seen.severity.to_string());
        meant
            .split(':')
            .next()
            .unwrap_or_default()
            .clone_into(&mut severity.under);
        let remark = amended(Key::Note, seen.note.clone());
        vec![
            Cell::text(seen.number.to_string()),
            part,
            mode,
            self.angle(seen, number),
            severity,
            self.size(seen, number),
            remark,
        ]
    }

    /// From where to where, and what was typed where that is not the same: read from the inboard end, or as `5 deg`.
    fn angle(&mut self, seen: &FindingSeen, number: usize) -> Cell {
        let show = self.show;
        let degrees = |ddeg: i64| show.decimals(ddeg, 10, u32::from(ddeg % 10 != 0)) + "\u{b0}";
        let (from, to) = (path(number, Key::From), path(number, Key::To));
        let typed = [&from, &to].map(|path| self.reading(path).map(|r| as_typed(r, "deg")));
        let (Some(begin), Some(end)) = (seen.from_ddeg, seen.to_ddeg) else {
            let told: Vec<String> = typed.into_iter().flatten().collect();
            return match told.as_slice() {
                [] => Cell::text("not told"),
                told => Cell::text(told.join(", ")),
            };
        };
        let judged = [degrees(begin), degrees(end)];
        let mut cell = self.with_amended(&from, judged[0].clone());
        cell.pieces.push(Piece::plain(" to "));
        cell.pieces
            .extend(self.with_amended(&to, judged[1].clone()).pieces);
        let told: Vec<String> = typed.into_iter().flatten().collect();
        let is_same =
            |(typed, judged): (&String, &String)| *typed == judged.trim_end_matches('\u{b0}');
        if !told.iter().zip(&judged).all(is_same) {
            cell.under = format!("typed {}", told.join(", "));
        }
        cell
    }

    fn size(&mut self, seen: &FindingSeen, number: usize) -> Cell {
        let path = path(number, Key::Size);
        if self.reading(&path).is_some() {
            return self.typed(&path);
        }
        Cell::text(
            seen.size_nm
                .map_or_else(String::new, |nm| self.show.length(nm)),
        )
    }
}
