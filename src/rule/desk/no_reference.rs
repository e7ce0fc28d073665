//! `no-reference`: what is built has stills for its surface and a reference for its light.
//!
//! In: assets, the roles of effects that use them. Out: a finding for each asset
//! whose look the desk would have to guess.

use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Asset, AssetId, EffectId, PlateKind};
use crate::rule::{About, Check, Family, Report, Rule, Subject};

/// An asset without its references.
pub(super) const CODE: Code = Code { id: "W03", name: "no-reference", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Desk,
    page: include_str!("no_reference.md"),
    check: Check::Work(check),
};

fn check(subject: &Subject<'_>, report: &mut Report) {
    for (id, asset) in subject.model.assets.iter() {
        let users = users(subject, id);
        if users.is_empty() {
            continue;
        }
        let still = !asset.texture.is_empty() || has_role(subject, &users, PlateKind::Still);
        let light = !asset.light.is_empty() || has_role(subject, &users, PlateKind::LightReference);
        for (there, what, mend) in [
            (still, "a still for its surface", "texture from"),
            (light, "a reference for its light", "light from"),
        ] {
            if !there {
                report.find(About::Asset(id), describe(subject, asset, &users, what, mend));
            }
        }
    }
}

/// Effects that put the asset into the picture.
fn users(subject: &Subject<'_>, asset: AssetId) -> Vec<EffectId> {
    subject
        .model
        .effects
        .iter()
        .filter(|(_, effect)| effect.assets.iter().any(|used| used.value == asset))
        .map(|(id, _)| id)
        .collect()
}

/// Whether a recipe of one of the effects has such a reference shot.
fn has_role(subject: &Subject<'_>, users: &[EffectId], kind: PlateKind) -> bool {
    subject
        .breakdown
        .roles
        .iter()
        .filter(|role| users.contains(&role.effect))
        .flat_map(|role| &role.plates)
        .any(|&plate| subject.breakdown.plates[plate].kind == kind)
}

fn describe(subject: &Subject<'_>, asset: &Asset, users: &[EffectId], what: &str, mend: &str) -> Diagnostic {
    let mut finding = Diagnostic::new(
        CODE,
        asset.named.span,
        format!("asset '{}' has no {what}", asset.named.path).replace("no a ", "no "),
    )
    .label("nobody can take it after the day");
    let mut plate = None;
    for &id in users {
        let effect = &subject.model.effects[id];
        finding = finding.other(effect.named.span, "put into the picture here");
        plate = plate.or_else(|| effect.bindings.iter().flat_map(|binding| &binding.plates).next());
    }
    match plate {
        Some(plate) => finding.help(format!(
            "write '{mend} {}' in the asset; the reference is then owed on the day",
            subject.model.plates[plate.value].named.path
        )),
        None => {
            finding.help(format!("write '{mend} PLATE' in the asset; the reference is then owed on the day"))
        }
    }
}
