//! The hand-over at a mark, to scale: from above and from the side.
//!
//! In: what the rules print of it. Out: two drawings at one scale, the view to the
//! right in both, and the same in words. Tolerances are circles around the mark and
//! fans around the view; what was measured is a ring, since nobody logs to which side.

mod plan;
mod side;

use super::draw::{At, Canvas, Path};
use super::scale::Scale;
use crate::model::{JoinId, MarkUse, Plate};
use crate::packet::index::Index;
use crate::packet::views::plate_facts::heading;
use crate::quantity::{Angle, Length, show};
use crate::rule::joins::{self, Meets};

/// Width of each drawing: what a card leaves on a phone.
const WIDE: f64 = 288.0;
/// Where the mark stands.
const MARK_X: f64 = 108.0;
/// Room for the largest tolerance around the mark.
const ROOM: f64 = 44.0;
/// Length of the fan.
const FAN: f64 = 168.0;
/// Height of letters.
const LETTERS: f64 = 12.0;

/// What is drawn.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Drawing {
    /// Lens above the ground.
    pub(crate) height: Option<Length>,
    /// Compass direction of the view.
    pub(crate) view: Option<Angle>,
    /// Up is positive.
    pub(crate) tilt: Option<Angle>,
    /// Nearest thing in view.
    pub(crate) near: Option<Length>,
    /// Farthest thing in view.
    pub(crate) far: Option<Length>,
    /// The outgoing and the incoming camera.
    pub(crate) cameras: [Camera; 2],
}

/// One camera at the mark.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Camera {
    /// Off the mark by at most.
    pub(crate) within: Length,
    /// Turned from the view by at most.
    pub(crate) turn: Angle,
    /// `3 m/s ± 0.4`; empty where nothing moves or nobody said. Once it was measured, what
    /// was measured takes its place.
    pub(crate) speed: String,
    /// Compass direction of travel, where it travels.
    pub(crate) travels: Option<Angle>,
    /// What was measured, once it is captured.
    pub(crate) was: Option<Was>,
}

/// A camera as it was.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Was {
    /// Off the mark.
    pub(crate) off: Length,
    /// Turned away.
    pub(crate) turned: Option<Angle>,
    /// `2.6 m/s`; empty where not measured.
    pub(crate) speed: String,
    /// Height, heading and tilt of a plate that meets no other mark.
    pub(crate) height: Option<Length>,
    /// Compass direction of its view.
    pub(crate) view: Option<Angle>,
    /// Up is positive.
    pub(crate) tilt: Option<Angle>,
}

/// What a camera is called.
const NAMES: [&str; 2] = ["Outgoing", "Incoming"];

/// The hand-over of a join; `None` where its sides share no mark.
pub(crate) fn of(index: &Index<'_>, id: JoinId) -> Option<Drawing> {
    let meeting = joins::meeting(&index.subject(), id)?;
    let mark = meeting.mark;
    let value = |angle: Option<crate::source::Spanned<Angle>>| angle.map(|angle| angle.value);
    Some(Drawing {
        height: mark.height.map(|height| height.value),
        view: value(mark.heading),
        tilt: value(mark.tilt),
        near: meeting.near,
        far: meeting.far,
        cameras: meeting.sides.map(|side| camera(index, &side)),
    })
}

fn camera(index: &Index<'_>, side: &Meets) -> Camera {
    let slack = side.give.map_or_else(String::new, |give| format!(" ± {}", show::number(give.0, 1)));
    let measured = index.captured(side.plate).map(|capture| capture.measured).filter(|_| {
        let Plate { enters, leaves, .. } = index.plate(side.plate);
        let mark = |at: &Option<MarkUse>| at.as_ref().map(|at| at.mark);
        mark(enters).is_none() || mark(leaves).is_none() || mark(enters) == mark(leaves)
    });
    Camera {
        within: side.within.offset,
        turn: side.within.turn,
        speed: side.speed.map_or_else(String::new, |speed| format!("{speed}{slack}")),
        travels: side.heading.filter(|_| side.speed.is_some()),
        was: side.measured.map(|out| Was {
            off: out.off,
            turned: out.turned,
            speed: out.speed.map_or_else(String::new, |speed| speed.to_string()),
            height: measured.and_then(|one| one.height).map(|one| one.value),
            view: measured.and_then(|one| one.heading).map(|one| one.value),
            tilt: measured.and_then(|one| one.tilt).map(|one| one.value),
        }),
    }
}

