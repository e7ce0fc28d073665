//! What a sequence means: owned, typed, every name resolved, every part with
//! the span it was written at.
//!
//! In: checked facts (`crate::schema`). Out: [`Model`]. A part whose names or
//! values are wrong is reported and left out, and so is what refers to it, so
//! later stages only ever see what is whole. References are identities.

use crate::source::{Span, Spanned};

pub mod arena;
mod kept;
mod kit;
mod lower;
mod record;
mod settings;
mod story;
mod weather;
mod weights;

pub use arena::Arena;
pub use kept::{Kept, KeptPass, KeptPlate, Pin, Pinned};
pub use kit::{
    Camera, Desk, Hold, Light, LightEdge, Look, Mark, Mode, Person, Place, Prop, Reset, Rig, Screen,
    Steadying, SunEvent, Travel,
};
pub use lower::{lower, speed_curve};
pub use record::{Aside, Capture, LoggedDay, Measured, OffMark, Record, Take, Worth};
pub use settings::{Budgets, DayPlan, Days, Finish, Sequence};
pub use story::{
    Amount, Asset, Beat, Binding, Cue, Effect, EffortOverride, Hands, Join, JoinKind, Layer, MarkUse, Need,
    Origin, Pace, PassSetting, Plate, PlateKind, Sound, SpeedPoint, StateOf, Target, Turn,
};
pub use weather::{Covered, Decision, Fallen, Need as WeatherNeed, Weather};
pub use weights::Weights;

arena::ids! {
    /// A place.
    PlaceId;
    /// A mark.
    MarkId;
    /// A camera body type.
    CameraId;
    /// A camera mode, over all cameras.
    ModeId;
    /// A rig.
    RigId;
    /// A screen.
    ScreenId;
    /// A person on location.
    PersonId;
    /// A person or house at the desk.
    DeskId;
    /// A prop.
    PropId;
    /// A look.
    LookId;
    /// A beat; identities follow story order.
    BeatId;
    /// A plate or reference, written or derived.
    PlateId;
    /// An effect.
    EffectId;
    /// A join.
    JoinId;
    /// An asset that is built.
    AssetId;
}

/// What every named part has.
#[derive(Debug, Clone, PartialEq)]
pub struct Named {
    /// The full path: `stud`, `leap.swoop`.
    pub path: String,
    /// The quoted title, if one was given.
    pub title: Option<String>,
    /// Where the name was written.
    pub span: Span,
    /// `note "…"` lines.
    pub notes: Vec<String>,
    /// `caution "…"` lines: a human's own safety words.
    pub cautions: Vec<String>,
    /// `accept RULE because "…"` lines in this block.
    pub waivers: Vec<Waiver>,
}

impl Named {
    /// The title where there is one, else the path.
    pub fn label(&self) -> &str {
        self.title.as_deref().unwrap_or(&self.path)
    }

    /// The last word of the path.
    pub fn name(&self) -> &str {
        self.path.rsplit('.').next().unwrap_or(&self.path)
    }
}

/// One rule waived in one block.
#[derive(Debug, Clone, PartialEq)]
pub struct Waiver {
    /// The rule's kebab-case name, known to exist.
    pub rule: String,
    /// Why, in the writer's words.
    pub reason: String,
    /// The statement.
    pub span: Span,
}

/// The whole sequence.
#[derive(Debug, Clone)]
pub struct Model {
    /// Picture, zone, budgets.
    pub sequence: Sequence,
    /// Where things are shot.
    pub places: Arena<PlaceId, Place>,
    /// How long it takes from one place to another; symmetric.
    pub travels: Vec<Travel>,
    /// Exact positions at which rigs hand over.
    pub marks: Arena<MarkId, Mark>,
    /// Camera bodies.
    pub cameras: Arena<CameraId, Camera>,
    /// Modes of all cameras.
    pub modes: Arena<ModeId, Mode>,
    /// What a camera is mounted on.
    pub rigs: Arena<RigId, Rig>,
    /// Key screens.
    pub screens: Arena<ScreenId, Screen>,
    /// People on location.
    pub people: Arena<PersonId, Person>,
    /// People and houses at the desk.
    pub desks: Arena<DeskId, Desk>,
    /// Things with states.
    pub props: Arena<PropId, Prop>,
    /// Costume and make-up with states.
    pub looks: Arena<LookId, Look>,
    /// Beats in story order.
    pub beats: Arena<BeatId, Beat>,
    /// Plates as written, in story order; recipes add theirs behind these.
    pub plates: Arena<PlateId, Plate>,
    /// Effects.
    pub effects: Arena<EffectId, Effect>,
    /// Joins.
    pub joins: Arena<JoinId, Join>,
    /// Built things.
    pub assets: Arena<AssetId, Asset>,
    /// What is said of single passes at the desk.
    pub passes: Vec<PassSetting>,
    /// Sound layers and cues.
    pub sound: Sound,
    /// Shoot days as allowed.
    pub days: Option<Days>,
    /// When everything is delivered.
    pub finish: Option<Finish>,
    /// Free notes at the top level.
    pub notes: Vec<Spanned<String>>,
    /// Free cautions at the top level.
    pub cautions: Vec<Spanned<String>>,
    /// The plan that was kept, and what is pinned; empty until the plan file is read.
    pub kept: Kept,
    /// What was captured already; empty until the logs are read.
    pub record: Record,
}

