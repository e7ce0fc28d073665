//! The plan that was kept, and what people have pinned in it.
//!
//! Names are those that the kept plan was written with; whether something still
//! has such a name is known only once recipes have said what there is.

use crate::source::Span;
use jiff::civil::{Date, Time};
use std::collections::BTreeMap;

/// A kept plan; empty where none was kept.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Kept {
    /// Plates by path.
    pub plates: BTreeMap<String, KeptPlate>,
    /// Passes by path.
    pub passes: BTreeMap<String, KeptPass>,
    /// What people have pinned.
    pub pins: Vec<Pin>,
}

/// When a plate was to be shot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct KeptPlate {
    /// On which day.
    pub date: Date,
    /// Its place in the order of that day.
    pub place: usize,
}

/// Who was to do a pass.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptPass {
    /// Who, by path.
    pub who: String,
    /// Its place in the order of all passes.
    pub place: usize,
}

/// Something that people want at a time or with a person.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pin {
    /// What.
    pub what: Pinned,
    /// On which day; a pass may begin on any where none is said.
    pub on: Option<Date>,
    /// The lines that say so.
    pub span: Span,
}

/// What is pinned.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Pinned {
    /// A plate.
    Plate {
        /// Its path.
        plate: String,
        /// When it is to begin.
        at: Option<Time>,
    },
    /// A pass.
    Pass {
        /// Its path.
        pass: String,
        /// Who is to do it, by path.
        by: Option<String>,
    },
}

impl Kept {
    /// Whether there is a plan to start from.
    pub fn is_plan(&self) -> bool {
        !self.plates.is_empty() || !self.passes.is_empty()
    }

    /// What people have pinned, without the plan.
    pub fn pins_alone(&self) -> Self {
        Self { pins: self.pins.clone(), ..Self::default() }
    }

    /// Removes the pin of a plate.
    pub fn unpin(&mut self, path: &str) {
        self.pins.retain(|pin| !matches!(&pin.what, Pinned::Plate { plate, .. } if plate == path));
    }

    /// The pin of a plate: its day and time.
    pub fn pin_of_plate(&self, path: &str) -> Option<(&Pin, Option<Time>)> {
        self.pins.iter().find_map(|pin| match &pin.what {
            Pinned::Plate { plate, at } if plate == path => Some((pin, *at)),
            _ => None,
        })
    }

    /// The pin of a pass, with who is to do it.
    pub fn pin_of_pass(&self, path: &str) -> Option<(&Pin, Option<&str>)> {
        self.pins.iter().find_map(|pin| match &pin.what {
            Pinned::Pass { pass, by } if pass == path => Some((pin, by.as_deref())),
            _ => None,
        })
    }
}
