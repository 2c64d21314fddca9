//! The view *Lesson*: an exercise, a demonstration or sums under way, and the course record. Changes only by [`LessonAction`].

mod form;
mod marking;
mod papers;
mod plantable;
mod showing;
mod spot;
mod tape;

use std::path::{Path, PathBuf};

use egui::{Context, Pos2, Ui};

pub use form::ExerciseForm;
pub use marking::{Marking, PaperFile};
pub use papers::Papers;
use papers::Wanted;
pub use plantable::Plantable;
pub use showing::Showing;
pub use spot::Spot;

use super::canvas::{Canvas, Touch};
use super::typed_path::typed_path;
use super::{Action, Aspect, Command, Outlook, Playing};
use crate::file;
use crate::lesson::CourseRecord;
use crate::lesson::practice::{Earned, Question, Topic, questions};
use crate::session::{Session, course};
use crate::sheet;

/// A trial of a demonstration is played in so long, s, whatever time it tells of.
const PLAYED_IN_S: f64 = 12.0;
/// So many sums make a set.
const SUMS: u32 = 5;

/// A page of the view.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LessonPage {
    /// Spot the fault.
    #[default]
    Spot,
    /// Demonstrations.
    Demonstrations,
    /// Sums to practise.
    Sums,
    /// Papers that came back.
    Mark,
    /// The course record.
    Record,
}

impl LessonPage {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Spot, Self::Demonstrations, Self::Sums, Self::Mark, Self::Record];

    /// Its name.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Spot => "Spot the fault",
            Self::Demonstrations => "Demonstrations",
            Self::Sums => "Sums",
            Self::Mark => "Mark papers",
            Self::Record => "Record",
        }
    }
}

/// Something that the lesson's panel asks for.
#[derive(Debug, Clone, PartialEq)]
pub enum LessonAction {
    /// Begins an exercise as the form says.
    Begin,
    /// Adds what is filled in as a claim.
    Claim,
    /// Takes a claim back, by its place.
    TakeBack(usize),
    /// Takes the next hint.
    Hint,
    /// Hands in, to be marked.
    HandIn,
    /// Leaves the exercise or the demonstration.
    Leave,
    /// Opens a demonstration that ships, by its place.
    Show(usize),
    /// Opens the script whose path is filled in.
    ShowFile,
    /// Goes to a scene, by its place.
    Scene(usize),
    /// Plays the trial of a scene on, or holds it.
    Play(Playing),
    /// Draws a set of sums as the form says.
    Draw,
    /// Marks the answer to the sum in hand.
    CheckSum,
    /// Goes on to the next sum.
    NextSum,
    /// Writes the record as CSV to the path that is filled in.
    Export,
    /// Makes papers for a class as the form says.
    MakePapers,
    /// Finds out which faults can be planted in the open layout.
    FindPlantable,
    /// Reads key and answers once more, and marks them.
    MarkAgain,
    /// Adds the marks of the papers to the record.
    KeepMarks,
}

/// A set of sums under way.
#[derive(Debug, Clone, Default)]
pub struct Practice {
    /// What is practised, by its place among the topics.
    pub topic: usize,
    /// The number that chance starts from, as it was typed.
    pub seed: String,
    /// The questions.
    pub questions: Vec<Question>,
    /// The one in hand.
    pub number: usize,
    /// What is typed as its answer.
    pub answer: String,
    /// What it earned, once it is marked.
    pub earned: Option<Earned>,
    /// What was earned so far.
    pub got: i32,
}

/// The state of the view.
pub struct Lessons {
    /// The page in view.
    pub page: LessonPage,
    /// What is filled in for an exercise.
    pub form: ExerciseForm,
    /// The exercise under way.
    pub spot: Option<Spot>,
    /// Which faults can be planted.
    pub plantable: Plantable,
    /// Papers for a class.
    pub papers: Papers,
    /// Papers that have come back.
    pub marking: Marking,
    /// The demonstration under way.
    pub showing: Option<Showing>,
    /// The sums under way.
    pub practice: Practice,
    /// Path of a script, as it was typed.
    pub script_path: String,
    /// Path of the record's CSV, as it was typed.
    pub export_path: String,
    /// What came of the last thing that was asked for, where that needs words.
    pub said: String,
    /// The record as it stands.
    pub record: CourseRecord,
    /// The file of the record; none keeps it in memory alone.
    kept_in: Option<PathBuf>,
    canvas: Canvas,
    outlook: Outlook,
}

