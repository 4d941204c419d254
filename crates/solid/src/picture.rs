//! Pictures of parts: shaded from one fixed viewpoint, and sections through
//! hinges, as SVG in millimetres of the picture; PNG is the same SVG drawn.
//!
//! Faces turned away are left out and the rest painted from far to near, in an
//! order that is right for any solid.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use lattice::Piece;

use crate::area::{Area, Point};
use crate::inspect::Built;
use crate::kernel::{Move, Solid};
use crate::mesh::Mesh;
use crate::near::{dot, facing};
use crate::paint::{Face, far_to_near};
use crate::piece::vertex_point;
use crate::sizes::Sizes;

/// The light comes from the left, in front and above.
const LIGHT: [f64; 3] = [-0.36, -0.48, 0.8];

/// A drawing that grows: shapes in millimetres, y up, scaled on output.
pub(crate) struct Sheet {
    body: String,
    /// Width of the line that closes the seam between two faces.
    seam: f64,
    lo: Point,
    hi: Point,
}

impl Sheet {
    pub fn new() -> Self {
        Sheet { body: String::new(), seam: 0.15, lo: [f64::MAX; 2], hi: [f64::MIN; 2] }
    }

    /// One for pictures that may be shown small: wider lines close the seams.
    pub fn for_small() -> Self {
        Sheet { seam: 0.4, ..Sheet::new() }
    }

