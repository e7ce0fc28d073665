//! `skew-budget`: whether uprights stay upright while the picture is read out.
//!
//! In: demands for tracking, turn rates, readout, lens. Out: findings where the
//! rolling shutter leans the picture too far, and the fastest turn.

use super::bound;
use super::kit::{other_modes_of_kit, other_rigs};
use super::lens::{focal, movement, px};
use crate::craft::blur::{REFERENCE_WIDTH, fastest_turn_for_skew, skew};
use crate::craft::optics;
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::quantity::TurnRate;
use crate::recipe::DemandKind;
use crate::rule::advice::{either, turn as turn_words};
use crate::rule::{About, Check, Family, Report, Rule, Subject};

const CODE: Code = Code { id: "P13", name: "skew-budget", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Plates,
    page: include_str!("skew_budget.md"),
    check: Check::Work(check),
};

fn check(subject: &Subject<'_>, report: &mut Report) {
    let budget = subject.model.sequence.budgets.skew;
    for (id, demands) in bound::demands(subject) {
        let plate = &subject.breakdown.plates[id];
        let tracked = demands.into_iter().find(|one| one.kind == DemandKind::TrackedBlur);
        let (Some(demand), Some(readout)) = (tracked, subject.model.camera_of(plate).readout) else {
            continue;
        };
        let (movement, focal) = (movement(subject, plate), focal(subject, plate, REFERENCE_WIDTH));
        let Some(fastest) = fastest_turn_for_skew(budget, readout, focal) else { continue };
        let turn = movement.turn + movement.sway;
        let lean = skew(turn, readout, focal);
        let own = TurnRate((fastest.0 - movement.sway.0).floor().max(0.0));
        let how = format!(
            "skew {} = {turn} × {readout} × {} a radian; budget {} at {REFERENCE_WIDTH} wide",
            px(lean),
            px(focal),
            px(budget)
        );
        if turn.0 > 0.0 {
            let text = format!("at most {own}, sway of {} not counted", movement.sway);
            report.instruct(About::Plate(id), CODE.name, "turn, for upright lines", text, how.clone());
        }
        if lean.0 <= budget.0 * 1.000_001 {
            continue;
        }
        let mut ways = Vec::new();
        if own.0 >= 1.0 {
            ways.push(format!("turn slower, 'turns_camera {}'", turn_words(own)));
        }
        let calmer = other_rigs(subject.model, plate)
            .find(|(_, rig)| !rig.fixed && !rig.flies && (movement.turn + rig.sway).0 <= fastest.0);
        if let Some((_, rig)) = calmer {
            ways.push(format!("shoot on {}, which sways by {}", rig.named.label(), rig.sway));
        }
        let quicker = other_modes_of_kit(subject.model, plate).find_map(|(_, mode)| {
            let readout = subject.model.cameras[mode.camera].readout?;
            let focal = optics::focal(REFERENCE_WIDTH, mode.view.value, mode.projection) * plate.reframe.0;
            (skew(turn, readout, focal).0 <= budget.0).then_some((mode, readout))
        });
        ways.extend(
            quicker.map(|(mode, readout)| format!("shoot in {}, read out in {readout}", mode.named.path)),
        );
        ways.push("let the tracker solve the rolling shutter, with the camera's readout stated".into());
        let mut diagnostic = Diagnostic::new(
            CODE,
            plate.turns_camera.map_or(plate.named.span, |turn| turn.span),
            format!(
                "uprights in plate '{}' lean by {}, and what is tracked may lean by {}",
                plate.named.path,
                px(lean),
                px(budget)
            ),
        )
        .label("turned while it is read out")
        .other(demand.span, demand.text.clone())
        .note(how);
        if let Some(help) = either(&ways) {
            diagnostic = diagnostic.help(help);
        }
        report.find(About::Plate(id), diagnostic);
    }
}
