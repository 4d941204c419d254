//! Parts as they look, for pictures that show several: shaded from the one fixed
//! viewpoint, without any measuring.

use crate::make::leave_out_unmade;
use crate::picture::{Sheet, body_colours};
use crate::record::Kind;
use crate::request::{MakeError, Request};
use crate::{assemble::build_all, inspect::Built};
use rayon::prelude::*;

/// How a part looks.
#[derive(Clone, Debug, PartialEq)]
pub struct Portrait {
    /// The part's name.
    pub name: String,
    /// What it is.
    pub kind: Kind,
    /// What stands inside the SVG of it, in millimetres.
    pub markup: String,
    /// Left, top, width and height of it.
    pub view: [f64; 4],
}

/// How the parts that are asked for look, in the request's order; `small`: in a
/// picture where they are small, so that seams between faces want wider lines.
///
/// # Errors
/// Every mistake of the request.
pub fn portraits(request: &Request, small: bool) -> Result<Vec<Portrait>, Vec<MakeError>> {
    let faults = request.faults();
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut built = build_all(request)?;
    leave_out_unmade(request, &mut built);
    Ok(built.parts.par_iter().map(|part| portrait(part, small)).collect())
}

fn portrait(built: &Built, small: bool) -> Portrait {
    let mut sheet = if small { Sheet::for_small() } else { Sheet::new() };
    let bodies: Vec<_> = built.meshes.iter().zip(body_colours(built)).collect();
    sheet.shaded(&bodies, [0.0, 0.0]);
    let (markup, view) = sheet.bare();
    Portrait { name: built.name.clone(), kind: built.kind, markup, view }
}
