//! The register of chocks: where each is, what sits in it, and how its bore stands.

use calc::conformity::Verdict;
use draw::tokens::space;
use draw::{Align, Token};
use egui::{Ui, pos2};
use store::ThingNo;
use store::entry::Show;
use store::query::ChockLine;

use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Cells, Col, Columns, Row, TextField};
use crate::ui::{focus, frames};
use crate::win::command::Command;
use crate::win::route::{Route, SetupPage};
use crate::win::screens::Cx;
use crate::win::screens::bearings::since::Since;
use crate::win::screens::bearings::verdicts::badge_of;
use crate::win::screens::log::list::{Chosen, Keys, List};
use crate::win::screens::log::small;
use crate::win::screens::log::view::room_below;
use crate::win::screens::parts::{Wanted, search_by_type, shown_of};

/// Path of the search field.
pub const SEARCH: &str = "chocks/search";

/// Places with their words, in the order of the account.
const PLACES: [(&str, &str); 4] = [
    ("mill", "in the mill"),
    ("shop", "in the shop"),
    ("away", "away"),
    ("scrapped", "scrapped"),
];

/// What the rows can be put in order by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum By {
    /// Code.
    #[default]
    Code,
    /// Type.
    Type,
    /// Place.
    Place,
    /// Bearing in the main seat.
    Bearing,
    /// Hours since it was put in.
    Since,
    /// Day of the last bore check, never first.
    Checked,
    /// Verdict on the bore, worst first.
    Verdict,
    /// On hold.
    Held,
}

/// What only the register remembers.
#[derive(Debug, Default)]
pub struct RegisterView {
    /// What was typed into the search.
    pub search: String,
    /// Only this place.
    pub place: Option<&'static str>,
    /// Only this type.
    pub type_code: Option<String>,
    /// Order.
    pub by: By,
    /// Falling instead of rising.
    pub is_falling: bool,
    /// The row chosen by keyboard.
    pub chosen: Chosen,
    /// The caret was put into the search once.
    is_begun: bool,
}

/// Position in the mill, or whom it is away at; in the shop a note tells of the past, not of the place.
fn place_note(line: &ChockLine) -> &str {
    if matches!(line.place.as_str(), "mill" | "away") {
        &line.place_note
    } else {
        ""
    }
}

/// Place in words: `in the mill, F3-W-T-O`.
pub fn place_words(line: &ChockLine) -> String {
    let place = PLACES
        .iter()
        .find(|(place, _)| *place == line.place)
        .map_or(line.place.as_str(), |(_, words)| words);
    let note = place_note(line);
    if note.is_empty() {
        place.to_owned()
    } else {
        format!("{place}, {note}")
    }
}

fn bearing_words(line: &ChockLine) -> String {
    let all: Vec<&str> = line
        .bearings
        .iter()
        .map(|(_, serial, _)| serial.as_str())
        .collect();
    all.join(", ")
}

impl RegisterView {
    /// The lines to show, by index, in their order.
    pub fn shown(&self, lines: &[ChockLine]) -> Vec<usize> {
        let search = self.search.to_lowercase();
        let words: Vec<&str> = search.split_whitespace().collect();
        let fits = |index: &usize| {
            let line = &lines[*index];
            let text = haystack(line);
            self.place.is_none_or(|place| line.place == place)
                && self.is_of_type(line)
                && words.iter().all(|word| text.contains(word))
        };
        let mut shown: Vec<usize> = (0..lines.len()).filter(fits).collect();
        shown.sort_by(|a, b| {
            let (a, b) = (&lines[*a], &lines[*b]);
            let order = match self.by {
                By::Code => a.code.cmp(&b.code),
                By::Type => a.type_code.cmp(&b.type_code),
                By::Place => place_words(a).cmp(&place_words(b)),
                By::Bearing => bearing_words(a).cmp(&bearing_words(b)),
                By::Since => a.stay_run_s.cmp(&b.stay_run_s),
                By::Checked => a
                    .last_bore
                    .map(|at| at.ms)
                    .cmp(&b.last_bore.map(|at| at.ms)),
                By::Verdict => rank(&a.bore_verdict).cmp(&rank(&b.bore_verdict)),
                By::Held => a.held.is_none().cmp(&b.held.is_none()),
            };
            let order = if self.is_falling {
                order.reverse()
            } else {
                order
            };
            order.then_with(|| a.code.cmp(&b.code))
        });
        shown
    }

