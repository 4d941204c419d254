//! The one door to the solid Boolean library.
//!
//! Everything else in the crate holds [`Solid`]s and never names the library,
//! so that it can be replaced. The library answers a failed operation with an
//! empty solid and a status; here every operand and every result is asked for
//! its status, and a bad one becomes a [`KernelError`] instead of a hole in a
//! part. A `Solid` that exists is closed and oriented, or empty by intent.

use manifold_rust::linalg::{Mat3x4, Vec2, Vec3};
use manifold_rust::manifold::Manifold;
use manifold_rust::types::{Error, OpType};

use crate::area::{Area, Point};
use crate::mesh::Mesh;

/// The solid Boolean library could not do what was asked.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the solid library failed to {step}: {status}")]
pub struct KernelError {
    /// What was being done.
    pub step: &'static str,
    /// The library's own word for the failure.
    pub status: String,
}

/// Shortest edge in a mesh, in mm.
const SHORTEST: f64 = 2e-4;

/// A solid: any number of closed bodies.
#[derive(Clone)]
pub(crate) struct Solid(Manifold);

/// A rigid motion or mirror-free map: columns of the rotation, then the shift.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Move {
    pub columns: [[f64; 3]; 3],
    pub shift: [f64; 3],
}

impl Move {
    pub const STILL: Move =
        Move { columns: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]], shift: [0.0; 3] };

    pub fn shift(x: f64, y: f64, z: f64) -> Self {
        Move { shift: [x, y, z], ..Move::STILL }
    }

    /// A turn about the vertical line through `pin`, anticlockwise, in degrees.
    /// Quarter turns are exact.
    pub fn about(pin: Point, degrees: f64) -> Self {
        let (s, c) = match degrees.rem_euclid(360.0) {
            0.0 => (0.0, 1.0),
            90.0 => (1.0, 0.0),
            180.0 => (0.0, -1.0),
            270.0 => (-1.0, 0.0),
            d => d.to_radians().sin_cos(),
        };
        Move {
            columns: [[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]],
            shift: [pin[0] - c * pin[0] + s * pin[1], pin[1] - s * pin[0] - c * pin[1], 0.0],
        }
    }

    /// Laid on its other face: a half turn about the x axis, then up by `height`.
    pub fn turned_over(height: f64) -> Self {
        Move { columns: [[1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, -1.0]], shift: [0.0, 0.0, height] }
    }

    pub fn apply(&self, p: [f64; 3]) -> [f64; 3] {
        std::array::from_fn(|i| {
            self.columns[0][i] * p[0] + self.columns[1][i] * p[1] + self.columns[2][i] * p[2] + self.shift[i]
        })
    }

    /// This first, then `next`.
    pub fn then(&self, next: &Move) -> Move {
        let turn = |v: [f64; 3]| Move { shift: [0.0; 3], ..*next }.apply(v);
        Move { columns: self.columns.map(turn), shift: next.apply(self.shift) }
    }
}

impl Solid {
    fn checked(made: Manifold, step: &'static str, may_be_empty: bool) -> Result<Self, KernelError> {
        match made.status() {
            Error::NoError if made.is_empty() && !may_be_empty => {
                Err(KernelError { step, status: "the result is empty".into() })
            }
            Error::NoError => Ok(Solid(made)),
            other => Err(KernelError { step, status: format!("{other:?}") }),
        }
    }

    pub fn empty() -> Self {
        Solid(Manifold::empty())
    }

    /// The convex hull of some points.
    pub fn hull(points: &[[f64; 3]]) -> Result<Self, KernelError> {
        let points: Vec<Vec3> = points.iter().map(|p| Vec3::new(p[0], p[1], p[2])).collect();
        Self::checked(Manifold::hull(&points), "build a hull", false)
    }

    /// A profile of (radius, height) points, anticlockwise, turned about the
    /// vertical axis in `sides` equal steps whose corners lie on the profile.
    pub fn revolve(profile: &[Point], sides: u32) -> Result<Self, KernelError> {
        let ring: Vec<Vec2> = profile.iter().map(|p| Vec2::new(p[0], p[1])).collect();
        Self::checked(Manifold::revolve(&vec![ring], sides as i32, 360.0), "turn a profile", false)
    }

    /// An area pulled up from `low` to `high`.
    pub fn prism(area: &Area, low: f64, high: f64) -> Result<Self, KernelError> {
        let made = Manifold::extrude(&area.to_library(), high - low, 0, 0.0, Vec2::new(1.0, 1.0));
        Ok(Self::checked(made, "pull up a plan", false)?.moved(&Move::shift(0.0, 0.0, low)))
    }

    pub fn moved(&self, by: &Move) -> Self {
        let v = |a: [f64; 3]| Vec3::new(a[0], a[1], a[2]);
        let [x, y, z] = by.columns.map(v);
        Solid(self.0.transform(&Mat3x4::from_cols(x, y, z, v(by.shift))))
    }

    pub fn plus(&self, other: &Solid) -> Result<Self, KernelError> {
        Self::checked(self.0.boolean(&other.0, OpType::Add), "unite solids", true)
    }

    pub fn minus(&self, other: &Solid) -> Result<Self, KernelError> {
        Self::checked(self.0.boolean(&other.0, OpType::Subtract), "subtract solids", true)
    }

    #[cfg(test)]
    pub fn common(&self, other: &Solid) -> Result<Self, KernelError> {
        Self::checked(self.0.boolean(&other.0, OpType::Intersect), "intersect solids", true)
    }

    /// The union of all, in order.
    pub fn sum(all: &[Solid]) -> Result<Self, KernelError> {
        all.iter().try_fold(Solid::empty(), |sum, next| sum.plus(next))
    }

    /// The plan of the solid at a height.
    pub fn slice(&self, z: f64) -> Area {
        Area::from_library(self.0.slice(z))
    }

    /// The triangles, in an order that depends on the shape alone.
    pub fn mesh(&self) -> Mesh {
        // Edges shorter than this fold up: programs that read single-precision
        // coordinates would merge their ends and open the surface.
        let gl = self.0.simplify(SHORTEST).get_mesh_gl64(-1);
        let step = gl.num_prop as usize;
        let mut place: Vec<usize> = (0..gl.vert_properties.len() / step).collect();
        // Vertices that the library keeps apart for their properties are one.
        for (&from, &to) in gl.merge_from_vert.iter().zip(&gl.merge_to_vert) {
            place[from as usize] = place[to as usize];
        }
        let points = gl.vert_properties.chunks(step).map(|v| [v[0], v[1], v[2]]).collect();
        let triangles =
            gl.tri_verts.chunks(3).map(|t| [t[0], t[1], t[2]].map(|v| place[v as usize] as u32)).collect();
        Mesh::canonical(points, triangles)
    }
}
