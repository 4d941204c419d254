//! The person at the board, as numbers that a maker can argue with.
//!
//! None of these values comes from a measurement: they are our own choice of
//! what a patient beginner does, stated so that they can be disputed, and the
//! same for every outline. What testers' times say about the result is for the
//! model of minutes; nothing here is tuned to one set.

/// Habits of a person at the board.
#[derive(Clone, Debug, PartialEq)]
pub struct Person {
    /// How much more a spot draws the eye for each closed side (wall or piece):
    /// a factor a side, so a corner (two sides) counts its square.
    pub corner: f64,
    /// How much more a spot, and a way to lay a piece, draws for each pocket that
    /// would take a hinge: a factor a pocket. Blind pockets draw as much.
    pub pocket: f64,
    /// How much less a fold comes to mind for each swing from home: a factor below 1.
    pub swing: f64,
    /// How much more a way to lay a piece draws if all its sides touch a wall or a
    /// piece; less in proportion.
    pub snug: f64,
    /// How many failed moves are kept in mind; an older one is forgotten.
    pub memory: usize,
    /// The chance a try that a dead hole of one cell is seen.
    pub sees: f64,
    /// How much smaller that chance is for each further cell of the hole: a factor below 1.
    pub sees_less: f64,
    /// The chance that, where nothing is found to go, the eye wanders on and no
    /// piece is lifted.
    pub wanders: f64,
    /// The chance that the piece laid last is the one lifted; else the one before
    /// it is asked, and so on.
    pub last_first: f64,
    /// The chance, each time a piece is lifted, that the whole board is cleared.
    pub restarts: f64,
}

impl Default for Person {
    fn default() -> Self {
        Person {
            corner: 2.5,
            pocket: 1.6,
            swing: 0.75,
            snug: 8.0,
            memory: 7,
            sees: 0.9,
            sees_less: 0.8,
            wanders: 0.3,
            last_first: 0.5,
            restarts: 1.0 / 12.0,
        }
    }
}

impl Person {
    /// Every habit with its name, in the order above.
    pub fn habits(&self) -> [(&'static str, f64); 10] {
        [
            ("corner", self.corner),
            ("pocket", self.pocket),
            ("swing", self.swing),
            ("snug", self.snug),
            ("memory", self.memory as f64),
            ("sees", self.sees),
            ("sees_less", self.sees_less),
            ("wanders", self.wanders),
            ("last_first", self.last_first),
            ("restarts", self.restarts),
        ]
    }
}
