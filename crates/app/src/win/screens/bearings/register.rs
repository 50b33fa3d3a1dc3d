//! The register of bearings: the account by state, search, filter, order, and one line a bearing.

use std::cmp::Ordering;

use calc::conformity::Verdict;
use draw::tokens::space;
use draw::{Align, Pair, Token, pos};
use egui::{Ui, vec2};
use store::ThingNo;
use store::entry::Show;
use store::query::{BearingLine, BearingState, zone_numeral};

use super::since::Since;
use super::verdicts::badge_of;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Cells, Col, Columns, Row, TextField};
use crate::ui::{focus, frames, paint};
use crate::win::command::Command;
use crate::win::route::{Route, SetupPage};
use crate::win::screens::Cx;
use crate::win::screens::log::list::{Chosen, Keys, List};
use crate::win::screens::log::small;
use crate::win::screens::log::view::room_below;
use crate::win::screens::parts::{Wanted, search_by_type, shown_of};

/// Path of the search field.
pub const SEARCH: &str = "bearings/search";
/// From this width of the page on there is room for wide columns.
const WIDE: f32 = 1500.0;

/// What the rows can be put in order by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum By {
    /// Serial.
    #[default]
    Serial,
    /// Type.
    Type,
    /// State, in the order of [`STATES`].
    State,
    /// Position, then chock.
    Place,
    /// Load zone up.
    Zone,
    /// Hours in all.
    Total,
    /// Share of the interval that has run.
    Since,
    /// Clearance of a row pair, from 0.
    Clearance(usize),
    /// Verdict, worst first.
    Verdict,
    /// What is to be noted: overdue, on hold.
    Note,
}

/// States in the order of the account.
pub const STATES: [BearingState; 8] = [
    BearingState::InMill,
    BearingState::InChock,
    BearingState::OnNeck,
    BearingState::InShop,
    BearingState::Away,
    BearingState::InStores,
    BearingState::Scrapped,
    BearingState::Unknown,
];

/// What only the register remembers.
#[derive(Debug, Default)]
pub struct RegisterView {
    /// What was typed into the search.
    pub search: String,
    /// Only this state.
    pub state: Option<BearingState>,
    /// Only this type.
    pub type_code: Option<String>,
    /// Order, and whether it is turned round.
    pub by: By,
    /// Falling instead of rising.
    pub is_falling: bool,
    /// The row chosen by keyboard.
    pub chosen: Chosen,
    /// The caret was put into the search once.
    is_begun: bool,
}

/// Time since it was put in exceeds the interval of its type: by how much, s.
pub fn overdue_s(line: &BearingLine) -> Option<i64> {
    Since::of_bearing(line)?.overdue_s()
}

/// How many of the account are in a state, in words.
fn account_words(state: BearingState) -> &'static str {
    match state {
        BearingState::InChock => "in ready chocks",
        BearingState::OnNeck => "on necks",
        other => other.words(),
    }
}

impl RegisterView {
    /// The lines to show, by index, in their order.
    pub fn shown(&self, lines: &[BearingLine]) -> Vec<usize> {
        let search = self.search.to_lowercase();
        let words: Vec<&str> = search.split_whitespace().collect();
        let fits = |index: &usize| {
            let line = &lines[*index];
            let text = haystack(line);
            self.state.is_none_or(|state| line.state == state)
                && self.is_of_type(line)
                && words.iter().all(|word| text.contains(word))
        };
        let mut shown: Vec<usize> = (0..lines.len()).filter(fits).collect();
        shown.sort_by(|a, b| {
            let order = compare(&lines[*a], &lines[*b], self.by);
            let order = if self.is_falling {
                order.reverse()
            } else {
                order
            };
            order.then_with(|| lines[*a].serial.cmp(&lines[*b].serial))
        });
        shown
    }

    fn is_of_type(&self, line: &BearingLine) -> bool {
        self.type_code
            .as_ref()
            .is_none_or(|code| line.type_code == *code)
    }

