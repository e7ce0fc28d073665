//! Passes at the desk, joins, and the moments that hang on them.

use super::answer::{Answer, Said, When};
use super::sentence;
use super::telling::Telling;
use seamster::graph::{self, Node};
use seamster::model::JoinId;
use seamster::order::Minute;
use seamster::order::explain::{self, Moved, PassHeld};
use seamster::recipe::{Owner, PassId};

impl Telling<'_> {
    /// A pass: its time and its hands, what holds it, what would move it, how far it can slip.
    pub(super) fn pass(&self, id: PassId, answer: &mut Answer) {
        let desk = &self.compiled.plan.desk;
        let Some(why) = self.explainer.why_pass(id) else {
            self.unplanned(desk.unplanned.iter().find(|left| left.what == id), answer);
            return;
        };
        let held = &why.held;
        answer.when = Some(self.worked(held));
        answer.because = self.waiting(held);
        answer.chain = self.steps(&held.chain);
        answer.moves = why.moves.iter().filter_map(|moved| self.sooner(held, moved)).collect();
        answer.in_vain = self.in_vain(&why.in_vain);
        answer.slips = self.slips(id);
    }

    /// A join: how far apart both sides are shot, and its last pass.
    pub(super) fn join(&self, id: JoinId, answer: &mut Answer) {
        let join = &self.compiled.model.joins[id];
        let end = graph::index(&self.compiled.work, Node::Join(id)).and_then(|at| self.finish(at));
        answer.when = end.map(|end| self.done(end));
        for side in [join.from, join.to] {
            match self.explainer.plate(side) {
                Some(held) => answer.because.push(self.side(side, &held)),
                None => {
                    let text = format!("'{}' is in no plan.", self.label(Node::Plate(side)));
                    answer.because.push(Said::plain(text));
                }
            }
        }
        answer.bound =
            self.explainer.joined(id).into_iter().map(|tie| self.said(tie.text, tie.span)).collect();
        let own = self.compiled.breakdown.passes.iter().filter(|(_, pass)| pass.owner == Owner::Join(id));
        let done = |pass: &PassId| self.compiled.plan.desk.done.get(pass).copied();
        let last =
            own.map(|(pass, _)| pass).filter(|pass| done(pass).is_some()).max_by_key(|pass| done(pass));
        if let Some(why) = last.and_then(|pass| self.explainer.why_pass(pass)) {
            answer.because.extend(
                self.waiting(&why.held).into_iter().map(|said| Said {
                    text: said.text.replacen("It ", "At the desk it ", 1),
                    line: said.line,
                }),
            );
            answer.chain = self.steps(&why.held.chain);
            answer.moves = why.moves.iter().filter_map(|moved| self.sooner(&why.held, moved)).collect();
        }
    }

    /// An asset, the lock or the delivery: the last pass that it waits for, and what holds that.
    pub(super) fn moment(&self, node: Node, answer: &mut Answer) {
        let Some(end) = graph::index(&self.compiled.work, node).and_then(|at| self.finish(at)) else {
            return;
        };
        answer.when = Some(self.done(end));
        let last =
            self.compiled.plan.desk.done.iter().filter(|(_, done)| **done == end).map(|(pass, _)| *pass);
        let waits = |pass: &PassId| {
            let of = graph::chain(&self.compiled.work, node);
            of.iter().any(|link| link.node == Node::Pass(*pass))
        };
        if let Some(held) = last.filter(waits).max().and_then(|pass| self.explainer.pass(pass)) {
            answer.because = self.waiting(&held);
            answer.chain = self.steps(&held.chain);
        }
    }

    fn side(&self, plate: seamster::model::PlateId, held: &explain::Held) -> Said {
        let clocks = format!("{} to {}", self.clock(held.start), self.clock(held.end));
        let text = format!(
            "'{}' is shot on {}, {clocks}, because {}.",
            self.label(Node::Plate(plate)),
            self.date(held.start),
            sentence::before(&held.before)
        );
        self.said(text, held.before.anchor.span)
    }

    fn done(&self, end: Minute) -> When {
        let words = format!("done {}", self.when(Some(end)));
        When { day: None, start: self.stamp(end), end: self.stamp(end), who: None, words }
    }

    fn worked(&self, held: &PassHeld) -> When {
        let who = held.desk.map(|desk| self.compiled.model.desks[desk].named.label().to_owned());
        let by = who.as_ref().map(|who| format!(", {who}")).unwrap_or_default();
        let (start, end) = (self.when(Some(held.start)), self.when(Some(held.end)));
        let mut words =
            if held.start == held.end { format!("at {end}") } else { format!("{start} to {end}{by}") };
        for one in &held.after {
            words += &format!(", then {} until {}", one.kind.word(), self.when(Some(one.to)));
        }
        When { day: None, start: self.stamp(held.start), end: self.stamp(held.end), who, words }
    }

    /// Who or what it waits for, and what that hangs on in the end.
    fn waiting(&self, held: &PassHeld) -> Vec<Said> {
        let begins = self.when(Some(held.start));
        let anchor = &held.chain.anchor;
        let nearest = held.chain.links.iter().find(|link| link.kind != explain::LinkKind::Night);
        let Some(nearest) = nearest else {
            return vec![self.said(format!("It begins at {begins} because {}.", anchor.text), anchor.span)];
        };
        let mut said =
            vec![self.said(format!("It begins at {begins} because {}.", nearest.text), nearest.span)];
        let passes = held.chain.links.iter().filter(|link| matches!(link.kind, explain::LinkKind::Pass(_)));
        let count = passes.count();
        let since = self.when(Some(anchor.at));
        let text = match count {
            0 | 1 => format!("Before it: {} ({since}).", anchor.text),
            count => {
                format!(
                    "{count} passes fill the hours of work up to it; before them, at {since}: {}.",
                    anchor.text
                )
            }
        };
        said.push(self.said(text, anchor.span));
        said
    }

    fn sooner(&self, held: &PassHeld, moved: &Moved) -> Option<Said> {
        let explain::When::Done(done) = moved.to else { return None };
        let text = format!(
            "if {}: done {} instead of {}",
            self.change(&moved.change),
            self.when(Some(done)),
            self.when(Some(held.ready))
        );
        Some(self.said(text, moved.span))
    }

    fn slips(&self, id: PassId) -> Option<String> {
        let desk = &self.compiled.plan.desk;
        match desk.float.get(&id) {
            _ if desk.critical.contains(&id) => Some("cannot slip without moving the finish".to_owned()),
            Some(float) if float.0 > 0.0 => Some(format!("can slip by {float} without moving the finish")),
            _ => None,
        }
    }
}
