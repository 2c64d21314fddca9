//! Variants of the open layout in one table: findings, heads and take-off, a column for each.

use egui::{Label, RichText, ScrollArea, TextEdit, Ui};

use super::app::Desk;
use super::dialogs::{Answer, Dialog};
use super::panels::{line, strong, worded};
use crate::compare::{About, Comparison, Row, Variant};
use crate::file;
use crate::layout::Layout;
use crate::rules::{Profile, Voice};
use crate::session::Session;
use crate::session::variants::{Kin, keep_beside, kin_of};

/// More columns do not fit side by side.
const MOST: usize = 5;
/// Widths of columns, in points.
const NAME_WIDTH: f32 = 230.0;
const CELL_WIDTH: f32 = 118.0;

/// What is shown of the variants.
pub struct Variants {
    kin: Vec<Kin>,
    open: usize,
    comparison: Comparison,
    all: bool,
    name: String,
    note: String,
}

impl Variants {
    /// The open layout as it stands now, and its variants as they are in their files.
    #[must_use]
    pub fn of(session: &Session, voice: Voice) -> Self {
        let mut kin = session.path().map(kin_of).unwrap_or_default();
        let is_open = |kin: &Kin| session.path().is_some_and(|path| path.file_name() == kin.path.file_name());
        let mut notes = Vec::new();
        let mut read: Vec<(String, Layout)> = Vec::new();
        let mut open = 0;
        kin.retain(|one| {
            if read.len() >= MOST && !is_open(one) {
                notes.push(format!("{} is left out: no more than {MOST} fit side by side.", named(one)));
                return false;
            }
            let layout = if is_open(one) {
                open = read.len();
                session.layout().clone()
            } else {
                match file::read(&one.path) {
                    Ok(layout) => layout,
                    Err(error) => {
                        notes.push(error.to_string());
                        return false;
                    }
                }
            };
            read.push((named(one), layout));
            true
        });
        if read.is_empty() {
            read.push(("This layout".to_owned(), session.layout().clone()));
        }
        let profile: &Profile = session.profile();
        let variants: Vec<Variant<'_>> =
            read.iter().map(|(name, layout)| Variant { name: name.clone(), layout, profile }).collect();
        let comparison = Comparison::of(&variants, voice);
        Self { kin, open, comparison, all: false, name: String::new(), note: notes.join(" ") }
    }

    /// Shows the table; what is asked, once something is.
    pub fn ui(&mut self, ui: &mut Ui, session: &Session) -> Option<Answer> {
        ui.heading("Variants side by side");
        let mut answer = None;
        ui.horizontal_wrapped(|ui| {
            let label = ui.label("Keep this layout as");
            let field =
                TextEdit::singleline(&mut self.name).hint_text(worded(ui, "raised cistern")).desired_width(180.0);
            ui.add(field).labelled_by(label.id);
            let can = session.path().is_some() && !self.name.trim().is_empty();
            let tip = "Writes a copy beside the file of this layout";
            if ui.add_enabled(can, egui::Button::new("Keep as a variant")).on_hover_text(tip).clicked() {
                answer = Some(Answer::KeepVariant(self.name.clone()));
            }
            ui.checkbox(&mut self.all, "Rows that are alike too");
        });
        if session.path().is_none() {
            ui.label("Save this layout first: its variants are files beside its own.");
        } else if self.kin.len() < 2 {
            ui.label("There is no variant yet. Keep one, change the drawing, and look here again.");
        }
        if !self.note.is_empty() {
            ui.add(Label::new(RichText::new(&self.note).color(ui.visuals().warn_fg_color)).wrap());
        }
        ui.add_space(4.0);
        let most = (ui.ctx().content_rect().height() - 230.0).max(160.0);
        ScrollArea::both().max_height(most).min_scrolled_height(most).auto_shrink([false, true]).show(ui, |ui| {
            egui::Grid::new("variants").num_columns(1 + self.comparison.variants.len()).striped(true).show(ui, |ui| {
                if let Some(path) = self.head(ui) {
                    answer = Some(Answer::OpenVariant(path));
                }
                for about in About::ALL {
                    self.rows(ui, about);
                }
            });
        });
        ui.add_space(8.0);
        if ui.button("Close").clicked() {
            answer = Some(Answer::Stay);
        }
        answer
    }

    fn head(&self, ui: &mut Ui) -> Option<std::path::PathBuf> {
        let mut wanted = None;
        ui.label("");
        for (number, name) in self.comparison.variants.iter().enumerate() {
            ui.vertical(|ui| {
                ui.set_width(CELL_WIDTH);
                ui.add(Label::new(RichText::new(name).strong()).wrap());
                let Some(kin) = self.kin.get(number) else { return };
                if number == self.open {
                    ui.weak("open now");
                } else if ui.small_button("Open").on_hover_text(format!("Open {name}")).clicked() {
                    wanted = Some(kin.path.clone());
                }
            });
        }
        ui.end_row();
        wanted
    }

    fn rows(&self, ui: &mut Ui, about: About) {
        let shown =
            |row: &&Row| self.all || row.differs || about == About::Counts || self.comparison.variants.len() == 1;
        let rows: Vec<&Row> = self.comparison.about(about).filter(shown).collect();
        if rows.is_empty() {
            return;
        }
        strong(ui, about.words());
        ui.end_row();
        for row in rows {
            ui.scope(|ui| {
                ui.set_width(NAME_WIDTH);
                line(ui, &row.name);
            });
            for cell in &row.cells {
                ui.scope(|ui| {
                    ui.set_width(CELL_WIDTH);
                    line(ui, cell);
                });
            }
            ui.end_row();
        }
    }
}

fn named(kin: &Kin) -> String {
    if kin.name.is_empty() { "First layout".to_owned() } else { kin.name.replace('-', " ") }
}

impl Desk {
    /// Keeps the open layout as a variant beside its file, and shows the table with it.
    pub(super) fn keep_variant(&mut self, name: &str) {
        let kept = match self.work.session.path() {
            Some(path) => keep_beside(path, name, self.work.session.layout()),
            None => Err("save the layout first: its variants are files beside its own".to_owned()),
        };
        let mut variants = Variants::of(&self.work.session, self.outlook.voice);
        match kept {
            Ok(path) => self.outlook.said = format!("Kept as '{}'", path.display()),
            Err(why) => {
                variants.name = name.to_owned();
                variants.note = format!("Not kept: {why}.");
            }
        }
        self.front.ask(Dialog::Variants(Box::new(variants)));
    }
}
