//! A small sequence, built by hand, for the tests of recipes and graph: two
//! beats, two places, a stand and a head band, as a text would give it.

use crate::model::{
    Amount, Asset, AssetId, Beat, BeatId, Binding, Budgets, Camera, Effect, EffectId, Hands, Hold, Join,
    JoinId, JoinKind, Light, Mode, ModeId, Model, Named, Need, Origin, Person, PersonId, Place, PlaceId,
    Plate, PlateId, PlateKind, Rig, RigId, Screen, Sequence, Steadying, Target,
};
use crate::quantity::unit::Dimension;
use crate::quantity::{
    Angle, FrameRate, FrameSize, Hours, Length, Mass, Projection, Seconds, Share, TimeSpan, TurnRate,
};
use crate::source::{FileId, Span, Spanned};

/// A span that tells lines apart: line `n` is byte `n`.
pub(crate) fn at(line: u32) -> Span {
    Span { file: FileId(0), start: line, end: line + 1 }
}

pub(crate) fn on<T>(value: T, line: u32) -> Spanned<T> {
    Spanned::new(value, at(line))
}

pub(crate) fn named(path: &str, line: u32) -> Named {
    Named {
        path: path.into(),
        title: None,
        span: at(line),
        notes: Vec::new(),
        cautions: Vec::new(),
        waivers: Vec::new(),
    }
}

/// A model with two places, three rigs, one camera, one person, no beat.
pub(crate) fn empty() -> Model {
    let mut model = Model::empty(Sequence {
        named: named("small", 1),
        picture: FrameSize { width: 1920, height: 1080 },
        rate: FrameRate { num: 25, den: 1 },
        zone: "Europe/Lisbon".into(),
        mains: None,
        handles: Seconds(0.48),
        budgets: Budgets::default(),
        weights: crate::model::Weights::default(),
        severities: Default::default(),
    });
    for (path, light) in [("quay", Light::Sky), ("loft", Light::Lamp)] {
        model.places.push(Place {
            named: named(path, 2),
            at: None,
            open: Vec::new(),
            light,
            hazards: Vec::new(),
            hospital: None,
            horizon: None,
            parking: None,
            roof: false,
        });
    }
    for (path, fixed, worn, carries) in
        [("head", false, true, 0.06), ("clamp", true, false, 0.01), ("stand", true, false, 2.0)]
    {
        model.rigs.push(rig(path, fixed, worn, carries));
    }
    let camera = model.cameras.push(Camera {
        named: named("thumb", 4),
        count: 1,
        weighs: Some(Mass(0.027)),
        battery: None,
        packs: 1,
        recharge: None,
        card: None,
        cards: 1,
        water: None,
        readout: None,
    });
    model.modes.push(Mode {
        named: named("thumb.wide", 4),
        camera,
        frame: FrameSize { width: 2560, height: 1440 },
        rate: FrameRate { num: 25, den: 1 },
        shutter: on(Seconds(0.02), 4),
        view: on(Angle(118.0), 4),
        projection: Projection::Equidistant,
        stream: None,
        steadying: Steadying::Level,
        kept: Share(0.9),
    });
    model.screens.push(Screen {
        named: named("green", 5),
        width: Length(3.0),
        height: Length(2.0),
        foot: Length(0.0),
    });
    model.people.push(Person {
        named: named("mei", 6),
        plays: Vec::new(),
        can: Vec::new(),
        away: Vec::new(),
        hours: None,
        eyes: Some(Length(1.58)),
    });
    model
}

fn rig(path: &str, fixed: bool, worn: bool, carries: f64) -> Rig {
    Rig {
        named: named(path, 3),
        fixed,
        worn,
        flies: false,
        height: worn.then_some(Length(1.66)),
        fitting: Seconds(300.0),
        placing: None,
        sway: TurnRate(0.0),
        carries: Some(Mass(carries)),
        hands: 2,
        hazards: Vec::new(),
        endurance: None,
        packs: 1,
        recharge: None,
        water: false,
        silences: false,
        away: Vec::new(),
    }
}

pub(crate) fn place(model: &Model, path: &str) -> PlaceId {
    model.places.iter().find(|(_, place)| place.named.path == path).unwrap().0
}

pub(crate) fn rig_named(model: &Model, path: &str) -> RigId {
    model.rigs.iter().find(|(_, rig)| rig.named.path == path).unwrap().0
}

/// Adds a beat that runs six seconds.
pub(crate) fn beat(model: &mut Model, path: &str, line: u32) -> BeatId {
    model.beats.push(Beat {
        named: named(path, line),
        story: None,
        runs: Some(on(Seconds(6.0), line)),
        turns: Vec::new(),
        priority: None,
        needs: Vec::new(),
        plates: Vec::new(),
        effects: Vec::new(),
    })
}

