//! Passes that start over, because something that they stand on is different.
//!
//! In: both versions and their changes. Out: [`Again`], in the order of the
//! graph. What changes nothing in the clip itself (titles, notes, takes, the
//! order of the shoot) lets its passes stand. From a pass that starts over, all
//! that wait for it start over, along the graph. A pass whose inputs only grew does
//! not start over: what is done of it stands, and it waits for more.

use super::derived::{self, PASS, WORK};
use super::pairs::Renames;
use super::{Again, Change, How};
use crate::Compiled;
use crate::graph::{self, Node};
use crate::model::{Plate, PlateId};
use crate::recipe::{Owner, Pass, PassId};
use petgraph::Direction;
use std::collections::{BTreeMap, BTreeSet};

/// Words that change nothing in the clip: how it is told, ordered, watched or staffed.
const HARMLESS: [&str; 23] = [
    "title", "note", "caution", "accept", "spotter", "after", "needs", "takes", "between", "hazard",
    "effort", "open", "hospital", "parking", "fitting", "story", "count", "packs", "recharge", "battery",
    "render", "review", "priority",
];

/// What a plate's picture hangs on besides its own lines.
const BEHIND: [&str; 6] = ["mode", "camera", "rig", "mark", "screen", "place"];

/// Passes that have to do with what is different.
#[derive(Debug, Default)]
pub(super) struct Touched {
    /// What is done of them is done again.
    pub(super) over: Vec<Again>,
    /// What is done of them stands; they stand on more than before.
    pub(super) more: Vec<Again>,
}

/// How far something is touched.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Touch {
    /// Its inputs only grew, or those of something before it.
    More,
    /// It is another one.
    Over,
}

/// Passes of the new version that start over, and those that only wait for more.
pub(super) fn passes(
    old: &Compiled,
    new: &Compiled,
    written: &[Change],
    derived: &[Change],
    renames: &Renames,
) -> Touched {
    let seeds = Seeds { new, written, derived };
    let before = waits(old, renames);
    let after = waits(new, &Renames::default());
    let titles = Titles::new(old, new, renames);
    let mut touched: BTreeMap<Node, Touch> = BTreeMap::new();
    let mut found = Touched::default();
    let order = petgraph::algo::toposort(&new.work, None).unwrap_or_default();
    for at in order {
        let Some(&node) = new.work.node_weight(at) else { continue };
        let name = key(node, new, &Renames::default());
        let (touch, because) = match (node, before.get(&name), after.get(&name)) {
            (Node::Plate(plate), Some(_), _) => match seeds.plate(plate) {
                Some(because) => (Touch::Over, because),
                None => continue,
            },
            // What is new is told as an input of what was there.
            (_, None, _) | (_, _, None) => continue,
            (_, Some(then), Some(now)) => {
                let earlier = |touch: Touch| {
                    let before = new.work.neighbors_directed(at, Direction::Incoming);
                    let nodes = before.filter_map(|at| new.work.node_weight(at));
                    nodes.filter(|from| touched.get(from) == Some(&touch)).min().copied()
                };
                let fresh = || now.difference(then).next().map(|fresh| titles.of(fresh));
                let less = then.difference(now).next().map(|gone| match fresh() {
                    Some(fresh) => {
                        format!("it stands on '{fresh}' now, and on '{}' no more", titles.of(gone))
                    }
                    None => format!("it stands on '{}' no more", titles.of(gone)),
                });
                let over = seeds.own(node).or(less);
                let over = over.or_else(|| earlier(Touch::Over).map(|from| upstream(from, new)));
                let grown = fresh().map(|fresh| format!("it stands on '{fresh}' as well"));
                let more = || grown.or_else(|| earlier(Touch::More).map(|from| more_for(from, new)));
                match (over, more) {
                    (Some(because), _) => (Touch::Over, because),
                    (None, more) => match more() {
                        Some(because) => (Touch::More, because),
                        None => continue,
                    },
                }
            }
        };
        if let Node::Pass(pass) = node
            && !new.breakdown.passes[pass].lock
        {
            let list = if touch == Touch::Over { &mut found.over } else { &mut found.more };
            list.push(again(new, pass, because));
        }
        touched.insert(node, touch);
    }
    found
}

