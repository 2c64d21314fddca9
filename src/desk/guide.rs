//! The guide over the window: why each rule exists, words of the trade, and what the program can and cannot tell.

use egui::{Button, Label, RichText, ScrollArea, TextEdit, TextStyle, Ui, vec2};

use super::Outlook;
use super::asking::ListKeys;
use super::dialogs::Answer;
use super::panels::explained;
use crate::finding::capital;
use crate::rules::{self, Rule, Term, Voice};
use crate::session::{Session, licences};

/// What is open in the guide.
pub struct Guide {
    page: GuidePage,
    /// Letters by which the list is narrowed.
    sought: String,
    /// The place in the list that Enter opens.
    at: usize,
    /// The field for letters has had the keyboard once.
    asked: bool,
    voice: Option<Voice>,
}

enum GuidePage {
    Rules(Option<&'static str>),
    Words(Option<&'static Term>),
    Program,
    Licences,
}

/// What the program cannot tell, and what it is not.
const CAUTIONS: [&str; 5] = [
    "A drawing that meets every rule here is not thereby lawful or safe. Water regulations, building regulations and \
     the makers' instructions decide, and a competent person answers for the work.",
    "The drawing is one section. What lies in front of it or behind it is known only where it has been typed in.",
    "Limits marked \u{2018}seen\u{2019} were read in the source named beside them. The others are from memory or common \
     practice, and say so wherever they are shown.",
    "Flows, heat and loads are reckoned with published formulas and assumptions that are listed in each view. They \
     are estimates, not measurements.",
    "Scalding water and falling cisterns kill. Where a finding speaks of either, stop and ask before you go on.",
];

impl Guide {
    /// Opened at a rule, or at the list of all.
    #[must_use]
    pub const fn on_rules(rule: Option<&'static str>) -> Self {
        Self::at(GuidePage::Rules(rule))
    }

    /// Opened at a word of the trade, or at the list of all.
    #[must_use]
    pub const fn on_words(term: Option<&'static Term>) -> Self {
        Self::at(GuidePage::Words(term))
    }

    /// Opened at what the program is.
    #[must_use]
    pub const fn on_the_program() -> Self {
        Self::at(GuidePage::Program)
    }

    const fn at(page: GuidePage) -> Self {
        Self { page, sought: String::new(), at: 0, asked: false, voice: None }
    }

    /// Shows the page; the answer, once it is left.
    pub fn ui(&mut self, ui: &mut Ui, _session: &Session, outlook: &Outlook) -> Option<Answer> {
        ui.horizontal(|ui| {
            let pages = [
                ("Rules", matches!(self.page, GuidePage::Rules(_)), GuidePage::Rules(None)),
                ("Words of the trade", matches!(self.page, GuidePage::Words(_)), GuidePage::Words(None)),
                ("About", matches!(self.page, GuidePage::Program), GuidePage::Program),
                ("Licences", matches!(self.page, GuidePage::Licences), GuidePage::Licences),
            ];
            for (name, on, page) in pages {
                if ui.add(Button::selectable(on, name).frame_when_inactive(true)).clicked() {
                    self.page = page;
                    self.sought.clear();
                    self.at = 0;
                    self.asked = false;
                }
            }
        });
        ui.separator();
        let voice = self.voice.unwrap_or(outlook.voice);
        let most = ui.ctx().content_rect().height() - 200.0;
        match self.page {
            GuidePage::Rules(Some(id)) => self.rule(ui, id, voice, most),
            GuidePage::Rules(None) => self.all_rules(ui, voice, most),
            GuidePage::Words(Some(term)) => self.word(ui, term),
            GuidePage::Words(None) => self.all_words(ui, most),
            GuidePage::Program => program(ui, most),
            GuidePage::Licences => self.licences(ui, most),
        }
        ui.add_space(8.0);
        let mut answer = None;
        ui.horizontal(|ui| {
            if ui.button("Close").clicked() {
                answer = Some(Answer::Stay);
            }
            let back = match self.page {
                GuidePage::Rules(Some(_)) => Some(("All rules", GuidePage::Rules(None))),
                GuidePage::Words(Some(_)) => Some(("All words", GuidePage::Words(None))),
                _ => None,
            };
            if let Some((name, page)) = back
                && ui.button(name).clicked()
            {
                self.page = page;
            }
        });
        answer
    }

    fn rule(&mut self, ui: &mut Ui, id: &str, voice: Voice, most: f32) {
        let Some(rule) = rules::rule(id) else { return };
        ui.heading(rule.prose.title(voice));
        ui.horizontal(|ui| {
            for other in Voice::ALL {
                let button = Button::selectable(voice == other, other.heading()).frame_when_inactive(true);
                if ui.add(button).clicked() {
                    self.voice = Some(other);
                }
            }
        });
        let opened = ScrollArea::vertical().max_height(most).show(ui, |ui| {
            let opened = explained(ui, &rule.words_in_general(voice));
            ui.add_space(6.0);
            ui.add(Label::new(RichText::new(format!("On whose authority: {}", rule.authority())).weak()).wrap());
            ui.add(Label::new(RichText::new(format!("Weight: {}", rule.weight.words())).weak()).wrap());
            for other in rule.others_say {
                let words = format!("Others say: {}. {}", other.words, capital(other.source));
                ui.add(Label::new(RichText::new(words).weak()).wrap());
            }
            opened
        });
        if let Some(term) = opened.inner {
            self.page = GuidePage::Words(Some(term));
        }
    }

    fn all_rules(&mut self, ui: &mut Ui, voice: Voice, most: f32) {
        let keys = self.seek(ui, "Letters of a rule");
        let sought = self.sought.to_lowercase();
        let is_sought =
            |rule: &&Rule| Voice::ALL.iter().any(|of| rule.prose.title(*of).to_lowercase().contains(&sought));
        let found: Vec<&Rule> = rules::table().iter().copied().filter(is_sought).collect();
        let names: Vec<String> = found.iter().map(|rule| rule.prose.title(voice).to_owned()).collect();
        if let Some(rule) = self.opened(ui, &keys, &names, most).and_then(|number| found.get(number)) {
            self.page = GuidePage::Rules(Some(rule.id));
        }
    }

    fn word(&mut self, ui: &mut Ui, term: &'static Term) {
        ui.heading(capital(&term.term));
        if let Some(other) = explained(ui, &term.words) {
            self.page = GuidePage::Words(Some(other));
        }
        if !term.also.is_empty() {
            ui.weak(format!("Also: {}", term.also.join(", ")));
        }
    }

    fn all_words(&mut self, ui: &mut Ui, most: f32) {
        let keys = self.seek(ui, "Letters of a word");
        let sought = self.sought.to_lowercase();
        let fits = |term: &&Term| std::iter::once(&term.term).chain(&term.also).any(|form| form.contains(&sought));
        let found: Vec<&'static Term> = rules::glossary().iter().filter(fits).collect();
        let names: Vec<String> = found.iter().map(|term| capital(&term.term)).collect();
        if let Some(term) = self.opened(ui, &keys, &names, most).and_then(|number| found.get(number)) {
            self.page = GuidePage::Words(Some(term));
        }
    }

    /// The list below the field; the place of the line that is opened by click, or with Enter from the field.
    fn opened(&mut self, ui: &mut Ui, keys: &ListKeys, names: &[String], most: f32) -> Option<usize> {
        self.at = keys.from(self.at, names.len());
        let mut opened = keys.taken.then_some(self.at);
        ScrollArea::vertical().max_height(most).auto_shrink([false, true]).show(ui, |ui| {
            for (number, name) in names.iter().enumerate() {
                let line = Button::selectable(number == self.at, name);
                let line = ui.add(line.min_size(vec2(ui.available_width(), 0.0)).truncate());
                if number == self.at && keys.have_moved() {
                    line.scroll_to_me(None);
                }
                if line.clicked() {
                    opened = Some(number);
                }
            }
        });
        opened
    }

    /// Each crate in the program with its licence. Only the lines in view are laid out.
    fn licences(&mut self, ui: &mut Ui, most: f32) {
        let (about, crates) = licences::OF_CRATES.split_once("\n\n").unwrap_or(("", licences::OF_CRATES));
        ui.add(Label::new(about.replace('\n', " ")).wrap());
        self.seek(ui, "Letters of a crate or licence");
        let sought = self.sought.to_lowercase();
        let lines: Vec<&str> = crates.lines().filter(|line| line.to_lowercase().contains(&sought)).collect();
        let height = ui.text_style_height(&TextStyle::Body);
        ScrollArea::both().max_height(most).auto_shrink([false, true]).show_rows(
            ui,
            height,
            lines.len(),
            |ui, shown| {
                for line in &lines[shown] {
                    ui.add(Label::new(*line).extend());
                }
            },
        );
        ui.weak(format!("{} crates", lines.len()));
    }

    /// The field for letters, and the keys that are meant for the list below it.
    fn seek(&mut self, ui: &mut Ui, name: &str) -> ListKeys {
        let id = ui.scope_id().with(name);
        let has_keyboard = ui.ctx().memory(|memory| memory.has_focus(id));
        let keys = if has_keyboard { ListKeys::taken_from(ui) } else { ListKeys::default() };
        let edit = TextEdit::singleline(&mut self.sought).id(id).hint_text(name).desired_width(f32::INFINITY);
        let field = ui.add(edit);
        if field.changed() {
            self.at = 0;
        }
        let field = field.accessible_name(name);
        if !std::mem::replace(&mut self.asked, true) {
            field.request_focus();
        }
        keys
    }
}

fn program(ui: &mut Ui, most: f32) {
    ui.heading(format!("Loftwright {}", env!("CARGO_PKG_VERSION")));
    ScrollArea::vertical().max_height(most).show(ui, |ui| {
        ui.add(Label::new(concat!(env!("CARGO_PKG_DESCRIPTION"), ".")).wrap());
        ui.add_space(6.0);
        ui.label(RichText::new("What it cannot tell").strong());
        for caution in CAUTIONS {
            ui.add(Label::new(format!("• {caution}")).wrap());
        }
        ui.add_space(6.0);
        ui.label(RichText::new("Licence").strong());
        let licence = "Loftwright is free to use, change and pass on under the MIT licence or the Apache licence 2.0, \
                       as you choose. It comes without any warranty.";
        ui.add(Label::new(licence).wrap());
        ui.add_space(6.0);
        let kept =
            "Nothing that is drawn leaves this machine. What you choose, and copies of unsaved work, are kept in";
        let folder = crate::session::recovery::folder().map(|folder| folder.display().to_string());
        let folder = folder.unwrap_or_else(|| "no folder, since none could be found".to_owned());
        ui.add(Label::new(format!("{kept} {folder}.")).wrap());
    });
}
