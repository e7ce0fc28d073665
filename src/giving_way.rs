//! What giving way on a line would give, where more than one stage must run
//! again to know: circles, and shoot days after the finish.
//!
//! In: the stages' values and the findings so far. Out: notes on those findings.
//! A limit in work: a large sequence gets none, unless more effort is asked for.

use crate::diagnostic::{Diagnostic, codes};
use crate::model::{Model, Need};
use crate::order::explain::Change;
use crate::order::{self, Effort, Plan};
use crate::recipe::Breakdown;
use crate::source::{Sources, Span};
use jiff::tz::TimeZone;

/// So many plates and passes may be planned again for notes.
const WORK: u64 = 4_000;

/// What the notes are made from.
pub(crate) struct Stages<'a> {
    /// The texts.
    pub(crate) sources: &'a Sources,
    /// What they mean.
    pub(crate) model: &'a Model,
    /// What must be captured and done.
    pub(crate) breakdown: &'a Breakdown,
    /// What waits for what, circles opened.
    pub(crate) work: &'a crate::graph::Work,
    /// When all of it happens.
    pub(crate) plan: &'a Plan,
    /// How hard to plan again.
    pub(crate) effort: Effort,
}

impl Stages<'_> {
    /// Adds to each circle what leaving out each of its lines gives, and to each
    /// shoot day after the finish what leaving it out gives.
    pub(crate) fn tell(&self, diagnostics: &mut [Diagnostic]) {
        let size = (self.breakdown.plates.len() + self.breakdown.passes.len()).max(1) as u64;
        let mut left = self.effort.of(WORK) / size;
        for finding in diagnostics.iter_mut().filter(|finding| finding.code == codes::CYCLE) {
            let others = finding.others.iter().map(|other| other.span);
            let lines: Vec<Span> = finding.span.into_iter().chain(others).collect();
            for line in lines {
                if left == 0 {
                    return;
                }
                left -= 1;
                finding.notes.extend(self.without(line));
            }
        }
        if left > 0 {
            self.after_the_finish(diagnostics);
        }
    }

    /// The plan without one line of a circle.
    fn without(&self, line: Span) -> Option<String> {
        let (mut model, mut breakdown) = (self.model.clone(), self.breakdown.clone());
        let before = lines(&model);
        drop_line(&mut model, &mut breakdown, line);
        // A circle of files or of one thing alone has no such line.
        if lines(&model) == before {
            return None;
        }
        let mut circles = Vec::new();
        let work = crate::graph::build(&model, &breakdown, &mut circles);
        let at = self.sources.at(line);
        if !circles.is_empty() {
            return Some(format!("without {at} another circle is left"));
        }
        let plan = order::plan_with(&model, &breakdown, &work, self.effort);
        Some(format!("without {at}: {}", self.comes_to(&plan)))
    }

    fn after_the_finish(&self, diagnostics: &mut [Diagnostic]) {
        let (Some(days), Some(finish)) = (&self.model.days, &self.model.finish) else { return };
        let late: Vec<usize> =
            days.each.iter().enumerate().filter(|(_, day)| day.date > finish.by).map(|(at, _)| at).collect();
        let is = |finding: &&mut Diagnostic| {
            finding.code == codes::RANGE && finding.others.iter().any(|other| other.span == finish.span)
        };
        let Some(finding) = diagnostics.iter_mut().find(is).filter(|_| !late.is_empty()) else { return };
        let explained = order::explain::changed(
            (self.model, self.breakdown, self.work),
            &[Change::NotOn(late)],
            self.effort,
        );
        let dates = if self.plan.desk.late_days == 0 {
            self.comes_to(self.plan)
        } else {
            format!("{}; a finish on that day would do", self.comes_to(self.plan))
        };
        finding.notes.push(format!("as written: {dates}"));
        finding.notes.push(format!("without what lies after the finish: {}", self.comes_to(&explained)));
    }

    /// A plan in one line.
    fn comes_to(&self, plan: &Plan) -> String {
        let zone = TimeZone::get(&self.model.sequence.zone).unwrap_or(TimeZone::UTC);
        let count = |number: usize, one: &str, many: &str| {
            if number == 1 { format!("1 {one}") } else { format!("{number} {many}") }
        };
        let days = count(plan.shoot.days.len(), "day", "days");
        let left = match plan.shoot.unplanned.len() {
            0 => String::new(),
            left => format!(", {} left out", count(left, "plate is", "plates are")),
        };
        let done = plan.desk.finish.map_or("nothing is done at the desk".to_owned(), |done| {
            format!("all is done on {}", done.civil(&zone).date())
        });
        format!("shot in {days}{left}, {done}")
    }
}

fn lines(model: &Model) -> usize {
    let needs = model.beats.values().map(|one| one.needs.len()).sum::<usize>()
        + model.effects.values().map(|one| one.needs.len()).sum::<usize>()
        + model.assets.values().map(|one| one.needs.len()).sum::<usize>();
    needs + model.plates.values().map(|one| one.needs.len() + one.after.len()).sum::<usize>()
}

fn drop_line(model: &mut Model, breakdown: &mut Breakdown, line: Span) {
    let keep = |needs: &mut Vec<Need>| needs.retain(|need| need.span != line);
    for id in model.beats.ids() {
        keep(&mut model.beats[id].needs);
    }
    for id in model.effects.ids() {
        keep(&mut model.effects[id].needs);
    }
    for id in model.assets.ids() {
        keep(&mut model.assets[id].needs);
    }
    for plates in [&mut model.plates, &mut breakdown.plates] {
        for id in plates.ids() {
            let plate = &mut plates[id];
            keep(&mut plate.needs);
            plate.after.retain(|(_, span)| *span != line);
        }
    }
}
