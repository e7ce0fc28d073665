//! `screen-height`: whether the lens before a screen stands as high, and looks as
//! far down, as in the plate under it, and whether the screen reaches there.
//!
//! In: plates with a screen, the plates under them. Out: findings where the view
//! differs or an edge of the sweep misses the screen; lens height and tilt for
//! the card, each with its tolerance.

use super::lens::{height, level, settable, tape, tilt};
use super::scene::{self, Scene, lens_height};
use crate::craft::screen::{self, feet, height_needed, lens_heights};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::Screen;
use crate::quantity::{Angle, Length, show};
use crate::rule::advice::{either, within};
use crate::rule::{About, Check, Family, PRACTICE, Report, Rule, Subject};

const CODE: Code = Code { id: "P17", name: "screen-height", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Plates,
    page: include_str!("screen_height.md"),
    check: Check::Work(check),
};

/// How far the view of the hands may turn before they look borrowed, as seen from
/// the lens (common practice, no source).
const TURNED: Angle = Angle(5.0);
/// How far the tilt may differ: a wrong one shows at the wrists first (common
/// practice, no source).
const TILT: Angle = Angle(2.0);

fn check(subject: &Subject<'_>, report: &mut Report) {
    for scene in scene::all(subject) {
        check_view(subject, &scene, report);
        check_edges(subject, &scene, report);
    }
}

/// How far the lens may be too high or too low: what turns the view of the hands
/// by `TURNED`, `reach × tan`.
fn slack(scene: &Scene<'_>) -> Length {
    scene.reach * TURNED.radians().tan()
}

/// The view of the plate underneath, to be met.
fn check_view(subject: &Subject<'_>, scene: &Scene<'_>, report: &mut Report) {
    let Some(over) = scene.over else { return };
    let about = About::Plate(scene.id);
    let slack = slack(scene);
    let how = format!("as in '{}', over which it is laid; {PRACTICE}", over.named.path);
    if let Some(under) = height(subject, over) {
        let text = format!("{} ± {} above the performer's ground", settable(under), tape(slack));
        report.instruct(about, CODE.name, "lens height", text, how.clone());
        let own = scene.plate.height.filter(|own| (own.value.0 - under.0).abs() > slack.0);
        if let Some(own) = own {
            let apart = Length((own.value.0 - under.0).abs());
            let way = if own.value > under { "raise" } else { "lower" };
            let finding = Diagnostic::new(
                CODE,
                own.span,
                format!(
                    "the lens of '{}' stands at {}, and at {} in '{}', over which it is laid",
                    scene.plate.named.path, own.value, under, over.named.path
                ),
            )
            .label(format!("{apart} apart, {} pass unseen", tape(slack)))
            .other(over.height.map_or(over.named.span, |line| line.span), format!("lens at {under}"))
            .help(format!(
                "write 'height {} m', or {way} the performer by {apart} as well and waive this",
                show::number(under.0, 2)
            ))
            .note(format!("{} of reach × tan {TURNED}; {PRACTICE}", scene.reach));
            report.find(about, finding);
        }
    }
    if let Some(under) = over.tilt {
        let text = format!("{} ± {}", tilt(under.value), level(TILT));
        report.instruct(about, CODE.name, "tilt", text, how);
        let own = scene.plate.tilt.filter(|own| (own.value.0 - under.value.0).abs() > TILT.0);
        if let Some(own) = own {
            let finding = Diagnostic::new(
                CODE,
                own.span,
                format!(
                    "the lens of '{}' looks {}, and {} in '{}', over which it is laid",
                    scene.plate.named.path,
                    tilt(own.value),
                    tilt(under.value),
                    over.named.path
                ),
            )
            .label(format!("{} pass unseen", level(TILT)))
            .other(under.span, format!("looks {}", tilt(under.value)))
            .help(format!("write 'tilt {} deg'", show::number(under.value.0, 1)));
            report.find(about, finding);
        }
    }
}

/// Lens heights from which both edges of the sweep meet an upright screen.
fn heights(scene: &Scene<'_>, foot: Length, tall: Length, distance: Length) -> Option<(Length, Length)> {
    lens_heights(foot, tall, distance, scene.sweep.down, scene.tilt())
}

