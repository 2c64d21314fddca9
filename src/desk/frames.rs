//! Writes down how long frames take, for a window that is watched over hours.

use std::fs::File;
use std::io::{self, Write};
use std::path::Path;
use std::time::Instant;

use egui::{Context, Ui};

use super::Desk;

/// The window, watched.
pub struct Watched {
    desk: Desk,
    record: File,
    begun: Instant,
}

impl Watched {
    /// Watches a window, and writes a line to a file for each frame: seconds since the beginning, and the time that the
    /// frame took, ms, painting included.
    ///
    /// # Errors
    /// When the file cannot be made.
    pub fn begin(desk: Desk, record: &Path) -> io::Result<Self> {
        let mut record = File::create(record)?;
        writeln!(record, "seconds,frame_ms")?;
        Ok(Self { desk, record, begun: Instant::now() })
    }
}

impl eframe::App for Watched {
    fn logic(&mut self, ctx: &Context, frame: &mut eframe::Frame) {
        eframe::App::logic(&mut self.desk, ctx, frame);
    }

    fn ui(&mut self, ui: &mut Ui, frame: &mut eframe::Frame) {
        eframe::App::ui(&mut self.desk, ui, frame);
        // What is told is of the frame before.
        let Some(frame_s) = frame.info().cpu_usage else { return };
        let written = writeln!(self.record, "{:.3},{:.3}", self.begun.elapsed().as_secs_f64(), frame_s * 1000.0);
        if let Err(error) = written {
            log::warn!("the times of frames cannot be written down: {error}");
        }
    }
}
