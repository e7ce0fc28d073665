//! A small sequence built by hand: two beats, one locked group, one hand-over,
//! one screen, one plate that fits no day.

use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::graph::{Node, Reason, Work};
use crate::model::*;
use crate::order::*;
use crate::packet::{self, Input, Packet};
use crate::quantity::*;
use crate::recipe::{After, Breakdown, Demand, DemandKind, FilledRole, Group, Owner, Pass};
use crate::rule::{About, Findings, Instruction, Waived};
use crate::source::{FileId, Sources, Span, Spanned};
use jiff::civil::{date, time};
use jiff::tz::TimeZone;
use std::collections::BTreeMap;

const TEXT: &str = "sequence parcel\nplate hands\nplate swoop\nplate land\njoin swoop -> land by stitch\n";

pub(super) struct Fixture {
    pub(super) sources: Sources,
    pub(super) model: Model,
    pub(super) breakdown: Breakdown,
    pub(super) work: Work,
    pub(super) plan: Plan,
    pub(super) findings: Findings,
    pub(super) diagnostics: Vec<Diagnostic>,
    pub(super) draft: bool,
    /// Rendered with this sequence title.
    pub(super) title: String,
}

pub(super) const TEST_RULE: Code = Code { id: "J01", name: "join-offset", severity: Severity::Warning };

fn span(line: u32) -> Span {
    let start: usize = TEXT.split_inclusive('\n').take(line as usize - 1).map(str::len).sum();
    Span { file: FileId(0), start: start as u32, end: start as u32 + 4 }
}

fn at<T>(value: T) -> Spanned<T> {
    Spanned::new(value, span(2))
}

fn named(path: &str, title: &str) -> Named {
    Named {
        path: path.into(),
        title: (!title.is_empty()).then(|| title.to_owned()),
        span: span(1),
        notes: vec![],
        cautions: vec![],
        waivers: vec![],
    }
}

fn place(path: &str, title: &str) -> Place {
    Place {
        named: named(path, title),
        at: None,
        open: vec![],
        light: Light::Lamp,
        hazards: vec![],
        hospital: None,
        horizon: None,
        parking: None,
        roof: false,
    }
}

fn rig(path: &str, title: &str) -> Rig {
    Rig {
        named: named(path, title),
        fixed: false,
        worn: false,
        flies: false,
        height: None,
        fitting: Seconds::minutes(5.0),
        placing: None,
        sway: TurnRate(0.0),
        carries: None,
        hands: 2,
        hazards: vec![],
        endurance: None,
        packs: 1,
        recharge: None,
        water: false,
        silences: false,
        away: Vec::new(),
    }
}

struct Ids {
    beat: BeatId,
    place: PlaceId,
    rig: RigId,
    mode: ModeId,
}

fn plate(path: &str, title: &str, ids: &Ids) -> Plate {
    Plate {
        named: named(path, title),
        beat: ids.beat,
        kind: PlateKind::Picture,
        origin: Origin::Written,
        place: ids.place,
        rig: ids.rig,
        mode: ids.mode,
        people: vec![],
        spotters: vec![],
        light: Light::Lamp,
        light_span: None,
        lasts: at(Seconds(8.0)),
        uses: None,
        in_picture: Seconds(4.0),
        hold: at(Hold::Free),
        takes: 3,
        between: Seconds::minutes(2.0),
        turns_camera: None,
        rolls: None,
        moves: None,
        enters: None,
        leaves: None,
        mark: None,
        height: None,
        heading: None,
        tilt: None,
        near: None,
        far: None,
        screen: None,
        gap: None,
        sweep: None,
        hands: at(Hands::Out),
        reframe: Share(1.0),
        hazards: vec![],
        shows: vec![],
        turns: vec![],
        must: vec![],
        avoid: vec![],
        needs: vec![],
        after: vec![],
        rolls_with: None,
        beside: Vec::new(),
        sound: false,
    }
}

fn pass(path: &str, title: &str, department: &str, owner: Owner) -> Pass {
    Pass {
        path: path.into(),
        stage: path.rsplit('.').next().unwrap().into(),
        title: title.into(),
        department: department.into(),
        or: vec![],
        effort: Hours(2.0),
        effort_from: "1 h + 1 h an object".into(),
        after: After::default(),
        priority: None,
        owner,
        inputs: vec![],
        waits: vec![],
        notes: vec![],
        span: span(2),
        lock: false,
    }
}

