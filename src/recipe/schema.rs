//! What a recipe file may say: the one documented schema of `recipes/*.yaml`.
//!
//! Every list is a list of blocks that name themselves (`role:`, `pass:`, …),
//! never a free map, so that a name given twice is seen and reported. Unknown
//! keys are errors.

use super::breakdown::DemandKind;
use super::expression::Expression;
use crate::model::{Pace, PlateKind};
use crate::quantity::unit::Dimension;
use serde::Deserialize;

/// One recipe.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Recipe {
    /// Its name, as effects call it: `snake_case`.
    pub recipe: String,
    /// In a few words.
    pub title: String,
    /// One paragraph: what it makes, and what it takes.
    pub summary: String,
    /// What calls it.
    pub kind: Kind,
    /// Plates and references that it works with; the first one is the plate the effect is on.
    #[serde(default)]
    pub roles: Vec<Role>,
    /// Words of the effect block that it reads.
    #[serde(default)]
    pub words: Vec<Word>,
    /// Numbers that the effect block may set.
    #[serde(default)]
    pub quantities: Vec<Quantity>,
    /// Work at the desk.
    pub passes: Vec<PassRule>,
    /// For the packet.
    #[serde(default)]
    pub notes: Vec<String>,
    /// The usual cautions.
    #[serde(default)]
    pub cautions: Vec<String>,
    /// Sounds that it suggests.
    #[serde(default)]
    pub cues: Vec<String>,
}

/// What calls a recipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// `effect NAME by RECIPE`.
    Effect,
    /// `join A -> B by RECIPE`; its roles are `from` and `to`.
    Join,
    /// Once for each moving picture; its role is `plate`.
    EveryPlate,
    /// Once for the sequence.
    Sequence,
}

impl Kind {
    /// What it is a recipe for, in words.
    pub fn word(self) -> &'static str {
        match self {
            Kind::Effect => "effects",
            Kind::Join => "joins",
            Kind::EveryPlate => "every plate",
            Kind::Sequence => "the whole sequence",
        }
    }

    /// Names that its sums may use, besides the recipe's own quantities.
    pub fn names(self) -> &'static [&'static str] {
        match self {
            Kind::Effect => &[
                "seconds", "frames", "lasts", "objects", "assets", "plates", "joins", "points", "slowest",
                "fastest",
            ],
            Kind::Join => &["seconds", "frames"],
            Kind::EveryPlate => &["seconds", "frames", "lasts", "takes"],
            Kind::Sequence => &["seconds", "frames", "beats", "plates", "effects", "joins", "cues", "layers"],
        }
    }
}

/// A plate or reference that a recipe works with.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Role {
    /// Its name; the word that binds it in the effect block.
    pub role: String,
    /// What it is, in words.
    pub title: String,
    /// How many plates it takes at least; more than one plate only where this is written.
    #[serde(default)]
    pub at_least: Option<u32>,
    /// Whether it may stay empty.
    #[serde(default)]
    pub optional: bool,
    /// Which of its plates serve the effect and are not seen on their own;
    /// all of them where the role can be derived.
    #[serde(default)]
    pub serves: Option<Serves>,
    /// How it is supplied when the writer leaves it out.
    #[serde(default)]
    pub derive: Option<Derive>,
    /// What it asks of its plates.
    #[serde(default)]
    pub demands: Vec<DemandRule>,
}

/// Which plates of a role are not seen on their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Serves {
    /// Every one.
    All,
    /// All but the first: they share its frame.
    Rest,
}

/// How an owed plate comes about.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Derive {
    /// What it is.
    pub kind: PlateKind,
    /// The role whose first plate it is modelled on.
    pub from: String,
    /// Where and on what it is shot.
    #[serde(default)]
    pub set_up: SetUpRule,
    /// Length of one take in seconds.
    pub lasts: Expression,
    /// How many takes.
    #[serde(default = "one")]
    pub takes: u32,
    /// Its place in a locked group.
    #[serde(default)]
    pub order: GroupOrder,
    /// Whether the camera makes the same move as in the plate it is modelled on.
    #[serde(default)]
    pub same_move: bool,
    /// What must be in the picture.
    #[serde(default)]
    pub must: Vec<String>,
    /// What must stay out of it.
    #[serde(default)]
    pub avoid: Vec<String>,
}

fn one() -> u32 {
    1
}