    fn is_of_type(&self, line: &ChockLine) -> bool {
        self.type_code
            .as_ref()
            .is_none_or(|code| line.type_code == *code)
    }

    /// Orders by a column; once more turns it round.
    pub fn order_by(&mut self, by: By) {
        self.is_falling = self.by == by && !self.is_falling;
        self.by = by;
    }
}

/// Verdicts from worst to best, then those without one.
fn rank(verdict: &str) -> usize {
    let order = [
        Verdict::Fail,
        Verdict::Missing,
        Verdict::FailInDoubt,
        Verdict::PassInDoubt,
        Verdict::Pass,
    ];
    order
        .iter()
        .position(|v| v.as_str() == verdict)
        .unwrap_or(order.len())
}

fn haystack(line: &ChockLine) -> String {
    let held = line
        .held
        .as_deref()
        .map_or_else(String::new, |why| format!("on hold {why}"));
    let (code, type_code, place, roll) =
        (&line.code, &line.type_code, place_words(line), &line.roll);
    let verdict = line.bore_verdict.replace('_', " ");
    format!(
        "{code} {type_code} {place} {roll} {} {verdict} {held}",
        bearing_words(line)
    )
    .to_lowercase()
}

/// The register of chocks.
pub fn chocks_ui(
    ui: &mut Ui,
    cx: &Cx,
    lines: &[ChockLine],
    view: &mut RegisterView,
    commands: &mut Vec<Command>,
) {
    frames::page_body(ui, |ui| {
        if lines.is_empty() {
            let words = "Each will stand here with its place, its bearing and its last bore check.";
            if widgets::empty_page(ui, "No chock is registered yet.", words, Some("Open Setup")) {
                commands.push(Command::Go(Route::Setup(SetupPage::ChockTypes, None)));
            }
            return;
        }
        if !std::mem::replace(&mut view.is_begun, true) {
            focus::ask_at_end(ui.ctx(), SEARCH);
        }
        let keys = Keys::read(ui, SEARCH);
        let mut is_other = account(ui, lines, view);
        ui.add_space(space::XS);
        is_other |= filters(ui, lines, view, keys);
        if is_other {
            view.chosen.clear();
        }
        if let Some(no) = table(ui, cx.show, lines, view, keys) {
            commands.push(Command::Go(Route::Chock(no)));
        }
    });
}

fn account(ui: &mut Ui, lines: &[ChockLine], view: &mut RegisterView) -> bool {
    let count = |place: &str| {
        lines
            .iter()
            .filter(|l| view.is_of_type(l) && l.place == place)
            .count()
    };
    let all = lines.iter().filter(|l| view.is_of_type(l)).count();
    let places: Vec<_> = PLACES
        .into_iter()
        .filter(|(p, _)| count(p) > 0 || view.place == Some(p))
        .collect();
    let mut words = vec![if all == 1 {
        "1 chock".to_owned()
    } else {
        format!("{all} chocks")
    }];
    words.extend(
        places
            .iter()
            .map(|(place, words)| format!("{} {words}", count(place))),
    );
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let mut chosen = places
        .iter()
        .position(|(p, _)| view.place == Some(p))
        .map_or(0, |i| i + 1);
    let is_other = widgets::tabs(ui, "Place", &words, &mut chosen);
    if is_other {
        view.place = chosen.checked_sub(1).map(|i| places[i].0);
    }
    is_other
}

