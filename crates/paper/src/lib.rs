//! Pictures: each piece's folds, outlines as plates, layouts, ways by swings,
//! contact sheets, a pack's ramp, charts of times, pieces that swing; as SVG, PNG
//! and PDF, and as text for a terminal.
//!
//! What this crate promises: equal input gives equal bytes; letters are paths,
//! so that every reader shows the same ones; nothing is told by colour alone
//! (every piece has a letter and a pattern, every level its own mark); titles
//! and names are escaped; wrong input is a typed error, never a panic. It
//! draws what it is given and judges it only by `lattice`. It knows no files.
//!
//! Pictures are plans seen from above: x to the right, y up the paper.

mod animated;
pub mod art;
mod bare;
mod block;
pub mod chart;
pub mod colour;
mod contact;
mod contour;
mod error;
mod fold_sheet;
mod gallery;
mod layout;
mod legend;
mod lettering;
mod line;
mod linkage;
mod pattern;
mod piece_sheet;
mod plate;
mod ramp;
mod raster;
mod sheet;
mod strip;
mod style;
mod swinging;
pub mod terminal;

pub use animated::animated_png;
pub use bare::{bare_layout, bare_outline, bare_pose, bare_size, bare_swatch};
pub use contact::{Tile, TileContent, contact_sheet};
pub use error::PaperError;
pub use fold_sheet::{FoldNote, fold, folds};
pub use gallery::{Exhibit, gallery};
pub use layout::{LayoutOptions, layout};
pub use linkage::Swing;
pub use pattern::Pattern;
pub use piece_sheet::{PieceTile, pieces};
pub use plate::{OutlineOptions, outline};
pub use ramp::{RampRow, RampScale, ramp};
pub use raster::MAX_PIXELS;
pub use sheet::Picture;
pub use strip::{bare_poses, poses};
pub use style::{PieceStyle, Style};
pub use swinging::{MovingFrame, Swinging};
