//! `screen-gap`: whether the subject is far enough from the screen.
//!
//! In: plates with a screen and a gap. Out: findings where the gap is below the
//! least, and the least for the card.

use super::scene;
use crate::craft::screen::needed;
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::PlateId;
use crate::quantity::Length;
use crate::rule::advice::beyond;
use crate::rule::{About, Check, Family, PRACTICE, Report, Rule, Subject};

const CODE: Code = Code { id: "P09", name: "screen-gap", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Plates,
    page: include_str!("screen_gap.md"),
    check: Check::Work(check),
};

fn check(subject: &Subject<'_>, report: &mut Report) {
    let least = subject.model.sequence.budgets.gap;
    for (id, plate) in subject.breakdown.plates.iter() {
        let Some(screen) = plate.screen else { continue };
        let screen = &subject.model.screens[screen];
        report.instruct(
            About::Plate(id),
            CODE.name,
            "subject to screen",
            match plate.gap {
                Some(gap) if gap.value >= least => format!("{}, never below {least}", gap.value),
                _ => format!("{least} or more"),
            },
            format!("the screen's light falls on what is near it; {PRACTICE}"),
        );
        let Some(gap) = plate.gap.filter(|gap| gap.value < least) else { continue };
        report.find(
            About::Plate(id),
            Diagnostic::new(
                CODE,
                gap.span,
                format!(
                    "plate '{}' stands {} before the screen, and {least} is the least",
                    plate.named.path, gap.value
                ),
            )
            .label("the screen's colour falls on the subject")
            .other(screen.named.span, "this screen")
            .help(help(subject, id, least)),
        );
    }
}

/// The gap that is enough, and the screen that it takes.
fn help(subject: &Subject<'_>, id: PlateId, least: Length) -> String {
    let apart = format!("move the subject away from the screen, 'gap {}'", beyond(least));
    let scenes = scene::all(subject);
    let Some(scene) = scenes.iter().find(|scene| scene.id == id) else { return apart };
    match needed(scene.sweep, scene.reach + least, scene.projection) {
        Some(need) if need.width <= scene.screen.width && need.height <= scene.screen.height => {
            format!("{apart}; this screen still covers the sweep")
        }
        Some(need) => {
            format!("{apart}, with a screen of {} x {}", beyond(need.width), beyond(need.height))
        }
        None => apart,
    }
}