impl Model {
    /// A sequence of which only the settings are known.
    pub fn empty(sequence: Sequence) -> Self {
        Self {
            sequence,
            places: Arena::default(),
            travels: Vec::new(),
            marks: Arena::default(),
            cameras: Arena::default(),
            modes: Arena::default(),
            rigs: Arena::default(),
            screens: Arena::default(),
            people: Arena::default(),
            desks: Arena::default(),
            props: Arena::default(),
            looks: Arena::default(),
            beats: Arena::default(),
            plates: Arena::default(),
            effects: Arena::default(),
            joins: Arena::default(),
            assets: Arena::default(),
            passes: Vec::new(),
            sound: Sound::default(),
            days: None,
            finish: None,
            notes: Vec::new(),
            cautions: Vec::new(),
            kept: Kept::default(),
            record: Record::default(),
        }
    }

    /// Travel time between two places: 0 within one, as written between two,
    /// `None` where nobody said.
    pub fn travel(&self, from: PlaceId, to: PlaceId) -> Option<crate::quantity::Seconds> {
        if from == to {
            return Some(crate::quantity::Seconds(0.0));
        }
        self.travels
            .iter()
            .find(|travel| (travel.from, travel.to) == (from, to) || (travel.from, travel.to) == (to, from))
            .map(|travel| travel.takes)
    }

    /// Time for the way back of a change by resets, if there is one.
    pub fn way_back(&self, turn: &Turn) -> Option<crate::quantity::Seconds> {
        let resets = match turn.of {
            StateOf::Prop(id) => &self.props[id].resets,
            StateOf::Look(id) => &self.looks[id].resets,
        };
        kit::way_back(resets, &turn.to, &turn.from)
    }

    /// How many of a thing there are to begin with.
    pub fn at_hand(&self, of: StateOf) -> u32 {
        match of {
            StateOf::Prop(prop) => self.props[prop].spares.saturating_add(1),
            StateOf::Look(_) => 1,
        }
    }

    /// The longest reset that comes between two takes of a plate: of what each take
    /// changes and of which there are fewer than takes.
    pub fn reset_between(&self, turns: &[Turn], takes: u32) -> Option<crate::quantity::Seconds> {
        let due = turns.iter().filter(|turn| takes > self.at_hand(turn.of));
        due.filter_map(|turn| self.way_back(turn)).reduce(crate::quantity::Seconds::max)
    }

    /// The camera of a plate's mode.
    pub fn camera_of(&self, plate: &Plate) -> &Camera {
        &self.cameras[self.modes[plate.mode].camera]
    }

    /// What people call an effect: its title; where it has none, its name and
    /// the title of its beat; where that has none either, its path.
    pub fn effect_label(&self, id: EffectId) -> String {
        let effect = &self.effects[id];
        match (&effect.named.title, &self.beats[effect.beat].named.title) {
            (Some(title), _) => title.clone(),
            (None, Some(beat)) => format!("{} in {beat}", effect.named.name()),
            (None, None) => effect.named.path.clone(),
        }
    }

    /// What people call a join: both its sides.
    pub fn join_label(&self, id: JoinId) -> String {
        let join = &self.joins[id];
        format!("{} → {}", self.plates[join.from].named.label(), self.plates[join.to].named.label())
    }

    /// Length of a time span in seconds at the picture's rate.
    pub fn seconds(&self, span: crate::quantity::TimeSpan) -> crate::quantity::Seconds {
        span.seconds(self.sequence.rate)
    }
}
