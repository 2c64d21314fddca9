//! What a class is handed: for each learner a worksheet, an answer sheet and the layout; for all of them a key and a form.

use super::{Paper, answer_sheet, answers_form, worksheet};
use crate::file;
use crate::layout::Layout;
use crate::lesson::{Exercise, Key, Learner, Of, Planted, Repertoire, Wish};
use crate::rules::Profile;

/// The key to all exercises of a class, and the form to fill in and to mark.
pub const KEY_FILE: &str = "key.ron";
/// The form.
pub const FORM_FILE: &str = "answers.csv";

/// From what exercises are made.
#[derive(Debug, Clone)]
pub struct ClassPapers<'a> {
    /// The sound layout in which faults are planted.
    pub layout: &'a Layout,
    /// The profile that judges.
    pub profile: &'a Profile,
    /// What may be planted.
    pub of: &'a Of,
    /// How many.
    pub wish: Wish,
    /// The paper of worksheets and answer sheets.
    pub paper: Paper,
}

impl ClassPapers<'_> {
    /// Makes all files, and gives each by its name to `write`; the key to what was planted.
    ///
    /// # Errors
    /// Why nothing can be planted or printed, or what `write` says.
    pub fn make(
        &self,
        learners: &[Learner],
        mut write: impl FnMut(&str, &[u8]) -> Result<(), String>,
    ) -> Result<Key, String> {
        let repertoire = Repertoire::of(self.layout, self.profile, self.of).map_err(|error| error.to_string())?;
        let mut key = Key::new(&self.layout.heading.title, self.profile);
        for learner in learners {
            let planted = repertoire.plant(self.wish, learner.seed).map_err(|error| error.to_string())?;
            let exercise = Exercise::of(&planted, learner, &repertoire);
            self.of_one(&planted, &exercise, &mut write)?;
            key.exercises.push(exercise);
        }
        write(KEY_FILE, key.text().as_bytes())?;
        write(FORM_FILE, answers_form(&key).as_bytes())?;
        Ok(key)
    }

    fn of_one(
        &self,
        planted: &Planted,
        exercise: &Exercise,
        write: &mut impl FnMut(&str, &[u8]) -> Result<(), String>,
    ) -> Result<(), String> {
        let name = file_stem(exercise);
        let sheet = worksheet(&planted.layout, exercise, self.paper).map_err(|error| error.to_string())?;
        write(&format!("{name}-worksheet.pdf"), &sheet)?;
        let answers = answer_sheet(&planted.layout, &planted.findings, exercise, self.paper);
        write(&format!("{name}-answers.pdf"), &answers.map_err(|error| error.to_string())?)?;
        write(&format!("{name}{}", file::ENDING), file::write_text(&planted.layout).as_bytes())
    }
}

/// How the files of an exercise begin: a name as a file may be called; a number keeps apart what would be called alike.
#[must_use]
pub fn file_stem(exercise: &Exercise) -> String {
    let Learner { name: learner, seed, .. } = Learner::new(exercise.seed, &exercise.learner);
    match file::stem_of(&learner) {
        None => format!("exercise-{seed}"),
        Some(name) => format!("{name}-{:04}", seed % 10_000),
    }
}