impl Default for Lessons {
    fn default() -> Self {
        Self {
            page: LessonPage::default(),
            form: ExerciseForm::default(),
            plantable: Plantable::default(),
            marking: Marking::default(),
            spot: None,
            papers: Papers::default(),
            showing: None,
            practice: Practice { seed: "1".to_owned(), ..Practice::default() },
            script_path: String::new(),
            export_path: "course.csv".to_owned(),
            said: String::new(),
            record: CourseRecord::default(),
            kept_in: None,
            canvas: Canvas::with(Touch::LooksOnly),
            outlook: Outlook { aspect: Aspect::Lesson, ..Outlook::default() },
        }
    }
}

impl Lessons {
    /// Keeps the record in a file from now on, and shows what is in it.
    pub fn keep_record_in(&mut self, path: PathBuf) {
        match course::read(&path) {
            Ok(record) => self.record = record,
            Err(reason) => self.said = reason,
        }
        self.kept_in = Some(path);
    }

    /// The file of the record.
    #[must_use]
    pub fn kept_in(&self) -> Option<&PathBuf> {
        self.kept_in.as_ref()
    }

    /// The folder in which papers and their key are likely to be.
    #[must_use]
    pub(in crate::desk) fn folder_of_papers(&self) -> Option<PathBuf> {
        let made_in = || Some(self.papers.folder.trim()).filter(|folder| !folder.is_empty()).map(typed_path);
        self.marking.folder().map(Path::to_owned).or_else(made_in)
    }

    /// Whether it has a drawing of its own in view.
    #[must_use]
    pub const fn has_drawing(&self) -> bool {
        match self.page {
            LessonPage::Spot => self.spot.is_some(),
            LessonPage::Demonstrations => self.showing.is_some(),
            LessonPage::Sums | LessonPage::Mark | LessonPage::Record => false,
        }
    }

    /// How far the trial of a demonstration has been played.
    #[must_use]
    pub const fn playing(&self) -> Playing {
        self.outlook.playing
    }

    /// The part that is selected on its drawing.
    #[must_use]
    pub const fn selected(&self) -> Option<&crate::layout::Id> {
        self.outlook.selected.as_ref()
    }

    /// Shows its drawing. Whatever would change the layout is let go.
    pub fn drawing(&mut self, ui: &mut Ui) {
        let mut asked = Vec::new();
        let (session, played) = match (self.page, &self.spot, &self.showing) {
            (LessonPage::Spot, Some(spot), _) => (&spot.session, None),
            (LessonPage::Demonstrations, _, Some(showing)) => (&showing.session, showing.played.as_ref()),
            _ => return,
        };
        self.canvas.ui(ui, session, &self.outlook, played, &mut asked);
        let clicked = ui.input(|input| input.pointer.primary_clicked().then(|| input.pointer.interact_pos()).flatten());
        let view = self.canvas.view;
        // A list that lies over the drawing takes its own clicks.
        let on_drawing = |at: &Pos2| view.rect.contains(*at) && ui.ctx().layer_id_at(*at) == Some(ui.layer_id());
        let at = clicked.filter(on_drawing).map(|at| view.section_from_screen(at));
        for action in asked {
            if let Action::Select(part) = action {
                self.outlook.selected = part;
            }
        }
        if let (LessonPage::Spot, Some(spot)) = (self.page, &mut self.spot) {
            if let Some(at) = at {
                let snapped = self.canvas.snapped_at(&spot.session, at);
                spot.clicked(at, snapped, self.outlook.selected.as_ref());
            } else if self.outlook.selected.as_ref().is_some_and(|part| spot.part.as_ref() != Some(part)) {
                spot.part_chosen(self.outlook.selected.clone());
            }
            if spot.tape.in_hand {
                // What the tape is held at is not what is marked next.
                self.outlook.selected = None;
            }
            spot.paint(ui, &view);
        }
    }