/// Adds a picture plate of six seconds, performed by Mei: locked on a stand
/// under lamps, or on the head band outside.
pub(crate) fn plate(model: &mut Model, beat: BeatId, name: &str, hold: Hold, line: u32) -> PlateId {
    let locked = hold == Hold::Locked;
    let path = format!("{}.{name}", model.beats[beat].named.path);
    let (place, rig) = if locked { ("loft", "stand") } else { ("quay", "head") };
    let id = model.plates.push(Plate {
        named: named(&path, line),
        beat,
        kind: PlateKind::Picture,
        origin: Origin::Written,
        place: self::place(model, place),
        rig: rig_named(model, rig),
        mode: model.modes.ids().next().unwrap(),
        people: vec![model.people.ids().next().unwrap()],
        spotters: Vec::new(),
        light: if locked { Light::Lamp } else { Light::GoldenMorning },
        light_span: None,
        lasts: on(Seconds(40.0), line),
        uses: None,
        in_picture: Seconds(6.0),
        hold: on(hold, line),
        takes: 3,
        between: Seconds(120.0),
        turns_camera: None,
        rolls: None,
        moves: None,
        enters: None,
        leaves: None,
        mark: None,
        height: None,
        heading: None,
        tilt: Some(on(Angle(-20.0), line)),
        near: None,
        far: None,
        screen: None,
        gap: None,
        sweep: None,
        hands: on(Hands::In, line),
        reframe: Share(1.0),
        hazards: Vec::new(),
        shows: Vec::new(),
        turns: Vec::new(),
        must: Vec::new(),
        avoid: Vec::new(),
        needs: Vec::new(),
        after: Vec::new(),
        rolls_with: None,
        beside: Vec::new(),
        sound: true,
    });
    model.beats[beat].plates.push(id);
    id
}

/// Adds an effect with roles bound to plates.
pub(crate) fn effect(
    model: &mut Model,
    beat: BeatId,
    name: &str,
    recipe: &str,
    roles: &[(&str, &[PlateId])],
    line: u32,
) -> EffectId {
    let bindings = roles.iter().map(|(word, plates)| binding(word, plates, None, line)).collect();
    let path = format!("{}.{name}", model.beats[beat].named.path);
    let id = model.effects.push(Effect {
        named: named(&path, line),
        beat,
        recipe: on(recipe.into(), line),
        bindings,
        objects: Vec::new(),
        speed: Vec::new(),
        speed_span: None,
        sweep: None,
        screen: None,
        gap: None,
        assets: Vec::new(),
        seconds: None,
        efforts: Vec::new(),
        needs: Vec::new(),
    });
    model.beats[beat].effects.push(id);
    id
}

pub(crate) fn binding(
    word: &str,
    plates: &[PlateId],
    amount: Option<(f64, Dimension)>,
    line: u32,
) -> Binding {
    Binding {
        word: on(word.into(), line),
        plates: plates.iter().map(|&plate| on(plate, line)).collect(),
        amount: amount.map(|(value, dimension)| on(Amount { value, dimension }, line)),
        span: at(line),
    }
}

/// Adds an asset of 14 hours with a texture from a plate.
pub(crate) fn asset(model: &mut Model, path: &str, texture: &[PlateId], line: u32) -> AssetId {
    model.assets.push(Asset {
        named: named(path, line),
        build: on(Hours(14.0), line),
        texture: texture.iter().map(|&plate| on(plate, line)).collect(),
        light: Vec::new(),
        needs: Vec::new(),
    })
}

pub(crate) fn join(model: &mut Model, from: PlateId, to: PlateId, kind: JoinKind, line: u32) -> JoinId {
    let path = format!("{}->{}", model.plates[from].named.path, model.plates[to].named.path);
    model.joins.push(Join {
        named: named(&path, line),
        from,
        to,
        kind,
        overlap: TimeSpan::Frames(10.0),
        overlap_span: None,
        mark: None,
        allow: None,
        efforts: Vec::new(),
        span: at(line),
    })
}

pub(crate) fn need(on: Target, line: u32) -> Need {
    Need { on, span: at(line) }
}

/// The person of the fixture.
pub(crate) fn mei(model: &Model) -> PersonId {
    model.people.ids().next().unwrap()
}

/// The mode of the fixture.
pub(crate) fn wide(model: &Model) -> ModeId {
    model.modes.ids().next().unwrap()
}
