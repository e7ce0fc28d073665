//! A screen where it stands, to scale: from above and from the side.
//!
//! In: the plate before its screen as the rules reckon it. Out: two drawings at one
//! scale, the lens to the left in both, with what the screen has to spare around the
//! sweep; and the same in words.

mod plan;
mod side;

use super::draw::{At, Canvas};
use super::scale::Scale;
use crate::model::PlateId;
use crate::packet::index::Index;
use crate::quantity::{Angle, Length, show};
use crate::rule::plates::Staged;

/// Width of each drawing: what a card leaves on a phone.
const WIDE: f64 = 288.0;
/// Where the lens stands.
const LENS_X: f64 = 34.0;
/// Room from lens to screen, which leaves the words beside it theirs.
const DEEP: f64 = 140.0;
/// Room for the screen itself.
const TALL: f64 = 190.0;
/// Height of letters.
const LETTERS: f64 = 12.0;

/// What is drawn.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Drawing {
    /// Width of the screen.
    pub(crate) wide: Length,
    /// Its height.
    pub(crate) high: Length,
    /// Its lower edge above the floor.
    pub(crate) foot: Length,
    /// Whether it leans to face the lens.
    pub(crate) leans: bool,
    /// Lens to subject.
    pub(crate) reach: Length,
    /// Whether that is said; else an arm's length.
    pub(crate) reach_known: bool,
    /// Subject to screen.
    pub(crate) gap: Length,
    /// The same as it was planned, where it was measured.
    pub(crate) planned_gap: Option<Length>,
    /// Lens above the floor.
    pub(crate) lens: Option<Length>,
    /// Up is positive.
    pub(crate) tilt: Angle,
    /// The camera's view across.
    pub(crate) view: Angle,
    /// The sweep across and down.
    pub(crate) sweep: (Angle, Angle),
    /// Width and height behind the sweep on a screen that faces the lens.
    pub(crate) needed: Option<(Length, Length)>,
    /// Lower and upper edge of the sweep on an upright screen, above the floor.
    pub(crate) edges: Option<(Length, Length)>,
}

/// A plate before its screen.
pub(crate) fn of(index: &Index<'_>, id: PlateId, staged: &Staged<'_>) -> Drawing {
    let plate = index.plate(id);
    let capture = index.captured(id).filter(|capture| capture.measured.gap.is_some());
    Drawing {
        wide: staged.screen.width,
        high: staged.screen.height,
        foot: staged.screen.foot,
        leans: staged.leans,
        reach: staged.reach,
        reach_known: staged.reach_known,
        gap: staged.gap,
        planned_gap: capture.and_then(|capture| capture.planned.gap).map(|gap| gap.value),
        lens: staged.lens,
        tilt: staged.tilt,
        view: index.model.modes[plate.mode].view.value,
        sweep: (staged.sweep.across, staged.sweep.down),
        needed: staged.needed.map(|area| (area.width, area.height)),
        edges: staged.edges(),
    }
}

impl Drawing {
    /// At which scale both drawings stand: units a metre, whole where that is fine enough.
    pub(crate) fn scale(&self) -> Scale {
        let mut depth = (self.reach + self.planned_gap.map_or(self.gap, |gap| gap.max(self.gap))).0;
        if self.leans {
            let ((away, _), (lean, _)) = self.stands(Length(0.0));
            depth = depth.max(away + lean.abs() * self.high.0 / 2.0);
        }
        let behind = self.needed.map_or(Length(0.0), |(wide, high)| wide.max(high));
        let tall = self.wide.max(self.high + self.foot).max(behind).max(self.lens.unwrap_or(Length(0.0))).0;
        let scale = (DEEP / depth.max(1e-3)).min(TALL / tall.max(1e-3));
        Scale(if scale > 10.0 { scale.floor() } else { scale })
    }

    /// From the lens to the screen.
    pub(crate) fn distance(&self) -> Length {
        self.reach + self.gap
    }

    /// What the screen has to spare to each side of the sweep; less than nothing where
    /// it is too narrow.
    pub(crate) fn beside(&self) -> Option<Length> {
        self.needed.map(|(wide, _)| (self.wide - wide) * 0.5)
    }

