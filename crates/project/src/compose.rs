//! `[compose]`: how much the maker wants of each thing that ranks proposed sets.

use crate::reader::{Figure, Page, Table};

/// Weights, 0 or more. What each is a weight of is for the composer to say.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Compose {
    /// Rich in outlines.
    pub outlines: f64,
    /// Few interchangeable poses.
    pub plain: f64,
    /// Pieces that can't stand in for each other.
    pub own: f64,
    /// Pieces the eye tells apart.
    pub distinct: f64,
    /// Pieces that can be printed.
    pub printable: f64,
}

impl Default for Compose {
    fn default() -> Self {
        Compose { outlines: 1.0, plain: 1.0, own: 1.0, distinct: 1.0, printable: 2.0 }
    }
}

impl Compose {
    pub(crate) fn read(mut table: Table, page: &mut Page) -> Self {
        let mut compose = Compose::default();
        for (key, into) in [
            ("outlines", &mut compose.outlines),
            ("plain", &mut compose.plain),
            ("own", &mut compose.own),
            ("distinct", &mut compose.distinct),
            ("printable", &mut compose.printable),
        ] {
            table.figure(page, key, Figure::NotNegative, into);
        }
        table.close(page);
        compose
    }
}
