use super::*;
use crate::model::{
    Amount, BeatId, EffortOverride, Hands, JoinKind, Layer, Light, Origin, SpeedPoint, Target,
};
use crate::quantity::unit::Dimension;
use crate::quantity::{Angle, Hours, Length, Share};
use crate::recipe::breakdown::{DemandKind, Pass};
use crate::recipe::fixture::*;
use crate::recipe::schema::EffectWord;

fn broken_down(model: &Model) -> (Breakdown, Vec<Diagnostic>) {
    let mut diagnostics = Vec::new();
    let breakdown = expand(model, &Library::builtin(), &mut diagnostics);
    (breakdown, diagnostics)
}

fn clean(model: &Model) -> Breakdown {
    let (breakdown, diagnostics) = broken_down(model);
    assert!(diagnostics.is_empty(), "{diagnostics:#?}");
    breakdown
}

fn pass<'a>(breakdown: &'a Breakdown, path: &str) -> &'a Pass {
    let found = breakdown.passes.values().find(|pass| pass.path == path);
    found.unwrap_or_else(|| {
        panic!("no {path} in {:?}", breakdown.passes.values().map(|pass| &pass.path).collect::<Vec<_>>())
    })
}

fn waits(breakdown: &Breakdown, path: &str) -> Vec<String> {
    let waits = &pass(breakdown, path).waits;
    waits.iter().map(|(earlier, _)| breakdown.passes[*earlier].path.clone()).collect()
}

fn plate_at<'a>(breakdown: &'a Breakdown, path: &str) -> &'a Plate {
    breakdown.plates.values().find(|plate| plate.named.path == path).unwrap_or_else(|| panic!("no {path}"))
}

/// The bench beat of the sketch: hands wrap a parcel before a locked camera.
fn bench(model: &mut Model) -> (BeatId, PlateId, EffectId) {
    let beat = beat(model, "bench", 10);
    let hands = plate(model, beat, "hands", Hold::Locked, 11);
    let flight = effect(model, beat, "flight", "carried_objects", &[("on", &[hands])], 12);
    model.effects[flight].objects =
        ["paper", "string", "wax", "box"].map(|object| on(object.into(), 13)).into();
    (beat, hands, flight)
}

/// A head-band plate with an insert and hands over it.
fn alley(model: &mut Model) -> (BeatId, PlateId) {
    let beat = beat(model, "leap", 20);
    let alley = plate(model, beat, "alley", Hold::Free, 21);
    let orrery = asset(model, "orrery", &[alley], 22);
    let insert = effect(model, beat, "insert", "tracked_insert", &[("on", &[alley])], 23);
    model.effects[insert].assets = vec![on(orrery, 24)];
    let reach = effect(model, beat, "reach", "keyed_hands", &[("over", &[alley])], 25);
    model.effects[reach].sweep = Some(on((Angle(70.0), Angle(45.0)), 26));
    model.effects[reach].screen = Some(on(model.screens.ids().next().unwrap(), 27));
    model.effects[reach].gap = Some(on(Length(2.0), 28));
    (beat, alley)
}

#[test]
fn a_clean_plate_is_owed_last_in_the_locked_group() {
    let mut model = empty();
    let (_, hands, flight) = bench(&mut model);
    let breakdown = clean(&model);
    let owed = plate_at(&breakdown, "bench.flight.clean");
    assert_eq!((owed.kind, owed.hold.value, owed.takes), (PlateKind::Clean, Hold::Locked, 1));
    assert_eq!((owed.place, owed.rig), (model.plates[hands].place, model.plates[hands].rig));
    assert_eq!(owed.named.title.as_deref(), Some("Clean plate: bench.hands"));
    assert!(owed.people.is_empty() && owed.hands.value == Hands::Out && owed.in_picture == Seconds(0.0));
    assert_eq!(
        owed.origin,
        Origin::Owed { effect: flight, role: "clean".into(), because: at(12) },
        "each owed plate says which line caused it"
    );
    let groups: Vec<Vec<&str>> = breakdown
        .groups
        .values()
        .map(|group| group.plates.iter().map(|plate| breakdown.plates[*plate].named.path.as_str()).collect())
        .collect();
    assert_eq!(groups, [["bench.hands", "bench.flight.clean"]]);
    let asked: Vec<DemandKind> = breakdown.demands_on(hands).map(|demand| demand.kind).collect();
    assert!(asked.contains(&DemandKind::Locked) && asked.contains(&DemandKind::HandsBehind));
    assert!(breakdown.demands_on(hands).all(|demand| demand.span == at(12) && !demand.text.is_empty()));
}

