//! Signing in: a list of people and a PIN. In a new logbook it makes the first engineer.

use draw::tokens::{height, space};
use egui::{Context, Key, Modifiers, ScrollArea, Ui, vec2};
use store::Signer;
use store::people::PersonLine;

use super::command::{Command, sentence};
use super::screens::Cx;
use super::snapshot::{Demo, Snapshot};
use crate::ui::focus;
use crate::ui::frames;
use crate::ui::text;
use crate::ui::widgets::{
    self, Button, Cells, Col, Columns, Kind, Outcome, PinField, Row, TextField,
};

const PIN: &str = "sign_in/pin";
const FIRST: [&str; 3] = ["first/name", "first/pin", "first/again"];
/// Shortest PIN that the register takes.
const PIN_LENGTH_MIN: usize = 4;
const LIST_HEIGHT: f32 = 420.0;
/// A role over its people, with the air above it.
const ROLE_HEIGHT: f32 = 28.0;
/// Width of the two lists of people, px.
const LISTS: f32 = 520.0;
const NO_LOCK: &str = "A PIN keeps honest people apart who share this computer. It is no lock: whoever can open the \
                       file can read it.";

/// The dialog, closed or open.
#[derive(Debug, Default)]
pub struct SignIn {
    shown: Shown,
    /// What to do once somebody has signed in.
    then: Option<Command>,
    /// Who signed in last; the arrows start there.
    last: Option<String>,
    was_offered: bool,
}

#[derive(Debug, Default)]
enum Shown {
    #[default]
    Nothing,
    People(People),
    First(First),
}

#[derive(Debug, Default)]
struct People {
    chosen: Option<String>,
    pin: String,
    trouble: Trouble,
    scroll: bool,
}

#[derive(Debug, Default)]
struct First {
    name: String,
    pin: String,
    again: String,
    trouble: Trouble,
}

/// Why it did not work, and how long to wait.
#[derive(Debug, Default)]
struct Trouble {
    why: String,
    wait_s: i64,
    /// When the wait began: time of the window, s.
    from: Option<f64>,
    is_sent: bool,
}

impl Trouble {
    /// Seconds still to wait.
    fn left_s(&mut self, ctx: &Context) -> i64 {
        let time = ctx.input(|i| i.time);
        let from = *self.from.get_or_insert(time);
        let left = self.wait_s - (time - from) as i64;
        if left > 0 {
            ctx.request_repaint_after_secs(0.25);
        }
        left.max(0)
    }
}

impl SignIn {
    /// Opens it: for the first engineer where there is none, else with the people.
    pub fn open(
        &mut self,
        ctx: &Context,
        snapshot: &Snapshot,
        person: Option<&Signer>,
        then: Option<Command>,
    ) {
        self.then = then;
        if snapshot.has_no_engineer {
            self.shown = Shown::First(First::default());
            focus::ask(ctx, FIRST[0]);
            return;
        }
        let is_here = |name: &String| {
            snapshot
                .people
                .iter()
                .any(|p| p.is_active && p.name == *name)
        };
        let chosen = person
            .map(|p| p.name.clone())
            .or_else(|| self.last.clone().filter(is_here));
        self.shown = Shown::People(People {
            chosen,
            scroll: true,
            ..People::default()
        });
        focus::ask(ctx, PIN);
    }

    /// Shows the form for the first engineer by itself, once; takes it away when there is one.
    pub fn offer_first_engineer(&mut self, ctx: &Context, is_wanted: bool) {
        if is_wanted && !self.was_offered {
            self.was_offered = true;
            self.shown = Shown::First(First::default());
            focus::ask(ctx, FIRST[0]);
        }
    }

    /// Whether it floats over the page.
    pub fn is_open(&self) -> bool {
        !matches!(self.shown, Shown::Nothing)
    }

    /// Takes it away; what was to be done afterwards is forgotten.
    pub fn close(&mut self) {
        self.shown = Shown::Nothing;
        self.then = None;
    }

    /// Somebody has signed in: what was to be done then.
    pub fn signed_in(&mut self, name: &str) -> Option<Command> {
        self.last = Some(name.to_owned());
        self.shown = Shown::Nothing;
        self.then.take()
    }

    /// Nobody has: why, and how long to wait.
    pub fn refused(&mut self, ctx: &Context, why: &str, wait_s: i64) {
        let trouble = Trouble {
            why: sentence(why),
            wait_s,
            from: None,
            is_sent: false,
        };
        match &mut self.shown {
            Shown::Nothing => {}
            Shown::People(people) => {
                people.trouble = trouble;
                people.pin.clear();
                focus::ask(ctx, PIN);
            }
            Shown::First(first) => first.trouble = trouble,
        }
    }

