//! What the plan of the shoot pays for what.

use super::{Lower, args};
use crate::model::{Model, Weights};
use crate::quantity::{FrameRate, Share};
use crate::schema::Fact;

impl Lower<'_> {
    pub(super) fn weights(&mut self, model: &mut Model) {
        let sequence = self.top("sequence").next();
        let Some(fact) = sequence.and_then(|sequence| sequence.get("weights")) else { return };
        let mut weights = written(fact, model.sequence.rate);
        for line in fact.all("person") {
            let person =
                args::name(line, 0).and_then(|name| self.names.find("person", name, self.diagnostics));
            if let (Some(person), Some(share)) = (person, args::number(line, 1)) {
                weights.person.insert(person, hundredths(Share(share.value)));
            }
        }
        model.sequence.weights = weights;
    }
}

/// Hundredths of a minute on the way.
fn hundredths(share: Share) -> i64 {
    (share.0 * 100.0).round() as i64
}

fn written(fact: &Fact, rate: FrameRate) -> Weights {
    let usual = Weights::default();
    let share = |word: &str, before: i64| args::share(fact, word).map_or(before, hundredths);
    let span = |word: &str, before: i64| {
        args::seconds(fact, word, rate).map_or(before, |span| (span.value.0 / 60.0 * 100.0).round() as i64)
    };
    Weights {
        travel: share("travel", usual.travel),
        fitting: share("fitting", usual.fitting),
        waiting: share("waiting", usual.waiting),
        resetting: share("resetting", usual.resetting),
        people: share("people", usual.people),
        meal: share("meal", usual.meal),
        overtime: share("overtime", usual.overtime),
        extra_day: span("extra_day", usual.extra_day),
        story_order: span("story_order", usual.story_order),
        danger: span("danger", usual.danger),
        join: share("join", usual.join),
        join_lamp: share("join_lamp", usual.join_lamp),
        join_light: share("light_lost", usual.join_light),
        join_apart: span("join_apart", usual.join_apart * 100) / 100,
        moved: span("moved", usual.moved),
        moved_day: span("moved_day", usual.moved_day),
        recalled: span("recalled", usual.recalled),
        moved_pass: span("moved_pass", usual.moved_pass * 100) / 100,
        ..usual
    }
}
