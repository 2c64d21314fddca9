//! The view *Sheet*: the pages as they will be handed over, and what can be chosen about them.

use egui::{Color32, ColorImage, ProgressBar, Rect, Sense, TextureHandle, TextureOptions, Ui, WidgetInfo, pos2, vec2};

use super::words::{line, weak};
use crate::desk::exporting::{Export, Form};
use crate::desk::handing::{Handing, Sought, page_terms};
use crate::desk::{Action, Aspect, Command, Outlook};
use crate::rules::{Profile, Voice};
use crate::session::Session;
use crate::session::settings::{HandOver, Handed, PaperSize};
use crate::sheet::pages::{Pages, Terms, What};
use crate::sheet::pixels;

/// Scales that are offered; others can be given on the command line.
const SCALES: [u16; 3] = [10, 20, 50];
/// Desk around the paper, in points.
const AROUND: f32 = 18.0;
/// Resolutions that are offered, in pixels to the inch.
const RESOLUTIONS: [u16; 4] = [96, 150, 300, 600];

/// The pages, laid out anew only when something about them has changed.
#[derive(Default)]
pub struct Preview {
    /// The page that is shown, from nought.
    pub page: usize,
    laid_out: Option<(Wanted, Pages)>,
    painted: Option<(usize, u32, Result<TextureHandle, String>)>,
}

#[derive(PartialEq)]
struct Wanted {
    revision: u64,
    profile: Profile,
    what: What,
    terms: Terms,
}

const fn what(chosen: &HandOver) -> What {
    match chosen.handed {
        Handed::Drawing => What::Drawing,
        Handed::Report => What::Report,
    }
}

/// What the pages hold, their paper, scale and reading; what is chosen then.
fn page_choices(ui: &mut Ui, outlook: &Outlook, actions: &mut Vec<Action>) -> HandOver {
    let mut chosen = outlook.settings.hand_over.clone();
    ui.horizontal_wrapped(|ui| {
        ui.selectable_value(&mut chosen.handed, Handed::Drawing, "Drawing");
        ui.selectable_value(&mut chosen.handed, Handed::Report, "Report");
    });
    ui.add_space(6.0);
    ui.label("Paper of the drawing");
    ui.horizontal_wrapped(|ui| {
        ui.selectable_value(&mut chosen.paper, PaperSize::A4, "A4");
        ui.selectable_value(&mut chosen.paper, PaperSize::A3, "A3");
    });
    ui.label("Scale");
    ui.horizontal_wrapped(|ui| {
        ui.selectable_value(&mut chosen.scale, None, "Fit");
        for scale in SCALES {
            ui.selectable_value(&mut chosen.scale, Some(scale), format!("1:{scale}"));
        }
    });
    ui.label("Reading");
    ui.horizontal_wrapped(|ui| {
        for voice in Voice::ALL {
            if ui.selectable_label(outlook.voice == voice, voice.heading()).clicked() {
                actions.push(Action::Command(Command::Reading(voice)));
            }
        }
    });
    if chosen != outlook.settings.hand_over {
        actions.push(Action::Hand(Handing::Choose(chosen.clone())));
    }
    chosen
}

/// The buttons that write files.
fn hand_over(ui: &mut Ui, chosen: HandOver, export: Option<&Export>, actions: &mut Vec<Action>) {
    ui.heading("Hand over");
    let forms: &[Form] = match chosen.handed {
        Handed::Drawing => &[Form::DrawingPdf, Form::DrawingSvg, Form::DrawingPng, Form::DrawingDxf],
        Handed::Report => &[Form::ReportPdf, Form::ReportHtml, Form::ReportMarkdown],
    };
    for form in forms {
        if ui.add_enabled(export.is_none(), egui::Button::new(form.name())).clicked() {
            actions.push(Action::Hand(Handing::Seek(Sought::Export(*form))));
        }
    }
    if chosen.handed == Handed::Report {
        return;
    }
    let mut dpi = chosen.dpi;
    ui.label("Pixels to the inch of a PNG");
    ui.horizontal_wrapped(|ui| {
        for resolution in RESOLUTIONS {
            ui.selectable_value(&mut dpi, resolution, resolution.to_string());
        }
    });
    if dpi != chosen.dpi {
        actions.push(Action::Hand(Handing::Choose(HandOver { dpi, ..chosen })));
    }
    weak(ui, "SVG and PNG hold the page that is shown; PDF holds all; DXF is in millimetres, without a sheet.");
}

impl Preview {
    fn pages(&mut self, session: &Session, outlook: &Outlook) -> &Pages {
        let wanted = Wanted {
            revision: session.revision(),
            profile: session.profile().clone(),
            what: what(&outlook.settings.hand_over),
            terms: page_terms(&outlook.settings, outlook.voice),
        };
        if self.laid_out.as_ref().is_none_or(|(of, _)| *of != wanted) {
            let pages = Pages::of(session.layout(), &wanted.profile, wanted.what, wanted.terms);
            self.page = self.page.min(pages.count().saturating_sub(1));
            self.laid_out = Some((wanted, pages));
            self.painted = None;
        }
        &self.laid_out.as_ref().expect("they have just been laid out").1
    }

