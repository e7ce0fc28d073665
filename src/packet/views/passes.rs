//! Every pass: who does it when, what it waits for and what waits for it.

use super::shape::Link;
use crate::graph::Node;
use crate::order::{Assignment, Waited};
use crate::packet::exchange::csv::Table;
use crate::packet::index::Index;
use crate::quantity::{Hours, show};
use crate::recipe::{Owner, Pass, PassId};
use petgraph::Direction;
use petgraph::visit::EdgeRef;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeSet;

/// A pass as a row of the pass list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct PassRow {
    /// Its path.
    pub path: String,
    /// What is done.
    pub title: String,
    /// Effect, join, plate or asset that it belongs to.
    pub owner: String,
    /// The footage it takes.
    pub clips: Vec<Link>,
    /// The department, and others that could do it.
    pub department: String,
    /// Who does it; empty when not planned.
    pub who: String,
    /// Work, in hours.
    pub hours: String,
    /// Where the hours come from.
    pub hours_from: String,
    /// Paths of the passes and things it waits for.
    pub waits: Vec<String>,
    /// Paths of the passes that wait for it.
    pub feeds: Vec<String>,
    /// When work on it starts; empty when not planned.
    pub start: String,
    /// When its work is due; empty when not planned.
    pub due: String,
    /// What then keeps those who wait for it: `render until Sat 15 May 03:00, then review until …`; mostly empty.
    pub after: String,
    /// What comes first at the desk, `1` to `5`; mostly empty.
    pub priority: String,
    /// Start for programs; empty when not planned.
    pub start_at: String,
    /// Due for programs; empty when not planned.
    pub due_at: String,
    /// When what waits for it can begin, for programs; empty when not planned.
    pub ready_at: String,
    /// How far it can slip, in hours; empty when not known.
    pub float: String,
    /// Whether it cannot slip without moving the finish.
    pub critical: bool,
    /// Whether it is in no plan.
    pub unplanned: bool,
}

/// Every pass, with what other views need of it.
pub(crate) struct Passes<'a> {
    pub(crate) critical: BTreeSet<PassId>,
    index: &'a Index<'a>,
}

/// Something a pass waits for, or that waits for it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
pub struct Wait {
    /// What: a title with its department or kind.
    pub what: String,
    /// Its path.
    pub path: String,
    /// Who does it; empty when nobody is planned or it is captured.
    pub who: String,
    /// When it is there; empty when not planned.
    pub when: String,
    /// Why.
    pub because: String,
}

impl<'a> Passes<'a> {
    pub(crate) fn new(index: &'a Index<'a>) -> Self {
        Self { critical: index.input.plan.desk.critical.iter().copied().collect(), index }
    }

    /// What a pass waits for (`Incoming`) or what waits for it (`Outgoing`):
    /// the graph's edges, and what the recipe said where the graph has none.
    pub(crate) fn neighbours(&self, id: PassId, direction: Direction) -> Vec<Wait> {
        let (index, work) = (self.index, self.index.input.work);
        let mut waits: Vec<Wait> = Vec::new();
        let mut seen: Vec<Node> = Vec::new();
        let edges = index.nodes.get(&Node::Pass(id)).map(|at| work.edges_directed(*at, direction));
        for edge in edges.into_iter().flatten() {
            let other = if direction == Direction::Incoming { edge.source() } else { edge.target() };
            if let Some(node) = work.node_weight(other)
                && !seen.contains(node)
            {
                seen.push(*node);
                waits.push(self.wait(*node, &edge.weight().text));
            }
        }
        let passes = &index.input.breakdown.passes;
        let told: Vec<(PassId, String)> = match direction {
            Direction::Incoming => passes[id].waits.clone(),
            Direction::Outgoing => index
                .feeds(id)
                .iter()
                .map(|other| {
                    let waits = passes[*other].waits.iter().find(|(on, _)| *on == id);
                    (*other, waits.map(|(_, text)| text.clone()).unwrap_or_default())
                })
                .collect(),
        };
        for (other, text) in told {
            if !seen.contains(&Node::Pass(other)) {
                seen.push(Node::Pass(other));
                waits.push(self.wait(Node::Pass(other), &text));
            }
        }
        waits.sort();
        waits
    }

    fn wait(&self, node: Node, because: &str) -> Wait {
        let (index, breakdown) = (self.index, self.index.input.breakdown);
        let desk = &index.input.plan.desk;
        let wait = |what: String, path: String| Wait {
            what,
            path,
            who: String::new(),
            when: String::new(),
            because: because.to_owned(),
        };
        match node {
            Node::Pass(id) => {
                let pass = &breakdown.passes[id];
                let of = match pass.owner {
                    Owner::Sequence => String::new(),
                    owner => format!(": {}", index.owner_title(owner)),
                };
                let what = format!("{}{of} ({})", pass.title, pass.department);
                let mut wait = wait(what, pass.path.clone());
                wait.who = index
                    .assigned(id)
                    .map(|work| index.model.desks[work.desk].named.label().to_owned())
                    .unwrap_or_default();
                wait.when = desk.done.get(&id).map(|at| index.moment(*at)).unwrap_or_default();
                wait
            }
            Node::Plate(id) => {
                let plate = index.plate(id);
                let what = format!("{} ({})", plate.named.label(), plate.kind.word());
                let mut wait = wait(what, plate.named.path.clone());
                wait.when = index.shot_on(id);
                wait
            }
            Node::Asset(id) => {
                let named = &index.model.assets[id].named;
                wait(format!("{} built", named.label()), named.path.clone())
            }
            Node::Join(id) => {
                let path = index.model.joins[id].named.path.clone();
                wait(format!("{} joined", index.join_title(id)), path)
            }
            Node::Lock => wait("picture lock".to_owned(), "lock".to_owned()),
            Node::Delivery => wait("delivery".to_owned(), "delivery".to_owned()),
        }
    }

