//! STL, binary: triangles alone, without units or names; millimetres by custom.

use stl_io::{Normal, Triangle, Vertex};

use crate::mesh::Mesh;
use crate::near::facing;

/// All bodies of a part as one binary STL. Triangles that collapse in single
/// precision are left out; the checks have seen the rest closed.
pub(crate) fn write(meshes: &[Mesh]) -> Vec<u8> {
    let triangles: Vec<Triangle> = meshes
        .iter()
        .flat_map(|m| (0..m.triangles.len()).map(|t| m.corners(t)))
        .map(|corners| (facing(corners).0, corners.map(|p| p.map(|v| v as f32))))
        .filter(|(_, [a, b, c])| a != b && b != c && c != a)
        .map(|(normal, corners)| Triangle {
            normal: Normal::new(normal.map(|v| v as f32)),
            vertices: corners.map(Vertex::new),
        })
        .collect();
    let mut bytes = Vec::new();
    stl_io::write_stl(&mut bytes, triangles.iter()).expect("writing to memory does not fail");
    bytes
}
