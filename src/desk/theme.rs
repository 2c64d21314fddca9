//! Fonts and colours of the window: paper, ink, a water tint and a red pencil, light and dark.

use egui::{Color32, CornerRadius, FontFamily, FontId, Stroke, TextStyle, Theme, Visuals, vec2};

use crate::rules::Verdict;
use crate::scene::Ink;

/// Gives a context fonts, text sizes and both sets of colours.
pub fn set_up(ctx: &egui::Context) {
    let mut fonts = egui::FontDefinitions::default();
    if let Some(family) = fonts.families.get_mut(&FontFamily::Proportional) {
        // The proportional face has no arrows and no solid shapes.
        family.push("Hack".to_owned());
    }
    ctx.set_fonts(fonts);
    ctx.all_styles_mut(|style| {
        let size = |points| FontId::new(points, FontFamily::Proportional);
        style.text_styles.insert(TextStyle::Small, size(12.0));
        style.text_styles.insert(TextStyle::Body, size(14.0));
        style.text_styles.insert(TextStyle::Button, size(14.0));
        style.text_styles.insert(TextStyle::Heading, size(17.0));
        style.text_styles.insert(TextStyle::Monospace, FontId::new(12.5, FontFamily::Monospace));
        style.spacing.item_spacing = vec2(6.0, 5.0);
        style.spacing.button_padding = vec2(7.0, 3.0);
        style.spacing.interact_size.y = 24.0;
        style.spacing.scroll = egui::style::ScrollStyle::solid();
        style.spacing.scroll.bar_width = 8.0;
        style.spacing.tooltip_width = 340.0;
        // A pop-up or panel is there at once; nothing moves by itself.
        style.animation_time = 0.0;
        style.interaction.selectable_labels = false;
    });
    ctx.set_visuals_of(Theme::Light, visuals(Theme::Light));
    ctx.set_visuals_of(Theme::Dark, visuals(Theme::Dark));
    ctx.options_mut(|options| {
        options.zoom_with_keyboard = false;
        // Quitting goes through the same question as every other way of closing.
        options.quit_shortcuts.clear();
        options.fallback_theme = Theme::Light;
    });
}

/// The colours that the section and the panels share.
#[derive(Debug, Clone, Copy)]
pub struct Palette {
    /// The sheet that is drawn on.
    pub paper: Color32,
    /// Panels around it.
    pub card: Color32,
    /// Outlines and words.
    pub ink: Color32,
    /// What stands back.
    pub faint: Color32,
    /// What is selected.
    pub select: Color32,
    /// Something that snaps, a ghost, a run being drawn.
    pub guide: Color32,
    /// A breach.
    pub red_pencil: Color32,
    /// Marginal or unknown.
    pub grey_pencil: Color32,
    /// Met.
    pub met: Color32,
}

const LIGHT: Palette = Palette {
    paper: Color32::from_rgb(0xFB, 0xF9, 0xF3),
    card: Color32::from_rgb(0xEF, 0xEC, 0xE2),
    ink: Color32::from_rgb(0x26, 0x2B, 0x33),
    faint: Color32::from_rgb(0x6E, 0x72, 0x78),
    select: Color32::from_rgb(0x1F, 0x5F, 0x8B),
    guide: Color32::from_rgb(0x2E, 0x7D, 0x6B),
    red_pencil: Color32::from_rgb(0xB8, 0x1E, 0x1E),
    grey_pencil: Color32::from_rgb(0x6B, 0x5A, 0x33),
    met: Color32::from_rgb(0x35, 0x6A, 0x3A),
};

const DARK: Palette = Palette {
    paper: Color32::from_rgb(0x1D, 0x21, 0x26),
    card: Color32::from_rgb(0x27, 0x2C, 0x32),
    ink: Color32::from_rgb(0xE6, 0xE2, 0xD6),
    faint: Color32::from_rgb(0x9A, 0x9E, 0xA3),
    select: Color32::from_rgb(0x7F, 0xBF, 0xE8),
    guide: Color32::from_rgb(0x74, 0xCB, 0xB4),
    red_pencil: Color32::from_rgb(0xFF, 0x8A, 0x80),
    grey_pencil: Color32::from_rgb(0xD8, 0xC0, 0x86),
    met: Color32::from_rgb(0x93, 0xCF, 0x96),
};