fn filters(ui: &mut Ui, lines: &[ChockLine], view: &mut RegisterView, keys: Keys) -> bool {
    let field = TextField::new(SEARCH, "Search chocks").hint("Code, bearing, position, \u{2026}");
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

const HEADS: [(Col<'static>, &str, By); 8] = [
    (Col::left("", 76.0), "code", By::Code),
    (Col::left("", 120.0), "type", By::Type),
    (Col::left("", 200.0), "place", By::Place),
    (Col::left("", 170.0), "bearing", By::Bearing),
    (Col::right("", 136.0), "h since, of interval", By::Since),
    (Col::left("", 100.0), "bore checked", By::Checked),
    (Col::left("", 130.0), "bore", By::Verdict),
    (Col::rest(""), "to note", By::Held),
];

fn table(
    ui: &mut Ui,
    show: Show,
    lines: &[ChockLine],
    view: &mut RegisterView,
    keys: Keys,
) -> Option<ThingNo> {
    let columns = Columns::new(HEADS.iter().map(|(col, ..)| *col).collect());
    let mut asked = None;
    columns.row(ui, &Row::reading("Order of the rows"), |cells| {
        for (_, words, by) in HEADS {
            let order = (view.by == by).then_some(!view.is_falling);
            if cells.ui(|ui| small::head(ui, words, order).clicked()) == Some(true) {
                asked = Some(by);
            }
        }
    });
    if let Some(by) = asked {
        view.order_by(by);
        view.chosen.clear();
    }
    let shown = view.shown(lines);
    if shown.is_empty() {
        ui.add_space(space::M);
        text::say(ui, Face::BODY.muted(), "No chock has these words.");
        return None;
    }
    let list = List {
        salt: "chocks",
        columns: &columns,
        height: room_below(ui),
        row_height: draw::tokens::height::READING_ROW,
        count: shown.len(),
        keys,
    };
    let row = |index: usize| {
        let line = &lines[shown[index]];
        let held = line
            .held
            .as_ref()
            .map_or_else(String::new, |why| format!(", on hold: {why}"));
        let name = format!(
            "{}, {}, {}{held}",
            line.code,
            line.type_code,
            place_words(line)
        );
        Row::reading(name).clickable(true)
    };
    let opened = list.show(ui, &mut view.chosen, row, |index, cells| {
        line_cells(cells, &lines[shown[index]], show);
    });
    opened.map(|index| lines[shown[index]].no)
}

fn line_cells(cells: &mut Cells, line: &ChockLine, show: Show) {
    cells.value(&line.code).note(&line.type_code);
    place_cell(cells, line);
    cells.text(&bearing_words(line));
    let since = Since::of_chock(line);
    match since {
        Some(since) => since.cell(cells, show),
        None => {
            cells.note("\u{2013}");
        }
    }
    match line.last_bore {
        Some(at) => cells.put(Face::BODY.muted(), &at.date()),
        None => cells.note("not yet"),
    };
    match badge_of(&line.bore_verdict) {
        Some((mark, word)) => cells.badge(mark, word),
        None => cells.note("\u{2013}"),
    };
    match (&line.held, since.and_then(|since| since.told(show))) {
        (Some(why), _) => cells.put(Face::BODY.token(Token::Doubt), &format!("on hold: {why}")),
        (None, Some((face, words))) => cells.put(face, &words),
        (None, None) => cells.skip(),
    };
}

/// The position strong, the place in words before it.
fn place_cell(cells: &mut Cells, line: &ChockLine) {
    let words = PLACES
        .iter()
        .find(|(p, _)| *p == line.place)
        .map_or(line.place.as_str(), |(_, w)| w);
    let note = place_note(line);
    cells.ui(|ui| {
        let rect = ui.max_rect();
        let baseline = text::baseline(rect.center().y, Face::BODY.size);
        let at = pos2(rect.left(), baseline);
        let face = if note.is_empty() {
            Face::BODY
        } else {
            Face::BODY.muted()
        };
        let x = text::at(ui, at, Align::Left, face, words).right() + space::S;
        if !note.is_empty() {
            text::at_most(
                ui,
                pos2(x, baseline),
                (rect.right() - x).max(24.0),
                Face::BODY,
                note,
            );
        }
    });
}
