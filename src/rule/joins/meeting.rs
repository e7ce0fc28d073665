//! The numbers of one hand-over, for whoever draws it.
//!
//! In: a join whose sides share a mark. Out: what the rules of joins print of it, as
//! quantities: nothing here is reckoned otherwise than there.

use super::handover::{Handover, Side};
use super::{offset, speed};
use crate::craft::join::Placing;
use crate::model::{JoinId, Mark, OffMark, PlateId};
use crate::quantity::{Angle, Length, Speed};
use crate::rule::Subject;

/// Two cameras at one mark.
#[derive(Debug, Clone, Copy)]
pub struct Meeting<'a> {
    /// The mark that both pass.
    pub mark: &'a Mark,
    /// The outgoing and the incoming side.
    pub sides: [Meets; 2],
    /// Nearest thing in view: as measured, else as the mark or a plate says.
    pub near: Option<Length>,
    /// Farthest.
    pub far: Option<Length>,
}

/// One of them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Meets {
    /// Its plate.
    pub plate: PlateId,
    /// How far the lens may be off the mark and turned away, as it is printed.
    pub within: Placing,
    /// Speed there; its own, else that of the other side.
    pub speed: Option<Speed>,
    /// How far the speed may be out.
    pub give: Option<Speed>,
    /// Compass direction of travel.
    pub heading: Option<Angle>,
    /// Where it really was, once it is captured.
    pub measured: Option<OffMark>,
}

/// The hand-over of a join; `None` where its sides share no mark.
pub fn meeting<'a>(subject: &Subject<'a>, id: JoinId) -> Option<Meeting<'a>> {
    let hand = Handover::new(subject, id, &subject.model.joins[id]);
    let [from, to] = offset::tolerances(&hand);
    let meets = |side: &Side<'_>, other: &Side<'_>, within| {
        let speed = side.speed.or(other.speed).filter(|speed| speed.0 > 0.0);
        Meets {
            plate: side.id,
            within,
            speed,
            give: speed.map(speed::slack),
            heading: side.heading,
            measured: side.measured.map(|out| out.value),
        }
    };
    let sides = [meets(&hand.from, &hand.to, from), meets(&hand.to, &hand.from, to)];
    Some(Meeting { mark: hand.mark?, sides, near: hand.near, far: hand.far })
}
