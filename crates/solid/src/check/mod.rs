//! The checks, each a measured number. None trusts how a part was built: they
//! look at its meshes and layers.

pub(crate) mod capture;
pub(crate) mod gap;
pub(crate) mod overhang;
pub(crate) mod wall;
