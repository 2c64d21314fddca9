//! Writes down how long frames take, and how large the picture of letters is, for a window that is watched over hours.

use std::fs::File;
use std::io::{self, Write};
use std::path::Path;
use std::time::Instant;

use egui::{Context, Ui, Visuals};

use super::Desk;

/// Red, green, blue and how much of what lies behind is covered.
const BYTES_OF_PIXEL: usize = 4;

/// The window, watched.
pub struct Watched {
    desk: Desk,
    record: File,
    begun: Instant,
}

impl Watched {
    /// Watches a window, and writes a line to a file for each frame: seconds since the beginning, the time that the frame
    /// took, ms, painting included, and the size of the picture from which letters are painted, kB.
    ///
    /// # Errors
    /// When the file cannot be made.
    pub fn begin(desk: Desk, record: &Path) -> io::Result<Self> {
        let mut record = File::create(record)?;
        writeln!(record, "seconds,frame_ms,letters_kb")?;
        Ok(Self { desk, record, begun: Instant::now() })
    }
}

impl eframe::App for Watched {
    fn logic(&mut self, ctx: &Context, frame: &mut eframe::Frame) {
        eframe::App::logic(&mut self.desk, ctx, frame);
    }

    fn raw_input_hook(&mut self, ctx: &Context, raw_input: &mut egui::RawInput) {
        eframe::App::raw_input_hook(&mut self.desk, ctx, raw_input);
    }

    fn clear_color(&self, visuals: &Visuals) -> [f32; 4] {
        eframe::App::clear_color(&self.desk, visuals)
    }

    fn ui(&mut self, ui: &mut Ui, frame: &mut eframe::Frame) {
        eframe::App::ui(&mut self.desk, ui, frame);
        // What is told is of the frame before.
        let Some(frame_s) = frame.info().cpu_usage else { return };
        let [wide, high] = ui.fonts(|fonts| fonts.font_image_size());
        let letters_kb = wide * high * BYTES_OF_PIXEL / 1024;
        let (seconds, frame_ms) = (self.begun.elapsed().as_secs_f64(), frame_s * 1000.0);
        let written = writeln!(self.record, "{seconds:.3},{frame_ms:.3},{letters_kb}");
        if let Err(error) = written {
            log::warn!("the times of frames cannot be written down: {error}");
        }
    }
}
