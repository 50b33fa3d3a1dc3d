//! Where the caret is, and where it goes next.
//!
//! A field is known by its path, a short stable text such as `clearance/gap1/90`; its id comes from
//! the path alone, so the page can send the caret to a field that is not shown yet. The order of
//! measuring belongs to the page: a field that is done reports a [`Step`], the page answers with
//! [`step`]. Tab and Enter are taken from egui while a field has the caret, since egui would go by
//! the order of drawing.

use egui::{Context, Event, Id, Key, Ui};

/// Which way the caret leaves a field.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// Enter, Tab, or a gauge's line end.
    Forward,
    /// The same with Shift.
    Back,
}

/// What the keyboard did to the field that has the caret, besides typing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Left {
    /// The field is done.
    Step(Step),
    /// Several lines were pasted; they are for this field and those after it.
    Column(Vec<String>),
}

#[derive(Clone, Default)]
struct Queue {
    /// The field that gets the caret as soon as it is shown.
    asked: Option<Id>,
    /// The frame in which it was asked for.
    asked_in: u64,
    /// Whether what stands in it is kept, with the caret after it, instead of chosen for overwriting.
    keep: bool,
    /// What was typed in the same frame after a line end: it belongs to the next field.
    held: Vec<Event>,
    /// The field whose text was changed since it got the caret or was committed.
    changed: Option<Id>,
}

/// The id of the field with this path.
pub fn id(path: &str) -> Id {
    Id::unique(("field", path))
}

/// Gives the keyboard to the act that the page is for: to the next primary button that is shown.
pub fn ask_primary(ctx: &Context) {
    ctx.data_mut(|data| data.insert_temp(primary_id(), true));
    ctx.request_repaint();
}

/// Whether a primary button was asked to take the keyboard; it is asked once.
pub fn takes_primary(ctx: &Context) -> bool {
    ctx.data_mut(|data| data.remove_temp(primary_id()))
        .unwrap_or(false)
}

fn primary_id() -> Id {
    Id::unique("primary wants the keyboard")
}

/// Gives the caret to a field as soon as it is shown: in the next frame, or when its page opens.
pub fn ask(ctx: &Context, path: &str) {
    ask_for(ctx, id(path), false);
}

/// Like [`ask`], with the caret after what already stands in the field, for typing on.
pub fn ask_at_end(ctx: &Context, path: &str) {
    ask_for(ctx, id(path), true);
}

/// Sends the caret to the next or previous field in the order of measuring.
///
/// `None` at either end, and for a field that is not in the order: there the page decides, such as
/// by opening the next section.
pub fn step<P: AsRef<str>>(ctx: &Context, order: &[P], at: &str, step: Step) -> Option<String> {
    let here = order.iter().position(|path| path.as_ref() == at)?;
    let next = match step {
        Step::Forward => here + 1,
        Step::Back => here.checked_sub(1)?,
    };
    let path = order.get(next)?.as_ref();
    // What was typed in this frame is in the field that is done; gone now, so that the next field, which may be
    // drawn in the same frame, does not take it again.
    ctx.input_mut(|input| input.events.retain(|event| !is_typed(event)));
    ask(ctx, path);
    Some(path.to_owned())
}

/// Sends the caret from a field that stands in no order to whatever comes after or before it on the page.
pub fn pass_on(ctx: &Context, path: &str, step: Step) {
    ctx.memory_mut(|memory| match step {
        Step::Forward => {
            memory.surrender_focus(id(path));
            memory.move_focus(egui::FocusDirection::Next);
        }
        Step::Back => {
            memory.request_focus(id(path));
            memory.move_focus(egui::FocusDirection::Previous);
        }
    });
}

/// Whether the field with this path has the caret.
pub fn has(ctx: &Context, path: &str) -> bool {
    ctx.memory(|memory| memory.has_focus(id(path)))
}

/// Which of these fields has the caret, or is about to get it.
pub fn current<P: AsRef<str>>(ctx: &Context, order: &[P]) -> Option<usize> {
    let focused =
        with_queue(ctx, |queue| queue.asked).or_else(|| ctx.memory(egui::Memory::focused))?;
    order.iter().position(|path| id(path.as_ref()) == focused)
}

