//! What mouse and keyboard do, on one page: the keys of every command, and the gestures that have no command.

use egui::Ui;

use super::commands;
use super::dialogs::{Answer, by_enter};
use super::panels::{line, worded};

/// Shows what mouse and keyboard do, until it is closed.
pub fn keys(ui: &mut Ui) -> Option<Answer> {
    ui.heading("Keys and gestures");
    let most = ui.ctx().content_rect().height() - 200.0;
    egui::ScrollArea::vertical().max_height(most).min_scrolled_height(most).show(ui, |ui| {
        egui::Grid::new("keys").num_columns(2).spacing([18.0, 5.0]).striped(true).show(ui, |ui| {
            let commands = commands::all().map(|(_, command)| command);
            for command in commands.filter(|command| !command.about().shortcuts.is_empty()) {
                ui.label(command.shortcut_words(ui.ctx()));
                line(ui, command.about().description);
                ui.end_row();
            }
            for (keys, does) in GESTURES {
                let keys = worded(ui, keys);
                ui.label(keys);
                line(ui, does);
                ui.end_row();
            }
        });
    });
    ui.add_space(8.0);
    by_enter(ui.button("Close")).clicked().then_some(Answer::Stay)
}

/// What has no command of its own.
const GESTURES: &[(&str, &str)] = &[
    ("Click", "Select; click again for what lies behind"),
    ("Shift+click", "Select one more, or let one go"),
    ("Drag a box on bare paper", "Select what lies wholly within it; Shift begins the box anywhere, and adds"),
    ("Ctrl+C, Ctrl+X, Ctrl+V", "Copy, cut and put down parts, with the pipes between them"),
    ("Drag a small square", "Make a part larger or smaller by that side"),
    (
        "Drag",
        "Move a part and what stands on it, a piece of the building, a stretch of pipe, a bend, an end or a fitting",
    ),
    ("Drag between two parts or walls", "It catches where the gaps on both sides are equal, and shows them"),
    ("Drag a pipe's end", "Join it to a port, a pipe or the side of a cistern, or pull it off; its hole goes with it"),
    ("Drag a pipe where it leaves a cistern", "Move its hole up or down"),
    ("Double-click", "Add a bend to a run; end a run that is being drawn"),
    (
        "Alt",
        "Suspend snapping while it is held; with a pipe in hand, join what it would cross and pass what it would join",
    ),
    ("Click a valve", "Choose it by itself: Delete takes it out, arrows slide it; click again for its pipe"),
    ("Shift", "Free angle while drawing a run; keep the tool after placing"),
    ("Scroll", "Pan; with Ctrl, zoom to the pointer"),
    ("Middle button, or Space and drag", "Pan"),
    ("Arrows", "Move what is selected by 1 mm; Shift 10 mm, Ctrl 100 mm"),
    ("Arrows with a tool in hand", "Move the cross; Space takes its place, Enter ends a run"),
    ("Enter", "End a run in the open at its last bend"),
    ("Backspace", "Take back the last bend"),
    ("Type with a pipe in hand", "The place where it begins: 1100, 600 is so far right and so high above the datum"),
    (
        "Type while drawing a run",
        "The next point: 1200, up 450. A length with left, right, up or down, or alone toward the pointer; several with \
         commas between; two numbers, 1200 450, are a step right and up from the last point; fall 1:40 or rise 5 mm/m may follow a length",
    ),
    ("Tab", "Go through panels and parts"),
];