    /// Shows it, if it is open.
    pub fn ui(&mut self, ctx: &Context, cx: &Cx, demo: Option<&Demo>, commands: &mut Vec<Command>) {
        let closed = match &mut self.shown {
            Shown::Nothing => false,
            Shown::People(people) => {
                frames::dialog(ctx, "sign in", "Who is at work?", 820.0, |ui| {
                    people_ui(ui, cx, demo, people, commands);
                })
            }
            Shown::First(first) => {
                frames::dialog(ctx, "first", "The first engineer", 560.0, |ui| {
                    first_ui(ui, first, commands);
                })
            }
        };
        if closed {
            self.close();
        }
    }
}

/// The people of the register, by role, and the PIN of the one chosen.
fn people_ui(
    ui: &mut Ui,
    cx: &Cx,
    demo: Option<&Demo>,
    people: &mut People,
    commands: &mut Vec<Command>,
) {
    let names: Vec<&str> = cx
        .snapshot
        .people
        .iter()
        .filter(|p| p.is_active)
        .map(|p| p.name.as_str())
        .collect();
    arrows(ui, people, &names);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::XL;
        // The dialog keeps its size whatever is said in it.
        ui.set_min_height(LIST_HEIGHT);
        ui.vertical(|ui| {
            ui.set_width(LISTS);
            ScrollArea::vertical()
                .max_height(LIST_HEIGHT)
                .auto_shrink([false, true])
                .show(ui, |ui| list(ui, cx, demo, people));
        });
        ui.vertical(|ui| pin_ui(ui, cx, people, commands));
    });
}

fn arrows(ui: &Ui, people: &mut People, names: &[&str]) {
    let step = |key| ui.input_mut(|i| i.count_and_consume_key(Modifiers::NONE, key));
    let (down, up) = (step(Key::ArrowDown), step(Key::ArrowUp));
    if names.is_empty() || down + up == 0 {
        return;
    }
    let at = people
        .chosen
        .as_deref()
        .and_then(|name| names.iter().position(|n| *n == name));
    let next = match at {
        Some(at) => (at + down).saturating_sub(up).min(names.len() - 1),
        None if down > 0 => (down - 1).min(names.len() - 1),
        None => names.len() - 1,
    };
    people.chosen = Some(names[next].to_owned());
    people.scroll = true;
}

/// Height of the taller of two columns, the second of which begins there.
fn tallest(all: &[&PersonLine], at: usize) -> f32 {
    let tall = |part: &[&PersonLine]| {
        let roles = part.chunk_by(|a, b| a.role == b.role).count();
        part.len() as f32 * height::TOUCH + roles as f32 * ROLE_HEIGHT
    };
    tall(&all[..at]).max(tall(&all[at..]))
}

/// Where the second column begins: nobody below the edge before roles whole before columns alike.
fn split_at(all: &[&PersonLine]) -> usize {
    let cost = |at: &usize| {
        let taller = tallest(all, *at);
        let is_torn = *at < all.len() && all[*at - 1].role == all[*at].role;
        (taller > LIST_HEIGHT, is_torn, taller as u32)
    };
    (1..=all.len()).min_by_key(cost).unwrap_or(0)
}

/// The people by role, in two columns.
fn list(ui: &mut Ui, cx: &Cx, demo: Option<&Demo>, people: &mut People) {
    let all: Vec<&PersonLine> = cx.snapshot.people.iter().filter(|p| p.is_active).collect();
    let split = split_at(&all);
    let is_longer = tallest(&all, split) > LIST_HEIGHT;
    // The bar of a longer list floats over its right edge.
    let bar = if is_longer { space::M } else { 0.0 };
    let width = (ui.available_width() - space::XL - bar) / 2.0;
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing = vec2(space::XL, 0.0);
        for part in [&all[..split], &all[split..]] {
            ui.vertical(|ui| {
                ui.set_width(width);
                part_ui(ui, part, demo, people);
            });
        }
    });
}

fn part_ui(ui: &mut Ui, part: &[&PersonLine], demo: Option<&Demo>, people: &mut People) {
    ui.spacing_mut().item_spacing.y = 0.0;
    let columns = Columns::new(vec![Col::rest(""), Col::right("", 72.0)]);
    let mut role = None;
    for person in part {
        if role != Some(person.role) {
            role = Some(person.role);
            ui.add_space(space::S);
            text::note(ui, person.role.as_str());
        }
        let chosen = people.chosen.as_deref() == Some(&person.name);
        let row = Row::gauge(&person.name).chosen(chosen).clickable(true);
        let response = columns.row(ui, &row, |cells: &mut Cells| {
            if chosen {
                cells.value(&person.name)
            } else {
                cells.text(&person.name)
            };
            let pin = demo.and_then(|demo| demo.pins.iter().find(|p| p.name == person.name));
            cells.note(&pin.map(|p| format!("PIN {}", p.pin)).unwrap_or_default());
        });
        if response.clicked() {
            people.chosen = Some(person.name.clone());
            people.trouble = Trouble::default();
            focus::ask(ui.ctx(), PIN);
        }
        if chosen && std::mem::take(&mut people.scroll) {
            response.scroll_to_me(None);
        }
    }
}

