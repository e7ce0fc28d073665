//! `screen-cover`: whether a screen covers what moves in front of it.
//!
//! In: plates with a screen and a swept field. Out: findings where the sweep
//! leaves the screen, and distance, size and lens height for the card.

use super::lens::{either, near, tilt};
use crate::craft::screen::{self, Area, Sweep};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Plate, PlateId, Screen};
use crate::quantity::{Angle, Length, Projection};
use crate::rule::{About, Check, Family, Report, Rule, Subject};

const CODE: Code = Code { id: "P03", name: "screen-cover", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Plates,
    page: include_str!("screen_cover.md"),
    check: Check::Work(check),
};

/// From the lens to hands that are held out, where the plate does not say (common
/// practice, no source).
const ARM: Length = Length(0.5);
/// A screen leans to face the lens when the lens is tilted more than this (common
/// practice, no source).
const UPRIGHT: f64 = 20.0;

/// One plate before its screen.
struct Scene<'a> {
    plate: &'a Plate,
    screen: &'a Screen,
    sweep: Sweep,
    projection: Projection,
    gap: Length,
    /// Lens to subject.
    reach: Length,
    reach_known: bool,
}

impl Scene<'_> {
    fn distance(&self) -> Length {
        self.reach + self.gap
    }

    fn area(&self) -> Area {
        Area { width: self.screen.width, height: self.screen.height }
    }
}

fn check(subject: &Subject<'_>, report: &mut Report) {
    for (id, plate) in subject.breakdown.plates.iter() {
        let (Some(screen), Some((across, down)), Some(gap)) = (plate.screen, plate.sweep, plate.gap) else {
            continue;
        };
        let reach = near(subject, plate);
        let scene = Scene {
            plate,
            screen: &subject.model.screens[screen],
            sweep: Sweep { across, down },
            projection: subject.model.modes[plate.mode].projection,
            gap: gap.value,
            reach: reach.unwrap_or(ARM),
            reach_known: reach.is_some(),
        };
        check_scene(subject, id, &scene, report);
    }
}

fn check_scene(subject: &Subject<'_>, id: PlateId, scene: &Scene<'_>, report: &mut Report) {
    let farthest = screen::farthest(scene.sweep, scene.area(), scene.projection);
    let needed = screen::needed(scene.sweep, scene.distance(), scene.projection);
    let how = how(scene);
    let about = About::Plate(id);
    if let Some(farthest) = farthest {
        let text = format!("at most {} from the lens", down_to(farthest));
        report.instruct(about, CODE.name, "distance to screen", text, how.clone());
    }
    if let Some(needed) = needed {
        let text = format!("at least {} x {}", up_to(needed.width), up_to(needed.height));
        report.instruct(about, CODE.name, "screen size", text, how.clone());
    }
    let height = lens_height(scene);
    if let Some((topic, text)) = &height {
        report.instruct(about, CODE.name, *topic, text.clone(), how.clone());
    }
    let fits =
        needed.is_some_and(|need| need.width <= scene.screen.width && need.height <= scene.screen.height);
    if !fits {
        report.find(about, finding(subject, scene, needed, farthest, how));
    }
}

fn how(scene: &Scene<'_>) -> String {
    format!(
        "sweep {} x {} at {} from the lens ({} to the subject{}, {} on to the screen)",
        scene.sweep.across,
        scene.sweep.down,
        scene.distance(),
        scene.reach,
        if scene.reach_known { "" } else { ", assumed as an arm's length" },
        scene.gap
    )
}