    /// A trial that plays goes on a little in each frame, and time is shown as it passes.
    pub fn tick(&mut self, ctx: &Context) {
        let playing = &mut self.outlook.playing;
        if playing.runs && self.page == LessonPage::Demonstrations {
            let frame_s = ctx.input(|input| f64::from(input.stable_dt));
            playing.share = (playing.share + frame_s / PLAYED_IN_S).min(1.0);
            playing.runs = playing.share < 1.0;
            ctx.request_repaint();
        }
        if let Some(ended) = self.papers.ended() {
            self.said = ended.unwrap_or_else(|reason| reason);
        }
        self.plantable.hear();
        let now_s = ctx.input(|input| input.time);
        self.spot.iter_mut().for_each(|spot| spot.shown(now_s));
        if self.page == LessonPage::Spot && self.spot.as_ref().is_some_and(|spot| spot.timed && spot.marks.is_none()) {
            ctx.request_repaint_after(std::time::Duration::from_millis(500));
        }
    }

    /// Takes a command that would otherwise act on what is behind its drawing; says whether it did.
    pub fn takes(&mut self, command: Command) -> bool {
        if !self.has_drawing() {
            return false;
        }
        match command {
            Command::Fit => self.canvas.fit_wanted = true,
            Command::ZoomIn => self.canvas.zoom_in(),
            Command::ZoomOut => self.canvas.zoom_out(),
            Command::RevealMore => self.step(1),
            Command::RevealLess => self.step(-1),
            Command::Undo | Command::Redo | Command::Delete | Command::NextPart | Command::PreviousPart => {}
            Command::Escape => {
                if let Some(spot) = &mut self.spot {
                    spot.tape.give_up();
                }
            }
            _ => return false,
        }
        true
    }

    fn step(&mut self, by: isize) {
        if let Some(showing) = &self.showing
            && let Some(scene) = showing.number.checked_add_signed(by)
        {
            self.go_to(scene);
        }
    }

    /// Does what was asked.
    pub fn act(&mut self, ctx: &Context, action: LessonAction, open: &Session) {
        let now_s = ctx.input(|input| input.time);
        self.said.clear();
        let done = match action {
            LessonAction::Begin => self.begin(open),
            LessonAction::Claim => {
                self.claim();
                Ok(())
            }
            LessonAction::TakeBack(number) => {
                self.spot.iter_mut().for_each(|spot| spot.take_back(number));
                Ok(())
            }
            LessonAction::Hint => {
                self.spot.iter_mut().for_each(Spot::take_hint);
                Ok(())
            }
            LessonAction::HandIn => self.hand_in(now_s),
            LessonAction::Leave => {
                match self.page {
                    LessonPage::Demonstrations => self.showing = None,
                    _ => self.spot = None,
                }
                Ok(())
            }
            LessonAction::Show(number) => Showing::shipped(number).map(|showing| self.show(showing)),
            LessonAction::ShowFile => {
                let path = typed_path(&self.script_path);
                Showing::read(&path).map(|showing| self.show(showing))
            }
            LessonAction::Scene(scene) => {
                self.go_to(scene);
                Ok(())
            }
            LessonAction::Play(playing) => {
                self.outlook.playing = playing;
                Ok(())
            }
            LessonAction::Draw => self.draw(),
            LessonAction::CheckSum => {
                self.check_sum();
                Ok(())
            }
            LessonAction::NextSum => {
                self.practice.number += 1;
                (self.practice.earned, self.practice.answer) = (None, String::new());
                Ok(())
            }
            LessonAction::Export => self.export(),
            LessonAction::MakePapers => self.make_papers(ctx, open),
            LessonAction::FindPlantable => {
                self.plantable.begin(ctx, open);
                Ok(())
            }
            LessonAction::MarkAgain => self.marking.read().map(|said| self.said = said),
            LessonAction::KeepMarks => self.keep_marks(),
        };
        if let Err(reason) = done {
            self.said = reason;
        }
    }

