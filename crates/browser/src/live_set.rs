//! A set kept ready for questions about drawings.

use std::sync::Mutex;

use fill::Survey;
use lattice::{Class, Set};

/// A set, what its pieces may become, and tables that serve from one drawing to the next.
pub struct LiveSet {
    set: Set,
    classes: Vec<Class>,
    interlocked: bool,
    pub(crate) survey: Mutex<Survey<'static>>,
}

impl LiveSet {
    /// A set, each piece in the folds of its class; layouts that do not drop in count
    /// if `interlocked` says so.
    pub fn new(set: Set, classes: Vec<Class>, interlocked: bool) -> Self {
        let survey = Mutex::new(Survey::keeping(set.clone(), classes.clone()));
        LiveSet { set, classes, interlocked, survey }
    }

    /// The set.
    pub fn set(&self) -> &Set {
        &self.set
    }

    /// What its pieces may become.
    pub fn classes(&self) -> &[Class] {
        &self.classes
    }

    /// Whether layouts that do not drop in count.
    pub fn interlocked(&self) -> bool {
        self.interlocked
    }
}