    /// The account: all, then each state that has any, with its number.
    pub fn account(&self, lines: &[BearingLine]) -> Vec<(Option<BearingState>, usize)> {
        let count = |state: Option<BearingState>| {
            lines
                .iter()
                .filter(|l| self.is_of_type(l) && state.is_none_or(|s| l.state == s))
                .count()
        };
        let states = STATES.map(Some).map(|state| (state, count(state)));
        let any = states
            .into_iter()
            .filter(|(state, count)| *count > 0 || *state == self.state);
        std::iter::once((None, count(None))).chain(any).collect()
    }

    /// Orders by a column; once more turns it round.
    pub fn order_by(&mut self, by: By) {
        self.is_falling = self.by == by && !self.is_falling;
        self.by = by;
    }
}

fn haystack(line: &BearingLine) -> String {
    let chock = line.chock.as_ref().map_or("", |(_, code)| code);
    let held = line
        .held
        .as_deref()
        .map_or(String::new(), |why| format!("on hold {why}"));
    let overdue = if overdue_s(line).is_some() {
        "overdue"
    } else {
        ""
    };
    let (serial, type_code, state, place) = (
        &line.serial,
        &line.type_code,
        line.state.words(),
        &line.place,
    );
    format!(
        "{serial} {type_code} {state} {chock} {place} {} {overdue} {held}",
        line.verdict.replace('_', " ")
    )
    .to_lowercase()
}

fn compare(a: &BearingLine, b: &BearingLine, by: By) -> Ordering {
    let rank = |state: BearingState| STATES.iter().position(|s| *s == state);
    let worst = |line: &BearingLine| {
        let order = [
            Verdict::Fail,
            Verdict::Missing,
            Verdict::FailInDoubt,
            Verdict::PassInDoubt,
            Verdict::Pass,
        ];
        let is_gone = line.state == BearingState::Scrapped;
        let verdict: Option<Verdict> = line.verdict.parse().ok().filter(|_| !is_gone);
        order
            .iter()
            .position(|v| Some(*v) == verdict)
            .unwrap_or(order.len())
    };
    // Shares of the interval are compared crosswise, in whole numbers; what has no interval comes first.
    let share = |line: &BearingLine| {
        line.interval_run_s
            .filter(|i| *i > 0 && line.chock.is_some())
    };
    match by {
        By::Serial => Ordering::Equal,
        By::Type => a.type_code.cmp(&b.type_code),
        By::State => rank(a.state).cmp(&rank(b.state)),
        By::Place => (&a.place, chock(a)).cmp(&(&b.place, chock(b))),
        By::Zone => a.zone.cmp(&b.zone),
        By::Total => a.total_run_s.cmp(&b.total_run_s),
        By::Since => match (share(a), share(b)) {
            (Some(x), Some(y)) => (i128::from(a.stay_run_s) * i128::from(y))
                .cmp(&(i128::from(b.stay_run_s) * i128::from(x))),
            (x, y) => x.is_some().cmp(&y.is_some()),
        },
        By::Clearance(pair) => a.clearance_nm[pair].cmp(&b.clearance_nm[pair]),
        By::Verdict => worst(a).cmp(&worst(b)),
        By::Note => {
            let noted = |l: &BearingLine| (l.held.is_none(), std::cmp::Reverse(overdue_s(l)));
            noted(a).cmp(&noted(b))
        }
    }
}

fn chock(line: &BearingLine) -> &str {
    line.chock.as_ref().map_or("", |(_, code)| code)
}

/// The register of bearings.
pub fn bearings_ui(
    ui: &mut Ui,
    cx: &Cx,
    lines: &[BearingLine],
    view: &mut RegisterView,
    commands: &mut Vec<Command>,
) {
    frames::page_body(ui, |ui| {
        if lines.is_empty() {
            let words = "Each will stand here with its place, its hours and its clearance.";
            if widgets::empty_page(
                ui,
                "No bearing is registered yet.",
                words,
                Some("Open Setup"),
            ) {
                commands.push(Command::Go(Route::Setup(SetupPage::BearingTypes, None)));
            }
            return;
        }
        // The caret waits in the search, so that typing or a scan finds a line at once.
        if !std::mem::replace(&mut view.is_begun, true) {
            focus::ask_at_end(ui.ctx(), SEARCH);
        }
        let keys = Keys::read(ui, SEARCH);
        let mut is_other = account_tabs(ui, lines, view);
        ui.add_space(space::XS);
        is_other |= filters(ui, lines, view, keys);
        if is_other {
            view.chosen.clear();
        }
        let shown = view.shown(lines);
        if let Some(no) = table(ui, cx.show, lines, &shown, view, keys) {
            commands.push(Command::Go(Route::Bearing(no)));
        }
    });
}