fn minute(hour: i8, minute: i8) -> Minute {
    let zone = TimeZone::get("Europe/Lisbon").unwrap();
    Minute::from_civil(date(2027, 5, 14).to_datetime(time(hour, minute, 0, 0)), &zone).unwrap()
}

fn empty_model(title: &str) -> Model {
    Model::empty(Sequence {
        named: named("parcel", title),
        picture: FrameSize { width: 1920, height: 1080 },
        rate: FrameRate { num: 25, den: 1 },
        zone: "Europe/Lisbon".into(),
        mains: Some(Frequency(50.0)),
        handles: Seconds(0.48),
        budgets: Budgets::default(),
        weights: Weights::default(),
        severities: BTreeMap::new(),
    })
}

impl Fixture {
    pub(super) fn new(title: &str) -> Self {
        let mut sources = Sources::default();
        sources.add("parcel.seam", TEXT);
        let mut model = empty_model(title);
        let breakdown = tell(&mut model);
        let plates: Vec<PlateId> = breakdown.plates.ids().collect();
        let mut work = Work::new();
        let nodes: Vec<_> = breakdown.passes.ids().map(|id| work.add_node(Node::Pass(id))).collect();
        let reason = Reason { text: "the edit needs the comp".into(), span: None, shoot_only: false };
        work.add_edge(nodes[0], nodes[1], reason);
        let plan = plan(&model, &breakdown, &plates);
        let about = About::Join(JoinId::from_first());
        let diagnostic = Diagnostic::new(TEST_RULE, span(5), "the join may be 40 px out, 19 are allowed")
            .help("move the mark to 2 m from the nearest thing");
        let waiver = Waiver { rule: "flicker".into(), reason: "the lamp is steady".into(), span: span(2) };
        let flicker = Code { id: "P06", name: "flicker", severity: Severity::Warning };
        let findings = Findings {
            standing: vec![(about, diagnostic.clone())],
            waived: vec![Waived {
                waiver,
                diagnostic: Diagnostic::new(flicker, span(2), "1/60 s flickers at 50 Hz"),
                about: About::Plate(plates[0]),
            }],
            instructions: vec![Instruction {
                about,
                rule: "join-offset",
                topic: "camera".into(),
                text: "within 4 cm and 2° of the mark".into(),
                how: "1243 px/rad at 0.9 m".into(),
            }],
        };
        Self {
            sources,
            model,
            breakdown,
            work,
            plan,
            findings,
            diagnostics: vec![diagnostic],
            draft: false,
            title: title.into(),
        }
    }

    /// Adds an instruction about each kind of thing there is in the plan, and
    /// gives their texts.
    pub(super) fn tell_everything(&mut self) -> Vec<String> {
        let planned = self.breakdown.plates.ids().next().unwrap();
        let abouts = [
            About::Plate(planned),
            About::Join(First::from_first()),
            About::Effect(First::from_first()),
            About::Beat(First::from_first()),
            About::Place(First::from_first()),
            About::Mark(First::from_first()),
            About::Camera(First::from_first()),
            About::Rig(First::from_first()),
            About::Screen(First::from_first()),
            About::Person(First::from_first()),
            About::Desk(First::from_first()),
            About::Look(First::from_first()),
            About::Pass(First::from_first()),
            About::Day(0),
            About::Finish,
            About::Sequence,
        ];
        for (at, about) in abouts.into_iter().enumerate() {
            self.findings.instructions.push(Instruction {
                about,
                rule: "join-offset",
                topic: "topic".into(),
                text: format!("told {at}"),
                how: "so".into(),
            });
        }
        (0..abouts.len()).map(|at| format!("told {at}")).collect()
    }

    pub(super) fn packet(&mut self) -> Packet {
        self.model.sequence.named.title = Some(self.title.clone());
        let hash = packet::text_hash(&self.sources);
        packet::assemble(&Input {
            sources: &self.sources,
            model: &self.model,
            breakdown: &self.breakdown,
            work: &self.work,
            plan: &self.plan,
            seconds: &[],
            findings: &self.findings,
            diagnostics: &self.diagnostics,
            aftermaths: &BTreeMap::new(),
            draft: self.draft,
            text_hash: &hash,
        })
    }
}

