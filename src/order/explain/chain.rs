//! Chains: stretches of time that follow each other without a gap, up to
//! something that does not give.

use crate::model::{CameraId, PlaceId, PlateId, RigId};
use crate::order::{LimitKind, Minute, WaitKind};
use crate::recipe::PassId;
use crate::source::Span;

/// A stretch of time that comes between a time and what holds it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Link {
    /// Start of the stretch.
    pub from: Minute,
    /// End of the stretch.
    pub to: Minute,
    /// What fills it.
    pub kind: LinkKind,
    /// The same in words: `setting up Cable trolley takes 25 min`.
    pub text: String,
    /// The line behind it.
    pub span: Option<Span>,
}

/// What fills a stretch of time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LinkKind {
    /// Arriving, unpacking, a word on safety.
    Arrive,
    /// A plate is shot.
    Shoot(PlateId),
    /// A rig and camera are fitted.
    Fit(RigId),
    /// The set-up changes on a rig that stays.
    Turn(RigId),
    /// On the way.
    Way(PlaceId, PlaceId),
    /// A prop or a look is brought back.
    Reset,
    /// The meal.
    Meal,
    /// Batteries or packs charge.
    Charge(Option<CameraId>, Option<RigId>),
    /// Packing and the way back.
    Pack,
    /// A pass is worked, nights and days off included.
    Pass(PassId),
    /// A pass is rendered or looked at after its work.
    After(PassId, WaitKind),
    /// Everybody waits.
    Wait,
    /// The time between the end of one thing and the next hour of work.
    Night,
}

/// A moment that does not give.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Anchor {
    /// When.
    pub at: Minute,
    /// What it is.
    pub kind: AnchorKind,
    /// The same in words: `Rope-walk alley opens at 07:30`.
    pub text: String,
    /// The plates whose limit it is: one, or a locked group; none where it is not theirs.
    pub plates: Vec<PlateId>,
    /// The line behind it.
    pub span: Option<Span>,
}

/// What a moment is that does not give. Days are counted in the model's list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AnchorKind {
    /// Something begins: a place opens, a light comes, a person is there.
    Opens(LimitKind),
    /// Something ends.
    Closes(LimitKind),
    /// The earliest call of the day.
    EarliestCall(usize),
    /// The rest after the day before is over.
    Rest(usize),
    /// All must be packed.
    LatestWrap(usize),
    /// The meal must have begun.
    Meal(usize),
    /// The next day's call would come too soon.
    NextCall(usize),
    /// Any other time costs more.
    Price,
    /// The footage of a plate is in hand.
    Footage(PlateId),
    /// The desk begins.
    DeskBegins,
}

/// Links from a time to the moment that holds it; the nearest to the time comes first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chain {
    /// Each begins where its neighbour ends.
    pub links: Vec<Link>,
    /// What holds the farthest.
    pub anchor: Anchor,
}

/// By how much something may come later before something else breaks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Room {
    /// Minutes.
    pub minutes: i64,
    /// What must still fit between, in order of time, and what then ends.
    pub chain: Chain,
}

/// What holds a plate, or the end of a day, at its time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Held {
    /// Start.
    pub start: Minute,
    /// End.
    pub end: Minute,
    /// The day, as a place in the plan's list.
    pub day: usize,
    /// Back from the start to what does not give, or to the call.
    pub before: Chain,
    /// Where the day is called later than it could be: from the call on to
    /// what would make everybody wait, or would be missed.
    pub called: Option<Chain>,
    /// By how much it may come later in the same order; `None` where nothing is in the way.
    pub room: Option<Room>,
}

impl Held {
    /// The moment that holds it in the end.
    pub fn root(&self) -> &Anchor {
        self.called.as_ref().map_or(&self.before.anchor, |chain| &chain.anchor)
    }
}
