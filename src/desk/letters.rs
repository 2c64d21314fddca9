//! The picture from which letters are painted, kept small.

use egui::RawInput;

/// Width and greatest height of that picture, pixels, where the window itself is not larger.
const SIDE: usize = 2048;

/// What the display can take.
#[derive(Debug, Default)]
pub struct Letters {
    /// The longest side of a picture, pixels; told once, in the first frame.
    longest_side: Option<usize>,
}

impl Letters {
    /// Keeps the picture of all letters that were ever painted from growing as large as the display could take it: when it
    /// is nearly full, it is begun anew. Other pictures are held to the same side, so it is never less than the window's.
    /// `zoom` is by how much the window is shown larger than the display asks for.
    pub fn keep_small(&mut self, zoom: f32, raw_input: &mut RawInput) {
        self.longest_side = raw_input.max_texture_side.or(self.longest_side);
        let pixels_per_point = raw_input.viewport().native_pixels_per_point.unwrap_or(1.0) * zoom;
        let window = raw_input.screen_rect.map_or(0.0, |rect| rect.size().max_elem() * pixels_per_point);
        let side = SIDE.max((window.ceil() as usize).next_power_of_two());
        raw_input.max_texture_side = self.longest_side.map(|longest| longest.min(side));
    }
}

#[cfg(test)]
mod tests {
    use egui::{Rect, pos2, vec2};

    use super::*;

    #[test]
    fn the_side_is_no_longer_than_the_window_needs_or_the_display_takes() {
        let mut letters = Letters::default();
        let mut side_at = |zoom: f32, window: f32, told: Option<usize>| {
            let screen_rect = Some(Rect::from_min_size(pos2(0.0, 0.0), vec2(window, 500.0)));
            let mut raw_input = RawInput { screen_rect, max_texture_side: told, ..RawInput::default() };
            letters.keep_small(zoom, &mut raw_input);
            raw_input.max_texture_side
        };
        assert_eq!(side_at(1.0, 1400.0, None), None);
        assert_eq!(side_at(1.0, 1400.0, Some(16384)), Some(2048));
        assert_eq!(side_at(1.0, 3840.0, None), Some(4096));
        assert_eq!(side_at(1.0, 1400.0, None), Some(2048));
        assert_eq!(side_at(2.0, 1400.0, None), Some(4096));
        assert_eq!(side_at(1.0, 7680.0, Some(4096)), Some(4096));
    }
}
