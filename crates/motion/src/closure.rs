//! Moves of pieces with loops: along the openings that keep every loop closed.
//!
//! A point that tears a loop is brought back by Newton's steps, damped so that
//! they stay short where a loop lies flat and has more ways to go than one. A
//! move goes in short steps towards its aim, each brought back, each certified
//! like any other move. Between two steps a closing hinge is off its place by
//! less than [`CLOSURE`], a small part of the clearance it turns in.

use nalgebra::{DMatrix, DVector};

use crate::glide::{Clearway, Glide, between};

/// How far a closing hinge may be torn on the way, in pitches.
pub(crate) const CLOSURE: f64 = 5e-4;
/// Longest step, in radians of the openings together.
const STEP: f64 = 0.03;
/// When a loop counts as closed at a step, in pitches.
const CLOSED: f64 = 1e-9;
/// Below this, relative to the largest, a way of tearing counts as none.
const FLAT: f64 = 1e-6;

fn norm(values: &[f64]) -> f64 {
    values.iter().map(|v| v * v).sum::<f64>().sqrt()
}

fn less(a: &[f64], b: &[f64]) -> Vec<f64> {
    a.iter().zip(b).map(|(a, b)| a - b).collect()
}

impl Clearway {
    fn torn_at(&self, at: &[f64]) -> f64 {
        norm(&self.linkage.torn(&self.linkage.place(at)))
    }

    fn rows(&self, at: &[f64]) -> DMatrix<f64> {
        let rows = self.linkage.torn_by(&self.linkage.place(at));
        DMatrix::from_fn(rows.len(), at.len(), |i, j| rows[i][j])
    }

    /// The nearest openings that close every loop, or nothing near enough.
    pub(crate) fn closed(&self, mut at: Vec<f64>) -> Option<Vec<f64>> {
        for _ in 0..40 {
            let torn = self.linkage.torn(&self.linkage.place(&at));
            let size = norm(&torn);
            if size < CLOSED {
                return Some(at);
            }
            let rows = self.rows(&at);
            let damping = 1e-3 * size;
            let square = &rows * rows.transpose() + DMatrix::identity(rows.nrows(), rows.nrows()) * damping;
            let back = rows.transpose() * square.cholesky()?.solve(&DVector::from_vec(torn));
            for (a, b) in at.iter_mut().zip(back.iter()) {
                *a -= b;
            }
        }
        None
    }

    /// The part of a way that tears no loop.
    fn along(&self, at: &[f64], way: &[f64]) -> Vec<f64> {
        let rows = self.rows(at);
        let svd = rows.svd(false, true);
        let axes = svd.v_t.expect("asked for");
        let largest = svd.singular_values.max();
        let mut kept = DVector::from_column_slice(way);
        for (i, value) in svd.singular_values.iter().enumerate() {
            if *value > FLAT * largest.max(1.0) {
                let axis = axes.row(i).transpose();
                let part = kept.dot(&axis);
                kept -= axis * part;
            }
        }
        kept.iter().copied().collect()
    }

    /// Moves towards an aim as far as the loops and the bodies let it. The
    /// points it turns at, the start left out; and whether it arrived.
    pub(crate) fn approach(&mut self, from: &[f64], aim: &[f64]) -> (Vec<Vec<f64>>, bool) {
        if !self.linkage.has_loops() {
            return match self.glide(from, aim) {
                Glide::Through => (vec![aim.to_vec()], true),
                Glide::Stopped(part) => (vec![between(from, aim, part)], false),
            };
        }
        let mut way: Vec<Vec<f64>> = Vec::new();
        let mut at = from.to_vec();
        loop {
            let ahead = less(aim, &at);
            let left = norm(&ahead);
            if left <= STEP && self.torn_at(aim) < CLOSED {
                let arrived = self.short_move(&at, aim);
                if arrived {
                    way.push(aim.to_vec());
                }
                return (way, arrived);
            }
            let along = self.along(&at, &ahead);
            let length = norm(&along);
            if length < 1e-3 {
                return (way, false);
            }
            let stride = STEP.min(length) / length;
            let there: Vec<f64> = at.iter().zip(&along).map(|(a, d)| a + d * stride).collect();
            let Some(next) = self.closed(there) else { return (way, false) };
            let nearer = norm(&less(aim, &next)) < left - STEP / 20.0;
            if !nearer || !self.short_move(&at, &next) {
                return (way, false);
            }
            way.push(next.clone());
            at = next;
        }
    }

    fn short_move(&mut self, from: &[f64], to: &[f64]) -> bool {
        let near = norm(&less(to, from)) <= 2.0 * STEP;
        near && self.torn_at(&between(from, to, 0.5)) < CLOSURE
            && self.in_range(to)
            && self.glide(from, to) == Glide::Through
    }

    /// Whether the closing hinges are open between side by side and side by side.
    fn in_range(&self, at: &[f64]) -> bool {
        use std::f64::consts::FRAC_PI_2;
        let range = FRAC_PI_2 - 1e-6..=3.0 * FRAC_PI_2 + 1e-6;
        self.linkage.openings(at).iter().all(|o| range.contains(o))
    }
}
