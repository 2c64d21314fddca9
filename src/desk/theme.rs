//! Fonts and colours of the window: paper, ink, a water tint and a red pencil, light and dark.

use std::sync::LazyLock;

use egui::{Color32, CornerRadius, FontFamily, FontId, Stroke, TextStyle, Theme, Visuals, vec2};

use crate::rules::Verdict;
use crate::scene::{self, Ink};

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
    /// What the drawing's inks look like.
    theme: &'static scene::Theme,
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

/// The colours of one theme.
fn palette(theme: &'static scene::Theme, card: Color32, select: Color32, guide: Color32, met: Color32) -> Palette {
    let ink = |ink| colour(theme.colour(ink));
    Palette {
        theme,
        paper: ink(Ink::Paper),
        card,
        ink: ink(Ink::Ink),
        faint: ink(Ink::Faint),
        select,
        guide,
        red_pencil: ink(Ink::RedPencil),
        grey_pencil: ink(Ink::GreyPencil),
        met,
    }
}

static LIGHT: LazyLock<Palette> = LazyLock::new(|| {
    let [card, select, guide, met] = [0xF0_ED_E4, 0x1F_5F_8B, 0x1F_6B_5B, 0x35_6A_3A].map(rgb);
    palette(scene::Theme::light(), card, select, guide, met)
});

static DARK: LazyLock<Palette> = LazyLock::new(|| {
    let [card, select, guide, met] = [0x2A_2F_35, 0x7F_BF_E8, 0x74_CB_B4, 0x93_CF_96].map(rgb);
    palette(scene::Theme::dark(), card, select, guide, met)
});

const fn rgb(hex: u32) -> Color32 {
    let [_, red, green, blue] = hex.to_be_bytes();
    Color32::from_rgb(red, green, blue)
}

const fn colour(colour: scene::Colour) -> Color32 {
    Color32::from_rgb(colour.red, colour.green, colour.blue)
}

impl Palette {
    /// The colours in force.
    #[must_use]
    pub fn of(visuals: &Visuals) -> Self {
        if visuals.dark_mode { *DARK } else { *LIGHT }
    }

    /// The colour of a role.
    #[must_use]
    pub fn ink(&self, ink: Ink) -> Color32 {
        colour(self.theme.colour(ink))
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
        Theme::Light => (Visuals::light(), *LIGHT),
        Theme::Dark => (Visuals::dark(), *DARK),
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
    visuals.weak_text_color = Some(palette.faint.lerp_to_gamma(palette.ink, 0.45));
    visuals.selection.bg_fill = palette.select.lerp_to_gamma(palette.card, 0.74);
    // The words on what is chosen take this colour too.
    visuals.selection.stroke = Stroke::new(1.5, palette.ink);
    let widgets = &mut visuals.widgets;
    for (widget, fill, edge) in [
        (&mut widgets.noninteractive, 0.0, 0.16),
        (&mut widgets.inactive, 0.07, 0.55),
        (&mut widgets.hovered, 0.13, 0.7),
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

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: f64 = 4.5;
    const GRAPHICS: f64 = 3.0;

    fn contrast(a: Color32, b: Color32) -> f64 {
        let colour = |c: Color32| scene::Colour { red: c.r(), green: c.g(), blue: c.b() };
        colour(a).contrast(colour(b))
    }

    /// Every pair of a colour and what it stands on, and what WCAG 2.2 (1.4.3, 1.4.11) asks of it at level AA.
    fn pairs(theme: Theme) -> Vec<(String, Color32, Color32, f64)> {
        let palette = if theme == Theme::Dark { *DARK } else { *LIGHT };
        let visuals = visuals(theme);
        let weak = visuals.weak_text_color.expect("told");
        let mut pairs = Vec::new();
        let grounds = [("paper", palette.paper), ("panel", palette.card), ("row", visuals.faint_bg_color)];
        for (ground, on) in grounds {
            for (name, colour) in [("ink", palette.ink), ("weak words", weak), ("guide", palette.guide)] {
                pairs.push((format!("{name} on {ground}"), colour, on, TEXT));
            }
            for verdict in Verdict::ALL {
                pairs.push((format!("{} on {ground}", verdict.words()), palette.verdict(verdict), on, TEXT));
            }
            pairs.push((format!("focus on {ground}"), palette.select, on, GRAPHICS));
        }
        let words = [Ink::Ink, Ink::Faint, Ink::RedPencil, Ink::GreyPencil];
        let pipes = [Ink::ColdPipe, Ink::HotPipe, Ink::PrimaryPipe, Ink::MainsPipe, Ink::OpenPipe];
        for ink in words.into_iter().chain(pipes) {
            pairs.push((format!("{ink:?} on paper"), palette.ink(ink), palette.paper, TEXT));
        }
        for tint in [Ink::Water, Ink::HotWater, Ink::PrimaryWater, Ink::Masonry, Ink::Timber, Ink::Lagging] {
            pairs.push((format!("words on {tint:?}"), palette.ink, palette.ink(tint), TEXT));
            for pipe in pipes {
                pairs.push((format!("{pipe:?} on {tint:?}"), palette.ink(pipe), palette.ink(tint), GRAPHICS));
            }
        }
        let widgets = &visuals.widgets;
        for (name, widget) in
            [("button", &widgets.inactive), ("hovered", &widgets.hovered), ("pressed", &widgets.active)]
        {
            pairs.push((format!("words on {name}"), widget.fg_stroke.color, widget.weak_bg_fill, TEXT));
            pairs.push((format!("edge of {name}"), widget.bg_stroke.color, palette.card, GRAPHICS));
        }
        pairs.push(("keys in a menu".to_owned(), weak, widgets.hovered.weak_bg_fill, TEXT));
        pairs.push(("chosen".to_owned(), visuals.selection.stroke.color, visuals.selection.bg_fill, TEXT));
        for verdict in Verdict::ALL {
            let name = format!("badge of {} on chosen", verdict.words());
            pairs.push((name, palette.verdict(verdict), visuals.selection.bg_fill, GRAPHICS));
        }
        pairs
    }

    #[test]
    fn every_colour_can_be_told_from_what_it_stands_on() {
        for theme in [Theme::Light, Theme::Dark] {
            let faults: Vec<String> = pairs(theme)
                .into_iter()
                .filter(|(_, colour, on, asked)| contrast(*colour, *on) < *asked)
                .map(|(name, colour, on, asked)| format!("{name}: {:.2}, asked {asked}", contrast(colour, on)))
                .collect();
            assert!(faults.is_empty(), "{theme:?}\n{}", faults.join("\n"));
        }
    }
}
