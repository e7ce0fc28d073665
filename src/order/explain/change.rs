//! What people could give way on, one thing at a time.
//!
//! Rest, meals, a day off in the week and whoever watches are never asked for;
//! some changes serve only to find out what keeps something out of the plan.

use crate::model::{CameraId, DeskId, Model, PersonId, PlaceId, PlateId, RigId, StateOf};
use crate::quantity::Seconds;
use crate::recipe::Breakdown;
use crate::source::Span;
use jiff::civil::Weekday;

/// One thing that could be otherwise.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Change {
    /// A line that orders the shoot or the desk is dropped.
    Drop(Span),
    /// The first plate is shot before the second.
    Before(PlateId, PlateId),
    /// A plate is shot on that allowed day.
    On(PlateId, usize),
    /// Those days are not allowed.
    NotOn(Vec<usize>),
    /// A person comes so many minutes earlier and stays so many longer.
    Hours(PersonId, i64, i64),
    /// A person is there at any hour.
    AnyHour(PersonId),
    /// A person is not away, by place in their list.
    There(PersonId, usize),
    /// A rig is never away.
    RigThere(RigId),
    /// A rig stands ready, so that fitting takes no time.
    Ready(RigId),
    /// One more battery for each body.
    Battery(CameraId, u32),
    /// One more pack of a flying rig.
    Pack(RigId, u32),
    /// A place opens so many minutes earlier and closes so many later.
    Open(PlaceId, i64, i64),
    /// A place is open all day.
    AlwaysOpen(PlaceId),
    /// An allowed day is called so many minutes earlier and wraps so many later.
    Day(usize, i64, i64),
    /// Plates are shot in any light: one, or a locked group.
    AnyLight(Vec<PlateId>),
    /// So many more days are allowed, after the last.
    MoreDays(u8),
    /// Allowed days may be called at any hour.
    AnyCall(Vec<usize>),
    /// Allowed days may wrap at any hour.
    AnyWrap(Vec<usize>),
    /// A plate is shot in so many takes.
    Takes(PlateId, u32),
    /// A plate is shot in one take of so many seconds at most.
    Brief(PlateId, i64),
    /// Plates are left out.
    Without(Vec<PlateId>),
    /// Plates take no time: one, or a locked group.
    Short(Vec<PlateId>),
    /// A locked group may be opened between its plates.
    Split(Vec<PlateId>),
    /// A camera's batteries never run out.
    Endless(CameraId),
    /// A flying rig's packs never run out.
    EndlessPack(RigId),
    /// A camera's cards are never full.
    EndlessCard(CameraId),
    /// A way takes no time.
    Near(PlaceId, PlaceId),
    /// A prop or a look can go back at once.
    Fresh(StateOf),
    /// A plate is not pinned.
    Unpin(PlateId),
    /// No meal is due.
    NoMeal,
    /// No rest is due.
    NoRest,
    /// Someone at the desk works so many minutes more a day.
    DeskHours(DeskId, i64),
    /// Someone at the desk is never away.
    DeskThere(DeskId),
    /// Someone at the desk works on one of several days off.
    DeskDay(DeskId, Off),
    /// Someone at the desk could do the work of one more department.
    DeskToo(DeskId, String),
}

/// A weekday, in the order of the week.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Off(pub Weekday);

impl Off {
    fn word(self) -> &'static str {
        match self.0 {
            Weekday::Monday => "Monday",
            Weekday::Tuesday => "Tuesday",
            Weekday::Wednesday => "Wednesday",
            Weekday::Thursday => "Thursday",
            Weekday::Friday => "Friday",
            Weekday::Saturday => "Saturday",
            Weekday::Sunday => "Sunday",
        }
    }
}

impl PartialOrd for Off {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Off {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.0.to_monday_zero_offset().cmp(&other.0.to_monday_zero_offset())
    }
}

impl Change {
    /// How much it asks of people, least first: a word, then hands, then a
    /// landlord, then the light itself. Common practice, no source.
    pub fn asks(&self) -> u8 {
        match self {
            Change::Drop(_) | Change::Before(..) | Change::On(..) | Change::NotOn(_) => 0,
            Change::Hours(..) | Change::DeskHours(..) | Change::Unpin(_) => 1,
            Change::Ready(_) | Change::Battery(..) | Change::Pack(..) => 2,
            Change::Open(..) | Change::DeskToo(..) => 3,
            Change::Day(..) => 4,
            Change::AnyHour(_)
            | Change::There(..)
            | Change::RigThere(_)
            | Change::DeskThere(_)
            | Change::DeskDay(..) => 5,
            Change::AlwaysOpen(_) => 6,
            Change::AnyLight(_) => 7,
            Change::Takes(..) | Change::Brief(..) => 3,
            Change::MoreDays(_) | Change::Without(_) => 8,
            Change::Near(..) | Change::Short(_) | Change::Split(_) | Change::Fresh(_) => 9,
            Change::Endless(_) | Change::EndlessPack(_) | Change::EndlessCard(_) => 9,
            Change::AnyCall(_) | Change::AnyWrap(_) | Change::NoMeal | Change::NoRest => 10,
        }
    }

