//! Pictures as one page of PDF.

use svg2pdf::usvg::{Options, Tree};
use svg2pdf::{ConversionOptions, PageOptions};

use crate::error::PaperError;
use crate::sheet::Picture;

/// Pixels of SVG in an inch, as CSS has them.
const PIXELS: f32 = 96.0;

impl Picture {
    /// The picture as a PDF of one page, of the picture's own size. It has no
    /// date and no fonts.
    ///
    /// # Errors
    /// Whatever the format's library refuses.
    pub fn pdf(&self) -> Result<Vec<u8>, PaperError> {
        let page = |reason: String| PaperError::Page { reason };
        let tree = Tree::from_str(self.svg(), &Options::default()).map_err(|e| page(e.to_string()))?;
        let sizes = PageOptions { dpi: PIXELS };
        svg2pdf::to_pdf(&tree, ConversionOptions::default(), sizes).map_err(|e| page(e.to_string()))
    }
}

#[cfg(test)]
mod tests {
    use crate::{OutlineOptions, outline};
    use lattice::drawing;

    #[test]
    fn the_page_has_the_size_of_the_picture_and_equal_bytes() {
        let plate = drawing::parse("+ o +\n # #\n+ + +", 0).unwrap();
        let picture =
            outline(&plate, &OutlineOptions { title: "Quay", ..OutlineOptions::default() }).unwrap();
        let bytes = picture.pdf().unwrap();
        assert_eq!(bytes, picture.pdf().unwrap());
        let text = String::from_utf8_lossy(&bytes);
        assert!(text.starts_with("%PDF-") && text.trim_end().ends_with("%%EOF"));
        let box_at = text.find("/MediaBox [").expect("a page has a size");
        let numbers: Vec<f32> = text[box_at + 11..]
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
