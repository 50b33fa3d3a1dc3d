//! Every action of the keyboard in one place: its words, its keys, its line in the help sheet.

use egui::{Context, Event, Id, Key, KeyboardShortcut, Modifiers};

use super::focus;

/// What can be done from the keyboard on every page.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Action {
    /// Puts the caret into the search field.
    Find,
    /// Begins a sheet.
    NewSheet,
    /// Begins a mounting sheet.
    NewMounting,
    /// Tells what happened outside a sheet.
    Happened,
    /// Prints what is shown.
    Print,
    /// Takes back the last entry of a draft.
    Undo,
    /// Opens a page of the rail, counted from 0.
    Page(usize),
    /// Opens the next part of a page: section of a sheet, calculation, page of the setup.
    NextSection,
    /// Opens the previous part of a page.
    PreviousSection,
    /// Explains the page.
    Help,
    /// Closes what floats.
    Close,
}

const CTRL: Modifiers = Modifiers::COMMAND;

/// The keys of the pages of the rail, from the top.
const PAGE_KEYS: [Key; 8] = [
    Key::Num1,
    Key::Num2,
    Key::Num3,
    Key::Num4,
    Key::Num5,
    Key::Num6,
    Key::Num7,
    Key::Num8,
];

impl Action {
    /// In the order of the help sheet; the first page of the rail stands for all of them.
    pub const ALL: [Self; 11] = [
        Self::Find,
        Self::NewSheet,
        Self::NewMounting,
        Self::Happened,
        Self::Print,
        Self::Undo,
        Self::Page(0),
        Self::NextSection,
        Self::PreviousSection,
        Self::Help,
        Self::Close,
    ];

    /// Its name, as on a button.
    pub const fn text(self) -> &'static str {
        match self {
            Self::Find => "Find or scan",
            Self::NewSheet => "New teardown sheet",
            Self::NewMounting => "New mounting sheet",
            Self::Happened => "What happened",
            Self::Print => "Print",
            Self::Undo => "Undo",
            Self::Page(_) => "Page of the rail",
            Self::NextSection => "Next section",
            Self::PreviousSection => "Previous section",
            Self::Help => "Help",
            Self::Close => "Close",
        }
    }

    /// Its keys, as printed beside it.
    pub const fn keys(self) -> &'static str {
        match self {
            Self::Find => "Ctrl F",
            Self::NewSheet => "Ctrl N",
            Self::NewMounting => "Ctrl M",
            Self::Happened => "Ctrl E",
            Self::Print => "Ctrl P",
            Self::Undo => "Ctrl Z",
            Self::Page(_) => "Ctrl 1, 2 \u{2026}",
            Self::NextSection => "Ctrl Page Down",
            Self::PreviousSection => "Ctrl Page Up",
            Self::Help => "F1",
            Self::Close => "Esc",
        }
    }

    /// What it does, one sentence.
    pub const fn help(self) -> &'static str {
        match self {
            Self::Find => "Finds a thing by its number; a scan outside a field does the same.",
            Self::NewSheet => "Begins a teardown sheet.",
            Self::NewMounting => "Begins a mounting sheet.",
            Self::Happened => "Tells what happened outside a sheet: a second key chooses what.",
            Self::Print => "Prints what is shown.",
            Self::Undo => "Takes back the last entry of a draft.",
            Self::Page(_) => "Opens a page of the list at the left, counted from its top.",
            Self::NextSection => {
                "Opens the next section of a sheet, calculation of the bench, or page of the setup."
            }
            Self::PreviousSection => "Opens the one before.",
            Self::Help => "Explains the page.",
            Self::Close => "Closes what floats.",
        }
    }

    /// True where it leaves the page for another one.
    pub const fn moves_on(self) -> bool {
        matches!(
            self,
            Self::NewSheet
                | Self::NewMounting
                | Self::Happened
                | Self::Page(_)
                | Self::NextSection
                | Self::PreviousSection
        )
    }

    /// How often it is carried out in one frame: a held key goes on, whatever the frames are worth.
    const fn most_in_a_frame(self) -> usize {
        match self {
            Self::NextSection | Self::PreviousSection => usize::MAX,
            _ => 1,
        }
    }

    const fn shortcut(self) -> KeyboardShortcut {
        let (modifiers, key) = match self {
            Self::Find => (CTRL, Key::F),
            Self::NewSheet => (CTRL, Key::N),
            Self::NewMounting => (CTRL, Key::M),
            Self::Happened => (CTRL, Key::E),
            Self::Print => (CTRL, Key::P),
            Self::Undo => (CTRL, Key::Z),
            Self::Page(page) => (CTRL, PAGE_KEYS[page % PAGE_KEYS.len()]),
            Self::NextSection => (CTRL, Key::PageDown),
            Self::PreviousSection => (CTRL, Key::PageUp),
            Self::Help => (Modifiers::NONE, Key::F1),
            Self::Close => (Modifiers::NONE, Key::Escape),
        };
        KeyboardShortcut::new(modifiers, key)
    }
}

/// The actions whose keys were pressed; to be asked once a frame, before the page is shown.
///
/// While something floats, Esc is left to it. While typing is not committed, Ctrl+Z is left to the
/// field: it takes back the typing, and after that the last entry.
pub fn triggered(ctx: &Context) -> Vec<Action> {
    let typing = focus::is_typing(ctx);
    let floats = is_floating(ctx);
    let shift = ctx.input(|input| input.modifiers.shift); // Ctrl+Shift+Z is a field's redo
    let wanted = |action: &Action| match action {
        Action::Undo => !typing && !shift,
        Action::Close => !floats,
        _ => true,
    };
    let pages = (1..PAGE_KEYS.len()).map(Action::Page);
    let actions = Action::ALL.into_iter().chain(pages).filter(wanted);
    ctx.input_mut(|input| {
        let pressed = |action: Action| {
            let KeyboardShortcut {
                modifiers,
                logical_key,
            } = action.shortcut();
            let count = input.count_and_consume_key(modifiers, logical_key);
            std::iter::repeat_n(action, count.min(action.most_in_a_frame()))
        };
        actions.flat_map(pressed).collect()
    })
}

/// What was typed or scanned while no field had the caret; it belongs into the search field, to
/// which [`focus::ask_at_end`] gives the caret.
///
/// The characters are taken out of the input; a line end stays there, and the search field takes it.
pub fn scanned(ctx: &Context) -> Option<String> {
    if ctx.memory(egui::Memory::focused).is_some() {
        return None;
    }
    let text: String = ctx.input_mut(|input| {
        let mut text = String::new();
        input.events.retain(|event| match event {
            Event::Text(typed) => {
                text.push_str(typed);
                false
            }
            _ => true,
        });
        text
    });
    (!text.trim().is_empty()).then_some(text)
}

/// Notes that something floats in this frame, so that Esc closes it and nothing else.
pub(super) fn note_floating(ctx: &Context) {
    let pass = ctx.cumulative_pass_nr();
    ctx.data_mut(|data| data.insert_temp(floating_id(), pass));
}

/// Whether something floats in this frame, or did in the last one.
pub(super) fn is_floating(ctx: &Context) -> bool {
    let pass = ctx.cumulative_pass_nr();
    let last: Option<u64> = ctx.data(|data| data.get_temp(floating_id()));
    last.is_some_and(|last| last + 1 >= pass)
}

fn floating_id() -> Id {
    Id::unique("something floats")
}
