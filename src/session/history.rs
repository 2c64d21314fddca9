//! History: whole layouts, shared, with a cursor; undo cannot disagree with the layout.

use std::sync::Arc;

use crate::layout::Layout;

/// Steps that are kept. A layout of a house takes tens of kilobytes, so this stays within some megabytes.
const KEPT: usize = 500;

/// The steps of an open layout.
pub struct History {
    steps: Vec<Step>,
    cursor: usize,
    saved: Option<usize>,
}

struct Step {
    /// What led here.
    label: String,
    layout: Arc<Layout>,
}

impl History {
    /// A history that begins with a layout as it is on disk.
    #[must_use]
    pub fn new(layout: Arc<Layout>) -> Self {
        Self { steps: vec![Step { label: String::new(), layout }], cursor: 0, saved: Some(0) }
    }

    /// Takes a further step; what was undone is forgotten.
    pub fn push(&mut self, label: &str, layout: Arc<Layout>) {
        self.steps.truncate(self.cursor + 1);
        if self.saved.is_some_and(|saved| saved > self.cursor) {
            self.saved = None;
        }
        self.steps.push(Step { label: label.to_owned(), layout });
        if self.steps.len() > KEPT {
            self.steps.remove(0);
            self.saved = self.saved.and_then(|saved| saved.checked_sub(1));
        }
        self.cursor = self.steps.len() - 1;
    }

    /// One step back.
    pub fn undo(&mut self) -> Option<Arc<Layout>> {
        self.cursor = self.cursor.checked_sub(1)?;
        Some(Arc::clone(&self.steps[self.cursor].layout))
    }

    /// One step forward.
    pub fn redo(&mut self) -> Option<Arc<Layout>> {
        let next = self.steps.get(self.cursor + 1)?;
        self.cursor += 1;
        Some(Arc::clone(&next.layout))
    }

    /// What one step back would take back.
    #[must_use]
    pub fn undo_label(&self) -> Option<&str> {
        (self.cursor > 0).then(|| self.steps[self.cursor].label.as_str())
    }

    /// What one step forward would make again.
    #[must_use]
    pub fn redo_label(&self) -> Option<&str> {
        self.steps.get(self.cursor + 1).map(|step| step.label.as_str())
    }

    /// The place in history that is on disk.
    pub const fn mark_saved(&mut self) {
        self.saved = Some(self.cursor);
    }

    /// No place in history is on disk: the file is gone, or there never was one.
    pub const fn mark_unsaved(&mut self) {
        self.saved = None;
    }

    /// Whether this place in history is on disk.
    #[must_use]
    pub fn is_saved(&self) -> bool {
        self.saved == Some(self.cursor)
    }
}