#[test]
fn efforts_follow_the_recipe_and_the_writer_may_set_them() {
    let mut model = empty();
    let (_, _, flight) = bench(&mut model);
    let breakdown = clean(&model);
    // objects * (0.5 + 0.25 * seconds), four objects over six seconds.
    let mask = pass(&breakdown, "bench.flight.mask");
    assert_eq!(mask.effort, Hours(8.0));
    assert_eq!(mask.effort_from, "objects * (0.5 + 0.25 * seconds), with objects 4, seconds 6");
    assert_eq!(mask.span, at(12));
    model.effects[flight].efforts = vec![EffortOverride { pass: on("mask".into(), 30), hours: Hours(3.0) }];
    let breakdown = clean(&model);
    assert_eq!(pass(&breakdown, "bench.flight.mask").effort, Hours(3.0));
    assert_eq!(pass(&breakdown, "bench.flight.mask").effort_from, "as written");
    model.effects[flight].efforts = vec![EffortOverride { pass: on("msk".into(), 30), hours: Hours(3.0) }];
    let (_, diagnostics) = broken_down(&model);
    assert_eq!(diagnostics[0].message, "carried_objects has no pass 'msk'");
    assert_eq!(diagnostics[0].help.as_deref(), Some("did you mean 'mask'?"));
    assert_eq!((diagnostics[0].code, diagnostics[0].span), (codes::ROLE, Some(at(30))));
}

#[test]
fn the_chain_of_passes_runs_from_ingest_to_delivery() {
    let mut model = empty();
    bench(&mut model);
    let breakdown = clean(&model);
    assert_eq!(waits(&breakdown, "bench.flight.mask"), ["bench.hands.ingest"]);
    assert_eq!(
        waits(&breakdown, "bench.flight.comp"),
        ["bench.hands.ingest", "bench.flight.clean.ingest", "bench.flight.paint", "bench.flight.retime"]
    );
    assert!(waits(&breakdown, "picture_lock").contains(&"bench.flight.comp".to_owned()));
    assert!(waits(&breakdown, "picture_lock").contains(&"assembly.fit".to_owned()));
    assert!(pass(&breakdown, "picture_lock").lock);
    assert_eq!(waits(&breakdown, "sound.impacts"), ["picture_lock"]);
    assert_eq!(waits(&breakdown, "grade.balance"), ["picture_lock"]);
    assert_eq!(waits(&breakdown, "delivery.master"), ["sound.mix", "grade.look"]);
    // The usual layers where nobody wrote any: no foley.
    assert!(!breakdown.passes.values().any(|pass| pass.path == "sound.foley"));
    assert_eq!(waits(&breakdown, "sound.mix").len(), 4);
}

#[test]
fn hands_are_owed_before_a_screen_as_the_plate_under_them_was_shot() {
    let mut model = empty();
    let (_, alley) = alley(&mut model);
    let breakdown = clean(&model);
    let hands = plate_at(&breakdown, "leap.reach.hands");
    assert_eq!(hands.kind, PlateKind::Element);
    assert_eq!(
        model.rigs[hands.rig].named.path, "stand",
        "the clamp comes first by name but cannot carry it"
    );
    assert_eq!((model.places[hands.place].named.path.as_str(), hands.light), ("loft", Light::Lamp));
    assert_eq!(hands.mode, wide(&model));
    assert_eq!(hands.people, [mei(&model)]);
    assert_eq!(
        hands.height.map(|height| height.value),
        Some(Length(1.58)),
        "the wearer's eyes, not the rig's height"
    );
    assert_eq!(hands.tilt.map(|tilt| tilt.value), Some(Angle(-20.0)));
    assert_eq!(hands.sweep, Some((Angle(70.0), Angle(45.0))));
    assert_eq!(hands.gap.map(|gap| gap.value), Some(Length(2.0)));
    assert_eq!((hands.screen.is_some(), hands.hands.value), (true, Hands::In));
    let id = breakdown.plates.iter().find(|(_, plate)| plate.named.path == "leap.reach.hands").unwrap().0;
    let asked: Vec<DemandKind> = breakdown.demands_on(id).map(|demand| demand.kind).collect();
    assert!(asked.contains(&DemandKind::SameView) && asked.contains(&DemandKind::ScreenCover));
    assert!(breakdown.demands_on(alley).any(|demand| demand.kind == DemandKind::Parallax));
}