    fn reach(&mut self, p: Point) {
        self.lo = [self.lo[0].min(p[0]), self.lo[1].min(p[1])];
        self.hi = [self.hi[0].max(p[0]), self.hi[1].max(p[1])];
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

    /// Bodies seen from the front right and above, each in its colour.
    pub fn shaded(&mut self, bodies: &[(&Mesh, [u8; 3])], at: Point) {
        // Columns of the view: right and up on paper, and towards the eye.
        let (right, up, near) = view();
        let mut faces = Vec::new();
        for (mesh, colour) in bodies {
            let sharp = sharp_edges(mesh);
            for t in 0..mesh.triangles.len() {
                let corners = mesh.corners(t);
                let (normal, area) = facing(corners);
                if area < 1e-9 || dot(normal, near) <= 1e-6 {
                    continue;
                }
                let light = 0.42 + 0.58 * dot(normal, LIGHT).max(0.0);
                let shade = colour.map(|c| (f64::from(c) * light).round().min(255.0) as u8);
                let sharp = sharp[t].to_vec();
                faces.push(Face { points: corners.to_vec(), sharp, normal, shade });
            }
        }
        for face in far_to_near(faces) {
            let mut d = String::new();
            let flat: Vec<Point> =
                face.points.iter().map(|p| [dot(*p, right) + at[0], dot(*p, up) + at[1]]).collect();
            for (i, p) in flat.iter().enumerate() {
                self.reach(*p);
                let _ = write!(d, "{}{:.2} {:.2}", if i == 0 { 'M' } else { 'L' }, p[0], -p[1]);
            }
            let [r, g, b] = face.shade;
            // A hairline of its own colour closes the seams between faces.
            let _ = writeln!(
                self.body,
                "<path d=\"{d}Z\" fill=\"#{r:02x}{g:02x}{b:02x}\" stroke=\"#{r:02x}{g:02x}{b:02x}\" stroke-width=\"{}\"/>",
                self.seam
            );
            let mut edges = String::new();
            for i in (0..flat.len()).filter(|&i| face.sharp[i]) {
                let (p, q) = (flat[i], flat[(i + 1) % flat.len()]);
                let _ = write!(edges, "M{:.2} {:.2}L{:.2} {:.2}", p[0], -p[1], q[0], -q[1]);
            }
            if !edges.is_empty() {
                let _ = writeln!(self.body, "<path d=\"{edges}\" stroke=\"#202020\" stroke-width=\"0.12\"/>");
            }
        }
    }

    /// Right edge of what was drawn so far.
    pub fn right(&self) -> f64 {
        if self.hi[0] < self.lo[0] { 0.0 } else { self.hi[0] }
    }

    /// What was drawn, without paper, and its left, top, width and height.
    pub fn bare(self) -> (String, [f64; 4]) {
        let (lo, hi) = if self.hi[0] < self.lo[0] { ([0.0; 2], [1.0; 2]) } else { (self.lo, self.hi) };
        // Room for the lines along the edges.
        let rim = 0.2;
        (self.body, [lo[0] - rim, -hi[1] - rim, hi[0] - lo[0] + 2.0 * rim, hi[1] - lo[1] + 2.0 * rim])
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

/// The colour of every body of a part. Bodies of one colour are told apart by a
/// lighter or darker shade.
pub(crate) fn body_colours(built: &Built) -> Vec<[u8; 3]> {
    let paint = |(body, hex): (usize, &String)| -> [u8; 3] {
        let v = u32::from_str_radix(&hex[1..], 16).unwrap_or(0x808080);
        let base = [(v >> 16) as u8, (v >> 8) as u8, v as u8];
        let shift = if built.bodies_touch { 0 } else { [0, 30, -24, 48, -40][body % 5] };
        base.map(|c| (i32::from(c) + shift).clamp(0, 255) as u8)
    };
    built.colours.iter().enumerate().map(paint).collect()
}

/// For each triangle and each of its edges, whether the surface turns there by more than 30°.
fn sharp_edges(mesh: &Mesh) -> Vec<[bool; 3]> {
    let mut normals: BTreeMap<(u32, u32), [f64; 3]> = BTreeMap::new();
    for (t, v) in mesh.triangles.iter().enumerate() {
        for i in 0..3 {
            normals.insert((v[i], v[(i + 1) % 3]), facing(mesh.corners(t)).0);
        }
    }
    let turn = 30f64.to_radians().cos();
    let sharp = |a: u32, b: u32| normals.get(&(b, a)).is_none_or(|n| dot(*n, normals[&(a, b)]) < turn);
    mesh.triangles.iter().map(|v| [0, 1, 2].map(|i| sharp(v[i], v[(i + 1) % 3]))).collect()
}

/// Right, up and towards the eye: from 30° right of the front, 35° above.
fn view() -> ([f64; 3], [f64; 3], [f64; 3]) {
    let (a, e) = (30f64.to_radians(), 35f64.to_radians());
    let near = [a.sin() * e.cos(), -a.cos() * e.cos(), e.sin()];
    let right = [a.cos(), a.sin(), 0.0];
    let up = [-a.sin() * e.sin(), a.cos() * e.sin(), e.cos()];
    (right, up, near)
}

/// A hinge cut open along its axis: the leaf's block to the left, the eye's to
/// the right, each along the middle of its own quadrant. Radius runs sideways,
/// height upwards, the axis at x = 0.
pub(crate) fn hinge_section(
    piece: &Piece,
    solids: &[Solid],
    sizes: &Sizes,
    hinge: usize,
) -> Vec<(usize, Area)> {
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
    let (w, h) =
        ((size.width() * scale).ceil().max(1.0) as u32, (size.height() * scale).ceil().max(1.0) as u32);
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
    fn a_section_shows_both_blocks_and_the_clearance_between_them() {
        let sizes = Sizes::default();
        let (_, piece) = &samples::pieces()[1];
        let made = crate::piece::build(piece, &sizes, 2, "").unwrap();
        for hinge in 0..piece.hinges().len() {
            let cuts = hinge_section(piece, &made.solids, &sizes, hinge);
            let [leaf, eye] = piece.hinges()[hinge].joins;
            let of = |body| {
                Area::sum(&cuts.iter().filter(|c| c.0 == body).map(|c| c.1.clone()).collect::<Vec<_>>())
            };
            assert!(of(leaf).area() > 40.0 && of(eye).area() > 40.0);
            // Grown by just under half the clearance each, they still keep apart.
            let half = 0.48 * sizes.clearance;
            assert!(of(leaf).grown(half, 0.01).common(&of(eye).grown(half, 0.01)).area() < 1e-6);
            assert!(of(leaf).grown(half * 1.2, 0.01).common(&of(eye).grown(half * 1.2, 0.01)).area() > 1e-3);
        }
    }

    #[test]
    fn svg_and_png_show_the_same_size() {
        let mut sheet = Sheet::new();
        sheet.area(&Area::rectangle([0.0, 0.0], [36.0, 16.0]), [0.0; 2], "#0072b2", None);
        let svg = sheet.svg("a <b> & c");
        assert!(svg.contains("width=\"40.00mm\" height=\"20.00mm\"") && svg.contains("a &lt;b> &amp; c"));
        let drawn = png(&svg, 5.0);
        // PNG (ISO/IEC 15948): width and height stand in the header chunk.
        assert_eq!(&drawn[..8], b"\x89PNG\r\n\x1a\n");
        let size = |at: usize| u32::from_be_bytes(drawn[at..at + 4].try_into().unwrap());
        assert_eq!((size(16), size(20)), (200, 100));
    }
}