impl Palette {
    /// The colours in force.
    #[must_use]
    pub fn of(visuals: &Visuals) -> Self {
        if visuals.dark_mode { DARK } else { LIGHT }
    }

    /// The colour of a role.
    #[must_use]
    pub fn ink(&self, ink: Ink) -> Color32 {
        let dark = self.paper == DARK.paper;
        let pick = |light: [u8; 3], in_dark: [u8; 3]| {
            let [red, green, blue] = if dark { in_dark } else { light };
            Color32::from_rgb(red, green, blue)
        };
        match ink {
            Ink::Paper => self.paper,
            Ink::Ink => self.ink,
            Ink::Faint => self.faint,
            Ink::Timber => pick([0xD9, 0xBE, 0x92], [0x7A, 0x62, 0x3F]),
            Ink::Water => pick([0xA9, 0xD3, 0xE8], [0x2B, 0x5E, 0x7C]),
            Ink::HotWater => pick([0xE9, 0xA9, 0x8C], [0x8A, 0x45, 0x33]),
            Ink::PrimaryWater => pick([0xC9, 0xA6, 0xD6], [0x68, 0x4A, 0x78]),
            Ink::Lagging => pick([0xE8, 0xDD, 0xA6], [0x5E, 0x57, 0x33]),
            Ink::RedPencil => self.red_pencil,
            Ink::GreyPencil => self.grey_pencil,
        }
    }

    /// The colour of a verdict's words; its shape tells the same without colour.
    #[must_use]
    pub const fn verdict(&self, verdict: Verdict) -> Color32 {
        match verdict {
            Verdict::Breach => self.red_pencil,
            Verdict::Marginal | Verdict::Unknown => self.grey_pencil,
            Verdict::Meets => self.met,
        }
    }
}

fn visuals(theme: Theme) -> Visuals {
    let (mut visuals, palette) = match theme {
        Theme::Light => (Visuals::light(), LIGHT),
        Theme::Dark => (Visuals::dark(), DARK),
    };
    let step = |share: f32| palette.card.lerp_to_gamma(palette.ink, share);
    visuals.panel_fill = palette.card;
    visuals.window_fill = palette.card;
    visuals.extreme_bg_color = palette.paper;
    visuals.faint_bg_color = step(0.04);
    visuals.window_stroke = Stroke::new(1.0, step(0.35));
    visuals.window_corner_radius = CornerRadius::same(4);
    visuals.menu_corner_radius = CornerRadius::same(4);
    visuals.error_fg_color = palette.red_pencil;
    visuals.warn_fg_color = palette.grey_pencil;
    visuals.hyperlink_color = palette.select;
    visuals.weak_text_color = Some(palette.faint.lerp_to_gamma(palette.ink, 0.25));
    visuals.selection.bg_fill = palette.select.lerp_to_gamma(palette.card, 0.68);
    visuals.selection.stroke = Stroke::new(1.5, palette.select);
    let widgets = &mut visuals.widgets;
    for (widget, fill, edge) in [
        (&mut widgets.noninteractive, 0.0, 0.16),
        (&mut widgets.inactive, 0.07, 0.28),
        (&mut widgets.hovered, 0.13, 0.5),
        (&mut widgets.active, 0.2, 0.8),
        (&mut widgets.open, 0.1, 0.4),
    ] {
        widget.bg_fill = step(fill);
        widget.weak_bg_fill = step(fill);
        widget.bg_stroke = Stroke::new(1.0, step(edge));
        widget.fg_stroke = Stroke::new(1.0, palette.ink);
        widget.corner_radius = CornerRadius::same(3);
        widget.expansion = 0.0;
    }
    // What has the keyboard shows it with a strong edge.
    widgets.active.bg_stroke = Stroke::new(2.0, palette.select);
    visuals
}
