//! What counts as a valid solution, beyond the set's levels and turning over.

/// Which folds a filling may use.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Reach {
    /// Only folds that single clear swings lead to.
    Swings,
    /// Also folds that a planned motion of several hinges at once leads to.
    Planned,
    /// Every fold, reached or not.
    #[default]
    Any,
}

impl Reach {
    /// The words for it in the file, in order.
    pub const WORDS: [(&'static str, Reach); 3] =
        [("swings", Reach::Swings), ("planned", Reach::Planned), ("any", Reach::Any)];

    /// The word for it in the file.
    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|w| w.1 == self).expect("every way of reaching has a word").0
    }
}

/// The rules of `[set]` that judge fillings.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Rules {
    /// Whether layouts that cannot be dropped in count as valid solutions.
    pub interlocked: bool,
    /// Which folds count.
    pub reach: Reach,
}