/// Keeps what was typed in this frame for the field that gets the caret next: its page is still being read. Keys with
/// Ctrl or Alt stay where they are, and so does Esc.
pub fn hold(ctx: &Context) {
    let typed = ctx.input_mut(|input| {
        let all = std::mem::take(&mut input.events);
        let (typed, other): (Vec<Event>, Vec<Event>) =
            all.into_iter().partition(|event| match event {
                Event::Key { key, modifiers, .. } => {
                    *key != Key::Escape && !modifiers.command && !modifiers.alt
                }
                event => is_typed(event),
            });
        input.events = other;
        typed
    });
    if !typed.is_empty() {
        with_queue(ctx, |queue| queue.held.extend(typed));
    }
}

/// Forgets what was held: no page comes that it was for.
pub fn drop_held(ctx: &Context) {
    with_queue(ctx, |queue| queue.held.clear());
}

/// Takes the caret away from whatever has it.
pub fn leave(ctx: &Context) {
    if let Some(id) = ctx.memory(egui::Memory::focused) {
        ctx.memory_mut(|memory| memory.surrender_focus(id));
    }
}

/// Whether the field with the caret holds typing that was not committed.
pub(super) fn is_typing(ctx: &Context) -> bool {
    let focused = ctx.memory(egui::Memory::focused);
    focused.is_some() && with_queue(ctx, |queue| queue.changed) == focused
}

/// Notes that the field's text was changed, or that it was committed; tells what was noted before.
pub(super) fn note_changed(ctx: &Context, id: Id, changed: bool) -> bool {
    with_queue(ctx, |queue| {
        let before = queue.changed == Some(id);
        if changed {
            queue.changed = Some(id);
        } else if before {
            queue.changed = None;
        }
        before
    })
}

/// What becomes of the text in a field that was just given the caret.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Taken {
    /// It is chosen, and the next key overwrites it.
    Chosen,
    /// The caret stands behind it.
    Kept,
}

/// Takes the caret if the page asked for it, in that frame only.
pub(super) fn take(ui: &Ui, id: Id) -> Option<Taken> {
    // What floats is measured unseen in its first frame; a caret given there would be taken away again.
    // A press elsewhere takes the caret from every field of its frame, so the field waits for the next one.
    let is_pressed = ui.input(|input| input.pointer.any_pressed() || input.pointer.any_released());
    if !ui.is_enabled() || ui.is_sizing_pass() || is_pressed {
        if with_queue(ui.ctx(), |queue| queue.asked == Some(id)) {
            ui.request_repaint();
        }
        return None;
    }
    let (keep, held) = with_queue(ui.ctx(), |queue| {
        (queue.asked == Some(id)).then(|| {
            queue.asked = None;
            (queue.keep, std::mem::take(&mut queue.held))
        })
    })?;
    ui.memory_mut(|memory| memory.request_focus(id));
    ui.input_mut(|input| drop(input.events.splice(0..0, held)));
    Some(if keep { Taken::Kept } else { Taken::Chosen })
}

/// Keeps egui from moving the focus away from the field that has it, and takes the keys that end a
/// field out of its input. `enter` says whether Enter is one of them.
pub(super) fn keys(ui: &Ui, id: Id, enter: bool) -> Option<Left> {
    if !ui.memory(|memory| memory.has_focus(id)) {
        return None;
    }
    ui.memory_mut(|memory| memory.move_focus(egui::FocusDirection::None));
    if hold_for_asked(ui, id) {
        return None;
    }
    let (left, held) = ui.input_mut(|input| {
        let found = input
            .events
            .iter()
            .enumerate()
            .find_map(|(at, event)| Some((at, ends(event, enter)?)));
        let Some((at, left)) = found else {
            return (None, Vec::new());
        };
        let mut rest = input.events.split_off(at);
        let ending = rest.remove(0);
        if let (Event::Paste(text), Left::Step(_)) = (&ending, &left) {
            input.events.push(Event::Paste(text.trim().to_owned()));
        }
        let (typed, other): (Vec<Event>, Vec<Event>) = rest.into_iter().partition(is_typed);
        input.events.extend(other);
        (Some(left), typed)
    });
    if !held.is_empty() {
        with_queue(ui.ctx(), |queue| queue.held = held);
        ui.request_repaint();
    }
    left
}

