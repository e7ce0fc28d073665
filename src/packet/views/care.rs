//! Cautions for a plate, a day or the whole sequence: the usual ones for every
//! hazard that is named or follows from the work, and the writer's own.

use super::shape::{Caution, Cautions, Told, fact};
use crate::model::{Light, Named, PlateId, PlateKind};
use crate::order::{PlannedDay, StepKind};
use crate::packet::cautions::{DEFERENCE, usual};
use crate::packet::index::Index;
use crate::rule::About;
use std::collections::{BTreeMap, BTreeSet};

/// Hazards by word, with what brings each.
type Hazards = BTreeMap<String, BTreeSet<String>>;

/// A call longer than this is tiring whatever it is spent on, in minutes (common practice).
const LONG_DAY: i64 = 10 * 60;

/// Below this it is cold for hands and batteries, above the other hot, in °C (common practice).
const COLD_BELOW: f64 = 8.0;
const HOT_ABOVE: f64 = 28.0;

/// Cautions for one plate.
pub(crate) fn for_plate(index: &Index<'_>, id: PlateId) -> Cautions {
    let mut hazards = Hazards::new();
    let mut own = Own::default();
    add_plate(index, id, &mut hazards, &mut own);
    settle(hazards, own, index.told_cautions([About::Plate(id)]))
}

/// Cautions for one planned day; `at` is its index in the plan.
pub(crate) fn for_day(index: &Index<'_>, at: usize, day: &PlannedDay) -> Cautions {
    let mut hazards = Hazards::new();
    let mut own = Own::default();
    for step in &day.steps {
        if let StepKind::Shoot(id) = step.kind {
            add_plate(index, id, &mut hazards, &mut own);
        }
    }
    let mut add = |word: &str, because: &str| {
        hazards.entry(word.to_owned()).or_default().insert(because.to_owned());
    };
    let length = day.wrap.0 - day.call.0;
    if length > LONG_DAY {
        add("fatigue", &format!("{} from call to wrap", crate::packet::index::minutes(length)));
    }
    if let Some(sun) = &day.sun {
        if sun.first_light.is_some_and(|light| day.call < light) {
            add("night", "the call is before first light");
        }
        if sun.last_light.is_some_and(|light| day.wrap > light) {
            add("night", "wrap is after last light");
        }
    }
    if !day.cameras.is_empty() {
        add("battery", "camera batteries");
    }
    if let Some(allowed) = index.model.days.as_ref().and_then(|days| days.each.get(day.allowed)) {
        if let Some(expects) = allowed.expects {
            let range = format!("{} to {} expected", expects.value.from, expects.value.to);
            if expects.value.from.0.min(expects.value.to.0) < COLD_BELOW {
                add("cold", &range);
            }
            if expects.value.to.0.max(expects.value.from.0) > HOT_ABOVE {
                add("heat", &range);
            }
        }
        own.add_lines("This day", &allowed.cautions);
    }
    if let Some(days) = &index.model.days {
        own.add("Every day", &days.named);
    }
    own.add("Sequence", &index.model.sequence.named);
    own.add_lines("Sequence", index.model.cautions.iter().map(|caution| &caution.value));
    // What rules say of one plate stands on its card; the usual words here cover its hazards.
    settle(hazards, own, index.told_cautions([About::Day(at)]))
}

/// Cautions for whoever sets up both sides of a join.
pub(crate) fn for_plates(index: &Index<'_>, plates: &[PlateId]) -> Cautions {
    let mut hazards = Hazards::new();
    let mut own = Own::default();
    for id in plates {
        add_plate(index, *id, &mut hazards, &mut own);
    }
    settle(hazards, own, index.told_cautions(plates.iter().map(|id| About::Plate(*id))))
}

fn add_plate(index: &Index<'_>, id: PlateId, hazards: &mut Hazards, own: &mut Own) {
    let (model, plate) = (index.model, index.plate(id));
    let (place, rig) = (&model.places[plate.place], &model.rigs[plate.rig]);
    let mut add = |word: &str, because: &str| {
        hazards.entry(word.to_owned()).or_default().insert(because.to_owned());
    };
    for (words, who) in
        [(&place.hazards, &place.named), (&rig.hazards, &rig.named), (&plate.hazards, &plate.named)]
    {
        words.iter().for_each(|word| add(&word.value, who.label()));
    }
    if rig.flies {
        add("aircraft", rig.named.label());
        add("battery", rig.named.label());
    }
    if plate.light == Light::Night {
        add("night", plate.named.label());
    }
    for named in [&place.named, &rig.named, &plate.named] {
        own.add(named.label(), named);
    }
    let beat = &model.beats[plate.beat].named;
    own.add(beat.label(), beat);
    own.add(model.cameras[model.modes[plate.mode].camera].named.label(), &model.camera_of(plate).named);
    for person in &plate.people {
        own.add(model.people[*person].named.label(), &model.people[*person].named);
    }
    let marks =
        [plate.mark, plate.enters.as_ref().map(|at| at.mark), plate.leaves.as_ref().map(|at| at.mark)];
    for mark in marks.into_iter().flatten() {
        own.add(model.marks[mark].named.label(), &model.marks[mark].named);
    }
    for join in index.joins(id) {
        own.add("Hand-over", &model.joins[*join].named);
    }
    for role in index.roles(id) {
        let named = &model.effects[role.effect].named;
        let who = index.model.effect_label(role.effect);
        own.add(&who, named);
        // A still of the place afterwards brings none of the effect's dangers.
        if plate.kind.is_footage() || plate.kind == PlateKind::Picture {
            let told = index.input.breakdown.cautions.iter().filter(|(effect, _)| *effect == role.effect);
            own.add_lines(&who, told.map(|(_, text)| text));
        }
    }
}

/// The writer's own lines, each once with all that it belongs to, in the order
/// in which they come up.
#[derive(Default)]
struct Own {
    lines: Vec<(String, Vec<String>)>,
    seen: BTreeMap<String, usize>,
}

impl Own {
    fn add(&mut self, who: &str, named: &Named) {
        self.add_lines(who, &named.cautions);
    }

    fn add_lines<'t>(&mut self, who: &str, lines: impl IntoIterator<Item = &'t String>) {
        for line in lines {
            let at = *self.seen.entry(line.clone()).or_insert_with(|| {
                self.lines.push((line.clone(), Vec::new()));
                self.lines.len() - 1
            });
            if let Some((_, whose)) = self.lines.get_mut(at)
                && !whose.iter().any(|known| known == who)
            {
                whose.push(who.to_owned());
            }
        }
    }
}

fn settle(hazards: Hazards, own: Own, told: Vec<Told>) -> Cautions {
    let own = own.lines.into_iter().map(|(line, whose)| fact(&whose.join(", "), line)).collect();
    let usual = hazards
        .into_iter()
        .map(|(word, because)| {
            let usual = usual(&word);
            Caution {
                title: if usual.word.is_empty() { word.replace('_', " ") } else { usual.title.to_owned() },
                because: because.into_iter().collect(),
                says: usual.says.iter().map(|line| (*line).to_owned()).collect(),
                source: usual.source.to_owned(),
            }
        })
        .collect();
    Cautions { usual, own, told, deference: DEFERENCE.to_owned() }
}