fn account_tabs(ui: &mut Ui, lines: &[BearingLine], view: &mut RegisterView) -> bool {
    let account = view.account(lines);
    let words: Vec<String> = account
        .iter()
        .map(|(state, count)| match state {
            None if *count == 1 => "1 bearing".into(),
            None => format!("{count} bearings"),
            Some(state) => format!("{count} {}", account_words(*state)),
        })
        .collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let mut chosen = account
        .iter()
        .position(|(state, _)| *state == view.state)
        .unwrap_or(0);
    let is_other = widgets::tabs(ui, "State", &words, &mut chosen);
    if is_other {
        view.state = account[chosen].0;
    }
    is_other
}

fn filters(ui: &mut Ui, lines: &[BearingLine], view: &mut RegisterView, keys: Keys) -> bool {
    let field = TextField::new(SEARCH, "Search bearings").hint("Serial, chock, position, \u{2026}");
    let row = ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::M;
        let mut wanted = Wanted {
            search: &mut view.search,
            type_code: &mut view.type_code,
        };
        let types = lines.iter().map(|line| line.type_code.as_str());
        let is_other = search_by_type(ui, field, &mut wanted, types, keys);
        shown_of(ui, view.shown(lines).len(), lines.len());
        is_other
    });
    row.inner
}

