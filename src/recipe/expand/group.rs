//! Locked groups: plates between which nobody touches the camera.
//!
//! A group is made of the plates that an effect asks to be locked, in the order
//! in which they are shot: the writer's own `after` and `needs` first, then what
//! recipes say (a clean plate comes last), then the order of the text. Groups
//! that share a plate are one group.

use super::Expansion;
use crate::diagnostic::{Diagnostic, codes};
use crate::model::{EffectId, Hold, ModeId, Origin, PlaceId, PlateId, PlateKind, RigId, Target};
use crate::recipe::breakdown::{DemandKind, Group, Owner};
use crate::recipe::schema::GroupOrder;
use crate::source::Span;
use std::collections::BTreeMap;

impl Expansion<'_> {
    /// Forms the groups.
    pub(super) fn form_groups(&mut self) {
        let mut groups: Vec<Group> = Vec::new();
        let mut of: BTreeMap<PlateId, usize> = BTreeMap::new();
        for (effect, members) in self.locked_by_effect() {
            let Some(&(first, _)) = members.first() else { continue };
            self.report_apart(effect, &members);
            let set_up = self.set_up(first);
            let plates: Vec<PlateId> = members
                .iter()
                .map(|(plate, _)| *plate)
                .filter(|&plate| {
                    self.set_up(plate) == set_up && self.out.plates[plate].hold.value == Hold::Locked
                })
                .collect();
            if plates.len() < 2 {
                continue;
            }
            // Joined with every group that shares a plate with it.
            let mut merged = Group { plates, effects: vec![effect] };
            let mut shared: Vec<usize> =
                merged.plates.iter().filter_map(|plate| of.get(plate).copied()).collect();
            shared.sort_unstable();
            shared.dedup();
            for at in shared {
                let Some(group) = groups.get_mut(at) else { continue };
                merged.plates.append(&mut group.plates);
                merged.effects.append(&mut group.effects);
            }
            of.extend(merged.plates.iter().map(|&plate| (plate, groups.len())));
            groups.push(merged);
        }
        groups.retain(|group| !group.plates.is_empty());
        for group in &mut groups {
            group.plates.sort_unstable();
            group.plates.dedup();
            group.effects.sort_unstable();
            group.effects.dedup();
            group.plates = self.shooting_order(&group.plates);
        }
        groups.sort_by_key(|group| group.plates.iter().min().copied());
        for group in groups {
            self.out.groups.push(group);
        }
    }

    /// The plates that each effect asks to be locked, each with the line that binds it.
    fn locked_by_effect(&self) -> Vec<(EffectId, Vec<(PlateId, Span)>)> {
        let mut locked: BTreeMap<EffectId, Vec<(PlateId, Span)>> = BTreeMap::new();
        for demand in &self.out.demands {
            if let (Owner::Effect(effect), DemandKind::Locked) = (demand.by, demand.kind) {
                locked.entry(effect).or_default().push((demand.plate, demand.span));
            }
        }
        // References of the same set-up (a still of a locked plate) belong to its group.
        for bound in &self.bound {
            let Some(members) = locked.get_mut(&bound.effect) else { continue };
            for &(plate, span) in bound.roles.iter().flatten() {
                let owed = self.order.contains_key(&plate);
                if owed && members.iter().any(|&(member, _)| self.set_up(member) == self.set_up(plate)) {
                    members.push((plate, span));
                }
            }
        }
        for (id, plate) in self.out.plates.iter().skip(self.model.plates.len()) {
            let Origin::Owed { effect, because, .. } = plate.origin else { continue };
            let Some(members) = locked.get_mut(&effect) else { continue };
            if members.iter().any(|&(member, _)| self.set_up(member) == self.set_up(id)) {
                members.push((id, because));
            }
        }
        for members in locked.values_mut() {
            members.sort_unstable();
            members.dedup_by_key(|(plate, _)| *plate);
        }
        locked.into_iter().collect()
    }

    fn set_up(&self, plate: PlateId) -> (PlaceId, RigId, ModeId) {
        let plate = &self.out.plates[plate];
        (plate.place, plate.rig, plate.mode)
    }

    /// One camera position cannot be in two set-ups.
    fn report_apart(&mut self, effect: EffectId, members: &[(PlateId, Span)]) {
        let Some(&(first, first_span)) = members.first() else { return };
        let Some(&(other, span)) =
            members.iter().find(|(plate, _)| self.set_up(*plate) != self.set_up(first))
        else {
            return;
        };
        let (a, b) = (&self.out.plates[first], &self.out.plates[other]);
        let differs = if a.place != b.place {
            "place"
        } else if a.rig != b.rig {
            "rig"
        } else {
            "camera mode"
        };
        let message = format!(
            "'{}' needs one untouched camera for '{}' and '{}', and they differ in {differs}",
            self.model.effects[effect].named.path, a.named.path, b.named.path
        );
        let help = format!("give both plates the same {differs}");
        let diagnostic =
            Diagnostic::new(codes::ROLE, span, message).other(first_span, "the other plate").help(help);
        self.diagnostics.push(diagnostic);
    }

    /// Takes, one after another, the first plate by rank that waits for none that is left.
    fn shooting_order(&self, plates: &[PlateId]) -> Vec<PlateId> {
        let rank = |plate: PlateId| match self.order.get(&plate) {
            Some(order) => *order,
            None if self.out.plates[plate].kind == PlateKind::Clean => GroupOrder::Last,
            None => GroupOrder::With,
        };
        // What shows the empty frame closes the group, after other late references.
        let mut left: Vec<PlateId> = plates.to_vec();
        left.sort_by_key(|&plate| (rank(plate), self.out.plates[plate].kind == PlateKind::Clean, plate));
        let mut ordered = Vec::new();
        while !left.is_empty() {
            let ready = left.iter().position(|&plate| !left.iter().any(|&other| self.follows(plate, other)));
            // Where the writer's lines close a circle, the graph reports it.
            ordered.push(left.remove(ready.unwrap_or(0)));
        }
        ordered
    }

    /// Whether the writer puts one plate after another.
    fn follows(&self, plate: PlateId, other: PlateId) -> bool {
        let plate = &self.out.plates[plate];
        plate.after.iter().any(|(earlier, _)| *earlier == other)
            || plate.needs.iter().any(|need| need.on == Target::Plate(other))
    }
}