#[test]
fn a_reference_that_two_things_need_is_derived_once() {
    let mut model = empty();
    let (beat, alley) = alley(&mut model);
    let project = effect(&mut model, beat, "wake", "projected_texture", &[("on", &[alley])], 30);
    let breakdown = clean(&model);
    let stills = breakdown.plates.iter().filter(|(_, plate)| plate.kind == PlateKind::Still);
    let stills: Vec<_> =
        stills.map(|(id, plate)| (id, plate.named.path.as_str(), plate.lasts.value)).collect();
    assert_eq!(stills.len(), 1);
    assert_eq!(
        (stills[0].1, stills[0].2),
        ("leap.insert.still", Seconds(120.0)),
        "as long as the longer asks"
    );
    assert_eq!(pass(&breakdown, "orrery.build").inputs, [stills[0].0]);
    let role = breakdown.roles.iter().find(|role| role.effect == project && role.role == "still").unwrap();
    assert_eq!(role.plates, [stills[0].0]);
    assert_eq!(breakdown.plates[stills[0].0].people, [mei(&model)], "a worn rig needs its wearer");
}

#[test]
fn effects_on_one_plate_are_laid_in_the_order_written() {
    let mut model = empty();
    alley(&mut model);
    let breakdown = clean(&model);
    assert!(waits(&breakdown, "leap.reach.comp").contains(&"leap.insert.comp".to_owned()));
    // The writer's own line says the opposite: no circle is made.
    let reach = model.effects.ids().nth(1).unwrap();
    let insert = model.effects.ids().next().unwrap();
    model.effects[insert].needs.push(need(Target::Effect(reach), 40));
    let breakdown = clean(&model);
    assert!(!waits(&breakdown, "leap.reach.comp").contains(&"leap.insert.comp".to_owned()));
}

#[test]
fn a_join_waits_for_both_sides_and_asks_something_of_them() {
    let mut model = empty();
    let (beat, alley) = alley(&mut model);
    let run = plate(&mut model, beat, "run", Hold::Free, 31);
    let stitch = join(&mut model, alley, run, JoinKind::Stitch, 32);
    let breakdown = clean(&model);
    let blend = waits(&breakdown, "leap.alley->leap.run.blend");
    for earlier in ["leap.alley.ingest", "leap.run.ingest", "leap.insert.comp", "leap.reach.comp"] {
        assert!(blend.contains(&earlier.to_owned()), "{earlier} in {blend:?}");
    }
    assert_eq!(
        pass(&breakdown, "leap.alley->leap.run.align").effort,
        Hours(1.2),
        "1 + 0.5 × 0.4 s of overlap"
    );
    assert!(breakdown.demands_on(run).any(|demand| demand.by == Owner::Join(stitch)));
    assert!(waits(&breakdown, "picture_lock").contains(&"leap.alley->leap.run.blend".to_owned()));
}

#[test]
fn what_cannot_be_bound_is_told_with_the_nearest_word() {
    let mut model = empty();
    let (beat, hands, flight) = bench(&mut model);
    model.effects[flight].bindings.push(binding("claen", &[hands], None, 14));
    let other = effect(&mut model, beat, "other", "carried_object", &[], 15);
    let crowd = effect(&mut model, beat, "crowd", "split_takes", &[("takes", &[hands])], 16);
    let joined = effect(&mut model, beat, "joined", "stitch", &[("from", &[hands])], 17);
    let (breakdown, diagnostics) = broken_down(&model);
    let said: Vec<(&str, &str, Option<&str>)> =
        diagnostics.iter().map(|one| (one.code.id, one.message.as_str(), one.help.as_deref())).collect();
    assert_eq!(
        said,
        [
            ("T18", "carried_objects has no role or quantity 'claen'", Some("did you mean 'clean'?")),
            ("T17", "no recipe is called 'carried_object'", Some("did you mean 'carried_objects'?")),
            (
                "T18",
                "'bench.crowd' by split_takes needs 2 plates or more for 'takes'",
                Some("write 'takes PLATE': takes that share the frame")
            ),
            (
                "T17",
                "'stitch' is a recipe for joins, not for effects",
                Some("'seamster recipes' lists the recipes for effects")
            ),
        ]
    );
    assert_eq!(breakdown.methods.len(), 4);
    let _ = (other, crowd, joined);
}

