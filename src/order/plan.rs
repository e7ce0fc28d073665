//! The plan as data: what later stages read.

use super::cover::Cover;
use super::price::Paid;
pub use crate::craft::sun::SunDay;
use crate::model::{
    Arena, CameraId, DeskId, MarkId, ModeId, PersonId, PlaceId, PlateId, RigId, StateOf, arena,
};
use crate::quantity::Hours;
pub use crate::quantity::Minute;
use crate::recipe::PassId;
use crate::source::Span;
use jiff::civil::Date;
use serde::Serialize;
use std::collections::BTreeMap;

arena::ids! {
    /// A set-up.
    SetUpId;
}

/// Same place, rig, camera mode, mark and hold: shot without refitting.
#[derive(Debug, Clone, PartialEq)]
pub struct SetUp {
    /// Where.
    pub place: PlaceId,
    /// On what.
    pub rig: RigId,
    /// Camera and mode.
    pub mode: ModeId,
    /// At which mark, if any.
    pub mark: Option<MarkId>,
    /// Whether it may not be touched between its first and last plate.
    pub locked: bool,
    /// Its plates, in the order in which they are shot.
    pub plates: Vec<PlateId>,
}

/// Both plans.
#[derive(Debug, Clone)]
pub struct Plan {
    /// The shoot.
    pub shoot: ShootPlan,
    /// The desk.
    pub desk: DeskPlan,
    /// What is shot instead on each planned day that depends on the weather, in order.
    pub covers: Vec<Cover>,
}

/// How good a plan is known to be.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub enum Quality {
    /// No cheaper order exists for the stated price.
    Proven,
    /// The best found within the work limit; the bound says how much cheaper another may be at most.
    Found,
}

/// The shoot, day by day.
#[derive(Debug, Clone)]
pub struct ShootPlan {
    /// Set-ups, in no order of time.
    pub setups: Arena<SetUpId, SetUp>,
    /// Days on which something is shot, in order.
    pub days: Vec<PlannedDay>,
    /// How many shoot days there are in all: these, and those that are logged.
    pub in_all: usize,
    /// When each planned plate is shot: day (index into `days`), start, end.
    pub shot: BTreeMap<PlateId, (usize, Minute, Minute)>,
    /// What could not be planned.
    pub unplanned: Vec<Unplanned<PlateId>>,
    /// How good.
    pub quality: Quality,
    /// What the plan pays for what, kind by kind.
    pub price: Vec<Paid>,
    /// What it costs in all, in hundredths of a minute on the way: the price,
    /// its days, and what it leaves out.
    pub cost: i64,
    /// No order of these plates costs less than this, whichever it leaves out.
    pub bound: i64,
}

/// One shoot day.
#[derive(Debug, Clone)]
pub struct PlannedDay {
    /// The date.
    pub date: Date,
    /// Its number among all shoot days, from 1: days that are logged count, so that a day
    /// keeps its number when the one before it is shot.
    pub number: usize,
    /// Which of the allowed days it is (index into `model.days.each`).
    pub allowed: usize,
    /// First call.
    pub call: Minute,
    /// When all is packed and back at base.
    pub wrap: Minute,
    /// Latest allowed wrap.
    pub latest: Minute,
    /// Where it starts and ends.
    pub base: Option<PlaceId>,
    /// In order of time, without gaps or overlaps.
    pub steps: Vec<Step>,
    /// Who is called when.
    pub people: Vec<PersonCall>,
    /// The sun at the base (or the first place), where its position is known.
    pub sun: Option<SunDay>,
    /// Charge and space per camera type along the day.
    pub cameras: Vec<CameraUse>,
    /// What is left of charge and card space along the day, where any is used.
    pub levels: Vec<Level>,
    /// What the day pays for what, kind by kind.
    pub price: Vec<Paid>,
    /// Whether it is certain that no order of what the day holds costs less, beginning as
    /// it does.
    pub proven: bool,
}

/// Something that happens on the day.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Start.
    pub start: Minute,
    /// End; not before the start, and the same only where a camera starts to roll with another.
    pub end: Minute,
    /// What.
    pub kind: StepKind,
    /// Where.
    pub place: PlaceId,
    /// Why it is at this time, one sentence each; empty when nothing holds it.
    pub because: Vec<String>,
}