fn pin_ui(ui: &mut Ui, cx: &Cx, people: &mut People, commands: &mut Vec<Command>) {
    let left_s = people.trouble.left_s(ui.ctx());
    let who = people
        .chosen
        .as_deref()
        .unwrap_or("Choose a name, by arrow keys or pointer.");
    text::say(ui, text::Face::SECTION, who);
    widgets::caption(ui, "PIN");
    let outcome = PinField::new(PIN, "PIN").show(ui, &mut people.pin);
    let is_ready =
        people.chosen.is_some() && !people.pin.is_empty() && left_s == 0 && !people.trouble.is_sent;
    let words = if left_s > 0 {
        format!("Wait {left_s} s")
    } else {
        "Sign in".into()
    };
    let pressed = Button::new(Kind::Primary, &words)
        .enabled(is_ready)
        .show(ui)
        .clicked();
    let entered = matches!(outcome, Outcome::Commit(_));
    if entered {
        focus::ask(ui.ctx(), PIN);
    }
    if is_ready
        && (pressed || entered)
        && let Some(name) = people.chosen.clone()
    {
        people.trouble.is_sent = true;
        commands.push(Command::SignIn {
            name,
            pin: std::mem::take(&mut people.pin),
        });
    }
    if !people.trouble.why.is_empty() {
        text::say(
            ui,
            text::Face::BODY.token(draw::Token::Fail),
            &people.trouble.why,
        );
    }
    ui.add_space(space::S);
    text::note(ui, NO_LOCK);
    if let Some(person) = cx.person {
        ui.add_space(space::S);
        if widgets::second(ui, &format!("Sign off {}", person.name)).clicked() {
            commands.push(Command::SignOut);
        }
    }
}

/// The form for the first engineer.
fn first_ui(ui: &mut Ui, first: &mut First, commands: &mut Vec<Command>) {
    text::body(
        ui,
        "This logbook has no engineer yet. The first one registers the others, with their roles.",
    );
    ui.add_space(space::S);
    let problem = first_problem(first);
    widgets::caption(ui, "Name, as it will stand under what is signed");
    let mut entered = None;
    let outcome = TextField::new(FIRST[0], "Name of the engineer")
        .hint("Engineer")
        .show(ui, &mut first.name);
    entered = entered.or(committed(&outcome, 0));
    ui.add_space(space::S);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing = vec2(space::L, space::S);
        for (at, caption, name, buffer) in [
            (1, "PIN, at least four characters", "PIN", &mut first.pin),
            (2, "PIN again", "PIN again", &mut first.again),
        ] {
            ui.vertical(|ui| {
                ui.set_width(220.0);
                widgets::caption(ui, caption);
                let outcome = PinField::new(FIRST[at], name).width(220.0).show(ui, buffer);
                entered = entered.take().or(committed(&outcome, at));
            });
        }
    });
    ui.add_space(space::S);
    text::note(ui, NO_LOCK);
    ui.add_space(space::S);
    let is_ready = problem.is_none() && !first.trouble.is_sent;
    let pressed = Button::new(Kind::Primary, "Register the engineer")
        .enabled(is_ready)
        .show(ui)
        .clicked();
    let wrong = first.trouble.why.as_str();
    let wrong = if wrong.is_empty() {
        problem.filter(|_| first.pin.len() + first.again.len() > 0)
    } else {
        Some(wrong)
    };
    if let Some(wrong) = wrong {
        text::say(ui, text::Face::BODY.token(draw::Token::Fail), wrong);
    }
    let mut send = pressed;
    if let Some((at, step)) = entered {
        send = focus::step(ui.ctx(), &FIRST, FIRST[at], step).is_none() && at == 2;
    }
    if send && is_ready {
        first.trouble = Trouble {
            is_sent: true,
            ..Trouble::default()
        };
        commands.push(Command::FirstEngineer {
            name: first.name.trim().to_owned(),
            pin: first.pin.clone(),
        });
    }
}

fn committed(outcome: &Outcome, at: usize) -> Option<(usize, focus::Step)> {
    if let Outcome::Commit(step) = outcome {
        Some((at, *step))
    } else {
        None
    }
}

/// What is still missing from the form.
fn first_problem(first: &First) -> Option<&'static str> {
    if first.name.trim().is_empty() {
        Some("The name is missing.")
    } else if first.pin.chars().count() < PIN_LENGTH_MIN {
        Some("The PIN has fewer than four characters.")
    } else if first.pin != first.again {
        Some("The two PINs differ.")
    } else {
        None
    }
}
