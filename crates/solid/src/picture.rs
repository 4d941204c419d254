//! Pictures of parts: shaded from one fixed viewpoint, and sections through
//! hinges, as SVG in millimetres of the picture; PNG is the same SVG drawn.
//!
//! Faces turned away are left out and the rest painted from far to near, large
//! triangles cut small so that the order is right to well below a line width.

use std::fmt::Write as _;

use lattice::Piece;

use crate::area::{Area, Point};
use crate::kernel::{Move, Solid};
use crate::mesh::Mesh;
use crate::near::facing;
use crate::piece::vertex_point;
use crate::sizes::Sizes;
use crate::text::text;

/// Longest edge that is painted in one go.
const PATCH: f64 = 4.0;
/// The light comes from the left, in front and above.
const LIGHT: [f64; 3] = [-0.36, -0.48, 0.8];

/// A drawing that grows: shapes in millimetres, y up, scaled on output.
pub(crate) struct Sheet {
    body: String,
    lo: Point,
    hi: Point,
}

impl Sheet {
    pub fn new() -> Self {
        Sheet { body: String::new(), lo: [f64::MAX; 2], hi: [f64::MIN; 2] }
    }

    fn reach(&mut self, p: Point) {
        for i in 0..2 {
            self.lo[i] = self.lo[i].min(p[i]);
            self.hi[i] = self.hi[i].max(p[i]);
        }
    }

    /// A filled region, with a hairline in `line` if given.
    pub fn area(&mut self, area: &Area, at: Point, fill: &str, line: Option<&str>) {
        let mut d = String::new();
        for contour in area.contours() {
            for (i, p) in contour.iter().enumerate() {
                let p = [p[0] + at[0], p[1] + at[1]];
                self.reach(p);
                let _ = write!(d, "{}{:.3} {:.3}", if i == 0 { 'M' } else { 'L' }, p[0], -p[1]);
            }
            d.push('Z');
        }
        if !d.is_empty() {
            let line = line.map_or(String::new(), |c| format!(" stroke=\"{c}\" stroke-width=\"0.08\""));
            let _ = writeln!(self.body, "<path d=\"{d}\" fill=\"{fill}\"{line}/>");
        }
    }

    /// Words, centred.
    pub fn words(&mut self, words: &str, at: Point, cap: f64, fill: &str) {
        self.area(&text(words, cap, 0.02), at, fill, None);
    }

    /// Bodies seen from the front right and above, each in its colour.
    pub fn shaded(&mut self, bodies: &[(&Mesh, [u8; 3])], at: Point) {
        // Columns of the view: right and up on paper, and towards the eye.
        let (right, up, near) = view();
        let mut patches: Vec<(f64, [Point; 3], [u8; 3])> = Vec::new();
        for (mesh, colour) in bodies {
            for t in 0..mesh.triangles.len() {
                let corners = mesh.corners(t);
                let (normal, area) = facing(corners);
                if area < 1e-9 || along(normal, near) <= 1e-6 {
                    continue;
                }
                let light = 0.42 + 0.58 * along(normal, LIGHT).max(0.0);
                let shade = colour.map(|c| (f64::from(c) * light).round().min(255.0) as u8);
                for piece in cut_small(corners) {
                    let depth = piece.iter().map(|p| along(*p, near)).sum::<f64>() / 3.0;
                    patches.push((depth, piece.map(|p| [along(p, right), along(p, up)]), shade));
                }
            }
        }
        patches.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (_, points, [r, g, b]) in patches {
            let mut d = String::new();
            for (i, p) in points.iter().enumerate() {
                let p = [p[0] + at[0], p[1] + at[1]];
                self.reach(p);
                let _ = write!(d, "{}{:.2} {:.2}", if i == 0 { 'M' } else { 'L' }, p[0], -p[1]);
            }
            // A hairline of its own colour closes the seams between patches.
            let _ = writeln!(self.body, "<path d=\"{d}Z\" fill=\"#{r:02x}{g:02x}{b:02x}\" stroke=\"#{r:02x}{g:02x}{b:02x}\" stroke-width=\"0.06\"/>");
        }
    }

    /// Right edge of what was drawn so far.
    pub fn right(&self) -> f64 {
        if self.hi[0] < self.lo[0] { 0.0 } else { self.hi[0] }
    }

    /// The finished SVG, `title` for those who hear it read, in millimetres.
    pub fn svg(&self, title: &str) -> String {
        let margin = 2.0;
        let (lo, hi) = if self.hi[0] < self.lo[0] { ([0.0; 2], [1.0; 2]) } else { (self.lo, self.hi) };
        let (w, h) = (hi[0] - lo[0] + 2.0 * margin, hi[1] - lo[1] + 2.0 * margin);
        let title = title.replace('&', "&amp;").replace('<', "&lt;");
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w:.2}mm\" height=\"{h:.2}mm\" viewBox=\"{:.3} {:.3} {w:.3} {h:.3}\" role=\"img\">\n<title>{title}</title>\n<rect x=\"{:.3}\" y=\"{:.3}\" width=\"{w:.3}\" height=\"{h:.3}\" fill=\"#ffffff\"/>\n{}</svg>\n",
            lo[0] - margin,
            -hi[1] - margin,
            lo[0] - margin,
            -hi[1] - margin,
            self.body
        )
    }
}

