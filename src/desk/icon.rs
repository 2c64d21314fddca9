//! The window's icon, painted from the drawing that is installed for the desktop.

use egui::{Color32, IconData};

use crate::sheet::pixels;
use crate::units::MM_IN_AN_INCH;

const DRAWING: &str = include_str!("../../assets/install/loftwright.svg");
/// Pixels to the millimetre of a drawing in CSS pixels (96 to the inch), each painted twice as large: 128 across.
const PIXELS_PER_MM: f64 = 2.0 * 96.0 / MM_IN_AN_INCH;

/// The icon; none where the drawing cannot be painted.
pub fn icon() -> Option<IconData> {
    let painted = pixels(DRAWING, PIXELS_PER_MM).ok()?;
    let plain = |pixel: &[u8]| Color32::from_rgba_premultiplied(pixel[0], pixel[1], pixel[2], pixel[3]);
    let rgba = painted.rgba.chunks_exact(4).flat_map(|pixel| plain(pixel).to_srgba_unmultiplied()).collect();
    let [width, height] = painted.size.map(|side| side as u32);
    Some(IconData { rgba, width, height })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_icon_is_painted_with_clear_corners() {
        let icon = icon().expect("the drawing can be painted");
        assert_eq!((icon.width, icon.height, icon.rgba.len()), (128, 128, 128 * 128 * 4));
        let pixel = |x: usize, y: usize| &icon.rgba[(y * 128 + x) * 4..][..4];
        assert_eq!(pixel(0, 0)[3], 0);
        // Paper, as the drawing has it: #f6f1e4.
        assert_eq!(pixel(64, 10), [0xf6, 0xf1, 0xe4, 0xff]);
    }
}
