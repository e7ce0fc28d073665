//! What the recipes make of a model: everything that must be captured and
//! everything that the desk then does.

use crate::model::{Arena, AssetId, BeatId, Desk, EffectId, JoinId, Origin, Pace, Plate, PlateId, arena};
use crate::quantity::Hours;
use crate::source::Span;
use serde::Serialize;
use std::collections::BTreeSet;

arena::ids! {
    /// A pass at the desk.
    PassId;
    /// A locked group.
    GroupId;
}

/// The model, broken down into work.
#[derive(Debug, Clone, Default)]
pub struct Breakdown {
    /// Every plate and reference: those of the model under the same identities,
    /// then those that recipes owe.
    pub plates: Arena<PlateId, Plate>,
    /// What recipes ask of each plate, in order of plate, then effect.
    pub demands: Vec<Demand>,
    /// Every pass at the desk.
    pub passes: Arena<PassId, Pass>,
    /// Plates between which the camera may not be touched, each in shooting order.
    pub groups: Arena<GroupId, Group>,
    /// Roles as they were filled, in order of effect.
    pub roles: Vec<FilledRole>,
    /// Sound cues that recipes suggest: (beat, text, effect).
    pub cues: Vec<(BeatId, String, EffectId)>,
    /// Sound cues that the recipes of joins suggest: (join, text).
    pub join_cues: Vec<(JoinId, String)>,
    /// Cautions that recipes carry: (effect, text).
    pub cautions: Vec<(EffectId, String)>,
    /// Words for the packet: (effect, text).
    pub notes: Vec<(EffectId, String)>,
    /// Title of each effect's recipe, by effect in order.
    pub methods: Vec<String>,
}

impl Breakdown {
    /// The demands on one plate.
    pub fn demands_on(&self, plate: PlateId) -> impl Iterator<Item = &Demand> {
        self.demands.iter().filter(move |demand| demand.plate == plate)
    }

    /// What recipes owe at the same place for the effects that a plate serves: its clean plate,
    /// its references.
    pub fn owed_beside(&self, plate: PlateId) -> impl Iterator<Item = PlateId> {
        let place = self.plates[plate].place;
        let effects = self.roles.iter().filter(move |role| role.plates.contains(&plate));
        let effects: BTreeSet<EffectId> = effects.map(|role| role.effect).collect();
        let owed = move |one: &Plate| match &one.origin {
            Origin::Owed { effect, .. } => effects.contains(effect),
            Origin::Written => false,
        };
        self.plates.iter().filter(move |(_, one)| one.place == place && owed(one)).map(|(id, _)| id)
    }

    /// The locked group of a plate, if it is in one.
    pub fn group_of(&self, plate: PlateId) -> Option<GroupId> {
        self.groups.iter().find(|(_, group)| group.plates.contains(&plate)).map(|(id, _)| id)
    }
}

/// Plates for which the camera must stay untouched from the first to the last.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// In the order in which they are shot.
    pub plates: Vec<PlateId>,
    /// The effects that need it.
    pub effects: Vec<EffectId>,
}

/// A role of an effect, filled.
#[derive(Debug, Clone, PartialEq)]
pub struct FilledRole {
    /// Whose.
    pub effect: EffectId,
    /// The role's name in the recipe.
    pub role: String,
    /// What the role is, in words.
    pub title: String,
    /// What fills it.
    pub plates: Vec<PlateId>,
}

/// Something a recipe asks of a plate.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    /// Of which plate.
    pub plate: PlateId,
    /// What.
    pub kind: DemandKind,
    /// Which effect or join asks.
    pub by: Owner,
    /// As which role.
    pub role: String,
    /// In words for the plate card; what would spoil it.
    pub text: String,
    /// The line that binds the plate to the role.
    pub span: Span,
}