    /// In words that follow "if": `Rope-walk alley were open 60 min earlier`.
    pub fn words(&self, model: &Model, breakdown: &Breakdown) -> String {
        let plate = |id: &PlateId| format!("'{}'", breakdown.plates[*id].named.label());
        let titles = |ids: &[PlateId]| ids.iter().map(plate).collect::<Vec<_>>().join(" and ");
        let date = |at: usize| {
            let day = model.days.as_ref().and_then(|days| days.each.get(at));
            day.map_or(String::new(), |day| day.date.to_string())
        };
        let dates = |days: &[usize]| days.iter().map(|&at| date(at)).collect::<Vec<_>>().join(" and ");
        match self {
            Change::Drop(_) => "that line were not written".into(),
            Change::Before(one, other) => format!("{} came before {}", plate(one), plate(other)),
            Change::NotOn(days) => format!("{} were not allowed", dates(days)),
            Change::On(id, at) => format!("{} were shot on {}", plate(id), date(*at)),
            Change::RigThere(id) => format!("{} were not away", model.rigs[*id].named.label()),
            Change::Ready(id) => format!("{} stood ready", model.rigs[*id].named.label()),
            Change::Battery(id, 1) => {
                format!("each {} had one more battery", model.cameras[*id].named.label())
            }
            Change::Battery(id, more) => {
                format!("each {} had {more} more batteries", model.cameras[*id].named.label())
            }
            Change::Pack(id, 1) => format!("{} had one more pack", model.rigs[*id].named.label()),
            Change::Pack(id, more) => format!("{} had {more} more packs", model.rigs[*id].named.label()),
            Change::Day(at, before, 0) => format!("{} could be called {} earlier", date(*at), span(*before)),
            Change::Day(at, 0, after) => format!("{} could wrap {} later", date(*at), span(*after)),
            Change::Day(at, ..) => format!("{} had no hours", date(*at)),
            Change::AnyLight(ids) => format!("{} were shot in any light", titles(ids)),
            Change::MoreDays(1) => "one more day were allowed".into(),
            Change::MoreDays(more) => format!("{more} more days were allowed"),
            Change::Takes(id, 1) => format!("{} were shot in one take", plate(id)),
            Change::Takes(id, takes) => format!("{} were shot in {takes} takes", plate(id)),
            Change::Brief(id, seconds) => {
                format!("{} were shot in one take of {}", plate(id), Seconds(*seconds as f64))
            }
            Change::Without(ids) => format!("{} were left out", titles(ids)),
            Change::Short(ids) => format!("{} took no time", titles(ids)),
            Change::Split(_) => "the group could be opened".into(),
            Change::Fresh(_) => "it could go back at once".into(),
            Change::Endless(_) | Change::EndlessPack(_) => "its charge never ran out".into(),
            Change::EndlessCard(_) => "its cards were never full".into(),
            Change::Near(..) => "the way took no time".into(),
            Change::AnyCall(days) => format!("{} could be called at any hour", dates(days)),
            Change::AnyWrap(days) => format!("{} could wrap at any hour", dates(days)),
            Change::Unpin(id) => format!("{} were not pinned", plate(id)),
            Change::NoMeal => "no meal were due".into(),
            Change::NoRest => "no rest were due".into(),
            Change::Hours(id, ..) | Change::AnyHour(id) | Change::There(id, _) => {
                format!("{} were {}", model.people[*id].named.label(), self.presence())
            }
            Change::Open(id, ..) | Change::AlwaysOpen(id) => {
                format!("{} were {}", model.places[*id].named.label(), self.presence())
            }
            Change::DeskThere(id) => format!("{} were not away", model.desks[*id].named.label()),
            Change::DeskHours(id, more) => {
                format!("{} worked {} more a day", model.desks[*id].named.label(), span(*more))
            }
            Change::DeskDay(id, day) => {
                format!("{} worked on {}s as well", model.desks[*id].named.label(), day.word())
            }
            Change::DeskToo(id, department) => {
                format!("{} could do {department} as well", model.desks[*id].named.label())
            }
        }
    }

    /// What a person or a place would be.
    fn presence(&self) -> String {
        match self {
            Change::Hours(_, before, after) => {
                format!("there {}", sooner("earlier", "longer", *before, *after))
            }
            Change::Open(_, before, after) => format!("open {}", sooner("earlier", "later", *before, *after)),
            Change::AnyHour(_) => "there at any hour".into(),
            Change::AlwaysOpen(_) => "open all day".into(),
            _ => "not away".into(),
        }
    }
}

fn sooner(before_word: &str, after_word: &str, before: i64, after: i64) -> String {
    match (before, after) {
        (before, 0) => format!("{} {before_word}", span(before)),
        (0, after) => format!("{} {after_word}", span(after)),
        (before, after) => format!("{} {before_word} and {} {after_word}", span(before), span(after)),
    }
}

fn span(minutes: i64) -> String {
    Seconds::minutes(minutes as f64).to_string()
}
