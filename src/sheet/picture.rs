//! A sheet as a PNG picture, lettered with the typefaces that ship with the program and no others.

use std::sync::{Arc, LazyLock};

use epaint_default_fonts::{HACK_REGULAR, UBUNTU_LIGHT};
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree, fontdb};
use thiserror::Error;

use crate::units::MM_IN_AN_INCH;

/// The widest or highest picture; four times this many million bytes are held at once.
const MOST_PIXELS: f64 = 20_000.0;

static TYPEFACES: LazyLock<Arc<fontdb::Database>> = LazyLock::new(|| {
    let mut typefaces = fontdb::Database::new();
    typefaces.load_font_data(UBUNTU_LIGHT.to_vec());
    typefaces.load_font_data(HACK_REGULAR.to_vec());
    typefaces.set_sans_serif_family("Ubuntu");
    Arc::new(typefaces)
});

/// Why there is no picture.
#[derive(Debug, Error)]
pub enum SheetError {
    /// The SVG cannot be read.
    #[error("the sheet cannot be read as SVG: {0}")]
    Svg(#[from] resvg::usvg::Error),
    /// The picture would have no pixels, or too many.
    #[error("a picture of {width:.0} × {height:.0} pixels cannot be made; choose between 1 and 20000 each way")]
    Size {
        /// Pixels across.
        width: f64,
        /// Pixels down.
        height: f64,
    },
    /// The PDF cannot be written.
    #[error("the sheet cannot be written as PDF: {0}")]
    Pdf(String),
    /// The picture cannot be written.
    #[error("the picture cannot be written as PNG: {0}")]
    Png(String),
}

/// A picture as it is painted: four bytes to a pixel (red, green, blue, opacity), row by row from the top.
pub struct Pixels {
    /// Across and down.
    pub size: [usize; 2],
    /// The bytes. Sheets are opaque.
    pub rgba: Vec<u8>,
}

/// Paints an SVG sheet.
///
/// # Errors
/// [`SheetError`] when the SVG cannot be read, or the picture would be too small or too large.
pub fn pixels(svg: &str, pixels_per_mm: f64) -> Result<Pixels, SheetError> {
    let picture = painted(svg, pixels_per_mm)?;
    Ok(Pixels { size: [picture.width() as usize, picture.height() as usize], rgba: picture.take() })
}

/// Paints an SVG sheet as a PNG picture.
///
/// # Errors
/// [`SheetError`] when the SVG cannot be read, or the picture would be too small or too large.
pub fn png(svg: &str, pixels_per_mm: f64) -> Result<Vec<u8>, SheetError> {
    painted(svg, pixels_per_mm)?.encode_png().map_err(|error| SheetError::Png(error.to_string()))
}

fn painted(svg: &str, pixels_per_mm: f64) -> Result<Pixmap, SheetError> {
    let options = Options { fontdb: Arc::clone(&TYPEFACES), font_family: "Ubuntu".to_owned(), ..Options::default() };
    let tree = Tree::from_str(svg, &options)?;
    // The tree is in CSS pixels, of which 96 make an inch (CSS Values 4, absolute lengths).
    let zoom = pixels_per_mm * MM_IN_AN_INCH / 96.0;
    let (width, height) = (f64::from(tree.size().width()) * zoom, f64::from(tree.size().height()) * zoom);
    let (width, height) = (width.round(), height.round());
    let size = SheetError::Size { width, height };
    if !((1.0..=MOST_PIXELS).contains(&width) && (1.0..=MOST_PIXELS).contains(&height)) {
        return Err(size);
    }
    let mut picture = Pixmap::new(width as u32, height as u32).ok_or(size)?;
    resvg::render(&tree, Transform::from_scale(zoom as f32, zoom as f32), &mut picture.as_mut());
    Ok(picture)
}
