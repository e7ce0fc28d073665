use super::*;
use crate::diagnostic::{Diagnostic, codes};
use crate::model::{BeatId, EffectId, Hold, JoinKind, Model, Target};
use crate::recipe::fixture::{at, beat, effect, empty, join, need, plate};
use crate::recipe::{Breakdown, Library, expand};
use petgraph::algo::{has_path_connecting, toposort};
use proptest::prelude::*;

fn worked(model: &Model) -> (Breakdown, Work, Vec<Diagnostic>) {
    let mut diagnostics = Vec::new();
    let breakdown = expand(model, &Library::builtin(), &mut diagnostics);
    let work = build(model, &breakdown, &mut diagnostics);
    (breakdown, work, diagnostics)
}

fn one(word: &str, model: &Model, breakdown: &Breakdown) -> Node {
    let found = named(word, model, breakdown);
    assert_eq!(found.len(), 1, "{word}");
    found[0]
}

/// Whether one thing waits, in the end, for another.
fn waits(model: &Model, breakdown: &Breakdown, work: &Work, later: &str, earlier: &str) -> bool {
    let at = |word| index(work, one(word, model, breakdown)).unwrap();
    has_path_connecting(work, at(earlier), at(later), None)
}

/// A beat with one locked plate on which an effect stands.
fn step(model: &mut Model, path: &str, line: u32) -> (BeatId, EffectId) {
    let beat = beat(model, path, line);
    let plate = plate(model, beat, "a", Hold::Locked, line + 1);
    (beat, effect(model, beat, "gone", "vanish", &[("on", &[plate])], line + 2))
}

#[test]
fn everything_runs_from_the_plates_to_delivery() {
    let mut model = empty();
    let (beat, _) = step(&mut model, "one", 10);
    let run = plate(&mut model, beat, "run", Hold::Free, 13);
    let a = model.plates.ids().next().unwrap();
    join(&mut model, a, run, JoinKind::Wipe, 14);
    let (breakdown, work, diagnostics) = worked(&model);
    assert!(diagnostics.is_empty(), "{diagnostics:#?}");
    for node in work.node_indices() {
        let name = name(work[node], &model, &breakdown);
        assert!(work[node] == Node::Delivery || waits(&model, &breakdown, &work, "delivery", name), "{name}")
    }
    assert!(waits(&model, &breakdown, &work, "lock", "one.a->one.run"));
    assert!(waits(&model, &breakdown, &work, "sound.mix", "picture_lock"));
    assert!(work.edge_weights().all(|reason| !reason.text.is_empty()));
}

#[test]
fn needs_between_beats_binds_the_shoot_and_the_desk() {
    let mut model = empty();
    let (first, _) = step(&mut model, "one", 10);
    let (second, _) = step(&mut model, "two", 20);
    model.beats[first].needs.push(need(Target::Beat(second), 30));
    let (breakdown, work, diagnostics) = worked(&model);
    assert!(diagnostics.is_empty());
    let found = |later, earlier| waits(&model, &breakdown, &work, later, earlier);
    assert!(
        found("one.a", "two.a") && found("one.a", "two.gone.clean"),
        "captures after captures, owed ones too"
    );
    assert!(found("one.gone.mask", "two.gone.comp"), "the desk after the desk");
    assert!(!found("one.a", "two.gone.mask"), "but no capture waits for the desk");
}

#[test]
fn a_plate_that_needs_an_effect_is_shot_after_its_last_pass() {
    let mut model = empty();
    let (_, gone) = step(&mut model, "one", 10);
    let (beat, _) = step(&mut model, "two", 20);
    let playback = plate(&mut model, beat, "playback", Hold::Free, 23);
    model.plates[playback].needs.push(need(Target::Effect(gone), 24));
    let (breakdown, work, _) = worked(&model);
    assert!(waits(&model, &breakdown, &work, "two.playback", "one.gone.comp"));
    let links = chain(&work, one("two.playback", &model, &breakdown));
    let told: Vec<(usize, &str, &str)> = links
        .iter()
        .map(|link| (link.depth, name(link.node, &model, &breakdown), link.reason.text.as_str()))
        .collect();
    assert_eq!(told[0], (1, "one.gone.comp", "'two.playback' needs 'one.gone'"));
    assert_eq!(links[0].reason.span, Some(at(24)));
    assert!(told.iter().any(|link| link.1 == "one.a" && link.0 >= 3), "{told:#?}");
    let repeats = links.iter().filter(|link| link.seen).count();
    assert!(repeats > 0 && links.iter().filter(|link| !link.seen).count() + repeats <= work.edge_count());
}

#[test]
fn after_and_locked_groups_bind_the_shoot_alone() {
    let mut model = empty();
    let (beat, _) = step(&mut model, "one", 10);
    let late = plate(&mut model, beat, "late", Hold::Free, 13);
    let a = model.plates.ids().next().unwrap();
    model.plates[late].after.push((a, at(14)));
    let (breakdown, work, _) = worked(&model);
    let bound: Vec<(&str, &str)> = work
        .edge_indices()
        .filter(|&edge| work[edge].shoot_only)
        .map(|edge| {
            let (from, to) = work.edge_endpoints(edge).unwrap();
            (name(work[from], &model, &breakdown), name(work[to], &model, &breakdown))
        })
        .collect();
    assert_eq!(bound, [("one.a", "one.gone.clean"), ("one.a", "one.late")]);
}