/// What was typed before a field ended is in it: the next field may get the caret in this very frame, and reads none of
/// it again.
pub(super) fn is_read(ui: &Ui) {
    ui.input_mut(|input| input.events.retain(|event| !is_typed(event)));
}

/// So many frames a field that was asked for may take to be shown; then the one that has the caret goes on.
const ASKED_FRAMES: u64 = 3;

/// While another field is about to get the caret, what is typed on is kept for it: this one is done.
fn hold_for_asked(ui: &Ui, id: Id) -> bool {
    let frame = ui.ctx().cumulative_pass_nr();
    let (waits, late) = with_queue(ui.ctx(), |queue| {
        let waits = queue.asked.is_some_and(|asked| asked != id);
        let late = waits && frame > queue.asked_in + ASKED_FRAMES;
        (waits && !late, late && !queue.held.is_empty())
    });
    if waits {
        let typed: Vec<Event> = ui.input_mut(|input| {
            let all = std::mem::take(&mut input.events);
            let (typed, other) = all.into_iter().partition(is_typed);
            input.events = other;
            typed
        });
        with_queue(ui.ctx(), |queue| queue.held.extend(typed));
        ui.request_repaint();
    } else if late {
        // The field that was asked for is not on this page: nothing typed is lost.
        let held = with_queue(ui.ctx(), |queue| std::mem::take(&mut queue.held));
        ui.input_mut(|input| drop(input.events.splice(0..0, held)));
    }
    waits
}

/// Whether Enter or Tab is pressed on something that has no text, such as a choice. What came after it is kept for the
/// next field.
pub fn leaves(ui: &Ui, path: &str) -> Option<Step> {
    // The caret may arrive in this very frame, with keys that were kept for it.
    let _ = take(ui, id(path));
    match keys(ui, id(path), true)? {
        Left::Step(step) => Some(step),
        Left::Column(_) => None,
    }
}

/// The first character typed on something that has no text, such as a choice; what came after it is kept for the next
/// field.
pub fn typed_char(ui: &Ui, path: &str) -> Option<char> {
    if !ui.memory(|memory| memory.has_focus(id(path))) {
        return None;
    }
    let (typed, held) = ui.input_mut(|input| {
        let found = input.events.iter().enumerate().find_map(|(at, event)| {
            if let Event::Text(text) = event {
                Some((at, text.chars().next()?))
            } else {
                None
            }
        });
        let Some((at, typed)) = found else {
            return (None, Vec::new());
        };
        let rest = input.events.split_off(at).into_iter().skip(1);
        let (held, other): (Vec<Event>, Vec<Event>) = rest.partition(is_typed);
        input.events.extend(other);
        // The press of the same key is done with; a key that is let go concerns nobody.
        let held = held
            .into_iter()
            .filter(|event| !matches!(event, Event::Key { pressed: false, .. }));
        (Some(typed), held.collect())
    });
    if !held.is_empty() {
        with_queue(ui.ctx(), |queue| queue.held = held);
        ui.request_repaint();
    }
    typed
}

fn ask_for(ctx: &Context, id: Id, keep: bool) {
    let frame = ctx.cumulative_pass_nr();
    with_queue(ctx, |queue| {
        (queue.asked, queue.asked_in, queue.keep) = (Some(id), frame, keep);
    });
    ctx.request_repaint();
}

