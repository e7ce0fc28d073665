//! `headroom`: whether enough picture is left after steadying, reframe and joins.
//!
//! In: captured and delivered frames, steadying, reframes, placing at joins. Out:
//! findings where the picture is enlarged beyond the limit, and how far a reframe
//! may go.

use super::kit::{other_modes, other_rigs};
use super::lens::{focal, scale};
use crate::craft::join::turn_error;
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Origin, Plate, PlateId, Rig, RigId};
use crate::quantity::{Pixels, Share};
use crate::rule::advice::{either, share};
use crate::rule::{About, Check, Family, Report, Rule, Subject};

const CODE: Code = Code { id: "P07", name: "headroom", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Plates, page: include_str!("headroom.md"), check: Check::Work(check) };

fn check(subject: &Subject<'_>, report: &mut Report) {
    let limit = subject.model.sequence.budgets.enlarge;
    for (id, plate) in subject.breakdown.plates.iter() {
        // What a recipe owes is framed as the plate that it serves.
        if !plate.kind.is_footage() || plate.origin != Origin::Written {
            continue;
        }
        let mode = &subject.model.modes[plate.mode];
        let pushed = Share(scale(subject, plate) * push(subject, id, plate));
        let how = format!(
            "{}x{} captured, {} kept by steadying, reframe {}, push at joins {}, for {}x{}",
            mode.frame.width,
            mode.frame.height,
            mode.kept,
            plate.reframe,
            Share(push(subject, id, plate)),
            subject.model.sequence.picture.width,
            subject.model.sequence.picture.height
        );
        let more = limit.0 / pushed.0.max(1e-6);
        if more >= 1.0 {
            let text = format!("up to {} of what is framed now", Share((more * 100.0).floor() / 100.0));
            report.instruct(About::Plate(id), CODE.name, "reframe at the desk", text, how.clone());
        } else {
            report.find(About::Plate(id), finding(subject, plate, pushed, how));
        }
    }
}

/// Enlargement that pushing a join back into place takes: `(W + 2 f a) / W`, with
/// the turn of this plate's rig at the worst of its joins.
fn push(subject: &Subject<'_>, id: PlateId, plate: &Plate) -> f64 {
    let model = subject.model;
    let joined = model.joins.values().any(|join| join.mark.is_some() && (join.from == id || join.to == id));
    let Some((_, turn)) = model.rigs[plate.rig].placing.filter(|_| joined) else { return 1.0 };
    let width = Pixels(f64::from(model.sequence.picture.width));
    1.0 + 2.0 * turn_error(focal(subject, plate, model.sequence.picture.width), turn).0 / width.0
}

/// A rig whose placing needs so much less push at the joins that the rest fits.
fn closer_rig<'a>(subject: &Subject<'a>, plate: &'a Plate, pushed: Share) -> Option<(RigId, &'a Rig)> {
    let model = subject.model;
    let width = f64::from(model.sequence.picture.width);
    let focal = focal(subject, plate, model.sequence.picture.width);
    let push = |rig: &Rig| rig.placing.map(|(_, turn)| 1.0 + 2.0 * turn_error(focal, turn).0 / width);
    let now = push(&model.rigs[plate.rig])?;
    other_rigs(model, plate).find(|(_, rig)| {
        let fits = push(rig)
            .is_some_and(|push| push < now && pushed.0 / now * push <= model.sequence.budgets.enlarge.0);
        fits && rig.fixed == model.rigs[plate.rig].fixed && !rig.flies
    })
}

fn finding(subject: &Subject<'_>, plate: &Plate, pushed: Share, how: String) -> Diagnostic {
    let model = subject.model;
    let limit = model.sequence.budgets.enlarge;
    let mode = &model.modes[plate.mode];
    let mut ways = Vec::new();
    let larger = other_modes(model, plate).find(|(_, other)| {
        let width = |frame: u32, kept: Share| f64::from(frame) * kept.0;
        let gain = width(other.frame.width, other.kept) / width(mode.frame.width.max(1), mode.kept).max(1.0);
        pushed.0 / gain <= limit.0
    });
    if let Some((_, other)) = larger {
        let (frame, kept) = (other.frame, other.kept);
        ways.push(format!(
            "shoot in {}, {}x{} of which {kept} is kept",
            other.named.path, frame.width, frame.height
        ));
    }
    let reframe = plate.reframe.0 * limit.0 / pushed.0;
    if reframe >= 1.0 {
        ways.push(format!("enlarge less, 'reframe {}'", share(Share(reframe))));
    }
    if mode.kept.0 < 1.0 && pushed.0 * mode.kept.0 <= limit.0 {
        ways.push("write 'steady off', and steady at the desk no more than is left".into());
    }
    if let Some((_, rig)) = closer_rig(subject, plate, pushed) {
        ways.push(format!("shoot on {}, which is placed closer", rig.named.label()));
    }
    ways.push("frame it closer on the day".into());
    let diagnostic = Diagnostic::new(
        CODE,
        plate.named.span,
        format!("plate '{}' would be enlarged to {pushed}, and {limit} is the most", plate.named.path),
    )
    .label("too few pixels are left")
    .other(mode.named.span, "captured so")
    .note(how);
    match either(&ways) {
        Some(help) => diagnostic.help(help),
        None => diagnostic,
    }
}