/// Where and on what an owed plate is shot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SetUpRule {
    /// Same place, rig, camera, light and position.
    #[default]
    Same,
    /// Before a screen under lamps, on a fixed rig, at the same lens height, tilt and view.
    Screen,
}

/// Place in a locked group.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum GroupOrder {
    /// Before the action.
    First,
    /// With the action, in story order.
    #[default]
    With,
    /// After all else.
    Last,
}

/// When a demand or a pass applies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum When {
    /// The plate holds the camera locked.
    Locked,
    /// The camera may move.
    Moving,
}

/// Something asked of a plate.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemandRule {
    /// What.
    pub kind: DemandKind,
    /// In words for the card; what would spoil it.
    pub text: String,
    /// Only for such plates.
    #[serde(default)]
    pub when: Option<When>,
}

/// A word of the effect block that is neither a role nor a quantity.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Word {
    /// Which.
    pub word: EffectWord,
    /// Whether the effect cannot be made without it.
    #[serde(default)]
    pub needed: bool,
    /// What it is for.
    pub doc: String,
}

/// Words of the effect block that some recipes read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum EffectWord {
    /// `objects a, b`.
    Objects,
    /// `speed 70%..300%` or a curve.
    Speed,
    /// `sweep 70 deg x 45 deg`.
    Sweep,
    /// `screen NAME`.
    Screen,
    /// `gap 2 m`.
    Gap,
    /// `asset NAME`.
    Asset,
}

impl EffectWord {
    /// As written.
    pub fn word(self) -> &'static str {
        match self {
            EffectWord::Objects => "objects",
            EffectWord::Speed => "speed",
            EffectWord::Sweep => "sweep",
            EffectWord::Screen => "screen",
            EffectWord::Gap => "gap",
            EffectWord::Asset => "asset",
        }
    }
}

/// The most of what has no limit of its own.
fn any() -> f64 {
    1e9
}

/// A number that the effect block may set.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Quantity {
    /// Its name, in the block and in sums.
    pub quantity: String,
    /// What it measures.
    pub dimension: Dimension,
    /// Its value unless written, in base units (m, s, deg, m/s, 1 = 100 %); without one it must be written.
    #[serde(default)]
    pub default: Option<f64>,
    /// The least that may be written, in base units; 0 unless said.
    #[serde(default)]
    pub least: f64,
    /// The most that may be written, in base units.
    #[serde(default = "any")]
    pub most: f64,
    /// What it is for.
    pub doc: String,
}

/// One pass at the desk.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PassRule {
    /// Its name.
    pub pass: String,
    /// In words.
    pub title: String,
    /// The department that does it.
    pub department: String,
    /// Departments that can do it as well.
    #[serde(default)]
    pub or: Vec<String>,
    /// Hours of work.
    pub effort: Expression,
    /// Hours that machines then take, day and night, before what waits for it can begin.
    #[serde(default)]
    pub render: Option<Expression>,
    /// Hours until it was looked at and agreed, after that, before what waits for it can begin.
    #[serde(default)]
    pub review: Option<Expression>,
    /// In which time these are counted; hours of work unless said.
    #[serde(default)]
    pub review_in: Option<Pace>,
    /// Passes of the same recipe that come first.
    #[serde(default)]
    pub waits: Vec<Wait>,
    /// Roles whose plates it works from.
    #[serde(default)]
    pub inputs: Vec<String>,
    /// Whether it waits for the effect's assets to be built.
    #[serde(default)]
    pub assets: bool,
    /// Only where the effect's first plate is so.
    #[serde(default)]
    pub when: Option<When>,
    /// What to do.
    #[serde(default)]
    pub notes: Vec<String>,
}

/// One pass waits for another.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wait {
    /// Which comes first.
    pub pass: String,
    /// Why.
    pub because: String,
}

impl Recipe {
    /// The role of that name.
    pub fn role(&self, name: &str) -> Option<&Role> {
        self.roles.iter().find(|role| role.role == name)
    }

    /// The quantity of that name.
    pub fn quantity(&self, name: &str) -> Option<&Quantity> {
        self.quantities.iter().find(|quantity| quantity.quantity == name)
    }

    /// The pass of that name.
    pub fn pass(&self, name: &str) -> Option<&PassRule> {
        self.passes.iter().find(|pass| pass.pass == name)
    }

    /// Whether it reads that word.
    pub fn reads(&self, word: EffectWord) -> bool {
        self.words.iter().any(|one| one.word == word)
    }
}