    pub(crate) fn row(&self, id: PassId) -> PassRow {
        let index = self.index;
        let pass = &index.input.breakdown.passes[id];
        let work = index.assigned(id);
        let desk = &index.input.plan.desk;
        let ready = desk.done.get(&id).copied();
        let after = desk.after.get(&id).map_or(&[][..], Vec::as_slice);
        let done = work.map(|work| work.end).or(after.first().map(|one| one.from)).or(ready);
        let paths = |waits: Vec<Wait>| waits.into_iter().map(|wait| wait.path).collect();
        PassRow {
            path: pass.path.clone(),
            title: pass.title.clone(),
            owner: index.owner_title(pass.owner),
            clips: pass.inputs.iter().map(|plate| index.plate_link(*plate)).collect(),
            department: department(pass),
            who: who(index, work),
            hours: show::number(pass.effort.0, 2),
            hours_from: pass.effort_from.clone(),
            waits: paths(self.neighbours(id, Direction::Incoming)),
            feeds: paths(self.neighbours(id, Direction::Outgoing)),
            start: work.map(|work| index.moment(work.start)).unwrap_or_default(),
            due: done.map(|at| index.moment(at)).unwrap_or_default(),
            after: then(index, after),
            priority: pass.priority.map(|one| one.rank.to_string()).unwrap_or_default(),
            start_at: work.map(|work| index.stamp(work.start)).unwrap_or_default(),
            due_at: done.map(|at| index.stamp(at)).unwrap_or_default(),
            ready_at: ready.map(|at| index.stamp(at)).unwrap_or_default(),
            float: self.float(id),
            critical: self.critical.contains(&id),
            unplanned: ready.is_none(),
        }
    }

    /// How far a pass can slip.
    pub(crate) fn float(&self, id: PassId) -> String {
        self.index.input.plan.desk.float.get(&id).map(|float| slip(*float)).unwrap_or_default()
    }
}

/// `render until Sat 15 May 03:00, then review until …`; empty where nothing follows.
pub(crate) fn then(index: &Index<'_>, after: &[Waited]) -> String {
    let words: Vec<String> =
        after.iter().map(|one| format!("{} until {}", one.kind.word(), index.moment(one.to))).collect();
    words.join(", then ")
}

/// `none`, `14 h`, `3.5 days`.
fn slip(float: Hours) -> String {
    if float.0 <= 0.0 {
        "none".to_owned()
    } else if float.0 < 48.0 {
        float.to_string()
    } else {
        format!("{} days", show::number(float.0 / 24.0, 1))
    }
}

fn who(index: &Index<'_>, work: Option<&Assignment>) -> String {
    work.map(|work| index.model.desks[work.desk].named.label().to_owned()).unwrap_or_default()
}

/// `comp`, or `comp, or key`.
pub(crate) fn department(pass: &Pass) -> String {
    if pass.or.is_empty() {
        pass.department.clone()
    } else {
        format!("{}, or {}", pass.department, pass.or.join(", "))
    }
}

/// Every pass: planned ones in order of start, then the others.
pub(crate) fn order(index: &Index<'_>) -> Vec<PassId> {
    let mut ids: Vec<PassId> = index.input.breakdown.passes.ids().collect();
    let desk = &index.input.plan.desk;
    ids.sort_by_key(|id| {
        let done = desk.done.get(id);
        (done.is_none(), index.assigned(*id).map(|work| work.start).or(done.copied()), *id)
    });
    ids
}

/// The pass list as a table.
pub(crate) fn pass_table(rows: &[PassRow]) -> Table {
    let rows = rows
        .iter()
        .map(|row| {
            let clips: Vec<&str> = row.clips.iter().map(|clip| clip.text.as_str()).collect();
            vec![
                row.path.clone(),
                row.title.clone(),
                row.owner.clone(),
                clips.join("; "),
                row.department.clone(),
                row.who.clone(),
                row.hours.clone(),
                row.hours_from.clone(),
                row.waits.join("; "),
                row.feeds.join("; "),
                row.start_at.clone(),
                row.due_at.clone(),
                row.after.clone(),
                row.ready_at.clone(),
                row.priority.clone(),
                row.float.clone(),
                if row.critical { "yes" } else { "no" }.to_owned(),
            ]
        })
        .collect();
    Table {
        header: vec![
            "pass",
            "title",
            "belongs to",
            "clips",
            "department",
            "who",
            "hours",
            "hours from",
            "waits for",
            "feeds",
            "start",
            "due",
            "then",
            "ready",
            "priority",
            "float",
            "critical",
        ],
        rows,
    }
}

/// Whether a pass is about one plate only, as bringing it in is.
pub(crate) fn is_ingest(pass: &Pass) -> bool {
    matches!(pass.owner, Owner::Plate(_))
}