/// What can be asked of a plate; each is checked by a rule or printed as an instruction.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DemandKind {
    /// The camera does not move, for the whole group.
    Locked,
    /// Exposure is not changed within the group.
    ExposureFixed,
    /// Focus is not changed within the group.
    FocusFixed,
    /// No hands in the picture.
    HandsOut,
    /// Hands stay behind what they carry.
    HandsBehind,
    /// Blur small enough to track.
    TrackedBlur,
    /// Blur small enough to mask.
    MaskedBlur,
    /// The camera travels, so that near and far move apart.
    Parallax,
    /// Textures in focus.
    Sharp,
    /// Same lens height, tilt and view as the plate in the role `over`.
    SameView,
    /// The screen covers the sweep, evenly lit.
    ScreenCover,
    /// Light must not change across the group or takes.
    LightHeld,
    /// Enough frames for the retime.
    EnoughFrames,
    /// Action starts from its end state.
    EndState,
    /// The camera may roll freely.
    FreeRoll,
    /// Words only.
    Told,
}

/// Whose pass it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Owner {
    /// Bringing one plate in.
    Plate(PlateId),
    /// An effect.
    Effect(EffectId),
    /// A join.
    Join(JoinId),
    /// Building an asset.
    Asset(AssetId),
    /// Lock, sound, grade, delivery.
    Sequence,
}

/// What lies between a pass and whatever waits for it: first the render, then the review.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct After {
    /// Hours of machines, day and night.
    pub render: Hours,
    /// How these came about: the sum, or the writer's line; empty where there are none.
    pub render_from: String,
    /// Hours until it was looked at and agreed.
    pub review: Hours,
    /// How these came about; empty where there are none.
    pub review_from: String,
    /// In which time the review is counted.
    pub pace: Pace,
}

impl After {
    /// Whether nothing lies between.
    pub fn is_none(&self) -> bool {
        self.render.0 <= 0.0 && self.review.0 <= 0.0
    }

    /// `render 9 h, then review 4 h of work`; empty where nothing lies between.
    pub fn words(&self) -> String {
        let pace = match self.pace {
            Pace::Worked => "of work",
            Pace::Elapsed => "by the clock",
        };
        let render = (self.render.0 > 0.0).then(|| format!("render {}", self.render));
        let review = (self.review.0 > 0.0).then(|| format!("review {} {pace}", self.review));
        [render, review].into_iter().flatten().collect::<Vec<_>>().join(", then ")
    }
}

/// How soon a pass is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Priority {
    /// 1 is the first, 5 the last.
    pub rank: u32,
    /// The beat that says so; the pass itself where there is none.
    pub beat: Option<BeatId>,
    /// The line.
    pub span: Span,
}

impl Priority {
    /// How much a minute counts by which it is ready sooner: 16, 8, 4, 2, 1.
    pub fn counts(self) -> i64 {
        1 << 5u32.saturating_sub(self.rank.max(1))
    }
}

/// One piece of work at the desk.
#[derive(Debug, Clone, PartialEq)]
pub struct Pass {
    /// Unique path: `leap.orrery.track`, `leap.swoop.ingest`, `picture_lock`, `sound.impacts`.
    pub path: String,
    /// The pass's name in its recipe: `track`.
    pub stage: String,
    /// In words.
    pub title: String,
    /// Who can do it; a department of the desk.
    pub department: String,
    /// Other departments that could do it as well.
    pub or: Vec<String>,
    /// Work.
    pub effort: Hours,
    /// How the effort came about: the expression, or the writer's line.
    pub effort_from: String,
    /// What lies between it and whatever waits for it.
    pub after: After,
    /// How soon it is wanted.
    pub priority: Option<Priority>,
    /// Whose.
    pub owner: Owner,
    /// Footage and references it needs in hand.
    pub inputs: Vec<PlateId>,
    /// Passes it waits for, each with the words of the recipe that ask for it.
    pub waits: Vec<(PassId, String)>,
    /// What to do, for the handoff note.
    pub notes: Vec<String>,
    /// The line behind it.
    pub span: Span,
    /// Whether it is the picture lock, a moment rather than work.
    pub lock: bool,
}

impl Pass {
    /// `, since it has priority 1`, where that puts it before another; else nothing.
    pub fn before(&self, other: &Pass) -> String {
        let rank = |pass: &Pass| pass.priority.map_or(u32::MAX, |one| one.rank);
        match self.priority {
            Some(own) if own.rank < rank(other) => format!(", which has priority {}", own.rank),
            _ => String::new(),
        }
    }

    /// Whether somebody at the desk does such work.
    pub fn is_for(&self, desk: &Desk) -> bool {
        desk.does.iter().any(|does| does.value == self.department || self.or.contains(&does.value))
    }
}