/// Work of these passes in all.
pub(super) fn hours(new: &Compiled, again: &[Again]) -> String {
    let names: BTreeSet<&str> = again.iter().map(|one| one.pass.as_str()).collect();
    let passes = new.breakdown.passes.values().filter(|pass| names.contains(pass.path.as_str()));
    if again.is_empty() { String::new() } else { derived::hours(passes).to_string() }
}

fn again(new: &Compiled, id: PassId, because: String) -> Again {
    let pass: &Pass = &new.breakdown.passes[id];
    let who = new.plan.desk.work.iter().find(|work| work.pass == id);
    Again {
        pass: pass.path.clone(),
        title: derived::pass_title(new, pass),
        who: who.map(|work| new.model.desks[work.desk].named.path.clone()).unwrap_or_default(),
        hours: pass.effort.to_string(),
        because,
    }
}

/// As people call it, rather than as files do.
fn title(node: Node, compiled: &Compiled) -> String {
    match node {
        Node::Plate(id) => compiled.breakdown.plates[id].named.label().to_owned(),
        Node::Pass(id) => derived::pass_title(compiled, &compiled.breakdown.passes[id]),
        Node::Asset(id) => compiled.model.assets[id].named.label().to_owned(),
        _ => graph::name(node, &compiled.model, &compiled.breakdown).to_owned(),
    }
}

/// Titles of what passes stand on, by the names under which both versions know them.
struct Titles(BTreeMap<String, String>);

impl Titles {
    fn new(old: &Compiled, new: &Compiled, renames: &Renames) -> Self {
        let fresh = Renames::default();
        let of = |compiled: &Compiled, renames: &Renames| -> Vec<(String, String)> {
            let nodes = compiled.work.node_weights();
            nodes.map(|node| (key(*node, compiled, renames).1, title(*node, compiled))).collect()
        };
        Self(of(old, renames).into_iter().chain(of(new, &fresh)).collect())
    }

    fn of<'a>(&'a self, name: &'a str) -> &'a str {
        self.0.get(name).map_or(name, String::as_str)
    }
}

/// A node by what it is and how it is called now: a plate and a pass may share a name.
type Key = (u8, String);

fn key(node: Node, compiled: &Compiled, renames: &Renames) -> Key {
    let kind = match node {
        Node::Plate(_) => 0,
        Node::Asset(_) => 1,
        Node::Pass(_) => 2,
        Node::Join(_) => 3,
        Node::Lock => 4,
        Node::Delivery => 5,
    };
    (kind, renames.path(graph::name(node, &compiled.model, &compiled.breakdown)))
}

/// What is said of something that a pass waits for.
fn upstream(node: Node, compiled: &Compiled) -> String {
    let name = title(node, compiled);
    match node {
        Node::Plate(_) => format!("'{name}' is different"),
        Node::Pass(pass) if compiled.breakdown.passes[pass].lock => "the picture is locked anew".to_owned(),
        Node::Lock => "the picture is locked anew".to_owned(),
        Node::Pass(_) | Node::Asset(_) | Node::Join(_) | Node::Delivery => format!("'{name}' starts over"),
    }
}

/// What each node waits for, all by name.
fn waits(compiled: &Compiled, renames: &Renames) -> BTreeMap<Key, BTreeSet<String>> {
    let work = &compiled.work;
    let name = |at| work.node_weight(at).map(|node| key(*node, compiled, renames));
    work.node_indices()
        .filter_map(|at| {
            let before = work.neighbors_directed(at, Direction::Incoming);
            Some((name(at)?, before.filter_map(|at| Some(name(at)?.1)).collect()))
        })
        .collect()
}