/// What a step is.
#[derive(Debug, Clone, PartialEq)]
pub enum StepKind {
    /// From one place to another.
    Move {
        /// Start.
        from: PlaceId,
        /// End.
        to: PlaceId,
    },
    /// Fitting a rig and camera.
    Fit(SetUpId),
    /// Shooting one plate or reference.
    Shoot(PlateId),
    /// Bringing a prop or look back to a state.
    Reset {
        /// Whose.
        of: StateOf,
        /// State now.
        from: String,
        /// State wanted.
        to: String,
    },
    /// Waiting, for light or access or charge.
    Wait,
    /// The meal.
    Meal,
    /// Waiting for a battery or pack to charge.
    Charge {
        /// Which camera type, unless it is the rig's packs.
        camera: Option<CameraId>,
        /// Which rig's packs.
        rig: Option<RigId>,
    },
    /// Packing up and getting back to base.
    Pack,
}

/// When one person is needed.
#[derive(Debug, Clone, PartialEq)]
pub struct PersonCall {
    /// Who.
    pub person: PersonId,
    /// When to be there.
    pub call: Minute,
    /// When free to go.
    pub release: Minute,
    /// What for: (plate, as what: `performs`, `spots`, `flies`, `pulls`).
    pub for_plates: Vec<(PlateId, String)>,
}

/// A camera type's charge and space over a day.
#[derive(Debug, Clone, PartialEq)]
pub struct CameraUse {
    /// Which.
    pub camera: CameraId,
    /// Recording, minutes.
    pub records: f64,
    /// Recording time at hand without charging: bodies × packs × battery, minutes.
    pub holds: f64,
    /// Charging done in the gaps, in minutes of recording time won.
    pub charged: f64,
    /// Least left at any moment, minutes of recording time; negative is impossible.
    pub least: f64,
    /// Bytes recorded.
    pub bytes: f64,
    /// Bytes that its cards hold.
    pub space: f64,
}

/// What is left of something along a day.
#[derive(Debug, Clone, PartialEq)]
pub struct Level {
    /// Of what.
    pub of: LevelOf,
    /// All that there is: minutes of recording, minutes of flight, or bytes.
    pub most: f64,
    /// What is left at moments in order of time, in the same unit; straight between them.
    pub along: Vec<(Minute, f64)>,
}

/// What a level is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LevelOf {
    /// A camera type's batteries, in minutes of recording.
    Charge(CameraId),
    /// A flying rig's packs, in minutes of flight that may be flown.
    Packs(RigId),
    /// A camera type's cards, in bytes.
    Card(CameraId),
}

/// Something left out of a plan, with the reasons.
#[derive(Debug, Clone, PartialEq)]
pub struct Unplanned<T> {
    /// What.
    pub what: T,
    /// Each a sentence with the line behind it where there is one.
    pub reasons: Vec<(String, Option<Span>)>,
}

/// The desk: who does what when.
#[derive(Debug, Clone)]
pub struct DeskPlan {
    /// One for each planned pass that takes work, in order of start.
    pub work: Vec<Assignment>,
    /// When what waits for each planned pass can begin (moments such as the lock
    /// included): its work is done, its render is out and its review is over.
    pub done: BTreeMap<PassId, Minute>,
    /// What lies between the work of a pass and that moment, in order of time.
    pub after: BTreeMap<PassId, Vec<Waited>>,
    /// What could not be planned.
    pub unplanned: Vec<Unplanned<PassId>>,
    /// When the last pass is done; `None` when nothing is planned.
    pub finish: Option<Minute>,
    /// Working days after the finish date: 0 when in time.
    pub late_days: i64,
    /// No plan of these passes with these people is done before this; `None` when nothing is planned.
    pub bound: Option<Minute>,
    /// How good.
    pub quality: Quality,
    /// Passes that cannot slip without moving the finish, in order of time.
    pub critical: Vec<PassId>,
    /// How far each pass can slip without moving the finish, in hours of elapsed time.
    pub float: BTreeMap<PassId, Hours>,
}

/// A time that passes between a pass and whatever waits for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Waited {
    /// What for.
    pub kind: WaitKind,
    /// From when.
    pub from: Minute,
    /// Until when; nights and days off lie between.
    pub to: Minute,
}

/// What a pass goes through after its work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum WaitKind {
    /// Machines render.
    Render,
    /// Somebody looks at it.
    Review,
}

impl WaitKind {
    /// `render`, `review`.
    pub fn word(self) -> &'static str {
        match self {
            WaitKind::Render => "render",
            WaitKind::Review => "review",
        }
    }
}

/// A pass, a person, a time.
#[derive(Debug, Clone, PartialEq)]
pub struct Assignment {
    /// What.
    pub pass: PassId,
    /// Who.
    pub desk: DeskId,
    /// Start of the work.
    pub start: Minute,
    /// End of the work; nights and days away lie between.
    pub end: Minute,
    /// What its start waited for, in words.
    pub because: String,
}
