//! Draws a sheet with an ornament into a folder: `cargo run -p sheet --example draw -- DIR COLUMNS ROWS`.

use sheet::ornament::{Aim, Ask, Symmetry, solve};
use sheet::preview::{Look, at, both_ends, turning};
use sheet::{Hand, Sheet};

fn main() {
    let mut args = std::env::args().skip(1);
    let dir = args.next().expect("a folder");
    let mut number = || args.next().and_then(|a| a.parse().ok()).unwrap_or(5);
    let sheet = Sheet::new(number(), number(), Hand::Right).expect("a size that is made");
    let symmetry = if Symmetry::Quarter.fits(&sheet).is_ok() { Symmetry::Quarter } else { Symmetry::None };
    let ask = Ask { aim: Aim::Holes, symmetry, islands: false, seed: 1 };
    let found = solve(&sheet, &ask, &|| false).expect("an ornament");
    let look = Look { panels: Some(&found.panels), side: 15.0, colours: ["#4A4F55", "#F2EEE4", "#0072B2"] };
    let put = |name: &str, text: String| {
        std::fs::write(format!("{dir}/{name}"), text).expect("a folder to write in")
    };
    put("ends.svg", both_ends(&sheet, &look));
    put("30.svg", at(&sheet, &look, 30f64.to_radians()));
    put("45.svg", at(&sheet, &look, 45f64.to_radians()));
    put("turning.svg", turning(&sheet, &look));
}
