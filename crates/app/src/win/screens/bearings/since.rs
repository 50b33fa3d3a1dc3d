//! How long a bearing has been in its chock: told alike in both registers and on both pages.

use draw::{Align, Mark, Token, pos};
use egui::pos2;
use store::Stamp;
use store::entry::Show;
use store::query::{BearingLine, ChockLine};

use crate::ui::paint;
use crate::ui::text::{self, Face};
use crate::ui::widgets::Cells;

/// How long a bearing has been in its chock against the interval of its type, told alike of both.
#[derive(Debug, Clone, Copy)]
pub struct Since {
    run_s: i64,
    interval_run_s: Option<i64>,
    extended_ms: Option<i64>,
}

impl Since {
    /// Of a bearing; none while it is in no chock.
    pub fn of_bearing(line: &BearingLine) -> Option<Self> {
        line.chock.as_ref().map(|_| Self {
            run_s: line.stay_run_s,
            interval_run_s: line.interval_run_s,
            extended_ms: line.extended_ms,
        })
    }

    /// Of a chock; none while no bearing is in it.
    pub fn of_chock(line: &ChockLine) -> Option<Self> {
        line.bearings.first().map(|_| Self {
            run_s: line.stay_run_s,
            interval_run_s: line.interval_run_s,
            extended_ms: line.extended_ms,
        })
    }

    /// By how much it is over its interval, s.
    pub fn overdue_s(self) -> Option<i64> {
        let by = self.run_s - self.interval_run_s?;
        (by > 0).then_some(by)
    }

    /// `1,142 of 2,000`.
    pub fn hours(self, show: Show) -> String {
        let since = show.hours(self.run_s);
        match self.interval_run_s {
            Some(interval) => format!("{since} of {}", show.hours(interval)),
            None => since,
        }
    }

    /// `overdue by 142 h, extended to 2026-11-20`; what is neither is not told.
    pub fn words(self, show: Show) -> Option<String> {
        let overdue = self
            .overdue_s()
            .map(|s| format!("overdue by {} h", show.hours(s)));
        let extended = self
            .extended_ms
            .map(|ms| format!("extended to {}", Stamp::second(ms, 0).date()));
        let told: Vec<String> = overdue.into_iter().chain(extended).collect();
        (!told.is_empty()).then(|| told.join(", "))
    }

    /// The same as a piece of the state at the head of a page.
    pub fn told(self, show: Show) -> Option<(Face, String)> {
        let face = match self.overdue_s() {
            Some(_) => Face::STRONG.token(Token::Fail),
            None => Face::BODY,
        };
        self.words(show).map(|words| (face, words))
    }

    /// The hours in a cell: overdue is told by mark and colour too.
    pub fn cell(self, cells: &mut Cells, show: Show) {
        let words = self.hours(show);
        if self.overdue_s().is_none() {
            cells.text(&words);
            return;
        }
        cells.ui(|ui| {
            let rect = ui.max_rect();
            let face = Face::STRONG.token(Token::Fail);
            let at = pos2(rect.right(), text::baseline(rect.center().y, face.size));
            let left = text::at(ui, at, Align::Right, face, &words).left();
            let centre = pos2(left - 13.0, rect.center().y).round();
            paint::shapes(ui, centre, &Mark::Fail.shapes(pos(0.0, 0.0), 0.8));
        });
    }
}