/// Lens height for an upright screen, or how a leaning one stands.
fn lens_height(scene: &Scene<'_>) -> Option<(&'static str, String)> {
    let looks = scene.plate.tilt.map_or(Angle(0.0), |tilt| tilt.value);
    if looks.0.abs() > UPRIGHT {
        let text = format!("lean it to face the lens, which looks {}; its middle on the axis", tilt(looks));
        return Some(("screen", text));
    }
    let (low, high) = screen::lens_heights(
        scene.screen.foot,
        scene.screen.height,
        scene.distance(),
        scene.sweep.down,
        looks,
    )?;
    let text = match scene.plate.height {
        Some(set) if set.value < low || set.value > high => {
            // The lens height belongs to the plate underneath, so the screen moves.
            let middle = Length((low.0 + high.0) / 2.0);
            let lift = set.value - middle + scene.screen.foot;
            let lower = if lift.0 >= 0.0 {
                format!("lower edge {} above the floor", Length((lift.0 * 100.0).round() / 100.0))
            } else {
                "lay its lower part along the floor towards the lens".into()
            };
            return Some(("screen", format!("{lower}, since the lens stays at {}", set.value)));
        }
        _ => format!("between {low} and {high} above the floor, so that both edges meet the screen"),
    };
    Some(("lens height before the screen", text))
}

fn finding(
    subject: &Subject<'_>,
    scene: &Scene<'_>,
    needed: Option<Area>,
    farthest: Option<Length>,
    how: String,
) -> Diagnostic {
    let (plate, screen) = (scene.plate, scene.screen);
    let covered = screen::covered(scene.area(), scene.distance());
    let message = match needed {
        Some(need) => format!(
            "the sweep in '{}' needs a screen of {} x {}, and {} is {} x {}",
            plate.named.path,
            up_to(need.width),
            up_to(need.height),
            screen.named.label(),
            screen.width,
            screen.height
        ),
        None => format!("no flat screen covers the sweep in '{}'", plate.named.path),
    };
    let span = plate.gap.map_or(plate.named.span, |gap| gap.span);
    let mut diagnostic = Diagnostic::new(CODE, span, message)
        .label(format!("the screen covers {} x {} from here", covered.across, covered.down))
        .other(screen.named.span, format!("{} x {}", screen.width, screen.height))
        .note(how);
    if scene.projection == Projection::Equidistant {
        diagnostic = diagnostic.note("the corners of a fisheye picture reach farther out on a flat screen");
    }
    match either(&ways(subject, scene, needed, farthest)) {
        Some(help) => diagnostic.help(help),
        None => diagnostic,
    }
}

/// What would mend it, best first: nearer, another screen of the kit, a larger
/// screen, a narrower sweep.
fn ways(
    subject: &Subject<'_>,
    scene: &Scene<'_>,
    needed: Option<Area>,
    farthest: Option<Length>,
) -> Vec<String> {
    let mut ways = Vec::new();
    if let Some(gap) = farthest.map(|far| far - scene.reach).filter(|gap| gap.0 > 0.2) {
        let least = subject.model.sequence.budgets.gap;
        let price = if gap < least { format!(", though green spills within {least}") } else { String::new() };
        ways.push(format!("bring the screen to {} behind the subject{price}", down_to(gap)));
    }
    if let Some(need) = needed {
        let other = subject
            .model
            .screens
            .values()
            .find(|other| other.width >= need.width && other.height >= need.height);
        ways.push(match other {
            Some(other) => format!("use {}", other.named.label()),
            None => format!("use a screen of {} x {}", up_to(need.width), up_to(need.height)),
        });
    }
    let covered = screen::covered(scene.area(), scene.distance());
    if scene.projection == Projection::Rectilinear {
        let narrow = |angle: Angle| Angle(angle.0.floor());
        ways.push(format!(
            "keep the hands within {} x {}",
            narrow(covered.across.min(scene.sweep.across)),
            narrow(covered.down.min(scene.sweep.down))
        ));
    } else {
        ways.push("keep the hands nearer to the middle".into());
    }
    ways
}

/// A length rounded down to 5 cm.
fn down_to(length: Length) -> Length {
    Length((length.0 * 20.0 + 1e-9).floor() / 20.0)
}

/// A length rounded up to 5 cm.
fn up_to(length: Length) -> Length {
    Length((length.0 * 20.0 - 1e-9).ceil() / 20.0)
}
