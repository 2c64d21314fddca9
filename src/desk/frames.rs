//! Writes down how long frames take, for a window that is watched over hours.

use std::fs::File;
use std::io::{self, Write};
use std::path::Path;
use std::time::{Duration, Instant};

use egui::{Context, Ui};

use super::Desk;

/// The frames of so long share a line.
const SPAN: Duration = Duration::from_secs(10);

/// The window, watched.
pub struct Watched {
    desk: Desk,
    record: File,
    begun: Instant,
    span: Span,
}

/// The frames since the last line.
struct Span {
    since: Instant,
    frames: u32,
    taken_s: f32,
    longest_s: f32,
}

impl Span {
    fn begin() -> Self {
        Self { since: Instant::now(), frames: 0, taken_s: 0.0, longest_s: 0.0 }
    }
}

impl Watched {
    /// Watches a window, and writes a line to a file every ten seconds in which there are frames: seconds since the
    /// beginning, frames, and the mean and the longest time that one took, ms, painting included.
    ///
    /// # Errors
    /// When the file cannot be made.
    pub fn begin(desk: Desk, record: &Path) -> io::Result<Self> {
        let mut record = File::create(record)?;
        writeln!(record, "seconds,frames,mean_ms,longest_ms")?;
        Ok(Self { desk, record, begun: Instant::now(), span: Span::begin() })
    }

    fn note(&mut self, frame_s: f32) {
        let span = &mut self.span;
        (span.frames, span.taken_s) = (span.frames + 1, span.taken_s + frame_s);
        span.longest_s = span.longest_s.max(frame_s);
        if span.since.elapsed() < SPAN {
            return;
        }
        let (seconds, mean_ms) = (self.begun.elapsed().as_secs(), span.taken_s / span.frames as f32 * 1000.0);
        let written = writeln!(self.record, "{seconds},{},{mean_ms:.3},{:.3}", span.frames, span.longest_s * 1000.0);
        if let Err(error) = written {
            log::warn!("the times of frames cannot be written down: {error}");
        }
        self.span = Span::begin();
    }
}

impl eframe::App for Watched {
    fn logic(&mut self, ctx: &Context, frame: &mut eframe::Frame) {
        eframe::App::logic(&mut self.desk, ctx, frame);
    }

    fn ui(&mut self, ui: &mut Ui, frame: &mut eframe::Frame) {
        eframe::App::ui(&mut self.desk, ui, frame);
        // What is told is of the frame before.
        if let Some(frame_s) = frame.info().cpu_usage {
            self.note(frame_s);
        }
    }
}