fn ends(event: &Event, enter: bool) -> Option<Left> {
    match event {
        Event::Key {
            key: Key::Enter,
            pressed: true,
            modifiers,
            ..
        } if enter && !modifiers.command && !modifiers.alt => {
            Some(Left::Step(if modifiers.shift {
                Step::Back
            } else {
                Step::Forward
            }))
        }
        Event::Key {
            key: Key::Tab,
            pressed: true,
            modifiers,
            ..
        } if !modifiers.command && !modifiers.alt => Some(Left::Step(if modifiers.shift {
            Step::Back
        } else {
            Step::Forward
        })),
        Event::Paste(text)
            if enter
                && text
                    .trim_end_matches([' ', '\t'])
                    .contains(['\n', '\r', '\t']) =>
        {
            let lines: Vec<String> = text
                .split(['\n', '\r', '\t'])
                .map(|l| l.trim().to_owned())
                .filter(|l| !l.is_empty())
                .collect();
            Some(if lines.len() > 1 {
                Left::Column(lines)
            } else {
                Left::Step(Step::Forward)
            })
        }
        _ => None,
    }
}

fn is_typed(event: &Event) -> bool {
    matches!(event, Event::Text(_) | Event::Key { .. } | Event::Paste(_))
}

fn with_queue<R>(ctx: &Context, f: impl FnOnce(&mut Queue) -> R) -> R {
    ctx.data_mut(|data| f(data.get_temp_mut_or_default::<Queue>(Id::unique("focus queue"))))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_order_has_two_ends() {
        let ctx = Context::default();
        let order = ["a", "b", "c"];
        assert_eq!(step(&ctx, &order, "a", Step::Forward).as_deref(), Some("b"));
        assert_eq!(current(&ctx, &order), Some(1));
        assert_eq!(step(&ctx, &order, "b", Step::Back).as_deref(), Some("a"));
        assert_eq!(step(&ctx, &order, "a", Step::Back), None);
        assert_eq!(step(&ctx, &order, "c", Step::Forward), None);
        assert_eq!(step(&ctx, &order, "elsewhere", Step::Forward), None);
    }

    /// A page that answers only after all its fields are drawn: the old field has the caret for one more frame.
    #[test]
    fn what_is_typed_between_two_fields_goes_to_the_next() {
        let mut texts = [String::new(), String::new()];
        let frame = |texts: &mut [String; 2], ctx: &Context, events: Vec<Event>| {
            let input = egui::RawInput {
                events,
                ..egui::RawInput::default()
            };
            let mut shown = ctx.run_ui(input, |ui| {
                let mut done = None;
                for (path, text) in ["a", "b"].iter().zip(texts.iter_mut()) {
                    let field = crate::ui::widgets::TextField::new(path, path).width(100.0);
                    if let crate::ui::widgets::Outcome::Commit(to) = field.show(ui, text) {
                        done = Some((*path, to));
                    }
                }
                if let Some((path, to)) = done {
                    super::step(ui.ctx(), &["a", "b"], path, to);
                }
            });
            shown.textures_delta.clear();
        };
        let ctx = Context::default();
        crate::ui::theme::install(&ctx);
        let text = |text: &str| Event::Text(text.to_owned());
        let enter = Event::Key {
            key: Key::Enter,
            physical_key: None,
            pressed: true,
            repeat: false,
            modifiers: egui::Modifiers::NONE,
        };
        ask(&ctx, "a");
        frame(&mut texts, &ctx, vec![]);
        frame(&mut texts, &ctx, vec![text("12"), enter]);
        frame(&mut texts, &ctx, vec![text("34")]);
        frame(&mut texts, &ctx, vec![text("5")]);
        frame(&mut texts, &ctx, vec![]);
        assert_eq!(texts, ["12", "345"]);
    }

    #[test]
    fn a_pasted_column_is_told_from_one_value_with_a_line_end() {
        let paste = |text: &str| ends(&Event::Paste(text.to_owned()), true);
        assert_eq!(paste("23.372"), None);
        assert_eq!(paste("23.372\r\n"), Some(Left::Step(Step::Forward)));
        let column = Left::Column(vec!["23,372".to_owned(), "23,366".to_owned()]);
        assert_eq!(paste("23,372\n23,366\n"), Some(column.clone()));
        assert_eq!(paste("23,372\t23,366"), Some(column));
    }
}