#[test]
fn a_circle_is_told_with_its_lines_and_opened() {
    let mut model = empty();
    let beats: Vec<BeatId> =
        [("one", 10), ("two", 20), ("three", 30)].map(|(path, line)| step(&mut model, path, line).0).into();
    model.beats[beats[0]].needs.push(need(Target::Beat(beats[1]), 15));
    model.beats[beats[1]].needs.push(need(Target::Beat(beats[2]), 25));
    model.beats[beats[2]].needs.push(need(Target::Beat(beats[0]), 35));
    let (breakdown, work, diagnostics) = worked(&model);
    assert_eq!(diagnostics.len(), 1, "{diagnostics:#?}");
    let circle = &diagnostics[0];
    assert_eq!(circle.code, codes::CYCLE);
    assert_eq!(circle.message, "'one' needs 'two', 'two' needs 'three', 'three' needs 'one': a circle");
    assert_eq!(circle.span, Some(at(15)));
    let others: Vec<Span> = circle.others.iter().map(|other| other.span).collect();
    assert_eq!(others, [at(25), at(35)]);
    assert!(toposort(&work, None).is_ok(), "later stages get an acyclic graph");
    assert!(waits(&model, &breakdown, &work, "one.a", "three.a"), "the other lines still hold");
    assert!(!waits(&model, &breakdown, &work, "three.a", "one.a"));
}

#[test]
fn the_shortest_circle_is_told_and_each_circle_once() {
    let mut model = empty();
    let beats: Vec<BeatId> =
        [("one", 10), ("two", 20), ("three", 30)].map(|(path, line)| step(&mut model, path, line).0).into();
    for (from, to, line) in [(0, 1, 15), (1, 2, 25), (2, 0, 35), (1, 0, 26)] {
        model.beats[beats[from]].needs.push(need(Target::Beat(beats[to]), line));
    }
    let (_, work, diagnostics) = worked(&model);
    let told: Vec<&str> = diagnostics.iter().map(|one| one.message.as_str()).collect();
    assert_eq!(
        told,
        [
            "'one' needs 'two', 'two' needs 'one': a circle",
            "'one' needs 'two', 'two' needs 'three', 'three' needs 'one': a circle"
        ]
    );
    assert!(toposort(&work, None).is_ok());
}

#[test]
fn a_circle_through_a_recipe_is_told_with_what_lies_between() {
    let mut model = empty();
    let (_, gone) = step(&mut model, "one", 10);
    let plate = model.plates.ids().next().unwrap();
    model.plates[plate].needs.push(need(Target::Effect(gone), 14));
    let (_, work, diagnostics) = worked(&model);
    assert_eq!(diagnostics.len(), 1);
    assert_eq!(
        diagnostics[0].message,
        "'one.a' needs 'one.gone', and that cannot be done before it: a circle"
    );
    assert!(
        diagnostics[0].notes.iter().any(|note| note.contains("brought in first")),
        "{:?}",
        diagnostics[0].notes
    );
    assert!(toposort(&work, None).is_ok());
}

#[test]
fn what_needs_itself_is_told_once() {
    let mut model = empty();
    let (beat, _) = step(&mut model, "one", 10);
    model.beats[beat].needs.push(need(Target::Beat(beat), 14));
    let (_, work, diagnostics) = worked(&model);
    assert_eq!(diagnostics.len(), 1);
    assert_eq!(diagnostics[0].message, "'one' needs itself");
    assert!(toposort(&work, None).is_ok());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]
    #[test]
    fn any_needs_give_an_order_in_which_every_edge_holds(
        needs in proptest::collection::vec((0usize..5, 0usize..4, 0usize..5), 0..14),
    ) {
        let mut model = empty();
        let steps: Vec<(BeatId, EffectId)> = (0..5).map(|at| step(&mut model, &format!("b{at}"), 10 * at + 10)).collect();
        for (line, (who, what, on)) in needs.into_iter().enumerate() {
            let need = need(
                match what % 2 {
                    0 => Target::Beat(steps[on].0),
                    _ => Target::Effect(steps[on].1),
                },
                100 + line as u32,
            );
            if what < 2 {
                model.beats[steps[who].0].needs.push(need);
            } else {
                model.effects[steps[who].1].needs.push(need);
            }
        }
        let (_, work, _) = worked(&model);
        let order = toposort(&work, None);
        prop_assert!(order.is_ok());
        let order = order.unwrap();
        let place = |node| order.iter().position(|&one| one == node);
        for edge in work.edge_indices() {
            let (from, to) = work.edge_endpoints(edge).unwrap();
            prop_assert!(place(from) < place(to));
        }
    }
}
