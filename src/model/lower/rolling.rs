//! Plates that roll together: a companion beside a main plate.
//!
//! In: plates whose names are settled. Out: `rolls_with` of each companion, with
//! what it takes over from the plate that it rolls with. A line that cannot hold
//! is reported and left out.

use super::{Lower, args};
use crate::diagnostic::{Code, Diagnostic, codes};
use crate::model::{Model, PlateId};
use crate::quantity::Seconds;
use crate::schema::Fact;
use crate::source::Spanned;

impl Lower<'_> {
    /// Reads the lines of all plates, given each plate with its block and beat.
    pub(super) fn rolling(&mut self, plates: &[(PlateId, &Fact, Option<&str>)], model: &mut Model) {
        let mut found: Vec<(PlateId, &Fact, Spanned<PlateId>)> = Vec::new();
        for &(id, fact, beat) in plates {
            let line = fact.get("rolls_with").and_then(|line| args::name(line, 0));
            let host = line.and_then(|name| self.plate_named(name, beat).map(|host| (host, name.span)));
            found.extend(host.map(|(host, span)| (id, fact, Spanned::new(host, span))));
        }
        let companions: Vec<PlateId> = found.iter().map(|(id, ..)| *id).collect();
        for (id, fact, host) in found {
            match self.cannot_roll(model, (id, fact), host, &companions) {
                Some(wrong) => self.wrong(wrong),
                None => take_over(model, (id, fact), host),
            }
        }
    }

    /// Why two plates cannot roll together.
    fn cannot_roll(
        &self,
        model: &Model,
        (id, fact): (PlateId, &Fact),
        host: Spanned<PlateId>,
        companions: &[PlateId],
    ) -> Option<Diagnostic> {
        let (plate, other) = (&model.plates[id], &model.plates[host.value]);
        let name = other.named.path.as_str();
        let wrong = |code: Code, message: String, label: &str| {
            Some(Diagnostic::new(code, host.span, message).label(label.to_owned()))
        };
        if id == host.value {
            return wrong(codes::VALUE, format!("'{name}' rolls with itself"), "expected another plate");
        }
        if companions.contains(&host.value) {
            let message = format!("'{name}' rolls with another plate itself");
            return wrong(codes::VALUE, message, "not a plate that stands on its own")
                .map(|wrong| wrong.help("name the plate that it rolls with"));
        }
        if plate.place != other.place {
            let there = &model.places[other.place].named.path;
            let message = format!("'{name}' is shot at {there}, this plate elsewhere");
            return wrong(codes::VALUE, message, "another place")
                .map(|wrong| wrong.help(format!("write 'place {there}'")));
        }
        if let Some(turn) = plate.turns.first() {
            let message = "what changes is said once, in the plate that others roll with";
            let finding = Diagnostic::new(codes::VALUE, turn.span, message)
                .label("would happen twice")
                .other(host.span, format!("rolls with '{name}'"))
                .help(format!("move the line to '{name}'"));
            return Some(finding);
        }
        if plate.lasts.value.0 > other.lasts.value.0 + 1e-9 {
            let message = format!("a take of '{name}' ends before one of this plate");
            let finding = Diagnostic::new(codes::RANGE, plate.lasts.span, message)
                .label(format!("at most {}", other.lasts.value))
                .other(other.lasts.span, format!("'{name}' lasts so long"));
            return Some(finding);
        }
        let takes = fact.get("takes").filter(|_| plate.takes > other.takes)?;
        let message = format!("'{name}' has fewer takes than this plate, which rolls with it");
        let finding = Diagnostic::new(codes::RANGE, takes.span, message);
        Some(finding.label(format!("at most {}", other.takes)))
    }
}

/// What a companion does not say is as in the plate that it rolls with.
fn take_over(model: &mut Model, (id, fact): (PlateId, &Fact), host: Spanned<PlateId>) {
    let other = &model.plates[host.value];
    let (takes, between, light) = (other.takes, other.between, other.light);
    let plate = &mut model.plates[id];
    plate.rolls_with = Some(host);
    if fact.get("takes").is_none() {
        plate.takes = takes;
    }
    plate.between = between;
    if plate.light_span.is_none() {
        plate.light = light;
    }
    plate.uses.get_or_insert(Spanned::new(Seconds(0.0), host.span));
    model.plates[host.value].beside.push(id);
}