trait First {
    fn from_first() -> Self;
}

impl<I: arena::Id> First for I {
    fn from_first() -> Self {
        I::from_index(0)
    }
}

/// Fills the model and says what its recipes make of it.
fn tell(model: &mut Model) -> Breakdown {
    let mut quay = place("quay", "Old quay");
    quay.hazards = vec![at("water".to_owned())];
    quay.at = Some(at(GeoPosition { latitude: 38.7056, longitude: -9.1657 }));
    quay.hospital = Some("Emergency department, 1.9 km".into());
    let quay = model.places.push(quay);
    let loft = model.places.push(place("loft", "Parcel loft"));
    model.travels.push(Travel { from: quay, to: loft, takes: Seconds::minutes(12.0), span: span(1) });
    let mark = model.marks.push(Mark {
        named: named("stud", "brass stud"),
        place: quay,
        height: Some(at(Length(1.7))),
        heading: Some(at(Angle(140.0))),
        tilt: Some(at(Angle(-35.0))),
        near: Some(at(Length(0.9))),
        far: Some(at(Length(60.0))),
    });
    let camera = model.cameras.push(Camera {
        named: named("thumb", "Thumb camera"),
        count: 2,
        weighs: None,
        battery: Some(at(Seconds::minutes(30.0))),
        packs: 1,
        recharge: Some(Seconds::minutes(35.0)),
        card: Some(at(Data(32e9))),
        cards: 1,
        water: None,
        readout: None,
    });
    let mode = model.modes.push(Mode {
        named: named("thumb.wide", ""),
        camera,
        frame: FrameSize { width: 2560, height: 1440 },
        rate: FrameRate { num: 25, den: 1 },
        shutter: at(Seconds(0.02)),
        view: at(Angle(118.0)),
        projection: Projection::Equidistant,
        stream: Some(Stream(80e6)),
        steadying: Steadying::Level,
        kept: Share(0.9),
    });
    let stand = model.rigs.push(rig("stand", "Tripod"));
    let mut head = rig("head", "Head band");
    head.placing = Some((Length(0.06), Angle(4.0)));
    head.height = Some(Length(1.66));
    head.named.cautions = vec!["The wearer sees nothing below the chin.".into()];
    let head = model.rigs.push(head);
    let screen = model.screens.push(Screen {
        named: named("green", "Folding screen"),
        width: Length(3.0),
        height: Length(2.0),
        foot: Length(0.0),
    });
    let mei = model.people.push(Person {
        named: named("mei", "Mei"),
        plays: vec!["courier".into()],
        can: vec![],
        away: vec![],
        hours: None,
        eyes: None,
    });
    model.desks.push(Desk {
        named: named("ilse", "Ilse"),
        does: vec![at("comp".to_owned()), at("edit".to_owned())],
        hours: Hours(6.0),
        away: vec![at(Range { from: date(2027, 5, 20), to: date(2027, 5, 23) })],
        off: vec![],
    });
    let coat = model.looks.push(Look {
        named: named("coat", "Courier's coat"),
        states: vec!["dry".into(), "wet".into()],
        resets: vec![],
    });
    let beat = |path: &str, title: &str| Beat {
        named: named(path, title),
        story: Some("Paper closes around the box.".into()),
        runs: Some(at(Seconds(6.0))),
        turns: vec![],
        priority: None,
        needs: vec![],
        plates: vec![],
        effects: vec![],
    };
    let bench = model.beats.push(beat("bench", "The parcel wraps itself"));
    let leap = model.beats.push(beat("leap", "Off the gantry"));

    let mut hands =
        plate("bench.hands", "Hands wrap the parcel", &Ids { beat: bench, place: loft, rig: stand, mode });
    hands.hold = at(Hold::Locked);
    hands.people = vec![mei];
    hands.hands = at(Hands::Behind);
    hands.must = vec!["the whole box".into()];
    hands.avoid = vec!["the lamp".into()];
    let on_quay = Ids { beat: leap, place: quay, rig: head, mode };
    let mut swoop = plate("leap.swoop", "Down from the gantry", &on_quay);
    let mark_use = |speed| Some(MarkUse { mark, speed: Some(Speed(speed)), heading: None, span: span(3) });
    swoop.leaves = mark_use(3.1);
    swoop.shows = vec![(StateOf::Look(coat), "dry".into(), span(3))];
    let mut land = plate("leap.land", "Landing, then the run", &on_quay);
    land.enters = mark_use(2.8);
    land.people = vec![mei];
    land.shows = vec![(StateOf::Look(coat), "wet".into(), span(4))];
    let mut reach = plate("leap.reach", "Hands on green", &Ids { beat: leap, place: loft, rig: stand, mode });
    reach.kind = PlateKind::Element;
    reach.screen = Some(screen);
    reach.gap = Some(at(Length(2.0)));
    reach.sweep = Some((Angle(70.0), Angle(45.0)));
    let [hands, swoop, land, reach] = [hands, swoop, land, reach].map(|plate| model.plates.push(plate));
    model.beats[bench].plates = vec![hands];
    model.beats[leap].plates = vec![swoop, land, reach];
    let effect = model.effects.push(Effect {
        named: named("bench.flight", "Things fly"),
        beat: bench,
        recipe: at("carried_objects".to_owned()),
        bindings: vec![],
        objects: vec![],
        speed: vec![],
        speed_span: None,
        sweep: None,
        screen: None,
        gap: None,
        assets: vec![],
        seconds: None,
        efforts: vec![],
        needs: vec![],
    });
    model.beats[bench].effects = vec![effect];
    model.joins.push(Join {
        named: named("leap.swoop->leap.land", ""),
        from: swoop,
        to: land,
        kind: JoinKind::Stitch,
        overlap: TimeSpan::Frames(8.0),
        overlap_span: None,
        mark: Some(mark),
        allow: None,
        efforts: vec![],
        span: span(5),
    });
    break_down(model, bench, effect, hands, loft, stand, mode)
}