#[test]
fn quantities_are_checked_and_used() {
    let mut model = empty();
    let beat = beat(&mut model, "drop", 10);
    let jump = plate(&mut model, beat, "jump", Hold::Free, 11);
    let land = plate(&mut model, beat, "land", Hold::Free, 12);
    let fall = effect(&mut model, beat, "fall", "fall", &[("jump", &[jump]), ("land", &[land])], 13);
    let (_, diagnostics) = broken_down(&model);
    assert_eq!(diagnostics.len(), 1);
    assert_eq!(diagnostics[0].message, "'drop.fall' by fall needs a length for 'height'");
    model.effects[fall].bindings.push(binding("height", &[], Some((3.0, Dimension::Angle)), 14));
    let (_, diagnostics) = broken_down(&model);
    assert_eq!(diagnostics[0].message, "'height' of fall is a length, not an angle");
    assert_eq!(diagnostics[0].code, codes::UNIT);
    let amount = Amount { value: 12.0, dimension: Dimension::Length };
    model.effects[fall].bindings.last_mut().unwrap().amount = Some(on(amount, 14));
    let breakdown = clean(&model);
    // 2 + 0.3 × 6 s + 0.1 × 12 m
    assert!((pass(&breakdown, "drop.fall.middle").effort.0 - 5.0).abs() < 1e-9);
}

#[test]
fn takes_of_one_group_must_share_their_set_up() {
    let mut model = empty();
    let beat = beat(&mut model, "twins", 10);
    let left = plate(&mut model, beat, "left", Hold::Locked, 11);
    let right = plate(&mut model, beat, "right", Hold::Locked, 12);
    effect(&mut model, beat, "split", "split_takes", &[("takes", &[left, right])], 13);
    let breakdown = clean(&model);
    let group = breakdown.groups.values().next().unwrap();
    assert_eq!(group.plates.len(), 3);
    assert_eq!(breakdown.plates[*group.plates.last().unwrap()].kind, PlateKind::Clean);
    model.plates[right].rig = rig_named(&model, "head");
    let (_, diagnostics) = broken_down(&model);
    assert_eq!(
        diagnostics[0].message,
        "'twins.split' needs one untouched camera for 'twins.left' and 'twins.right', and they differ in rig"
    );
}

#[test]
fn groups_that_share_a_plate_are_one_and_the_writers_after_wins() {
    let mut model = empty();
    let (beat, hands, _) = bench(&mut model);
    let empty_frame = plate(&mut model, beat, "empty", Hold::Locked, 14);
    model.plates[empty_frame].kind = PlateKind::Clean;
    effect(&mut model, beat, "gone", "vanish", &[("on", &[hands]), ("clean", &[empty_frame])], 15);
    let breakdown = clean(&model);
    assert_eq!(breakdown.groups.len(), 1, "and the empty frame that one effect binds serves the other");
    let group = breakdown.groups.values().next().unwrap();
    assert_eq!(group.plates, [hands, empty_frame]);
    assert_eq!(group.effects.len(), 2);
    model.plates[hands].after.push((empty_frame, at(16)));
    let breakdown = clean(&model);
    assert_eq!(breakdown.groups.values().next().unwrap().plates, [empty_frame, hands]);
}

#[test]
fn passes_that_do_not_apply_are_left_out_and_their_waits_kept() {
    let mut model = empty();
    let beat = beat(&mut model, "walk", 10);
    let on_foot = plate(&mut model, beat, "on_foot", Hold::Free, 11);
    let on_stand = plate(&mut model, beat, "on_stand", Hold::Locked, 12);
    effect(&mut model, beat, "moving", "take_away", &[("on", &[on_foot])], 13);
    effect(&mut model, beat, "still", "take_away", &[("on", &[on_stand])], 14);
    let breakdown = clean(&model);
    assert!(waits(&breakdown, "walk.moving.rebuild").contains(&"walk.moving.track".to_owned()));
    assert!(!breakdown.passes.values().any(|pass| pass.path == "walk.still.track"));
    assert!(breakdown.demands_on(on_stand).any(|demand| demand.kind == DemandKind::Locked));
    assert!(breakdown.demands_on(on_foot).all(|demand| demand.kind != DemandKind::Locked));
}

#[test]
fn sound_layers_are_the_writers() {
    let mut model = empty();
    bench(&mut model);
    let layer =
        |name: &str, effort: Option<f64>| Layer { name: on(name.into(), 50), effort: effort.map(Hours) };
    model.sound.layers = vec![layer("foley", None), layer("drones", Some(4.0)), layer("voice", Some(2.0))];
    let breakdown = clean(&model);
    assert_eq!(waits(&breakdown, "sound.mix"), ["sound.foley", "sound.voice", "sound.drones"]);
    assert_eq!(waits(&breakdown, "sound.drones"), ["picture_lock"]);
    assert_eq!(pass(&breakdown, "sound.voice").effort, Hours(2.0));
    model.sound.layers = vec![layer("foly", None)];
    let (_, diagnostics) = broken_down(&model);
    assert_eq!(diagnostics[0].message, "sound has no layer 'foly'");
    assert_eq!(diagnostics[0].help.as_deref(), Some("did you mean 'foley'?"));
}

