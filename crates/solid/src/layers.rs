//! A part cut into printed layers: what the overhang check, the estimate and
//! the colour changes look at.

use rayon::prelude::*;

use crate::area::Area;
use crate::kernel::Solid;
use crate::sizes::Sizes;

/// Every layer of a part as it stands on the bed, body by body.
pub(crate) struct Layers {
    /// Middle of each layer above the bed.
    pub middles: Vec<f64>,
    /// One list of layers for each body.
    pub bodies: Vec<Vec<Area>>,
}

/// Top of layer `n` (from 0) above the bed.
pub(crate) fn layer_top(sizes: &Sizes, n: usize) -> f64 {
    sizes.first_layer + sizes.layer * n as f64
}

/// How many layers reach the height `z`.
pub(crate) fn layers_to(sizes: &Sizes, z: f64) -> usize {
    let above = (z - sizes.first_layer) / sizes.layer;
    (above - 1e-6).ceil().max(0.0) as usize + 1
}

impl Layers {
    /// Cuts bodies that stand on z = 0 and reach up to `height`.
    pub fn cut(solids: &[Solid], height: f64, sizes: &Sizes) -> Self {
        let count = layers_to(sizes, height);
        let middles: Vec<f64> = (0..count)
            .map(|n| {
                let low = if n == 0 { 0.0 } else { layer_top(sizes, n - 1) };
                // A last layer that sticks out above the part is cut where the part is.
                (low + layer_top(sizes, n).min(height)) / 2.0
            })
            .collect();
        let bodies =
            solids.par_iter().map(|solid| middles.iter().map(|&z| solid.slice(z)).collect()).collect();
        Layers { middles, bodies }
    }

    /// All bodies of one layer.
    pub fn all(&self, layer: usize) -> Area {
        let here: Vec<Area> =
            self.bodies.iter().map(|b| b[layer].clone()).filter(|a| !a.is_empty()).collect();
        match here.as_slice() {
            [one] => one.clone(),
            all => Area::sum(all),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn heights_and_numbers_agree() {
        let sizes = Sizes { first_layer: 0.3, ..Sizes::default() };
        assert_eq!((layers_to(&sizes, 0.3), layers_to(&sizes, 0.31), layers_to(&sizes, 15.0)), (1, 2, 75));
        for n in 0..80 {
            assert_eq!(layers_to(&sizes, layer_top(&sizes, n)), n + 1);
        }
    }
}
