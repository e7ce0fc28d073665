//! `blur-budget`: whether blur stays small enough to track or to mask.
//!
//! In: demands for little blur, movement, shutter, lens. Out: findings where blur
//! is over the budget, and for every such plate the slowest shutter and the
//! fastest turn that still do.

use super::bound;
use super::kit::{other_modes, other_rigs};
use super::lens::{focal, movement, px, usual_shutter};
use crate::craft::blur::{Movement, REFERENCE_WIDTH, fastest_turn_for_skew};
use crate::craft::flicker::{Evenness, evenness};
use crate::craft::optics;
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Light, Plate, PlateId};
use crate::quantity::{Pixels, Seconds, TurnRate, show};
use crate::recipe::{Demand, DemandKind};
use crate::rule::advice::{beyond, either, pace, turn};
use crate::rule::{About, Check, Family, PRACTICE, Report, Rule, Subject};

const CODE: Code = Code { id: "P02", name: "blur-budget", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Plates,
    page: include_str!("blur_budget.md"),
    check: Check::Work(check),
};

/// One plate's blur against its budget.
struct Reckoning<'a> {
    plate: &'a Plate,
    demand: &'a Demand,
    budget: Pixels,
    focal: Pixels,
    movement: Movement,
    exposure: Seconds,
}

fn check(subject: &Subject<'_>, report: &mut Report) {
    for (id, demands) in bound::demands(subject) {
        let plate = &subject.breakdown.plates[id];
        let Some((demand, budget)) = strictest(subject, demands) else { continue };
        let reckoning = Reckoning {
            plate,
            demand,
            budget,
            focal: focal(subject, plate, REFERENCE_WIDTH),
            movement: movement(subject, plate),
            exposure: subject.model.modes[plate.mode].shutter.value,
        };
        instruct(id, &reckoning, report);
        let blur = reckoning.movement.blur(reckoning.exposure, reckoning.focal);
        if blur.0 > budget.0 * 1.000_001 {
            report.find(About::Plate(id), finding(subject, &reckoning, blur));
        }
    }
}

/// The demand with the smallest budget.
fn strictest<'a>(subject: &Subject<'_>, demands: Vec<&'a Demand>) -> Option<(&'a Demand, Pixels)> {
    let budgets = &subject.model.sequence.budgets;
    let budget = |demand: &'a Demand| match demand.kind {
        DemandKind::TrackedBlur => Some((demand, budgets.tracked_blur)),
        DemandKind::MaskedBlur => Some((demand, budgets.masked_blur)),
        _ => None,
    };
    demands.into_iter().filter_map(budget).min_by(|(_, one), (_, other)| one.0.total_cmp(&other.0))
}

/// Blur in words: its parts with their inputs.
fn sums(reckoning: &Reckoning<'_>) -> String {
    let movement = reckoning.movement;
    let mut text = format!(
        "({} + {} of sway) × {} × {} a radian",
        movement.turn,
        movement.sway,
        show::exposure(reckoning.exposure),
        px(reckoning.focal)
    );
    match movement.near {
        Some(near) if movement.travel.0 > 0.0 => {
            text.push_str(&format!(", plus {} past what is {near} away", movement.travel));
        }
        None if movement.travel.0 > 0.0 => {
            text.push_str(", without the travel, since no nearest thing is known");
        }
        _ => {}
    }
    text
}

fn instruct(id: PlateId, reckoning: &Reckoning<'_>, report: &mut Report) {
    let how = format!(
        "blur {} = {}; budget {} at {} wide ({PRACTICE})",
        px(reckoning.movement.blur(reckoning.exposure, reckoning.focal)),
        sums(reckoning),
        px(reckoning.budget),
        REFERENCE_WIDTH
    );
    let slowest = reckoning.movement.slowest_shutter(reckoning.budget, reckoning.focal);
    if let Some(shutter) = slowest.and_then(usual_shutter) {
        let text = format!("{} or shorter at this movement", show::exposure(shutter));
        report.instruct(About::Plate(id), CODE.name, "shutter", text, how.clone());
    }
    let travels = reckoning.movement.travel.0 > 0.0;
    let way = reckoning.movement.fastest_travel(reckoning.budget, reckoning.exposure, reckoning.focal);
    if let Some(way) = way.filter(|way| travels && way.0 >= 0.1) {
        let text = format!("at most {} at {}", pace(way), show::exposure(reckoning.exposure));
        report.instruct(About::Plate(id), CODE.name, "travel", text, how.clone());
    }
    let turns = reckoning.movement.turn.0 > 0.0 || reckoning.demand.kind == DemandKind::TrackedBlur;
    if reckoning.movement == Movement::default() || !turns {
        return;
    }
    let fastest = reckoning.movement.fastest_turn(reckoning.budget, reckoning.exposure, reckoning.focal);
    let text = match fastest {
        Some(most) => {
            let most = TurnRate(most.0.floor());
            format!("at most {most} at {}", show::exposure(reckoning.exposure))
        }
        None => format!("none: at {} the rig's sway alone is too much", show::exposure(reckoning.exposure)),
    };
    report.instruct(About::Plate(id), CODE.name, "turn", text, how);
}

