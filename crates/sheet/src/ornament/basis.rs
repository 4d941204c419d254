//! A basis of ways to hang together, over the field of two elements.
//!
//! A way is the vector of all cuts of the seams in two (the first seam always in
//! the first half) that cut no class. Two ways together are one part exactly if
//! an odd number of cuts, the trivial one alone, cut neither.

/// Independent vectors in echelon form.
pub(crate) struct Basis {
    seams: usize,
    rows: Vec<(usize, Vec<u64>)>,
}

impl Basis {
    pub fn new(seams: usize) -> Self {
        Basis { seams, rows: Vec::new() }
    }

    /// Takes in a way; false if it is a sum of those taken in before.
    pub fn adds(&mut self, labels: &[u8]) -> bool {
        let mut row = cuts(labels, self.seams);
        for (lead, other) in &self.rows {
            if row[lead / 64] >> (lead % 64) & 1 == 1 {
                row.iter_mut().zip(other).for_each(|(x, y)| *x ^= y);
            }
        }
        let Some(word) = row.iter().position(|&x| x != 0) else { return false };
        let lead = 64 * word + row[word].trailing_zeros() as usize;
        self.rows.push((lead, row));
        true
    }
}

/// Bit c: the cut with seam k + 1 in the second half where bit k of c is set.
fn cuts(labels: &[u8], seams: usize) -> Vec<u64> {
    let bits = 1usize << seams.saturating_sub(1);
    let mut row = vec![0; bits.div_ceil(64)];
    let classes = labels.iter().max().map_or(0, |m| usize::from(*m) + 1);
    // Class 0 has the first seam. Every choice of the others gives one cut.
    let masks: Vec<usize> = (1..classes)
        .map(|c| (1..seams).filter(|&k| usize::from(labels[k]) == c).fold(0, |m, k| m | 1 << (k - 1)))
        .collect();
    for choice in 0..1usize << masks.len() {
        let cut = masks.iter().enumerate().filter(|(k, _)| choice >> k & 1 == 1).fold(0, |m, (_, x)| m | x);
        row[cut / 64] |= 1 << (cut % 64);
    }
    row
}

#[cfg(test)]
mod tests {
    use super::*;

    /// All ways of n seams, as classes in order of appearance.
    fn ways(n: usize) -> Vec<Vec<u8>> {
        (1..n).fold(vec![vec![0]], |all, _| {
            all.into_iter()
                .flat_map(|w| {
                    let next = w.iter().max().unwrap() + 1;
                    (0..=next).map(move |c| [w.clone(), vec![c]].concat())
                })
                .collect()
        })
    }

    fn together(a: &[u8], b: &[u8]) -> bool {
        let mut reached = vec![false; a.len()];
        reached[0] = true;
        for _ in 0..a.len() {
            for j in 0..a.len() {
                reached[j] |= (0..a.len()).any(|i| reached[i] && (a[i] == a[j] || b[i] == b[j]));
            }
        }
        reached.into_iter().all(|r| r)
    }

    #[test]
    fn a_basis_serves_every_way_to_go_on() {
        let all = ways(5);
        assert_eq!(all.len(), 52);
        let mut basis = Basis::new(5);
        let kept: Vec<_> = all.iter().filter(|w| basis.adds(w)).collect();
        assert!(kept.len() <= 16);
        for way in &all {
            for on in &all {
                if together(way, on) {
                    assert!(kept.iter().any(|k| together(k, on)));
                }
            }
        }
    }
}