fn along(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Right, up and towards the eye: from 30° right of the front, 35° above.
fn view() -> ([f64; 3], [f64; 3], [f64; 3]) {
    let (a, e) = (30f64.to_radians(), 35f64.to_radians());
    let near = [a.sin() * e.cos(), -a.cos() * e.cos(), e.sin()];
    let right = [a.cos(), a.sin(), 0.0];
    let up = [-a.sin() * e.sin(), a.cos() * e.sin(), e.cos()];
    (right, up, near)
}

fn cut_small(triangle: [[f64; 3]; 3]) -> Vec<[[f64; 3]; 3]> {
    let mut done = Vec::new();
    let mut waiting = vec![triangle];
    while let Some(t) = waiting.pop() {
        let edge = |i: usize| {
            let (a, b) = (t[i], t[(i + 1) % 3]);
            ((a[0] - b[0]).powi(2) + (a[1] - b[1]).powi(2) + (a[2] - b[2]).powi(2)).sqrt()
        };
        let i = (0..3).max_by(|&a, &b| edge(a).total_cmp(&edge(b))).expect("three edges");
        if edge(i) <= PATCH {
            done.push(t);
            continue;
        }
        let (a, b, c) = (t[i], t[(i + 1) % 3], t[(i + 2) % 3]);
        let m: [f64; 3] = std::array::from_fn(|k| (a[k] + b[k]) / 2.0);
        waiting.extend([[a, m, c], [m, b, c]]);
    }
    done
}

/// A hinge cut open along its axis: the leaf's block to the left, the eye's to
/// the right, each along the middle of its own quadrant. Radius runs sideways,
/// height upwards, the axis at x = 0.
pub(crate) fn hinge_section(piece: &Piece, solids: &[Solid], sizes: &Sizes, hinge: usize) -> Vec<(usize, Area)> {
    let h = &piece.hinges()[hinge];
    let pin = vertex_point(h.pin, sizes);
    let mut cuts = Vec::new();
    for (side, block) in h.joins.into_iter().enumerate() {
        let corner = piece.blocks()[block].corner_at(h.pin).expect("a sound hinge stands at a corner");
        let middle = 45.0 + 90.0 * f64::from(corner.opposite().index());
        // The middle of the quadrant turned to +x, then y (away) becomes the
        // slicing direction: the point (x, y, z) goes to (x, z, −y).
        let turn = Move::shift(-pin[0], -pin[1], 0.0)
            .then(&Move::about([0.0, 0.0], -middle))
            .then(&Move { columns: [[1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]], shift: [0.0; 3] });
        let reach = 0.55 * sizes.pitch;
        let window = Area::rectangle([0.0, -1.0], [reach, sizes.height + 1.0]);
        for (body, solid) in solids.iter().enumerate() {
            let cut = solid.moved(&turn).slice(1e-4).common(&window);
            if !cut.is_empty() {
                cuts.push((body, if side == 0 { cut.mirrored() } else { cut }));
            }
        }
    }
    cuts
}

/// Draws an SVG made here as PNG, `dots` a millimetre.
pub(crate) fn png(svg: &str, dots: f64) -> Vec<u8> {
    let tree = resvg::usvg::Tree::from_str(svg, &resvg::usvg::Options::default())
        .expect("SVG written by this crate is sound");
    // The size of the tree is in CSS pixels, 96 to the inch.
    let scale = (dots * 25.4 / 96.0) as f32;
    let size = tree.size();
    let (w, h) = ((size.width() * scale).ceil().max(1.0) as u32, (size.height() * scale).ceil().max(1.0) as u32);
    let mut pixels = resvg::tiny_skia::Pixmap::new(w, h).expect("a picture has a size");
    let scale = resvg::tiny_skia::Transform::from_scale(scale, scale);
    resvg::render(&tree, scale, &mut pixels.as_mut());
    pixels.encode_png().expect("memory is all it takes")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn look() {
        let sizes = Sizes::default();
        let (_, piece) = &samples::pieces()[3];
        let made = crate::piece::build(piece, &sizes, 2, "4").unwrap();
        let mut sheet = Sheet::new();
        let colours = [[230, 159, 0], [86, 180, 233], [0, 158, 115], [240, 228, 66], [204, 121, 167]];
        let bodies: Vec<_> = made.meshes.iter().zip(colours).collect();
        sheet.shaded(&bodies, [0.0, 0.0]);
        for h in 0..piece.hinges().len() {
            let x = sheet.right() + 12.0;
            for (b, area) in hinge_section(piece, &made.solids, &sizes, h) {
                let [r, g, b] = colours[b];
                sheet.area(&area, [x, 0.0], &format!("#{r:02x}{g:02x}{b:02x}"), Some("#000000"));
            }
        }
        std::fs::write("/tmp/solidtry/look.png", png(&sheet.svg("a & b"), 12.0)).unwrap();
    }
}