/// Columns with what they are ordered by; none of these can be left out, so narrow pages get small type.
fn columns(width: f32, show: Show) -> [(Col<'static>, String, By); 12] {
    let wide = width >= WIDE;
    let w = |narrow: f32, roomy: f32| if wide { roomy } else { narrow };
    [
        (Col::left("", w(86.0, 110.0)), "serial".into(), By::Serial),
        (Col::left("", w(116.0, 150.0)), "type".into(), By::Type),
        (Col::left("", w(103.0, 130.0)), "state".into(), By::State),
        (
            Col::left("", w(120.0, 170.0)),
            "chock, position".into(),
            By::Place,
        ),
        (Col::left("", w(28.0, 60.0)), "zone".into(), By::Zone),
        (Col::right("", w(48.0, 90.0)), "h in all".into(), By::Total),
        (
            Col::right("", w(132.0, 170.0)),
            "h since, of interval".into(),
            By::Since,
        ),
        (
            Col::right("", w(44.0, 70.0)),
            show.pair_rows(1),
            By::Clearance(0),
        ),
        (
            Col::right("", w(44.0, 70.0)),
            show.pair_rows(2),
            By::Clearance(1),
        ),
        (
            Col::right("", w(44.0, 70.0)),
            show.pair_rows(3),
            By::Clearance(2),
        ),
        (
            Col::left("", w(122.0, 150.0)),
            "verdict".into(),
            By::Verdict,
        ),
        (Col::rest(""), "to note".into(), By::Note),
    ]
}

fn table(
    ui: &mut Ui,
    show: Show,
    lines: &[BearingLine],
    shown: &[usize],
    view: &mut RegisterView,
    keys: Keys,
) -> Option<ThingNo> {
    let heads = columns(ui.available_width(), show);
    let columns = Columns::new(heads.iter().map(|(col, ..)| *col).collect());
    let mut asked = None;
    columns.row(ui, &Row::reading("Order of the rows"), |cells| {
        for (_, words, by) in heads {
            let order = (view.by == by).then_some(!view.is_falling);
            let clicked = cells.ui(|ui| {
                let clicked = small::head(ui, &words, order).clicked();
                if let By::Clearance(pair) = by {
                    let at = ui.min_rect().left_center() - vec2(9.0, 0.0);
                    paint::shapes(ui, at.round(), &Pair::ALL[pair].shapes(pos(0.0, 0.0), 8.0));
                }
                clicked
            });
            if clicked == Some(true) {
                asked = Some(by);
            }
        }
    });
    if let Some(by) = asked {
        view.order_by(by);
        view.chosen.clear();
    }
    if shown.is_empty() {
        ui.add_space(space::M);
        text::say(ui, Face::BODY.muted(), "No bearing has these words.");
        return None;
    }
    let list = List {
        salt: "bearings",
        columns: &columns,
        height: room_below(ui),
        row_height: draw::tokens::height::READING_ROW,
        count: shown.len(),
        keys,
    };
    let is_wide = ui.available_width() >= WIDE;
    let row = |index: usize| Row::reading(row_name(&lines[shown[index]], show)).clickable(true);
    let opened = list.show(ui, &mut view.chosen, row, |index, cells| {
        line_cells(cells, &lines[shown[index]], show, is_wide);
    });
    opened.map(|index| lines[shown[index]].no)
}

fn row_name(line: &BearingLine, show: Show) -> String {
    let mut words = vec![
        line.serial.clone(),
        line.type_code.clone(),
        where_words(line),
    ];
    words.extend(Since::of_bearing(line).and_then(|since| since.words(show)));
    words.extend(line.held.as_ref().map(|why| format!("on hold: {why}")));
    words.join(", ")
}

/// State and place in words: `in the mill, F3-W-T-O in WC-17`.
pub fn where_words(line: &BearingLine) -> String {
    let state = line.state.words();
    match (&line.chock, line.place.as_str()) {
        (Some((_, chock)), "") => format!("{state} {chock}"),
        (Some((_, chock)), place) => format!("{state}, {place} in {chock}"),
        (None, "") => state.to_owned(),
        (None, place) => format!("{state}, {place}"),
    }
}

fn line_cells(cells: &mut Cells, line: &BearingLine, show: Show, is_wide: bool) {
    let small = if is_wide {
        Face::BODY.muted()
    } else {
        Face::NOTE
    };
    cells.value(&line.serial).put(small, &line.type_code);
    cells.put(
        if is_wide {
            Face::BODY
        } else {
            Face::NOTE.token(Token::Ink)
        },
        line.state.words(),
    );
    place_cell(cells, line, small);
    cells.text(if line.zone > 0 {
        zone_numeral(line.zone)
    } else {
        ""
    });
    cells.text(&show.hours(line.total_run_s));
    match Since::of_bearing(line) {
        Some(since) => since.cell(cells, show),
        None => {
            cells.skip();
        }
    }
    for value in line.clearance_nm {
        match value {
            Some(nm) => cells.text(&show.length(nm)),
            None => cells.note("\u{2013}"),
        };
    }
    match badge_of(&line.verdict) {
        _ if line.state == BearingState::Scrapped => cells.skip(),
        Some((mark, word)) => cells.badge(mark, word),
        None => cells.note("no sheet yet"),
    };
    let noted = Since::of_bearing(line).and_then(|since| Some((since, since.words(show)?)));
    match (&line.held, noted) {
        (Some(why), _) if is_wide => {
            cells.put(Face::BODY.token(Token::Doubt), &format!("on hold: {why}"))
        }
        // The page of the bearing says why.
        (Some(_), _) => cells.put(Face::NOTE_STRONG.token(Token::Doubt), "on hold"),
        (None, Some((since, words))) => {
            let token = match since.overdue_s() {
                Some(_) => Token::Fail,
                None => Token::Muted,
            };
            if is_wide {
                cells.put(Face::BODY.token(token), &words)
            } else {
                // The first word alone; the page of the bearing says the rest.
                let word = words.split(' ').next().unwrap_or_default();
                cells.put(Face::NOTE_STRONG.token(token), word)
            }
        }
        (None, None) => cells.skip(),
    };
}

fn place_cell(cells: &mut Cells, line: &BearingLine, small: Face) {
    let chock = chock(line);
    cells.ui(|ui| {
        let rect = ui.max_rect();
        let at = |face: Face, x: f32| egui::pos2(x, text::baseline(rect.center().y, face.size));
        let mut x = rect.left();
        if !chock.is_empty() {
            x = text::at(ui, at(Face::BODY, x), Align::Left, Face::BODY, chock).right() + space::S;
        }
        if !line.place.is_empty() {
            text::at_most(
                ui,
                at(small, x),
                (rect.right() - x).max(16.0),
                small,
                &line.place,
            );
        }
    });
}
