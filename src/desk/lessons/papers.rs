//! Papers for a class, made beside the window: worksheets, answer sheets and the key, into a folder.

use std::fs;
use std::path::Path;
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::thread;

use egui::Context;

use crate::desk::typed_path::typed_path;
use crate::file;
use crate::layout::Layout;
use crate::lesson::{Learner, Of, Wish, class_of};
use crate::rules::Profile;
use crate::sheet::{ClassPapers, Paper};

/// Papers that are being made.
#[derive(Default)]
pub struct Papers {
    /// Path of the list of names, as it was typed; empty for one sheet without a name.
    pub names: String,
    /// Path of the folder, as it was typed.
    pub folder: String,
    under_way: Option<Receiver<Result<String, String>>>,
}

/// What exercises are made from.
pub(super) struct Wanted {
    pub layout: Layout,
    pub profile: Profile,
    pub of: Of,
    pub wish: Wish,
    pub seed: u64,
}

impl Papers {
    /// Whether they can be asked for now.
    #[must_use]
    pub fn can_begin(&self) -> bool {
        self.under_way.is_none() && !self.folder.trim().is_empty()
    }

    /// Begins to make them; the window goes on meanwhile.
    pub(super) fn begin(&mut self, ctx: &Context, wanted: Wanted) -> Result<(), String> {
        let folder = typed_path(&self.folder);
        let learners = match self.names.trim() {
            "" => vec![Learner::new(wanted.seed, "")],
            path => {
                let text = file::read_text(&typed_path(path)).map_err(|error| error.to_string())?;
                class_of(&text, wanted.seed).map_err(|reason| format!("{path}, {reason}"))?
            }
        };
        let (tell, heard) = channel();
        self.under_way = Some(heard);
        let ctx = ctx.clone();
        thread::spawn(move || {
            // Nobody listens any more once the window has been closed.
            let _ = tell.send(made(&wanted, &learners, &folder));
            ctx.request_repaint();
        });
        Ok(())
    }

    /// What came of them, once.
    pub(super) fn ended(&mut self) -> Option<Result<String, String>> {
        let ended = match self.under_way.as_ref()?.try_recv() {
            Ok(ended) => ended,
            Err(TryRecvError::Empty) => return None,
            Err(TryRecvError::Disconnected) => Err("the papers were not finished; try once more".to_owned()),
        };
        self.under_way = None;
        Some(ended)
    }

    /// Whether they are being made.
    #[must_use]
    pub const fn is_under_way(&self) -> bool {
        self.under_way.is_some()
    }
}

fn made(wanted: &Wanted, learners: &[Learner], folder: &Path) -> Result<String, String> {
    let Wanted { layout, profile, of, wish, .. } = wanted;
    let papers = ClassPapers { layout, profile, of, wish: *wish, paper: Paper::A3 };
    let key = papers.make(learners, |name, bytes| {
        fs::create_dir_all(folder).map_err(|error| format!("{} cannot be made: {error}", folder.display()))?;
        file::hand_over(&folder.join(name), bytes).map_err(|error| error.to_string())
    })?;
    let whole = std::path::absolute(folder).unwrap_or_else(|_| folder.to_owned());
    let exercises = match key.exercises.len() {
        1 => "1 exercise".to_owned(),
        count => format!("{count} exercises"),
    };
    Ok(format!("{exercises} with worksheet and answers, and the key, are in '{}'", whole.display()))
}
