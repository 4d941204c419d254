//! Colours by their luminance, so that text on them can always be read.
//!
//! Formulas: Web Content Accessibility Guidelines 2.2, "relative luminance"
//! and "contrast ratio" (threshold 0.04045).

/// Red, green, blue, each 0 to 255, in sRGB.
pub type Rgb = [u8; 3];

pub(crate) const WHITE: Rgb = [255, 255, 255];
pub(crate) const BLACK: Rgb = [0, 0, 0];
/// Lines and text of the drawing itself.
pub(crate) const INK: Rgb = [28, 30, 33];
/// Secondary text: 7:1 on white.
pub(crate) const SOFT_INK: Rgb = [84, 88, 94];
/// Light lattice lines.
pub(crate) const FAINT: Rgb = [203, 207, 212];
/// The wall of a plate.
pub(crate) const WALL: Rgb = [196, 194, 188];
/// The bands and frames of sheets.
pub(crate) const BAND: Rgb = [238, 239, 241];

/// Relative luminance, 0 for black to 1 for white.
pub fn luminance(colour: Rgb) -> f64 {
    let [r, g, b] = colour.map(|c| {
        let c = f64::from(c) / 255.0;
        if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
    });
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

/// Contrast ratio, 1 for equal colours to 21 for black on white.
pub fn contrast(a: Rgb, b: Rgb) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// Black or white, whichever stands out more on `ground`: at least 4.58:1.
pub fn ink_on(ground: Rgb) -> Rgb {
    if contrast(WHITE, ground) > contrast(BLACK, ground) { WHITE } else { BLACK }
}

/// `share` parts in 100 of `b` in `a`.
pub(crate) fn mix(a: Rgb, b: Rgb, share: u32) -> Rgb {
    let part = |i: usize| ((u32::from(a[i]) * (100 - share) + u32::from(b[i]) * share + 50) / 100) as u8;
    [part(0), part(1), part(2)]
}

pub(crate) fn hex(colour: Rgb) -> String {
    let [r, g, b] = colour;
    format!("#{r:02x}{g:02x}{b:02x}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn contrast_on_white_is_as_published() {
        // Hex list: Okabe & Ito (2002, rev. 2008), Color Universal Design. The
        // ratios follow from the WCAG formula, computed by another program.
        let known = [
            ([0x00, 0x00, 0x00], 21.00),
            ([0xE6, 0x9F, 0x00], 2.25),
            ([0x56, 0xB4, 0xE9], 2.31),
            ([0x00, 0x9E, 0x73], 3.42),
            ([0xF0, 0xE4, 0x42], 1.32),
            ([0x00, 0x72, 0xB2], 5.19),
            ([0xD5, 0x5E, 0x00], 3.87),
            ([0xCC, 0x79, 0xA7], 3.06),
        ];
        for (colour, ratio) in known {
            assert!((contrast(colour, WHITE) - ratio).abs() < 0.006, "{colour:?}");
        }
    }

    #[test]
    fn text_passes_on_every_ground() {
        for r in (0..=255).step_by(15) {
            for g in (0..=255).step_by(15) {
                for b in (0..=255).step_by(15) {
                    let ground = [r, g, b];
                    assert!(contrast(ink_on(ground), ground) >= 4.5, "{ground:?}");
                }
            }
        }
        assert!(contrast(SOFT_INK, WHITE) >= 7.0);
        // A mark on paper and the edge of the wall: 3:1 (success criterion 1.4.11).
        assert!(contrast(INK, WALL) >= 3.0);
    }
}
