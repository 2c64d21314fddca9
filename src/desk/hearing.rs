//! What the window hears before a frame: its close button, keys, the clipboard, files that are dropped on it.

use std::time::Duration;

use egui::{Align2, Area, Context, Event, FontId, Id, Key, Order, ViewportCommand};

use super::action::{Action, Tool};
use super::app::Desk;
use super::canvas::begins_a_place;
use super::commands::{Command, STAYS_AS_IT_IS, shortcuts};
use super::dialogs::{Dialog, Then};
use super::theme::Palette;
use super::{Arrange, Aspect};

/// After so long without a further arrow key, a burst of them is one step of history.
const BURST: Duration = Duration::from_millis(900);

impl Desk {
    /// Takes everything that is asked by keys and by the window.
    pub(super) fn hear(&mut self, ctx: &Context) {
        leave_field_that_was_clicked_away_from(ctx);
        self.hear_close_button(ctx);
        self.hear_dropped_files(ctx);
        if !self.front.is_asking() && !egui::Popup::is_any_open(ctx) {
            self.hear_clipboard(ctx);
            self.hear_shortcuts(ctx);
        }
        self.end_burst(ctx);
    }

    /// The window's close button asks first where there is unsaved work.
    fn hear_close_button(&mut self, ctx: &Context) {
        let closes = ctx.input(|input| input.viewport().close_requested());
        if closes {
            self.end_pipe_in_hand();
        }
        if closes && self.work.session.is_dirty() && !self.window.may_close {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            self.front.ask(Dialog::Unsaved(Then::Quit));
        }
    }

    /// Opens a file that was dropped on the window; says so while one is held over it.
    fn hear_dropped_files(&mut self, ctx: &Context) {
        let (dropped, held) = ctx.input(|input| (input.raw.dropped_files.clone(), input.raw.hovered_files.len()));
        if !self.front.is_asking()
            && let Some(path) = dropped.into_iter().next().map(|file| file.path().to_owned())
        {
            self.actions.push(Action::OpenPath(path));
        }
        if held > 0 {
            paint_held_over(ctx);
        }
    }

    /// Ctrl+C, Ctrl+X and Ctrl+V come as events of their own, and belong to a text field while one has the keyboard. In a
    /// lesson they do nothing.
    fn hear_clipboard(&mut self, ctx: &Context) {
        if ctx.text_edit_focused() || self.outlook.aspect == Aspect::Lesson {
            return;
        }
        for event in ctx.input(|input| input.events.clone()) {
            let arrange = match event {
                Event::Copy => Arrange::Copy,
                Event::Cut => Arrange::Cut,
                Event::Paste(text) => {
                    self.work.copied.hear(&text);
                    Arrange::Paste
                }
                _ => continue,
            };
            self.actions.push(Action::Command(Command::Arrange(arrange)));
        }
    }

    /// The keys of commands, but for those that belong to a text field or to a run that is drawn.
    fn hear_shortcuts(&mut self, ctx: &Context) {
        // Digits and letters are the length of the next stretch while a run is drawn.
        let drawing = self.canvas.takes_typing();
        // Before it is begun, digits are the place where it begins.
        let begins = self.shows_drawing() && matches!(self.outlook.tool, Tool::Pipe(_));
        // Esc has taken the keyboard from a field by now: it leaves the field, and nothing else with it.
        let is_of_field = !drawing || self.canvas.has_typed();
        let leaves_field = self.window.was_typing && is_of_field && ctx.input(|input| input.key_pressed(Key::Escape));
        let typing = ctx.text_edit_focused() || leaves_field;
        for (command, shortcut) in shortcuts() {
            let is_of_text =
                shortcut.modifiers.is_none() || matches!(command, Command::Undo | Command::Redo | Command::Arrange(_));
            let is_of_place = begins && begins_a_place(shortcut.logical_key);
            let is_text = (drawing || is_of_place) && shortcut.modifiers.is_none() && command != Command::Escape;
            let text_takes_it = is_text || (typing && is_of_text);
            if !text_takes_it && ctx.input_mut(|input| input.consume_shortcut(&shortcut)) {
                let is_idle = self.outlook.aspect == Aspect::Lesson && command.works_on_drawing();
                self.actions.push(if is_idle {
                    Action::Say(STAYS_AS_IT_IS.to_owned())
                } else {
                    Action::Command(command)
                });
            }
        }
    }

    /// Arrow keys are one step once none has been pressed for a while, or the pointer does something else.
    fn end_burst(&mut self, ctx: &Context) {
        let Some(since_s) = self.work.since_nudge_s(ctx.input(|input| input.time)) else { return };
        let further = self.actions.iter().any(|action| matches!(action, Action::Nudge(_)));
        let moved = ctx.input(|input| input.events.iter().any(|event| matches!(event, Event::PointerButton { .. })));
        if !further && (since_s >= BURST.as_secs_f64() || moved) {
            self.work.finish_burst(&mut self.canvas.moves);
        } else {
            ctx.request_repaint_after(BURST);
        }
    }
}

/// A press beside a text field ends its typing before anything else happens.
fn leave_field_that_was_clicked_away_from(ctx: &Context) {
    if !ctx.text_edit_focused() || !ctx.input(|input| input.pointer.any_pressed()) {
        return;
    }
    let focused = ctx.memory(egui::Memory::focused);
    let at = ctx.input(|input| input.pointer.interact_pos());
    if let (Some(id), Some(at)) = (focused, at)
        && ctx.read_response(id).is_some_and(|field| !field.rect.contains(at))
    {
        ctx.memory_mut(|memory| memory.surrender_focus(id));
    }
}

/// Says what becomes of a file that is held over the window.
fn paint_held_over(ctx: &Context) {
    let palette = Palette::of(&ctx.global_style().visuals);
    Area::new(Id::unique("held over")).order(Order::Foreground).fixed_pos(egui::Pos2::ZERO).show(ctx, |ui| {
        let whole = ui.ctx().content_rect();
        let (words, font) = ("Let go to open the layout", FontId::proportional(24.0));
        ui.painter().rect_filled(whole, 0.0, palette.paper.gamma_multiply(0.85));
        ui.painter().text(whole.center(), Align2::CENTER_CENTER, words, font, palette.ink);
    });
}