fn finding(subject: &Subject<'_>, reckoning: &Reckoning<'_>, blur: Pixels) -> Diagnostic {
    let (plate, model) = (reckoning.plate, subject.model);
    let purpose = if reckoning.demand.kind == DemandKind::TrackedBlur { "tracked" } else { "masked" };
    let mode = &model.modes[plate.mode];
    let mut diagnostic = Diagnostic::new(
        CODE,
        plate.turns_camera.map_or(plate.named.span, |turn| turn.span),
        format!(
            "plate '{}' blurs by {}, and what is {purpose} may blur by {}",
            plate.named.path,
            px(blur),
            px(reckoning.budget)
        ),
    )
    .label(format!("{purpose}: {} at {} wide", px(reckoning.budget), REFERENCE_WIDTH))
    .other(reckoning.demand.span, reckoning.demand.text.clone())
    .other(mode.shutter.span, format!("shutter {}", show::exposure(mode.shutter.value)))
    .note(sums(reckoning));
    if reckoning.movement.sway.0 > 0.0 {
        let rig = &model.rigs[plate.rig];
        diagnostic = diagnostic.other(rig.named.span, format!("sways by {}", rig.sway));
    }
    match either(&ways(subject, reckoning)) {
        Some(help) => diagnostic.help(help),
        None => diagnostic,
    }
}

/// What would mend it, best first: a slower turn or travel, a shorter shutter,
/// another mode of this camera, another rig, more distance.
fn ways(subject: &Subject<'_>, reckoning: &Reckoning<'_>) -> Vec<String> {
    let (plate, model, movement) = (reckoning.plate, subject.model, reckoning.movement);
    let (budget, exposure, focal) = (reckoning.budget, reckoning.exposure, reckoning.focal);
    let mut ways = Vec::new();
    // What is tracked must stay upright as well: the slower of both turns mends both.
    let upright = upright_turn(subject, reckoning).unwrap_or(TurnRate(f64::INFINITY));
    let turned = movement.fastest_turn(budget, exposure, focal).map(|turn| turn.min(upright));
    let turned = turned.filter(|turn| turn.0 >= 1.0);
    if let Some(most) = turned.filter(|_| movement.turn.0 > 0.0) {
        ways.push(format!("turn slower, 'turns_camera {}'", turn(most)));
    }
    let way = movement.fastest_travel(budget, exposure, focal).filter(|way| way.0 >= 0.1);
    if let Some(most) = way.filter(|most| most.0 < movement.travel.0) {
        ways.push(format!("travel slower, 'moves {}'", pace(most)));
    }
    let slowest = movement.slowest_shutter(budget, focal);
    if let Some(shutter) = slowest.and_then(usual_shutter) {
        let lamps = lamp_warning(subject, plate, shutter);
        ways.push(format!("use a shorter shutter, 'shutter {}'{lamps}", show::exposure(shutter)));
    }
    let fits =
        |exposure: Seconds, focal: Pixels, movement: Movement| movement.blur(exposure, focal).0 <= budget.0;
    let mode = other_modes(model, plate).find(|(_, mode)| {
        let focal = optics::focal(REFERENCE_WIDTH, mode.view.value, mode.projection) * plate.reframe.0;
        fits(mode.shutter.value, focal, movement)
    });
    ways.extend(
        mode.map(|(_, mode)| format!("shoot in {}, {}", mode.named.path, show::exposure(mode.shutter.value))),
    );
    let rig = other_rigs(model, plate).find(|(_, rig)| {
        !rig.fixed && !rig.flies && fits(exposure, focal, Movement { sway: rig.sway, ..movement })
    });
    ways.extend(rig.map(|(_, rig)| format!("shoot on {}, which sways by {}", rig.named.label(), rig.sway)));
    let near = movement.nearest(budget, exposure, focal);
    if let Some(near) = near.filter(|near| movement.near.is_some() && near.0 < 1000.0) {
        ways.push(format!("keep everything farther than {}", beyond(near)));
    }
    ways
}

/// The fastest turn that keeps uprights upright, where the plate is tracked and the
/// camera's readout is known.
fn upright_turn(subject: &Subject<'_>, reckoning: &Reckoning<'_>) -> Option<TurnRate> {
    let tracked = reckoning.demand.kind == DemandKind::TrackedBlur;
    let readout = subject.model.camera_of(reckoning.plate).readout.filter(|_| tracked)?;
    let fastest = fastest_turn_for_skew(subject.model.sequence.budgets.skew, readout, reckoning.focal)?;
    Some(TurnRate((fastest.0 - reckoning.movement.sway.0).max(0.0)))
}

/// A shutter that lamps on the mains would make flicker says so at once.
fn lamp_warning(subject: &Subject<'_>, plate: &Plate, shutter: Seconds) -> &'static str {
    let flickers = plate.light == Light::Lamp
        && subject.model.sequence.mains.is_some_and(|mains| evenness(shutter, mains) == Evenness::Uneven);
    if flickers { " with lamps that do not pulse" } else { "" }
}
