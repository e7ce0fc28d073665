//! Random sequences: whatever is planned breaks nothing, and nothing is lost.

use super::fixture::{Stage, hours};
use super::verify::wrong;
use crate::graph::Node;
use crate::model::*;
use crate::quantity::{Range, Seconds};
use proptest::prelude::*;

#[derive(Debug, Clone)]
pub(crate) struct Draft {
    place: usize,
    rig: usize,
    minutes: f64,
    takes: u32,
    light: usize,
    person: Option<usize>,
    state: Option<(usize, usize)>,
    after: Option<usize>,
    hazard: bool,
}

pub(crate) fn draft() -> impl Strategy<Value = Draft> {
    (
        (0usize..3, 0usize..3, 1u32..12, 1u32..5, 0usize..7),
        proptest::option::of(0usize..3),
        proptest::option::of((0usize..3, 0usize..2)),
        proptest::option::of(0usize..8),
        any::<bool>(),
    )
        .prop_map(|((place, rig, minutes, takes, light), person, state, after, hazard)| Draft {
            place,
            rig,
            minutes: f64::from(minutes) + 0.3,
            takes,
            light,
            person,
            state: state.map(|(from, by)| (from, (from + by).min(2))),
            after,
            hazard,
        })
}

pub(crate) fn stage(drafts: &[Draft], days: i8, resets: bool, group: bool, wait: bool) -> Stage {
    let mut stage = Stage::new();
    let places = [
        stage.place("quay", Light::Sky, &[("06:00", "10:00"), ("13:00", "16:00")]),
        stage.place("loft", Light::Lamp, &[]),
        stage.place("roof", Light::Sun, &[("07:30", "21:00")]),
    ];
    stage.way(places[0], places[1], 12.0);
    let mode = stage.camera("thumb", 30.0, 35.0, 32.0);
    let rigs = [stage.rig("stand", 5.0), stage.rig("trolley", 25.0), stage.rig("head", 3.0)];
    let people = [
        stage.person("mei", &[]),
        stage.person("tomas", &["spotter", "fly", "pull"]),
        stage.person("ana", &["spotter"]),
    ];
    let window = stage.said(hours("07:00", "14:00"));
    stage.model.people[people[0]].hours = Some(window);
    let gone = stage.said(Range { from: super::fixture::FIRST, to: super::fixture::FIRST });
    stage.model.people[people[1]].away.push(gone);
    let (named, span) = (stage.named("parcel"), stage.span());
    let states: Vec<String> = ["loose", "wrapped", "torn"].map(String::from).to_vec();
    let reset = Reset { from: "torn".into(), to: "loose".into(), takes: Seconds::minutes(20.0), span };
    let prop = stage.model.props.push(Prop {
        named,
        states: states.clone(),
        resets: if resets { vec![reset] } else { vec![] },
        spares: u32::from(!resets),
    });
    stage.days(days, "05:15", "16:30", Some(places[0]));
    let mut plates: Vec<PlateId> = Vec::new();
    let lights = [
        Light::GoldenMorning,
        Light::Sun,
        Light::Sky,
        Light::Lamp,
        Light::Lamp,
        Light::Lamp,
        Light::GoldenEvening,
    ];
    for (at, draft) in drafts.iter().enumerate() {
        let (place, rig) = (places[draft.place], rigs[draft.rig]);
        let plate = stage.plate(&format!("p{at}"), place, rig, mode, draft.minutes);
        let hazard = stage.said("water".to_owned());
        let span = stage.span();
        stage.set(plate, |plate| {
            plate.takes = draft.takes;
            plate.light = lights[draft.light];
            plate.people = draft.person.map(|one| people[one]).into_iter().collect();
            if draft.hazard {
                plate.hazards = vec![hazard.clone()];
            }
            if let Some((from, to)) = draft.state {
                let of = StateOf::Prop(prop);
                if from == to {
                    plate.shows = vec![(of, states[from].clone(), span)];
                } else {
                    let (from, to) = (states[from].clone(), states[to].clone());
                    plate.turns = vec![Turn { of, from, to, span }];
                }
            }
        });
        if let Some(before) = draft.after.and_then(|one| plates.get(one)) {
            stage.edge(Node::Plate(*before), Node::Plate(plate), "as written");
        }
        plates.push(plate);
    }
    if group && plates.len() > 3 {
        let (place, rig, light) = {
            let one = &stage.breakdown.plates[plates[1]];
            (one.place, one.rig, one.light)
        };
        stage.set(plates[3], |plate| (plate.place, plate.rig, plate.light) = (place, rig, light));
        stage.group(&[plates[1], plates[3]]);
    }
    stage.desk("ilse", &["comp", "track"], 6.0);
    let comp = stage.pass("comp", "comp", 9.0, &plates[..1], &[]);
    if wait && plates.len() > 2 {
        stage.edge(Node::Pass(comp), Node::Plate(plates[2]), "the comp is shown on a screen in it");
    }
    stage.pass("track", "track", 3.0, &plates[plates.len() - 1..], &[comp]);
    if plates.len() > 4 {
        stage.join(plates[0], plates[4]);
    }
    stage
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    #[test]
    fn no_hard_constraint_is_broken_and_nothing_is_lost(
        drafts in proptest::collection::vec(draft(), 1..13),
        days in 1i8..4,
        resets in any::<bool>(),
        group in any::<bool>(),
        wait in any::<bool>(),
    ) {
        let stage = stage(&drafts, days, resets, group, wait);
        let plan = stage.bare_plan();
        prop_assert_eq!(wrong(&stage, &plan), Vec::<String>::new());
    }
}
