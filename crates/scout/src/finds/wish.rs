//! What a maker wishes of an outline, which of two is better by it, and orders
//! to look at finds in.

use std::cmp::Ordering;

use fill::Look;

use super::Find;

/// What makes an outline better. Only outlines all of whose layouts were
/// listed, and that some pockets leave one layout, are good at all.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wish {
    /// Some pockets leave one layout.
    Unique,
    /// That, and more essentially different layouts with a pocket everywhere:
    /// more to be misled by. (The evidence there is until outlines are graded.)
    Harder,
    /// That, and fewer pockets.
    FewerPockets,
}

impl Wish {
    /// Whether an outline is good, and better than another that was looked at.
    pub fn better(self, look: &Look, than: &Look) -> bool {
        let good = |l: &Look| l.complete && l.smallest.as_ref().is_some_and(|alone| alone.proven);
        let size = |l: &Look| l.smallest.as_ref().map_or(usize::MAX, |alone| alone.pockets.len());
        good(look)
            && match self {
                Wish::Unique => true,
                // At least so many may be more: then nothing is known to be harder.
                Wish::Harder => than.complete && look.different > than.different,
                Wish::FewerPockets => than.complete && size(look) < size(than),
            }
    }

    /// The order that puts first what is best by the wish.
    pub fn order(self) -> Order {
        match self {
            Wish::Unique => Order::Score,
            Wish::Harder => Order::Layouts,
            Wish::FewerPockets => Order::Pockets,
        }
    }
}

/// Orders to look at finds in. Equals stand by score, and then by place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Order {
    /// The best score first.
    Score,
    /// The most essentially different layouts with a pocket everywhere first.
    Layouts,
    /// The fewest pockets that leave one layout first.
    Pockets,
    /// The most pockets that still leave one layout first.
    Blind,
    /// As they came.
    Place,
}

impl Order {
    /// How two finds stand to each other.
    pub fn compare(self, a: &Find, b: &Find) -> Ordering {
        let fewest = |f: &Find| f.pockets().map_or(usize::MAX, <[_]>::len);
        let most = |f: &Find| f.look.largest.as_ref().map_or(0, |alone| alone.pockets.len());
        let first = match self {
            Order::Score | Order::Place => Ordering::Equal,
            Order::Layouts => b.look.different.cmp(&a.look.different),
            Order::Pockets => fewest(a).cmp(&fewest(b)),
            Order::Blind => most(b).cmp(&most(a)),
        };
        let by_place = a.place.cmp(&b.place);
        match self {
            Order::Place => by_place,
            _ => first.then(b.score.total_cmp(&a.score)).then(by_place),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use fill::Alone;
    use lattice::{Cell, Vertex};

    fn find(place: u64, different: u64, pockets: Option<i32>) -> Find {
        let smallest = pockets.map(|n| Alone {
            pockets: (0..n).map(|x| Vertex::new(x, 0)).collect(),
            same_size: 1,
            proven: true,
        });
        let look =
            Look { layouts: different, different, drop_in: None, complete: true, smallest, largest: None };
        Find::new(place, (0..5).map(|x| Cell::new(x, 0)).collect(), look, None)
    }

    #[test]
    fn better_is_by_the_wish_and_never_without_a_proof() {
        let (old, new, none) = (find(0, 4, Some(3)), find(1, 5, Some(2)), find(2, 9, None));
        for wish in [Wish::Unique, Wish::Harder, Wish::FewerPockets] {
            assert!(wish.better(&new.look, &old.look));
            assert_eq!(wish.better(&old.look, &new.look), wish == Wish::Unique);
            assert!(!wish.better(&none.look, &old.look));
            let stopped = Look { complete: false, ..new.look.clone() };
            assert!(!wish.better(&stopped, &old.look));
            assert_eq!(wish.better(&new.look, &stopped), wish == Wish::Unique);
        }
    }

    #[test]
    fn finds_stand_in_the_order_asked_for() {
        let finds = [find(0, 4, Some(3)), find(1, 5, Some(2)), find(2, 9, None)];
        let sorted = |order: Order| {
            let mut all: Vec<&Find> = finds.iter().collect();
            all.sort_by(|a, b| order.compare(a, b));
            all.iter().map(|f| f.place).collect::<Vec<_>>()
        };
        assert_eq!(sorted(Order::Layouts), [2, 1, 0]);
        assert_eq!(sorted(Order::Pockets), [1, 0, 2]);
        assert_eq!(sorted(Order::Place), [0, 1, 2]);
    }
}
