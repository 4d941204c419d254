//! A size in pixels, as in 1200x630.

use std::fmt;
use std::str::FromStr;

/// The least and the most pixels along a side.
const SIDE: std::ops::RangeInclusive<u32> = 16..=10_000;

/// A size in pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Size {
    pub width: u32,
    pub height: u32,
}

impl Size {
    pub(super) fn pixels(&self) -> (u32, u32) {
        (self.width, self.height)
    }

    /// Width by height.
    pub(super) fn shape(&self) -> f64 {
        f64::from(self.width) / f64::from(self.height)
    }
}

impl FromStr for Size {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let wrong = || {
            let (least, most) = (SIDE.start(), SIDE.end());
            format!("give width and height in pixels, each from {least} to {most}, as in 1200x630")
        };
        let (width, height) = text.split_once(['x', '×']).ok_or_else(wrong)?;
        let side = |text: &str| text.parse().ok().filter(|n| SIDE.contains(n)).ok_or_else(wrong);
        Ok(Size { width: side(width)?, height: side(height)? })
    }
}

impl fmt::Display for Size {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}x{}", self.width, self.height)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_size_is_two_numbers_within_bounds() {
        assert_eq!("1200x630".parse(), Ok(Size { width: 1200, height: 630 }));
        for wrong in ["", "1200", "x", "0x10", "15x16", "16x10001", "-1x20", "1e3x20", "20x20x20"] {
            assert!(wrong.parse::<Size>().is_err(), "{wrong}");
        }
    }
}
