//! Ink parted from its ground.

use image::GrayImage;
use scout::like::{Ink, InkError};

use crate::pixels::Shades;

/// Grey levels that the means of ink and ground must lie apart, of 255: less is
/// one tone with some noise (common practice, no source).
const APART: f64 = 32.0;

/// The ink of a picture.
pub(crate) fn ink(shades: &Shades) -> Result<Ink, InkError> {
    let (image, marks) = match shades {
        Shades::Cover(image) => (image, image.as_raw().iter().map(|&a| a > 127).collect()),
        Shades::Light(image) => (image, by_light(image)?),
    };
    Ink::new(image.width() as usize, image.height() as usize, marks)
}

fn by_light(image: &GrayImage) -> Result<Vec<bool>, InkError> {
    let light = image.as_raw();
    let Some(highest_dark) = threshold(light) else {
        let mean = light.iter().map(|&v| f64::from(v)).sum::<f64>() / light.len().max(1) as f64;
        return Err(if mean < 127.5 { InkError::All } else { InkError::None });
    };
    let dark = |v: u8| v <= highest_dark;
    let (w, h) = (image.width() as usize, image.height() as usize);
    let border = (0..light.len()).filter(|i| i % w == 0 || i % w == w - 1 || i / w == 0 || i / w == h - 1);
    let (mut all, mut dark_ones) = (0usize, 0usize);
    for i in border {
        all += 1;
        dark_ones += usize::from(dark(light[i]));
    }
    let ground_is_dark = 2 * dark_ones > all;
    Ok(light.iter().map(|&v| dark(v) != ground_is_dark).collect())
}

/// The highest level of the darker part, where the variance between the parts
/// is the greatest (Otsu, 1979); none if the picture has but one tone.
fn threshold(light: &[u8]) -> Option<u8> {
    let mut counts = [0u64; 256];
    for &v in light {
        counts[usize::from(v)] += 1;
    }
    let all = light.len() as f64;
    let sum: f64 = counts.iter().enumerate().map(|(v, &n)| v as f64 * n as f64).sum();
    let (mut below, mut sum_below) = (0.0, 0.0);
    let mut best: Option<(f64, u8, f64)> = None;
    for (v, &n) in counts.iter().enumerate() {
        below += n as f64;
        sum_below += v as f64 * n as f64;
        if below == 0.0 || below == all {
            continue;
        }
        let apart = (sum - sum_below) / (all - below) - sum_below / below;
        let between = below * (all - below) * apart * apart;
        if best.is_none_or(|b| between > b.0) {
            best = Some((between, v as u8, apart));
        }
    }
    best.filter(|b| b.2 >= APART).map(|b| b.1)
}
