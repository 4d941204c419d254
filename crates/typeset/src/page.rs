//! A picture as one page of PDF, with the writer that the typesetter uses.

use krilla::geom::Size;
use krilla::page::PageSettings;
use krilla::{Document, SerializeSettings};
use krilla_svg::{SurfaceExt, SvgSettings};
use paper::Picture;
use resvg::usvg::{Options, Tree};

use crate::error::TypesetError;

/// Points in a millimetre.
const POINTS: f64 = 72.0 / 25.4;

/// The picture as a PDF of one page, of the picture's own size. It has no date
/// and no fonts.
///
/// # Errors
/// Whatever the format's library refuses.
pub fn page(picture: &Picture) -> Result<Vec<u8>, TypesetError> {
    let refused = |reason: String| TypesetError::Page { reason };
    let tree = Tree::from_str(picture.svg(), &Options::default()).map_err(|e| refused(e.to_string()))?;
    let (width, height) = picture.size_mm();
    let size = Size::from_wh((width * POINTS) as f32, (height * POINTS) as f32)
        .ok_or_else(|| refused("it has no extent".into()))?;
    // Metadata would hold a date.
    let settings = SerializeSettings { xmp_metadata: false, ..SerializeSettings::default() };
    let mut document = Document::new_with(settings);
    let mut sheet = document.start_page_with(PageSettings::new(size));
    let mut surface = sheet.surface();
    let drawn = surface.draw_svg(&tree, size, SvgSettings::default());
    surface.finish();
    sheet.finish();
    drawn.ok_or_else(|| refused("it could not be drawn".into()))?;
    document.finish().map_err(|e| refused(format!("{e:?}")))
}

#[cfg(test)]
mod tests {
    use super::page;
    use lattice::drawing;
    use paper::{OutlineOptions, outline};

    #[test]
    fn the_page_has_the_size_of_the_picture_and_equal_bytes() {
        let plate = drawing::parse("+ o +\n # #\n+ + +", 0).unwrap();
        let picture =
            outline(&plate, &OutlineOptions { title: "Quay", ..OutlineOptions::default() }).unwrap();
        let bytes = page(&picture).unwrap();
        assert_eq!(bytes, page(&picture).unwrap());
        let text = String::from_utf8_lossy(&bytes);
        assert!(text.starts_with("%PDF-") && text.trim_end().ends_with("%%EOF"));
        let box_at = text.find("/MediaBox").and_then(|at| Some(at + text[at..].find('[')? + 1));
        let numbers: Vec<f32> = text[box_at.expect("a page has a size")..]
            .split(']')
            .next()
            .unwrap()
            .split_whitespace()
            .map(|n| n.parse().unwrap())
            .collect();
        let (width, height) = picture.size_mm();
        for (points, mm) in [(numbers[2], width), (numbers[3], height)] {
            assert!((points - mm as f32 / 25.4 * 72.0).abs() < 0.1, "{points} points for {mm} mm");
        }
    }
}