    fn make_papers(&mut self, ctx: &Context, open: &Session) -> Result<(), String> {
        let (of, wish) = self.form.wanted();
        let seed = number(&self.form.seed)?;
        let (layout, profile) = (open.layout().clone(), open.profile().clone());
        self.papers.begin(ctx, Wanted { layout, profile, of, wish, seed })
    }

    fn begin(&mut self, open: &Session) -> Result<(), String> {
        let seed = number(&self.form.seed)?;
        let (of, wish) = self.form.wanted();
        let mut spot = Spot::begin(open, &of, wish, seed, &self.form.name)?;
        spot.timed = self.form.timed;
        self.spot = Some(spot);
        self.outlook = Outlook { aspect: Aspect::Lesson, ..Outlook::default() };
        self.fresh_canvas();
        Ok(())
    }

    fn claim(&mut self) {
        if let Some(spot) = &mut self.spot {
            spot.claim();
        }
        self.outlook.selected = None;
    }

    fn hand_in(&mut self, now_s: f64) -> Result<(), String> {
        let Some(spot) = &mut self.spot else { return Ok(()) };
        let attempt = spot.hand_in(now_s, &course::today());
        // The drawing has its marks back.
        self.outlook.aspect = Aspect::SetOut;
        self.outlook.selected = None;
        self.record.attempts.push(attempt.clone());
        self.kept_in.as_ref().map_or(Ok(()), |path| course::add(path, [attempt]))
    }

    fn keep_marks(&mut self) -> Result<(), String> {
        let Some(returned) = self.marking.returned.as_ref().filter(|_| !self.marking.is_kept) else { return Ok(()) };
        let attempts = returned.attempts();
        if let Some(path) = &self.kept_in {
            course::add(path, attempts.clone())?;
        }
        self.record.attempts.extend(attempts);
        self.marking.is_kept = true;
        Ok(())
    }

    fn show(&mut self, showing: Showing) {
        self.showing = Some(showing);
        self.go_to(0);
    }

    fn go_to(&mut self, scene: usize) {
        let Some(showing) = &mut self.showing else { return };
        if showing.go_to(scene) {
            let near = showing.spoken_of();
            self.outlook = showing.outlook();
            self.fresh_canvas();
            self.canvas.near_wanted = near;
        }
    }

    /// What stood on the drawing before holds no longer.
    fn fresh_canvas(&mut self) {
        self.canvas.give_up();
        self.canvas.forget_layout();
        self.canvas.fit_wanted = true;
    }

    fn draw(&mut self) -> Result<(), String> {
        let seed = number(&self.practice.seed)?;
        let topic = Topic::ALL.get(self.practice.topic).copied().unwrap_or(Topic::VentRise);
        let questions = questions(topic, SUMS, seed);
        self.practice =
            Practice { questions, seed: seed.to_string(), topic: self.practice.topic, ..Practice::default() };
        Ok(())
    }

    fn check_sum(&mut self) {
        let practice = &mut self.practice;
        if let (Some(question), None) = (practice.questions.get(practice.number), practice.earned) {
            let earned = question.mark(&practice.answer);
            practice.got += earned.sum();
            practice.earned = Some(earned);
        }
    }

    fn export(&mut self) -> Result<(), String> {
        let path = typed_path(&self.export_path);
        file::hand_over(&path, sheet::record_csv(&self.record).as_bytes()).map_err(|error| error.to_string())?;
        let whole = std::path::absolute(&path).unwrap_or(path);
        self.said = format!("Written to '{}'", whole.display());
        Ok(())
    }
}

fn number(text: &str) -> Result<u64, String> {
    text.trim().parse().map_err(|_| format!("'{}' is no whole number; type one such as 7", text.trim()))
}
