//! Labels with codes to scan.

use serde::{Deserialize, Serialize};

use super::UtcMoment;

/// A sheet of labels, or as many sheets as the labels need.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Labels {
    /// Names the document where a reader lists it.
    pub title_line: String,
    /// The sheet they are printed on.
    pub grid: LabelGrid,
    /// The labels in order.
    pub labels: Vec<Label>,
    /// When they were printed, for the properties of the file.
    pub printed_utc: UtcMoment,
    /// Name and version of the program.
    pub program: String,
}

/// One label.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Label {
    /// What is scanned, and stands in large letters.
    pub mark: String,
    /// What sort of thing it is, "chock".
    pub kind: String,
    /// A few words about it, such as its type; may be empty.
    pub detail: String,
    /// Whose it is, such as the plant; may be empty.
    pub owner: String,
}

/// The grid of a sheet of labels, in thousandths of a mm: sheets differ by tenths of a mm, and lengths that are whole
/// numbers add up exactly.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct LabelGrid {
    /// Width of the sheet.
    pub page_width_um: u32,
    /// Height of the sheet.
    pub page_height_um: u32,
    /// Labels side by side.
    pub columns: u32,
    /// Labels below each other.
    pub rows: u32,
    /// From the left edge to the first label.
    pub margin_left_um: u32,
    /// From the upper edge to the first label.
    pub margin_top_um: u32,
    /// Between labels side by side.
    pub gap_across_um: u32,
    /// Between labels below each other.
    pub gap_down_um: u32,
    /// Width of a label; 0: what the sheet leaves when the right margin is like the left one.
    pub label_width_um: u32,
    /// Height of a label; 0: what the sheet leaves when the lower margin is like the upper one.
    pub label_height_um: u32,
    /// Labels at the beginning of the first sheet that are used already.
    pub skipped: u32,
}

impl Default for LabelGrid {
    /// A4 with 3 x 8 labels of 70 x 37 mm without gaps, a common office sheet (common practice, no source).
    fn default() -> Self {
        Self {
            page_width_um: 210_000,
            page_height_um: 297_000,
            columns: 3,
            rows: 8,
            margin_left_um: 0,
            margin_top_um: 500,
            gap_across_um: 0,
            gap_down_um: 0,
            label_width_um: 70_000,
            label_height_um: 37_000,
            skipped: 0,
        }
    }
}

/// A label that is smaller than this, thousandths of a mm, holds no code that can be scanned and words that can be read
/// (common practice, no source).
const LEAST_UM: u32 = 12_000;
/// More labels on a sheet, or a larger sheet, are a slip of the hand.
const MOST: u32 = 500;
const LARGEST_UM: u32 = 2_000_000;

impl LabelGrid {
    /// The grid with the sizes of a label filled in; or why it cannot be printed.
    pub(crate) fn complete(self) -> Result<Self, String> {
        let counts = [("columns", self.columns), ("rows", self.rows)];
        if let Some((what, count)) = counts.iter().find(|(_, c)| *c == 0 || *c > MOST) {
            return Err(format!("{count} {what}: there is room for 1 to {MOST}"));
        }
        let sizes = [
            self.page_width_um,
            self.page_height_um,
            self.margin_left_um,
            self.margin_top_um,
            self.gap_across_um,
            self.gap_down_um,
            self.label_width_um,
            self.label_height_um,
        ];
        if let Some(size) = sizes.iter().find(|size| **size > LARGEST_UM) {
            return Err(format!(
                "{} mm is more than {} mm, which no printer takes",
                mm(*size),
                mm(LARGEST_UM)
            ));
        }
        let across = Side {
            words: ("across", "width"),
            page: self.page_width_um,
            count: self.columns,
            margin: self.margin_left_um,
            gap: self.gap_across_um,
            label: self.label_width_um,
        };
        let down = Side {
            words: ("down", "height"),
            page: self.page_height_um,
            count: self.rows,
            margin: self.margin_top_um,
            gap: self.gap_down_um,
            label: self.label_height_um,
        };
        let on_page = self.columns * self.rows;
        if self.skipped >= on_page {
            return Err(format!(
                "{} labels are used already, and a sheet has {on_page}",
                self.skipped
            ));
        }
        Ok(Self {
            label_width_um: across.label()?,
            label_height_um: down.label()?,
            ..self
        })
    }
}

/// One direction of the sheet.
struct Side {
    words: (&'static str, &'static str),
    page: u32,
    count: u32,
    margin: u32,
    gap: u32,
    label: u32,
}

impl Side {
    fn label(&self) -> Result<u32, String> {
        let (direction, size) = self.words;
        let gaps = self.gap * (self.count - 1);
        let label = if self.label > 0 {
            self.label
        } else {
            self.page.saturating_sub(2 * self.margin + gaps) / self.count
        };
        if label < LEAST_UM {
            return Err(format!(
                "a label has {} mm of {size}, at least {} mm are needed: fewer labels {direction}, or smaller margins and gaps",
                mm(label),
                mm(LEAST_UM)
            ));
        }
        let needed = self.margin + gaps + label * self.count;
        if needed > self.page {
            return Err(format!(
                "{} labels {direction} need {} mm and the sheet has {} mm",
                self.count,
                mm(needed),
                mm(self.page)
            ));
        }
        Ok(label)
    }
}

/// Thousandths of a mm as mm, without zeros at the end.
fn mm(um: u32) -> String {
    let text = format!("{}.{:03}", um / 1_000, um % 1_000);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn the_default_sheet_is_a_whole_page() {
        let grid = LabelGrid::default().complete().unwrap();
        assert_eq!(grid, LabelGrid::default());
        let derived = LabelGrid {
            label_width_um: 0,
            label_height_um: 0,
            ..grid
        };
        assert_eq!(derived.complete().unwrap(), grid);
    }

    #[test]
    fn what_does_not_fit_is_refused_with_its_sizes() {
        let refused = |change: &dyn Fn(&mut LabelGrid)| {
            let mut grid = LabelGrid::default();
            change(&mut grid);
            grid.complete().unwrap_err()
        };
        assert_eq!(
            refused(&|g| g.columns = 4),
            "4 labels across need 280 mm and the sheet has 210 mm"
        );
        assert_eq!(
            refused(&|g| g.margin_top_um = 1_001),
            "8 labels down need 297.001 mm and the sheet has 297 mm"
        );
        assert!(refused(&|g| g.rows = 0).starts_with("0 rows"));
        assert!(refused(&|g| g.skipped = 24).contains("a sheet has 24"));
        assert!(refused(&|g| g.label_height_um = 11_999).contains("11.999 mm of height"));
        assert!(refused(&|g| g.gap_down_um = u32::MAX).contains("no printer"));
        assert!(
            refused(&|g| {
                g.label_width_um = 0;
                g.margin_left_um = 300_000;
            })
            .contains("0 mm of width")
        );
    }
}
