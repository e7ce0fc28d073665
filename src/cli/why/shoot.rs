//! Plates and days of the shoot.

use super::answer::{Answer, Said, When};
use super::sentence;
use super::telling::{Telling, price};
use seamster::Compiled;
use seamster::model::{PlateId, StateOf};
use seamster::order::explain::{self, Change, Held, Moved, Second};
use seamster::order::{Minute, PlannedDay, Step, StepKind};
use seamster::source::Span;

impl Telling<'_> {
    /// A plate: its time, what holds it, what it is bound to, what would move it.
    pub(super) fn plate(&self, id: PlateId, answer: &mut Answer) {
        let shoot = &self.compiled.plan.shoot;
        let planned = self.explainer.why_plate(id);
        let Some(why) = planned else {
            self.unplanned(shoot.unplanned.iter().find(|left| left.what == id), answer);
            return;
        };
        let held = &why.held;
        answer.when = Some(self.shot(held));
        answer.because = self.sentences(held);
        answer.chain = self.steps(&held.before);
        if let Some(called) = &held.called {
            answer.called = self.steps(called);
        }
        answer.bound =
            why.bound.iter().chain(&why.joined).map(|tie| self.said(tie.text.clone(), tie.span)).collect();
        answer.otherwise = why.others.iter().map(|other| self.other(other)).collect();
        answer.moves = why.moves.iter().map(|moved| self.moved(held, moved)).collect();
        answer.in_vain = self.in_vain(&why.in_vain);
    }

    pub(super) fn in_vain(&self, tried: &[(Change, Option<Span>)]) -> Vec<Said> {
        tried.iter().map(|(change, span)| self.said(format!("if {}", self.change(change)), *span)).collect()
    }

    fn shot(&self, held: &Held) -> When {
        let clocks = format!("{} to {}", self.clock(held.start), self.clock(held.end));
        When {
            day: Some(held.day + 1),
            start: self.stamp(held.start),
            end: self.stamp(held.end),
            who: None,
            words: format!("shot on day {}, {}, {clocks}", held.day + 1, self.date(held.start)),
        }
    }

    /// What holds a time, what holds the call, and how much room there is.
    fn sentences(&self, held: &Held) -> Vec<Said> {
        let clock = |at: Minute| self.clock(at);
        let own = format!("It is at {} because {}.", clock(held.start), sentence::before(&held.before));
        let mut said = vec![self.said(own, held.before.anchor.span)];
        if let Some(called) = &held.called {
            said.extend(sentence::called(held, &clock).map(|text| self.said(text, called.anchor.span)));
        }
        if let Some(room) = &held.room {
            said.push(self.said(sentence::room(held, room, &clock), room.chain.anchor.span));
        }
        said
    }

    /// What another order or another day would cost.
    fn other(&self, other: &Moved) -> Said {
        let costs = match -other.saves {
            more if more > 0 => format!("{} dearer{}", price(more), self.trades(&other.trades)),
            _ => "no dearer".to_owned(),
        };
        let at = match other.to {
            explain::When::Shot(_, start) => format!("shot at {}", self.clock(start)),
            _ => "not shot at all".to_owned(),
        };
        Said::plain(format!("if {}: {at}, {costs}", self.change(&other.change)))
    }

    fn moved(&self, held: &Held, moved: &Moved) -> Said {
        let to = match moved.to {
            explain::When::Shot(date, start) if date == self.date(held.start) => {
                format!("{} instead of {}", self.clock(start), self.clock(held.start))
            }
            explain::When::Shot(date, start) => format!("{} on {date}", self.clock(start)),
            explain::When::Done(_) | explain::When::Never => return Said::plain(String::new()),
        };
        let saves = format!("{} cheaper{}", price(moved.saves), self.trades(&moved.trades));
        self.said(format!("if {}: {to}, {saves}", self.change(&moved.change)), moved.span)
    }

    /// What is paid more and less for; what is less than a minute is left out.
    pub(super) fn trades(&self, trades: &[(&'static str, i64)]) -> String {
        let mut loud: Vec<&(&'static str, i64)> =
            trades.iter().filter(|(_, more)| more.abs() >= 100).collect();
        loud.sort_by_key(|(_, more)| std::cmp::Reverse(more.abs()));
        let words = |(what, more): &(&'static str, i64)| {
            format!("{what} {} {}", price(*more), if *more > 0 { "more" } else { "less" })
        };
        let words: Vec<String> = loud.into_iter().map(words).collect();
        if words.is_empty() { String::new() } else { format!(" ({})", words.join(", ")) }
    }

    /// A planned day: `day 1`, `1` or its date; `None` where the word is none of these.
    pub(super) fn day(&self, word: &str) -> Option<Answer> {
        let days = &self.compiled.plan.shoot.days;
        let number = word.trim_start_matches("day").trim().parse::<usize>().ok();
        let at = days
            .iter()
            .position(|day| day.date.to_string() == word)
            .or_else(|| number.and_then(|number| number.checked_sub(1)).filter(|at| *at < days.len()))?;
        let day = days.get(at)?;
        let held = self.explainer.wrap(at);
        let (call, wrap) = (self.clock(day.call), self.clock(day.wrap));
        let mut answer = Answer::about(
            format!("day {}", at + 1),
            format!("{}: call {call}, packed {wrap}", day.date),
            "day",
        );
        answer.because = held.iter().flat_map(|held| self.of_day(day, held)).collect();
        answer.chain = day.steps.iter().map(|step| self.of_step(step)).collect();
        answer.otherwise = self.explainer.second(at).iter().map(|second| self.second(second)).collect();
        Some(answer)
    }

    /// The next best order of a day.
    fn second(&self, second: &Second) -> Said {
        let titles = |plates: &[PlateId]| {
            let each = plates.iter().map(|&plate| self.compiled.breakdown.plates[plate].named.label());
            each.map(|title| format!("'{title}'")).collect::<Vec<_>>().join(", ")
        };
        let costs = match second.dearer {
            dearer if dearer >= 50 => format!("{} dearer", price(dearer)),
            _ => "as cheap".to_owned(),
        };
        Said::plain(format!(
            "the next best: {} in place of {}: call {}, packed {}, {costs}{}",
            titles(&second.order),
            titles(&second.instead_of),
            self.clock(second.call),
            self.clock(second.wrap),
            self.trades(&second.trades)
        ))
    }

    /// Why the day is called and wraps when it is.
    fn of_day(&self, day: &PlannedDay, held: &Held) -> Vec<Said> {
        let clock = |at: Minute| self.clock(at);
        let wrap = clock(day.wrap);
        let own = format!("It wraps at {wrap} because {}.", sentence::before(&held.before));
        let mut said = vec![self.said(own, held.before.anchor.span)];
        if let Some(called) = &held.called {
            said.extend(sentence::called(held, &clock).map(|text| self.said(text, called.anchor.span)));
        }
        said
    }

    fn of_step(&self, step: &Step) -> super::answer::Step {
        let because = match step.because.as_slice() {
            [] => String::new(),
            because => format!("; {}", because.join("; ")),
        };
        let text = format!("{}{because}", self.what(&step.kind));
        let mut told = self.step((step.start, step.end), &text, None);
        told.clock = format!("{} to {}", self.clock(step.start), self.clock(step.end));
        told
    }

    fn what(&self, kind: &StepKind) -> String {
        let Compiled { model, breakdown, plan, .. } = self.compiled;
        match kind {
            StepKind::Move { from, to } => {
                format!("from {} to {}", model.places[*from].named.label(), model.places[*to].named.label())
            }
            StepKind::Fit(setup) => {
                let setup = &plan.shoot.setups[*setup];
                let (mode, rig) = (&model.modes[setup.mode].named, &model.rigs[setup.rig].named);
                format!("set up {}, {}", rig.label(), mode.label())
            }
            StepKind::Shoot(plate) => format!("shoot '{}'", breakdown.plates[*plate].named.label()),
            StepKind::Reset { of, from, to } => {
                let named = match of {
                    StateOf::Prop(id) => &model.props[*id].named,
                    StateOf::Look(id) => &model.looks[*id].named,
                };
                format!("bring {} from {from} back to {to}", named.label())
            }
            StepKind::Wait => "wait".into(),
            StepKind::Meal => "meal".into(),
            StepKind::Charge { .. } => "wait for charge".into(),
            StepKind::Pack => "pack, and back to base".into(),
        }
    }
}