fn break_down(
    model: &Model,
    bench: BeatId,
    effect: EffectId,
    hands: PlateId,
    loft: PlaceId,
    stand: RigId,
    mode: ModeId,
) -> Breakdown {
    let mut breakdown = Breakdown { plates: model.plates.clone(), ..Breakdown::default() };
    let mut clean = plate(
        "bench.flight.clean",
        "Clean plate of hands",
        &Ids { beat: bench, place: loft, rig: stand, mode },
    );
    clean.kind = PlateKind::Clean;
    clean.hold = at(Hold::Locked);
    clean.origin = Origin::Owed { effect, role: "clean".into(), because: span(2) };
    clean.takes = 1;
    let clean = breakdown.plates.push(clean);
    breakdown.groups.push(Group { plates: vec![hands, clean], effects: vec![effect] });
    breakdown.demands.push(Demand {
        plate: hands,
        kind: DemandKind::Locked,
        by: Owner::Effect(effect),
        role: "on".into(),
        text: "the camera does not move between the action and the clean plate".into(),
        span: span(2),
    });
    for (role, title, plates) in
        [("on", "the action", vec![hands]), ("clean", "the clean plate", vec![clean])]
    {
        breakdown.roles.push(FilledRole { effect, role: role.into(), title: title.into(), plates });
    }
    breakdown.methods = vec!["Objects moved by hand".into()];
    let mut comp = pass("bench.flight.comp", "Comp over clean", "comp", Owner::Effect(effect));
    comp.inputs = vec![hands, clean];
    comp.notes = vec!["Mask each object on its own.".into()];
    let comp = breakdown.passes.push(comp);
    let mut lock = pass("picture_lock", "Picture lock", "edit", Owner::Sequence);
    lock.lock = true;
    lock.waits = vec![(comp, "all effects are in".into())];
    breakdown.passes.push(lock);
    breakdown.passes.push(pass("sound.impacts", "Impacts", "sound", Owner::Sequence));
    breakdown
}