fn check_edges(subject: &Subject<'_>, scene: &Scene<'_>, report: &mut Report) {
    let about = About::Plate(scene.id);
    let how = how(scene);
    if scene.leans() {
        let text =
            format!("lean it to face the lens, which looks {}; its middle on the axis", tilt(scene.tilt()));
        report.instruct(about, CODE.name, "screen", text, how);
        return;
    }
    let range = heights(scene, scene.screen.foot, scene.screen.height, scene.distance());
    if let Some((low, high)) = range {
        let text = format!(
            "between {} and {} above the floor, so that both edges meet the screen",
            settable(low),
            settable(high)
        );
        report.instruct(about, CODE.name, "lens height before the screen", text, how.clone());
    }
    let Some(wanted) = lens_height(subject, scene) else { return };
    // A lens at the wrong height is told as that, while the right one would do.
    let set = scene.plate.height.map_or(wanted, |line| line.value);
    let does = |lens: Length| range.is_some_and(|(low, high)| low <= lens && lens <= high);
    if does(set) || does(wanted) {
        return;
    }
    // Where the screen is too small even face on, `screen-cover` says so.
    let covers = screen::needed(scene.sweep, scene.distance(), scene.projection)
        .is_some_and(|need| need.width <= scene.screen.width && need.height <= scene.screen.height);
    if covers {
        report.find(about, edges_finding(subject, scene, (wanted, range), how));
    }
}

fn how(scene: &Scene<'_>) -> String {
    format!(
        "a sweep of {} down, looking {}, at {} from a screen of {} whose foot is at {}",
        scene.sweep.down,
        tilt(scene.tilt()),
        scene.distance(),
        scene.screen.height,
        scene.screen.foot
    )
}

fn edges_finding(
    subject: &Subject<'_>,
    scene: &Scene<'_>,
    (set, range): (Length, Option<(Length, Length)>),
    how: String,
) -> Diagnostic {
    let needs = match range {
        Some((low, high)) => format!("it must stand between {} and {}", settable(low), settable(high)),
        None => "no height would do".to_owned(),
    };
    let span = scene.plate.height.map_or(scene.plate.named.span, |line| line.span);
    let finding = Diagnostic::new(
        CODE,
        span,
        format!(
            "from a lens at {} the sweep in '{}' leaves {}: {needs}",
            settable(set),
            scene.plate.named.path,
            scene.screen.named.label()
        ),
    )
    .label("an edge of the sweep misses the screen")
    .other(scene.screen.named.span, format!("{} high, foot at {}", scene.screen.height, scene.screen.foot))
    .note(how);
    match either(&ways(subject, scene, set, range)) {
        Some(help) => finding.help(help),
        None => finding,
    }
}

/// What would mend it, best first: the screen higher or lower, nearer, another
/// one, the lens and the performer lower.
fn ways(
    subject: &Subject<'_>,
    scene: &Scene<'_>,
    set: Length,
    range: Option<(Length, Length)>,
) -> Vec<String> {
    let mut ways = Vec::new();
    let distance = scene.distance();
    let stood = |tall: Length| feet(set, tall, distance, scene.sweep.down, scene.tilt());
    if let Some((low, high)) = stood(scene.screen.height) {
        let foot = show::number((low.0 + high.0) / 2.0, 2);
        let way = if scene.screen.foot > high { "lower" } else { "higher" };
        ways.push(format!("stand the screen {way}: 'foot {foot} m'"));
    }
    if let Some(gap) = scene.nearer(Some(set)) {
        let least = subject.model.sequence.budgets.gap;
        let price = if gap < least { format!(", though green spills within {least}") } else { String::new() };
        ways.push(format!("bring the screen nearer, 'gap {}'{price}", within(gap)));
    }
    let stands = |other: &&Screen| {
        heights(scene, other.foot, other.height, distance)
            .is_some_and(|(low, high)| low <= set && set <= high)
    };
    let other = subject.model.screens.values().find(stands);
    ways.extend(
        other.map(|other| {
            format!("use {}, {} high from {} up", other.named.label(), other.height, other.foot)
        }),
    );
    if ways.is_empty()
        && let Some(tall) = height_needed(distance, scene.sweep.down, scene.tilt())
    {
        ways.push(format!("use a screen that is {} high", Length((tall.0 * 20.0).ceil() / 20.0)));
    }
    if let Some((_, high)) = range.filter(|(_, high)| set > *high && high.0 > 0.3) {
        let down = Length(((set.0 - high.0) * 100.0).ceil() / 100.0);
        ways.push(format!("lower the lens and the performer by {down}, kneeling or sitting, and waive this"));
    }
    ways
}
