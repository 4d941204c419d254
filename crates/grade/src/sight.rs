//! What draws the eye and what comes to mind: a person's habits as tables, made
//! once an outline and read at every try.

use crate::board::Board;
use crate::mask::Mask;
use crate::person::Person;

/// Sizes of holes that a person tells apart; in larger ones nothing is seen.
const HOLES: usize = 64;

/// A place as the eye runs over it: what is read of those that fit, close together.
#[derive(Clone, Copy)]
pub(crate) struct Look<const W: usize> {
    pub beside: Mask<W>,
    pub pins: Mask<W>,
    /// How much its lays together come to mind, before the board is looked at.
    pub weight: f32,
    pub place: u32,
    pub walls: u32,
    /// Where its row of [`Sight::snug`] starts, and the last of it.
    pub snug: u32,
    pub sides: u32,
}

/// The places of one class that cover a cell. The eye runs over the cells of all
/// of them, so these lie by themselves.
pub(crate) struct Row<const W: usize> {
    pub kind: usize,
    pub cells: Vec<Mask<W>>,
    pub looks: Vec<Look<W>>,
}

/// The habits of a person at one board.
pub(crate) struct Sight<'a, const W: usize> {
    pub board: &'a Board<W>,
    pub person: &'a Person,
    /// Whether a filling must drop in to count.
    pub must_drop_in: bool,
    /// By closed sides of a cell.
    pub corner: [f32; 5],
    /// By open pockets at a cell.
    pub pocket: [f32; 5],
    /// How much each lay comes to mind, before the board is looked at.
    pub lay: Vec<f32>,
    /// Rows by sides of a place, in a row by how many of them touch.
    pub snug: Vec<f32>,
    /// By cells of a dead hole: the chance that it is seen.
    pub sees: [f32; HOLES],
    /// By cell: the places that cover it, by class.
    pub scan: Vec<Vec<Row<W>>>,
    /// Numbers that tell positions on the board apart, by place.
    pub marks: Vec<u64>,
}

impl<'a, const W: usize> Sight<'a, W> {
    pub fn new(board: &'a Board<W>, person: &'a Person, must_drop_in: bool) -> Self {
        let power = |base: f64, n: usize| base.powi(n as i32) as f32;
        // A fold that single swings do not reach is harder to find than any they do.
        let unreached = 1 + board.lays.iter().filter_map(|l| l.swings).max().unwrap_or(0);
        let lay: Vec<f32> = board
            .lays
            .iter()
            .map(|l| {
                let swings = power(person.swing, l.swings.unwrap_or(unreached) as usize);
                swings * power(person.pocket, l.pockets.count())
            })
            .collect();
        let most_sides = board.places.iter().map(|p| p.sides).max().unwrap_or(0);
        let start = |sides: usize| sides * (sides + 1) / 2;
        let snug = (0..=most_sides)
            .flat_map(|sides| {
                (0..=sides).map(move |n| person.snug.powf(n as f64 / sides.max(1) as f64) as f32)
            })
            .collect();
        let look = |&p: &u32| {
            let place = &board.places[p as usize];
            Look {
                beside: place.beside,
                pins: place.pins,
                weight: lay[place.lays.clone()].iter().sum(),
                place: p,
                walls: place.walls as u32,
                snug: start(place.sides) as u32,
                sides: place.sides as u32,
            }
        };
        let kind = |p: u32| board.places[p as usize].kind;
        let row = |all: &[u32]| Row {
            kind: kind(all[0]),
            cells: all.iter().map(|&p| board.places[p as usize].cells).collect(),
            looks: all.iter().map(look).collect(),
        };
        let rows = |all: &Vec<u32>| all.chunk_by(|&a, &b| kind(a) == kind(b)).map(row).collect();
        let scan = board.covering.iter().map(rows).collect();
        let mut marks = fastrand::Rng::with_seed(0x6861_7262_6f75_7221);
        Sight {
            board,
            person,
            must_drop_in,
            corner: std::array::from_fn(|n| power(person.corner, n)),
            pocket: std::array::from_fn(|n| power(person.pocket, n)),
            lay,
            snug,
            sees: std::array::from_fn(|n| person.sees as f32 * power(person.sees_less, n.saturating_sub(1))),
            scan,
            marks: board.places.iter().map(|_| marks.u64(..)).collect(),
        }
    }

    /// The chance that a dead hole of so many cells is seen.
    pub fn sees(&self, cells: usize) -> f32 {
        self.sees.get(cells).copied().unwrap_or(0.0)
    }
}