    /// What it has to spare below and above.
    pub(crate) fn below_and_above(&self) -> Option<(Length, Length)> {
        match (self.edges, self.needed) {
            (Some((low, high)), _) => Some((low - self.foot, self.foot + self.high - high)),
            (None, Some((_, high))) if self.leans => {
                let spare = (self.high - high) * 0.5;
                Some((spare, spare))
            }
            _ => None,
        }
    }

    /// From above.
    pub(crate) fn plan(&self, id: &str) -> Canvas {
        plan::draw(self, id)
    }

    /// From the side; `None` where nothing says how high the lens stands.
    pub(crate) fn side(&self, id: &str) -> Option<Canvas> {
        self.lens.map(|lens| side::draw(self, id, lens))
    }

    /// What both drawings say: from above, then from the side.
    pub(crate) fn words(&self) -> [String; 2] {
        [self.plan_words(), self.side_words()]
    }

    fn plan_words(&self) -> String {
        let arm = if self.reach_known { "" } else { " (an arm's length, since the plate says no 'near')" };
        let planned = self.planned_gap.filter(|planned| *planned != self.gap);
        let planned = planned.map_or_else(String::new, |planned| format!(" (planned {planned})"));
        let mut said = format!(
            "From above: lens to hands {}{arm}, hands to screen {}{planned}, so {} from lens to screen. The sweep is {} across",
            self.reach,
            self.gap,
            self.distance(),
            self.sweep.0
        );
        match (self.needed, self.beside()) {
            (Some((wide, _)), Some(beside)) => said.push_str(&format!(
                " and takes {} of the {} of screen: {} at each side.",
                tape(wide),
                self.wide,
                spare(beside)
            )),
            _ => said.push_str(", more than any flat screen covers."),
        }
        said
    }

    fn side_words(&self) -> String {
        let Some(lens) = self.lens else {
            return "From the side: nothing says how high the lens stands, so that is not drawn.".to_owned();
        };
        let stands = if self.leans {
            "the screen leans to face the lens, its middle on the axis".to_owned()
        } else {
            format!(
                "the screen stands upright from {} to {} above the floor",
                self.foot,
                self.foot + self.high
            )
        };
        let mut said = format!(
            "From the side: the lens is {lens} above the floor and looks {}; {stands}.",
            show::tilt(self.tilt)
        );
        if let Some((below, above)) = self.below_and_above() {
            said.push_str(&format!(
                " The sweep is {} down: {} below it, {} above it.",
                self.sweep.1,
                spare(below),
                spare(above)
            ));
        }
        if let Some(under) = self.under_the_floor() {
            said.push_str(&format!(
                " Leaning, its lower end would be {} below the floor: raise lens and performer by as much.",
                tape(under)
            ));
        }
        said
    }

    /// Middle of the screen from the foot of the lens, and the way along it upwards, in
    /// metres: `(away, up)`.
    pub(crate) fn stands(&self, lens: Length) -> (At, At) {
        let distance = self.distance().0;
        if self.leans {
            let (sin, cos) = self.tilt.radians().sin_cos();
            ((distance * cos, lens.0 + distance * sin), (-sin, cos))
        } else {
            ((distance, self.foot.0 + self.high.0 / 2.0), (0.0, 1.0))
        }
    }

    /// How far a leaning screen would reach below the floor.
    fn under_the_floor(&self) -> Option<Length> {
        let ((_, up), (_, rise)) = self.stands(self.lens?);
        let low = up - rise * self.high.0 / 2.0;
        (self.leans && low < -0.005).then_some(Length(-low))
    }
}

/// `42 cm to spare`, `18 cm short`.
fn spare(length: Length) -> String {
    if length.0 < -0.0005 { format!("{} short", tape(-length)) } else { format!("{} to spare", tape(length)) }
}

/// A length in whole centimetres, as a tape shows it.
fn tape(length: Length) -> String {
    Length((length.0 * 100.0).round() / 100.0).to_string()
}

/// The lens as a sign: its body behind it, not to scale.
fn lens(canvas: &mut Canvas, at: At, turn: f64) {
    super::hand_over::body(canvas, at, turn);
    canvas.circle("solid", at, 2.0);
}

#[cfg(test)]
mod tests;
