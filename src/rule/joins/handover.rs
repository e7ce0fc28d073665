//! Everything about one hand-over that the rules of joins share.
//!
//! In: a join. Out: both sides with their placing, speed and lens, what is seen
//! there, how the picture flows, and how much the join may be out.

use crate::craft::blur::Movement;
use crate::craft::join::{self, Allowance, Carrier, Depth, Placing};
use crate::model::{Capture, Hold, Join, JoinId, Mark, MarkUse, OffMark, Plate, PlateId, Rig};
use crate::quantity::{Angle, Length, Pixels, Speed, TurnRate};
use crate::rule::Subject;
use crate::rule::plates::lens;
use crate::source::Spanned;

/// Placing of a rig that does not say how closely it can be placed (common
/// practice, no source).
const ASSUMED: Placing = Placing { offset: Length(0.05), turn: Angle(3.0) };

/// One side of a join.
pub(super) struct Side<'a> {
    pub(super) id: PlateId,
    pub(super) plate: &'a Plate,
    pub(super) rig: &'a Rig,
    pub(super) speed: Option<Speed>,
    /// Compass direction of travel.
    pub(super) heading: Option<Angle>,
    pub(super) turn: TurnRate,
    /// In pixels of the delivered picture.
    pub(super) focal: Pixels,
    pub(super) placing: Placing,
    /// How closely its rig is usually placed, whatever was measured.
    pub(super) usual: Placing,
    /// Where it really was against its mark, once it is captured.
    pub(super) measured: Option<Spanned<OffMark>>,
    /// Nearest thing at the hand-over: as measured, else as the shared mark says, else as the plate says.
    pub(super) near: Option<Length>,
}

impl Side<'_> {
    /// Pixels of the delivered picture that it moves in one of its frames.
    pub(super) fn flow(&self, subject: &Subject<'_>) -> Pixels {
        let travel = self.speed.unwrap_or(Speed(0.0));
        let movement = Movement { turn: self.turn, sway: TurnRate(0.0), travel, near: self.near };
        join::flow_per_frame(movement.flow(self.focal), subject.model.sequence.rate.per_second())
    }

    /// Whether the rig says how closely it can be placed.
    pub(super) fn placing_known(&self) -> bool {
        self.rig.placing.is_some()
    }
}

/// Both sides of a join and what lies between them.
pub(super) struct Handover<'a> {
    pub(super) id: JoinId,
    pub(super) join: &'a Join,
    pub(super) from: Side<'a>,
    pub(super) to: Side<'a>,
    pub(super) mark: Option<&'a Mark>,
    /// Width of the delivered picture.
    pub(super) width: Pixels,
    /// The longer of both lenses, which shows errors most.
    pub(super) focal: Pixels,
    pub(super) near: Option<Length>,
    pub(super) far: Option<Length>,
    pub(super) allowance: Allowance,
    /// What a reframe can push back on the better side.
    pub(super) spare: Pixels,
}

/// Every join of the sequence.
pub(super) fn all<'a>(subject: &Subject<'a>) -> Vec<Handover<'a>> {
    subject.model.joins.iter().map(|(id, join)| Handover::new(subject, id, join)).collect()
}

impl<'a> Handover<'a> {
    pub(super) fn new(subject: &Subject<'a>, id: JoinId, join: &'a Join) -> Self {
        let model = subject.model;
        let plates = &subject.breakdown.plates;
        let mark = join.mark.map(|mark| &model.marks[mark]);
        let seen = mark.and_then(|mark| mark.near).map(|near| near.value);
        let out =
            |plate, of: fn(&Capture) -> Option<Spanned<OffMark>>| model.record.captured(plate).and_then(of);
        let left = out(join.from, |capture| capture.measured.left);
        let entered = out(join.to, |capture| capture.measured.entered);
        let from = side(subject, join.from, (plates[join.from].leaves.as_ref(), left), seen);
        let to = side(subject, join.to, (plates[join.to].enters.as_ref(), entered), seen);
        let near = [from.near, to.near].into_iter().flatten().reduce(Length::min);
        let far = mark.and_then(|mark| mark.far).map(|far| far.value);
        let width = Pixels(f64::from(model.sequence.picture.width));
        // The side that moves less hides less.
        let flow = from.flow(subject).min(to.flow(subject));
        let overlap = model.seconds(join.overlap).0 * model.sequence.rate.per_second();
        let kind = join::covered_by_kind(join.kind, width, overlap, flow);
        let allowance = match join.allow {
            Some(allow) => Allowance { pixels: allow.value, by: Carrier::Writer },
            None => join::allowance(width, model.sequence.budgets.join_width, flow, kind),
        };
        let spare = lens::spare(subject, from.plate).max(lens::spare(subject, to.plate));
        let focal = from.focal.max(to.focal);
        Self { id, join, from, to, mark, width, focal, near, far, allowance, spare }
    }

    /// What the join is called in messages.
    pub(super) fn name(&self) -> String {
        format!("{} -> {}", self.from.plate.named.path, self.to.plate.named.path)
    }

    /// Both sides, outgoing first.
    pub(super) fn sides(&self) -> [&Side<'a>; 2] {
        [&self.from, &self.to]
    }

    /// Parallax with these two placings; nothing where the nearest thing is unknown.
    pub(super) fn parallax(&self, one: Length, other: Length) -> Pixels {
        self.near.map_or(Pixels(0.0), |near| {
            join::parallax(self.focal, one + other, Depth { near, far: self.far })
        })
    }

    /// ` at the brass stud`, or nothing without a mark.
    pub(super) fn at_mark(&self) -> String {
        self.mark.map_or_else(String::new, |mark| format!(" at {}", mark.named.label()))
    }
}

fn side<'a>(
    subject: &Subject<'a>,
    id: PlateId,
    (at, measured): (Option<&'a MarkUse>, Option<Spanned<OffMark>>),
    seen: Option<Length>,
) -> Side<'a> {
    let model = subject.model;
    let plate = &subject.breakdown.plates[id];
    let rig = &model.rigs[plate.rig];
    let still = rig.fixed && plate.hold.value == Hold::Locked;
    let speed = at
        .and_then(|at| at.speed)
        .or(plate.moves.map(|moves| moves.value))
        .or_else(|| still.then_some(Speed(0.0)));
    let heading = at.and_then(|at| at.heading.or(model.marks[at.mark].heading.map(|own| own.value)));
    let usual = rig.placing.map_or(ASSUMED, |(offset, turn)| Placing { offset, turn });
    let captured = model.record.captured(id);
    let near = captured.and_then(|capture| capture.measured.near).map(|near| near.value);
    Side {
        id,
        plate,
        rig,
        speed,
        heading,
        turn: plate.turns_camera.map_or(TurnRate(0.0), |turn| TurnRate(turn.value.0.abs())),
        focal: lens::focal(subject, plate, model.sequence.picture.width),
        usual,
        placing: measured.map_or(usual, |out| Placing {
            offset: out.value.off,
            turn: out.value.turned.unwrap_or(usual.turn),
        }),
        measured,
        near: near.or(seen).or(plate.near.map(|near| near.value)),
    }
}