/// What is said of something that itself stands on more than before.
fn more_for(node: Node, compiled: &Compiled) -> String {
    let name = title(node, compiled);
    match node {
        Node::Pass(pass) if compiled.breakdown.passes[pass].lock => {
            "the picture is locked with more in it".to_owned()
        }
        Node::Lock => "the picture is locked with more in it".to_owned(),
        _ => format!("'{name}' waits for more"),
    }
}

struct Seeds<'a> {
    new: &'a Compiled,
    written: &'a [Change],
    derived: &'a [Change],
}

impl Seeds<'_> {
    /// Why a plate's clip is another one.
    fn plate(&self, id: PlateId) -> Option<String> {
        let plate: &Plate = &self.new.breakdown.plates[id];
        let path = plate.named.path.as_str();
        let (model, changes) = (&self.new.model, || self.written.iter().chain(self.derived));
        let kind = plate.kind.word();
        if let Some(change) =
            changes().find(|one| one.path == path && (one.kind == kind || one.kind == "plate"))
        {
            return match change.how {
                // It was there under the same name as another kind of thing.
                How::New => Some("it is another kind of thing now".to_owned()),
                _ => matters(change).map(|what| format!("its {what} is different")),
            };
        }
        let mut behind = vec![
            model.modes[plate.mode].named.path.as_str(),
            &model.camera_of(plate).named.path,
            &model.rigs[plate.rig].named.path,
            &model.places[plate.place].named.path,
        ];
        let uses = [&plate.enters, &plate.leaves].into_iter().flatten().map(|one| one.mark);
        behind.extend(uses.chain(plate.mark).map(|mark| model.marks[mark].named.path.as_str()));
        behind.extend(plate.screen.map(|screen| model.screens[screen].named.path.as_str()));
        let change = self.written.iter().find(|one| {
            BEHIND.contains(&one.kind.as_str())
                && behind.contains(&one.path.as_str())
                && matters(one).is_some()
        })?;
        Some(format!("{} {} is different", change.kind, change.path))
    }

    /// Why a pass, an asset or a join is another one by itself.
    fn own(&self, node: Node) -> Option<String> {
        let model = &self.new.model;
        if let Some(what) = self.written.iter().find(|one| one.kind == "sequence").and_then(picture) {
            return Some(format!("the sequence's {what} is different"));
        }
        let (kind, path) = match node {
            Node::Asset(id) => ("asset", &model.assets[id].named.path),
            Node::Join(id) => ("join", &model.joins[id].named.path),
            Node::Pass(id) => {
                let pass = &self.new.breakdown.passes[id];
                let recipe = self.derived.iter().find(|one| one.kind == PASS && one.path == pass.path);
                if recipe.is_some_and(|one| one.words.iter().any(|word| word.what == "note")) {
                    return Some("what is to be done is told otherwise".to_owned());
                }
                match pass.owner {
                    Owner::Effect(id) => ("effect", &model.effects[id].named.path),
                    Owner::Join(id) => ("join", &model.joins[id].named.path),
                    Owner::Asset(id) => ("asset", &model.assets[id].named.path),
                    Owner::Plate(_) | Owner::Sequence => return None,
                }
            }
            Node::Plate(_) | Node::Lock | Node::Delivery => return None,
        };
        let change = self.written.iter().find(|one| one.kind == kind && one.path == *path)?;
        matters(change).map(|what| format!("{what} of {kind} {path} is different"))
    }
}

/// The first word that changes the clip or the work.
fn matters(change: &Change) -> Option<&str> {
    let words = change.words.iter().map(|word| word.what.as_str());
    words.filter(|what| *what != WORK).find(|what| !HARMLESS.contains(what))
}

/// The first of the sequence's settings that every picture hangs on.
fn picture(change: &Change) -> Option<&str> {
    change.words.iter().map(|word| word.what.as_str()).find(|what| ["picture", "handles"].contains(what))
}