impl Drawing {
    /// At which scale both drawings stand.
    pub(crate) fn scale(&self) -> Scale {
        let rings = self.cameras.iter().flat_map(|camera| {
            [Some(camera.within), camera.was.as_ref().map(|was| was.off)].into_iter().flatten()
        });
        Scale::fitting(rings.fold(Length(0.0), Length::max), ROOM)
    }

    /// How far the largest ring reaches, in units of the picture.
    fn reach(&self) -> f64 {
        let scale = self.scale();
        let offs = self.cameras.iter().filter_map(|camera| camera.was.as_ref()).map(|was| was.off);
        let all = self.cameras.iter().map(|camera| camera.within).chain(offs);
        all.map(|length| scale.long(length)).fold(8.0, f64::max)
    }

    /// The direction that is drawn to the right.
    fn ahead(&self) -> Angle {
        let [from, to] = &self.cameras;
        self.view.or(from.travels).or(to.travels).unwrap_or(Angle(0.0))
    }

    /// From above.
    pub(crate) fn plan(&self, id: &str) -> Canvas {
        plan::draw(self, id)
    }

    /// From the side.
    pub(crate) fn side(&self, id: &str) -> Canvas {
        side::draw(self, id)
    }

    /// What both drawings say: from above, then from the side.
    pub(crate) fn words(&self) -> [String; 2] {
        [self.plan_words(), self.side_words()]
    }

    fn plan_words(&self) -> String {
        let mut said = match self.view {
            Some(view) => format!("From above: the view is towards {}.", heading(view.0)),
            None => "From above; the mark says no direction of view.".to_owned(),
        };
        for ((camera, name), verb) in self.cameras.iter().zip(NAMES).zip(["comes to", "leaves"]) {
            let travel = match camera.travels {
                Some(way) => format!("{verb} the mark {}", way_in_words(way.0 - self.ahead().0)),
                None => format!("{verb} the mark"),
            };
            let asked = camera.asked_speed();
            let speed = if asked.is_empty() { String::new() } else { format!(" at {asked}") };
            said.push_str(&format!(
                " {name}: {travel}{speed}, the lens within {} and {} of it.",
                camera.within, camera.turn
            ));
            said.extend(camera.was.as_ref().map(|was| format!(" {}.", camera.was_words(was))));
        }
        said
    }

    fn side_words(&self) -> String {
        let mut parts = Vec::new();
        parts.extend(self.height.map(|height| format!("the lens is {height} above the ground")));
        parts.extend(self.tilt.map(|tilt| format!("it looks {}", show::tilt(tilt))));
        parts.extend(self.near.map(|near| format!("the nearest thing in view is {near} away")));
        parts.extend(self.far.map(|far| format!("the farthest is {far} away")));
        if parts.is_empty() {
            parts.push("the mark says neither height nor tilt".to_owned());
        }
        let mut said = format!("From the side: {}.", parts.join(", "));
        for (camera, name) in self.cameras.iter().zip(NAMES) {
            let stood = camera.was.as_ref().and_then(|was| stood(was, self));
            said.extend(stood.map(|stood| format!(" {name}, as measured: {stood}.")));
        }
        said
    }
}

impl Camera {
    /// The speed that was asked for; empty where it is not known any more.
    fn asked_speed(&self) -> &str {
        let measured = self.was.as_ref().is_some_and(|was| !was.speed.is_empty());
        if measured { "" } else { &self.speed }
    }

    /// Whether it was farther off or more turned than it may be.
    fn was_outside(&self, was: &Was) -> bool {
        was.off.0 > self.within.0 + 1e-9 || was.turned.is_some_and(|turned| turned.0 > self.turn.0 + 1e-9)
    }

