//! `screen-cover`: whether a screen covers what moves in front of it.
//!
//! In: plates with a screen and a swept field. Out: findings where the sweep
//! leaves the screen, and distance and size for the card.

use super::scene::{self, Scene, lens_height};
use crate::craft::screen::{self, Area};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::Screen;
use crate::quantity::{Angle, Length, Projection};
use crate::rule::advice::{degrees, either, within};
use crate::rule::{About, Check, Family, Report, Rule, Subject};

const CODE: Code = Code { id: "P03", name: "screen-cover", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Plates,
    page: include_str!("screen_cover.md"),
    check: Check::Work(check),
};

fn check(subject: &Subject<'_>, report: &mut Report) {
    for scene in scene::all(subject) {
        check_scene(subject, &scene, report);
    }
}

fn check_scene(subject: &Subject<'_>, scene: &Scene<'_>, report: &mut Report) {
    let farthest = screen::farthest(scene.sweep, scene.area(), scene.projection);
    let needed = screen::needed(scene.sweep, scene.distance(), scene.projection);
    let how = how(scene);
    let about = About::Plate(scene.id);
    if let Some(farthest) = farthest {
        let text = format!("at most {} from the lens", down_to(farthest));
        report.instruct(about, CODE.name, "distance to screen", text, how.clone());
    }
    if let Some(needed) = needed {
        let text = format!("at least {} x {}", up_to(needed.width), up_to(needed.height));
        report.instruct(about, CODE.name, "screen size", text, how.clone());
    }
    let fits =
        needed.is_some_and(|need| need.width <= scene.screen.width && need.height <= scene.screen.height);
    if !fits {
        report.find(about, finding(subject, scene, needed, how));
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

fn finding(subject: &Subject<'_>, scene: &Scene<'_>, needed: Option<Area>, how: String) -> Diagnostic {
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
    match either(&ways(subject, scene, needed)) {
        Some(help) => diagnostic.help(help),
        None => diagnostic,
    }
}

/// What would mend it, best first: nearer, another screen of the kit, a larger
/// screen, a narrower sweep.
fn ways(subject: &Subject<'_>, scene: &Scene<'_>, needed: Option<Area>) -> Vec<String> {
    let mut ways = Vec::new();
    if let Some(gap) = scene.nearer(lens_height(subject, scene)) {
        let least = subject.model.sequence.budgets.gap;
        let price = if gap < least { format!(", though green spills within {least}") } else { String::new() };
        ways.push(format!("bring the screen nearer, 'gap {}'{price}", within(gap)));
    }
    if let Some(need) = needed {
        let fits = |other: &&Screen| other.width >= need.width && other.height >= need.height;
        ways.push(match subject.model.screens.values().find(fits) {
            Some(other) => format!("use {}, {} x {}", other.named.label(), other.width, other.height),
            None => format!("use a screen of {} x {}", up_to(need.width), up_to(need.height)),
        });
    }
    ways.extend(narrower(scene).map(|(across, down)| {
        format!(
            "keep the hands within 'sweep {} x {}'",
            degrees(Angle(across.0.floor())),
            degrees(Angle(down.0.floor()))
        )
    }));
    ways
}

/// The sweep that the screen covers: a flat picture may be narrower one way alone,
/// the corners of a fisheye need both.
fn narrower(scene: &Scene<'_>) -> Option<(Angle, Angle)> {
    if scene.projection == Projection::Rectilinear {
        let covered = screen::covered(scene.area(), scene.distance());
        return Some((covered.across.min(scene.sweep.across), covered.down.min(scene.sweep.down)));
    }
    let share = screen::share_covered(scene.sweep, scene.area(), scene.distance(), scene.projection)?;
    Some((scene.sweep.across * share, scene.sweep.down * share))
}

/// A length rounded down to 5 cm.
fn down_to(length: Length) -> Length {
    Length((length.0 * 20.0 + 1e-9).floor() / 20.0)
}

/// A length rounded up to 5 cm.
fn up_to(length: Length) -> Length {
    Length((length.0 * 20.0 - 1e-9).ceil() / 20.0)
}