fn plan(model: &Model, breakdown: &Breakdown, plates: &[PlateId]) -> Plan {
    let places: Vec<PlaceId> = model.places.ids().collect();
    let (quay, loft) = (places[0], places[1]);
    let mut setups = Arena::default();
    let hands = &breakdown.plates[plates[0]];
    let setup = setups.push(SetUp {
        place: loft,
        rig: hands.rig,
        mode: hands.mode,
        mark: None,
        locked: true,
        plates: vec![plates[0], plates[4]],
    });
    let step = |start, end, kind, place, because: &str| Step {
        start,
        end,
        kind,
        place,
        because: if because.is_empty() { vec![] } else { vec![because.to_owned()] },
    };
    let steps = vec![
        step(minute(5, 15), minute(5, 40), StepKind::Shoot(plates[1]), quay, "golden light ends at 07:02"),
        step(minute(5, 40), minute(6, 10), StepKind::Shoot(plates[2]), quay, ""),
        step(minute(6, 10), minute(6, 22), StepKind::Move { from: quay, to: loft }, loft, ""),
        step(minute(6, 22), minute(6, 27), StepKind::Fit(setup), loft, ""),
        step(minute(6, 27), minute(7, 0), StepKind::Shoot(plates[0]), loft, ""),
        step(minute(7, 0), minute(7, 5), StepKind::Shoot(plates[4]), loft, "the group is not broken"),
        step(minute(7, 5), minute(7, 35), StepKind::Pack, quay, ""),
    ];
    let shot = steps
        .iter()
        .filter_map(|step| match step.kind {
            StepKind::Shoot(plate) => Some((plate, (0, step.start, step.end))),
            _ => None,
        })
        .collect();
    let day = PlannedDay {
        number: 1,
        proven: false,
        date: date(2027, 5, 14),
        allowed: 0,
        call: minute(5, 15),
        wrap: minute(7, 35),
        latest: minute(15, 0),
        base: Some(quay),
        steps,
        people: vec![PersonCall {
            person: PersonId::from_first(),
            call: minute(5, 40),
            release: minute(7, 0),
            for_plates: vec![(plates[2], "performs".into()), (plates[0], "performs".into())],
        }],
        sun: Some(SunDay {
            first_light: Some(minute(5, 52)),
            sunrise: Some(minute(6, 22)),
            ..SunDay::default()
        }),
        cameras: vec![CameraUse {
            camera: CameraId::from_first(),
            records: 3.0,
            holds: 60.0,
            charged: 0.0,
            least: 57.0,
            bytes: 1.8e9,
            space: 64e9,
        }],
        levels: vec![
            Level {
                of: LevelOf::Charge(CameraId::from_first()),
                most: 60.0,
                along: vec![
                    (minute(5, 15), 60.0),
                    (minute(6, 10), 58.0),
                    (minute(6, 27), 58.0),
                    (minute(7, 5), 57.0),
                ],
            },
            Level {
                of: LevelOf::Card(CameraId::from_first()),
                most: 64e9,
                along: vec![(minute(5, 15), 64e9), (minute(6, 10), 63e9), (minute(7, 5), 62.2e9)],
            },
        ],
        price: vec![],
    };
    let passes: Vec<_> = breakdown.passes.ids().collect();
    let done = minute(18, 0);
    Plan {
        shoot: ShootPlan {
            setups,
            days: vec![day],
            in_all: 1,
            shot,
            unplanned: vec![Unplanned {
                what: plates[3],
                reasons: vec![("the loft closes before the screen is up".into(), Some(span(2)))],
            }],
            quality: Quality::Proven,
            price: vec![],
            cost: 0,
            bound: 0,
        },
        desk: DeskPlan {
            work: vec![Assignment {
                pass: passes[0],
                desk: DeskId::from_first(),
                start: minute(16, 0),
                end: done,
                because: "footage is there that evening".into(),
            }],
            after: BTreeMap::new(),
            done: BTreeMap::from([(passes[0], done), (passes[1], done)]),
            unplanned: vec![Unplanned { what: passes[2], reasons: vec![("nobody does sound".into(), None)] }],
            finish: Some(done),
            late_days: 0,
            bound: None,
            quality: Quality::Found,
            critical: vec![passes[0]],
            float: BTreeMap::from([(passes[0], Hours(0.0))]),
        },
        covers: vec![],
    }
}