#[test]
fn every_effect_recipe_expands_for_a_minimal_effect_on_locked_and_moving_plates() {
    let library = Library::builtin();
    for recipe in library.effects() {
        for hold in [Hold::Locked, Hold::Free] {
            let mut model = empty();
            let beat = beat(&mut model, "beat", 10);
            let mut roles: Vec<(&str, Vec<PlateId>)> = Vec::new();
            for role in recipe.roles.iter().filter(|role| role.derive.is_none()) {
                let count = role.at_least.unwrap_or(1);
                let plates =
                    (0..count).map(|at| plate(&mut model, beat, &format!("{}_{at}", role.role), hold, 11));
                roles.push((&role.role, plates.collect()));
            }
            let roles: Vec<(&str, &[PlateId])> =
                roles.iter().map(|(role, plates)| (*role, plates.as_slice())).collect();
            let id = effect(&mut model, beat, "effect", &recipe.recipe, &roles, 12);
            for quantity in recipe.quantities.iter().filter(|quantity| quantity.default.is_none()) {
                let amount = Some((3.0, quantity.dimension));
                model.effects[id].bindings.push(binding(&quantity.quantity, &[], amount, 13));
            }
            for word in recipe.words.iter().filter(|word| word.needed) {
                match word.word {
                    EffectWord::Objects => model.effects[id].objects = vec![on("cup".into(), 14)],
                    EffectWord::Speed => {
                        model.effects[id].speed = vec![SpeedPoint { at: Share(0.0), speed: Share(2.0) }];
                        model.effects[id].speed_span = Some(at(14));
                    }
                    EffectWord::Sweep => model.effects[id].sweep = Some(on((Angle(70.0), Angle(45.0)), 14)),
                    EffectWord::Screen => {
                        model.effects[id].screen = model.screens.ids().next().map(|id| on(id, 14))
                    }
                    EffectWord::Gap => model.effects[id].gap = Some(on(Length(2.0), 14)),
                    EffectWord::Asset => {
                        let asset = asset(&mut model, "thing", &[], 14);
                        model.effects[id].assets = vec![on(asset, 14)];
                    }
                }
            }
            let breakdown = clean(&model);
            let name = &recipe.recipe;
            assert_eq!(breakdown.roles.len(), recipe.roles.len(), "{name}");
            let own = breakdown.passes.values().filter(|pass| pass.owner == Owner::Effect(id));
            assert!(own.clone().count() > 0 && own.clone().all(|pass| pass.effort.0 > 0.0), "{name}");
            let paths: std::collections::BTreeSet<&str> =
                breakdown.passes.values().map(|pass| pass.path.as_str()).collect();
            assert_eq!(paths.len(), breakdown.passes.len(), "paths are unique: {name}");
        }
    }
}

#[test]
fn nothing_written_is_nothing_to_do() {
    let breakdown = clean(&empty());
    assert!(breakdown.passes.is_empty() && breakdown.plates.is_empty());
}

#[test]
fn a_plate_bound_to_a_serving_role_is_not_seen_on_its_own() {
    let mut model = empty();
    let (beat, alley) = alley(&mut model);
    let hands = plate(&mut model, beat, "hands", Hold::Free, 30);
    let sky = plate(&mut model, beat, "sky", Hold::Free, 31);
    let reach = model.effects.ids().nth(1).unwrap();
    model.effects[reach].bindings.push(binding("hands", &[hands], None, 32));
    effect(&mut model, beat, "other_sky", "swap_surface", &[("on", &[alley]), ("fill", &[sky])], 33);
    let breakdown = clean(&model);
    let kind = |plate: PlateId| breakdown.plates[plate].kind;
    assert_eq!(
        (kind(alley), kind(hands), kind(sky)),
        (PlateKind::Picture, PlateKind::Element, PlateKind::Element)
    );
    assert_eq!(breakdown.plates[hands].in_picture, Seconds(0.0));
    assert_eq!(
        breakdown.plates[hands].sweep,
        Some((Angle(70.0), Angle(45.0))),
        "what the effect says holds for it"
    );
    assert_eq!(waits(&breakdown, "assembly"), ["leap.alley.ingest"], "the assembly holds what is seen");
    model.plates[sky].uses = Some(on(Seconds(2.0), 34));
    assert_eq!(clean(&model).plates[sky].kind, PlateKind::Picture, "unless its line says that it is");
}
