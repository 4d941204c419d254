//! The shift that most agree on: how one thing is laid on another as well as can be.

/// Scratch for counting votes.
#[derive(Default)]
pub(crate) struct Votes {
    counts: Vec<u32>,
}

impl Votes {
    /// The greatest sum of weights that one shift gets. Votes are a shift, its two
    /// numbers from 0 and less than `wide` and `high`, and a weight.
    pub fn most(&mut self, wide: i64, high: i64, votes: impl Iterator<Item = ([i64; 2], u32)>) -> usize {
        if wide.saturating_mul(high) > 1 << 16 {
            // Flung far: sorted rather than counted.
            let mut all: Vec<([i64; 2], u32)> = votes.collect();
            all.sort_unstable();
            let sums = all.chunk_by(|a, b| a.0 == b.0).map(|same| same.iter().map(|v| v.1 as usize).sum());
            return sums.max().unwrap_or(0);
        }
        self.counts.clear();
        self.counts.resize((wide * high) as usize, 0);
        let mut most = 0;
        for ([x, y], weight) in votes {
            let count = &mut self.counts[(y * wide + x) as usize];
            *count += weight;
            most = most.max(*count);
        }
        most as usize
    }
}
