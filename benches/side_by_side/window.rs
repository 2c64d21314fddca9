//! The window beside a bare one: each is opened by this program started anew, and tells what it cost.

use std::process::Command;
use std::time::{Duration, Instant};

use eframe::egui::{self, Context, Ui};
use loftwright::desk::{self, Desk};
use loftwright::session::Session;

use crate::growing;

/// As the first argument: open a window, `bare` or `ours`, and tell what it costs.
pub const SHOW: &str = "--show";
/// Frames that are drawn before the window closes.
const FRAMES: usize = 200;

/// What a window costs.
struct Cost {
    first_frame_s: f64,
    frame_s: f64,
    resident_mb: f64,
}

/// Prints the ratios, or that there is no display.
pub fn against_bare() {
    if std::env::var_os("DISPLAY").is_none() {
        println!("the windows: NOT TRIED, there is no display");
        return;
    }
    let (ours, bare) = (cost("ours"), cost("bare"));
    let tell = |what: &str, ours: f64, bare: f64, unit: &str| {
        println!("{what}: {ours:.3} {unit}, bare window: {bare:.3} {unit}, ratio {:.2}", ours / bare);
    };
    tell("start to first frame", ours.first_frame_s, bare.first_frame_s, "s");
    tell("frame", ours.frame_s * 1000.0, bare.frame_s * 1000.0, "ms");
    tell("resident memory", ours.resident_mb, bare.resident_mb, "MB");
}

/// The least of three starts.
fn cost(which: &str) -> Cost {
    let once = || {
        let program = std::env::current_exe().expect("this program");
        let ended = Command::new(program).args([SHOW, which]).output().expect("it starts");
        let (told, complaint) = (String::from_utf8_lossy(&ended.stdout), String::from_utf8_lossy(&ended.stderr));
        let mut numbers = told.split_whitespace().map(|word| word.parse::<f64>().expect("three numbers"));
        let mut next = || numbers.next().unwrap_or_else(|| panic!("the window '{which}' told '{told}': {complaint}"));
        Cost { first_frame_s: next(), frame_s: next(), resident_mb: next() }
    };
    let costs = [once(), once(), once()];
    let least = |of: fn(&Cost) -> f64| costs.iter().map(of).fold(f64::INFINITY, f64::min);
    Cost {
        first_frame_s: least(|cost| cost.first_frame_s),
        frame_s: least(|cost| cost.frame_s),
        resident_mb: least(|cost| cost.resident_mb),
    }
}

/// Opens the window that is asked for, draws [`FRAMES`] frames as fast as it can, and prints three numbers.
pub fn show(which: &str) {
    let begun = Instant::now();
    let is_ours = which == "ours";
    let mut options = if is_ours { desk::options() } else { eframe::NativeOptions::default() };
    options.glow_options.vsync = false;
    // A display that paints in software takes as long as the window is large.
    options.viewport = options.viewport.with_inner_size(desk::FIRST_SIZE);
    let make = move |creation: &eframe::CreationContext<'_>| {
        let inner: Box<dyn eframe::App> = if is_ours {
            desk::keep_the_heap();
            desk::set_up(&creation.egui_ctx);
            Box::new(Desk::new(Session::new(growing::largest())))
        } else {
            Box::new(Bare)
        };
        Ok(Box::new(Timed { inner, begun, first: None, frames: 0 }) as Box<dyn eframe::App>)
    };
    eframe::run_native("side by side", options, Box::new(make)).expect("there is a display");
}

/// A window with a line of text.
struct Bare;

impl eframe::App for Bare {
    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        ui.label("A bare window");
    }
}

/// Another window, timed.
struct Timed {
    inner: Box<dyn eframe::App>,
    begun: Instant,
    first: Option<Duration>,
    frames: usize,
}

impl eframe::App for Timed {
    fn logic(&mut self, ctx: &Context, frame: &mut eframe::Frame) {
        self.inner.logic(ctx, frame);
    }

    fn raw_input_hook(&mut self, ctx: &Context, raw_input: &mut egui::RawInput) {
        self.inner.raw_input_hook(ctx, raw_input);
    }

    fn clear_color(&self, visuals: &egui::Visuals) -> [f32; 4] {
        self.inner.clear_color(visuals)
    }

    fn ui(&mut self, ui: &mut Ui, frame: &mut eframe::Frame) {
        self.inner.ui(ui, frame);
        let first = *self.first.get_or_insert_with(|| self.begun.elapsed());
        self.frames += 1;
        if self.frames == FRAMES {
            let each = (self.begun.elapsed() - first).as_secs_f64() / (FRAMES - 1) as f64;
            println!("{} {} {}", first.as_secs_f64(), each, resident_mb());
            ui.ctx().send_viewport_cmd(egui::ViewportCommand::Close);
        }
        ui.ctx().request_repaint();
    }
}

/// Resident memory of this process, as Linux tells it.
fn resident_mb() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|line| line.starts_with("VmRSS:"));
    let kilobytes = line.and_then(|line| line.split_whitespace().nth(1)?.parse::<f64>().ok());
    kilobytes.map_or(f64::NAN, |kilobytes| kilobytes / 1024.0)
}