    /// What can be chosen, and the buttons that write files.
    pub fn choices(
        &mut self,
        ui: &mut Ui,
        session: &Session,
        outlook: &Outlook,
        export: Option<&Export>,
        actions: &mut Vec<Action>,
    ) {
        ui.heading(Aspect::Sheet.name(outlook.voice));
        if session.layout().parts().next().is_none() {
            let set_out = Aspect::SetOut.name(outlook.voice);
            weak(
                ui,
                format!("Nothing is drawn yet: the page is empty. Draw it in {set_out}, or begin from answers (File)."),
            );
        }
        let chosen = page_choices(ui, outlook, actions);
        ui.add_space(6.0);
        self.turning(ui, session, outlook);
        ui.separator();
        hand_over(ui, chosen, export, actions);
        progress(ui, export, actions);
    }

    /// Which page, and the way to the others.
    fn turning(&mut self, ui: &mut Ui, session: &Session, outlook: &Outlook) {
        let count = self.pages(session, outlook).count();
        ui.horizontal_wrapped(|ui| {
            if ui.add_enabled(self.page > 0, egui::Button::new("Page before")).clicked() {
                self.page -= 1;
            }
            if ui.add_enabled(self.page + 1 < count, egui::Button::new("Next page")).clicked() {
                self.page += 1;
            }
        });
        line(ui, format!("Page {} of {count}", self.page + 1));
    }

    /// The page on the desk, as large as there is room.
    pub fn paper(&mut self, ui: &mut Ui, session: &Session, outlook: &Outlook) {
        let whole = ui.available_rect_before_wrap();
        let response = ui.allocate_rect(whole, Sense::hover());
        let page = self.page;
        let Some((wide, high)) = self.pages(session, outlook).size_mm(page) else { return };
        response.widget_info(|| {
            WidgetInfo::labeled(egui::Role::Image, true, format!("Page {} as it is printed", page + 1))
        });
        ui.painter().rect_filled(whole, 0.0, ui.visuals().extreme_bg_color.gamma_multiply(0.85));
        let room = whole.shrink(AROUND);
        let points_per_mm = (room.width() / wide as f32).min(room.height() / high as f32);
        if points_per_mm <= 0.0 {
            return;
        }
        let size = vec2(wide as f32, high as f32) * points_per_mm;
        let at = Rect::from_center_size(room.center(), size);
        let longest_side = ui.input(|input| input.max_texture_side) as f32;
        let pixels_per_mm =
            (points_per_mm * ui.ctx().pixels_per_point()).min((longest_side - 1.0) / wide.max(high) as f32);
        ui.painter().rect_filled(at.translate(vec2(3.0, 3.0)), 0.0, Color32::from_black_alpha(60));
        match self.texture(ui, pixels_per_mm) {
            Some(Ok(texture)) => {
                let all = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
                ui.painter().image(texture.id(), at, all, Color32::WHITE);
            }
            Some(Err(reason)) => drop(ui.put(room, egui::Label::new(reason.as_str()))),
            None => {}
        }
    }

    fn texture(&mut self, ui: &Ui, pixels_per_mm: f32) -> Option<&Result<TextureHandle, String>> {
        let fineness = (pixels_per_mm * 100.0).round() as u32;
        let stands = self.painted.as_ref().is_some_and(|(page, at, _)| *page == self.page && *at == fineness);
        if !stands {
            let svg = self.laid_out.as_ref()?.1.svg(self.page)?;
            let picture = pixels(&svg, f64::from(pixels_per_mm));
            let texture = picture.map(|picture| {
                // Sheets are opaque, so their bytes need no reckoning with what lies behind.
                let image = ColorImage::from_rgba_premultiplied(picture.size, &picture.rgba);
                ui.ctx().load_texture("page", image, TextureOptions::LINEAR)
            });
            let texture = texture.map_err(|error| format!("This page cannot be shown: {error}"));
            self.painted = Some((self.page, fineness, texture));
        }
        self.painted.as_ref().map(|(.., texture)| texture)
    }
}

/// How far the file under way is, and the button that calls it off.
pub fn progress(ui: &mut Ui, export: Option<&Export>, actions: &mut Vec<Action>) {
    if let Some(export) = export {
        ui.add_space(6.0);
        ui.add(ProgressBar::new(export.share).text(export.doing));
        if ui.button("Cancel").on_hover_text("Make no file").clicked() {
            actions.push(Action::Hand(Handing::CallOff));
        }
    }
}