    /// `As measured: 9 cm and 2° off at 2.6 m/s, outside`.
    fn was_words(&self, was: &Was) -> String {
        let turned = was.turned.map_or_else(String::new, |turned| format!(" and {turned}"));
        let speed = if was.speed.is_empty() { String::new() } else { format!(" at {}", was.speed) };
        let verdict = if self.was_outside(was) { "outside" } else { "inside" };
        format!("As measured: {}{turned} off{speed}, {verdict}", was.off)
    }
}

/// Height and tilt as measured, against what the mark says.
fn stood(was: &Was, drawing: &Drawing) -> Option<String> {
    let mut parts = Vec::new();
    if let Some(height) = was.height {
        let against = drawing.height.map(|planned| {
            let apart = Length((height.0 - planned.0).abs());
            match height.0 - planned.0 {
                none if none.abs() < 0.0005 => ", as planned".to_owned(),
                over if over > 0.0 => format!(", {apart} higher than planned"),
                _ => format!(", {apart} lower than planned"),
            }
        });
        parts.push(format!("lens at {height}{}", against.unwrap_or_default()));
    }
    parts.extend(was.tilt.map(|tilt| format!("looking {}", show::tilt(tilt))));
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// A way of travel against the view: `straight ahead`, `ahead and 20° to the right`.
fn way_in_words(turn: f64) -> String {
    let turn = (turn + 180.0).rem_euclid(360.0) - 180.0;
    let side = if turn > 0.0 { "right" } else { "left" };
    let by = Angle(turn.abs());
    match turn.abs() {
        little if little < 1.0 => "straight ahead".to_owned(),
        some if some <= 80.0 => format!("ahead and {by} to the {side}"),
        across if across < 100.0 => format!("sideways to the {side}"),
        back if back > 179.0 => "straight backwards".to_owned(),
        _ => format!("backwards and {} to the {side}", Angle(180.0 - turn.abs())),
    }
}

/// A point at a distance in a direction: degrees from the right, downwards positive.
fn out(from: At, turn: f64, far: f64) -> At {
    let (sin, cos) = turn.to_radians().sin_cos();
    (from.0 + far * cos, from.1 + far * sin)
}

/// The fan of a camera's directions around the view, with its rim.
fn fan(canvas: &mut Canvas, class: &str, at: At, middle: f64, give: Angle, far: f64) {
    let give = give.0.clamp(0.0, 90.0);
    let (upper, lower) = (out(at, middle - give, far), out(at, middle + give, far));
    let mut path = Path::through([at, upper]);
    path.arc(far, true, lower).to(at);
    canvas.path(class, &path);
}

/// A body behind the lens, and the lens; a sign and not to scale.
pub(crate) fn body(canvas: &mut Canvas, at: At, turn: f64) {
    let place = |x: f64, y: f64| {
        let (sin, cos) = turn.to_radians().sin_cos();
        (at.0 + x * cos - y * sin, at.1 + x * sin + y * cos)
    };
    let corners = [(-6.0, -4.0), (-6.0, -8.0), (-28.0, -8.0), (-28.0, 8.0), (-6.0, 8.0), (-6.0, 4.0)];
    let mut path = Path::through(corners.map(|(x, y)| place(x, y)));
    path.to(place(0.0, 6.0)).to(place(0.0, -6.0)).shut();
    canvas.path("thin", &path);
}

/// The mark itself.
fn cross(canvas: &mut Canvas, at: At) {
    canvas.line("stroke", (at.0 - 6.0, at.1), (at.0 + 6.0, at.1));
    canvas.line("stroke", (at.0, at.1 - 6.0), (at.0, at.1 + 6.0));
}

/// How each camera's lines are drawn, so that they are told apart without colour.
const LINES: [&str; 2] = ["stroke", "stroke dash"];
/// How each camera's measured ring is drawn.
const RINGS: [&str; 2] = ["thick beads", "thick dash"];

/// Circles of both tolerances, and rings of what was measured.
fn rings(canvas: &mut Canvas, drawing: &Drawing, at: At) {
    let scale = drawing.scale();
    for ((camera, class), ring) in drawing.cameras.iter().zip(LINES).zip(RINGS) {
        canvas.circle(class, at, scale.long(camera.within));
        if let Some(was) = &camera.was {
            canvas.circle(ring, at, scale.long(was.off));
        }
    }
}

#[cfg(test)]
mod tests;
