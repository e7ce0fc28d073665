//! Small sequences built by hand.

use crate::graph::{Node, Reason, Work};
use crate::model::*;
use crate::order::Effort;
use crate::order::rounds::{Wishes, plan_within};
use crate::quantity::*;
use crate::recipe::{After, Breakdown, Group, Owner, Pass, PassId};
use crate::source::{FileId, Span, Spanned};
use jiff::civil::{Date, Time, Weekday, date};
use std::collections::BTreeMap;

/// A sequence in the making.
pub(crate) struct Stage {
    pub(crate) model: Model,
    pub(crate) breakdown: Breakdown,
    pub(crate) work: Work,
    pub(crate) beat: BeatId,
    spans: u32,
}

pub(crate) const FIRST: Date = date(2027, 5, 14);

pub(crate) fn clock(text: &str) -> Time {
    text.parse().unwrap()
}

pub(crate) fn hours(from: &str, to: &str) -> Range<Time> {
    Range { from: clock(from), to: clock(to) }
}

impl Stage {
    /// No days yet, one beat, no place.
    pub(crate) fn new() -> Self {
        let mut stage = Stage {
            model: empty(),
            breakdown: Breakdown::default(),
            work: Work::new(),
            beat: arena::Id::from_index(0),
            spans: 0,
        };
        let named = stage.named("beat");
        stage.beat = stage.model.beats.push(Beat {
            named,
            story: None,
            runs: None,
            turns: vec![],
            priority: None,
            needs: vec![],
            plates: vec![],
            effects: vec![],
        });
        stage
    }

    pub(crate) fn span(&mut self) -> Span {
        self.spans += 1;
        Span { file: FileId(0), start: self.spans * 10, end: self.spans * 10 + 5 }
    }

    pub(crate) fn said<T>(&mut self, value: T) -> Spanned<T> {
        Spanned::new(value, self.span())
    }

    pub(crate) fn named(&mut self, path: &str) -> Named {
        let span = self.span();
        Named { path: path.into(), title: None, span, notes: vec![], cautions: vec![], waivers: vec![] }
    }

    pub(crate) fn place(&mut self, name: &str, light: Light, open: &[(&str, &str)]) -> PlaceId {
        let named = self.named(name);
        // Lisbon; the sun rises at 06:24 on 2027-05-14 and sets at 20:42 (checked in craft).
        let at = self.said(GeoPosition { latitude: 38.7056, longitude: -9.1657 });
        let open = open.iter().map(|(from, to)| self.said(hours(from, to))).collect();
        self.model.places.push(Place {
            named,
            at: Some(at),
            open,
            light,
            hazards: vec![],
            hospital: None,
            horizon: None,
            parking: None,
            roof: false,
        })
    }

    pub(crate) fn way(&mut self, from: PlaceId, to: PlaceId, minutes: f64) {
        let span = self.span();
        self.model.travels.push(Travel { from, to, takes: Seconds::minutes(minutes), span });
    }

    /// A camera with one mode; battery and recharge in minutes.
    pub(crate) fn camera(&mut self, name: &str, battery: f64, recharge: f64, card: f64) -> ModeId {
        let named = self.named(name);
        let battery = self.said(Seconds::minutes(battery));
        let card = self.said(Data(card * 1e9));
        let camera = self.model.cameras.push(Camera {
            named,
            count: 1,
            weighs: None,
            battery: Some(battery),
            packs: 1,
            recharge: (recharge > 0.0).then(|| Seconds::minutes(recharge)),
            card: Some(card),
            cards: 1,
            water: None,
            readout: None,
        });
        let named = self.named(&format!("{name}.wide"));
        let shutter = self.said(Seconds(0.02));
        let view = self.said(Angle(118.0));
        self.model.modes.push(Mode {
            named,
            camera,
            frame: FrameSize { width: 2560, height: 1440 },
            rate: FrameRate { num: 25, den: 1 },
            shutter,
            view,
            projection: Projection::Equidistant,
            stream: Some(Stream(80e6)),
            steadying: Steadying::Level,
            kept: Share(0.9),
        })
    }

    pub(crate) fn rig(&mut self, name: &str, fitting: f64) -> RigId {
        let named = self.named(name);
        self.model.rigs.push(Rig {
            named,
            fixed: false,
            worn: false,
            flies: false,
            height: None,
            fitting: Seconds::minutes(fitting),
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
        })
    }

    pub(crate) fn person(&mut self, name: &str, can: &[&str]) -> PersonId {
        let named = self.named(name);
        self.model.people.push(Person {
            named,
            plays: vec![],
            can: can.iter().map(|&skill| skill.to_owned()).collect(),
            away: vec![],
            hours: None,
            eyes: None,
        })
    }

    /// A plate of `minutes` in one take.
    pub(crate) fn plate(
        &mut self,
        name: &str,
        place: PlaceId,
        rig: RigId,
        mode: ModeId,
        minutes: f64,
    ) -> PlateId {
        let named = self.named(&format!("beat.{name}"));
        let lasts = self.said(Seconds::minutes(minutes));
        let hold = self.said(Hold::Free);
        let hands = self.said(Hands::Out);
        let light = self.model.places[place].light;
        let plate = Plate {
            named,
            beat: self.beat,
            kind: PlateKind::Picture,
            origin: Origin::Written,
            place,
            rig,
            mode,
            people: vec![],
            spotters: vec![],
            light,
            light_span: None,
            lasts,
            uses: None,
            in_picture: Seconds(0.0),
            hold,
            takes: 1,
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
            hands,
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
        };
        self.model.plates.push(plate.clone());
        let id = self.breakdown.plates.push(plate);
        self.work.add_node(Node::Plate(id));
        id
    }

    /// Changes a plate in model and breakdown alike.
    pub(crate) fn set(&mut self, plate: PlateId, change: impl Fn(&mut Plate)) {
        change(&mut self.model.plates[plate]);
        change(&mut self.breakdown.plates[plate]);
    }

    pub(crate) fn days(&mut self, many: i8, call: &str, wrap: &str, base: Option<PlaceId>) {
        let (named, span) = (self.named("days"), self.span());
        let each = (0..many)
            .map(|at| DayPlan {
                date: date(2027, 5, 14 + at),
                call: clock(call),
                wrap: clock(wrap),
                base,
                meal: Seconds::minutes(30.0),
                meal_within: Seconds::minutes(360.0),
                rest: Seconds::minutes(660.0),
                long: Seconds::minutes(600.0),
                chargers: 1,
                expects: None,
                weather: None,
                notes: vec![],
                cautions: vec![],
                call_span: span,
                wrap_span: span,
                span,
            })
            .collect();
        self.model.days = Some(Days { named, each, fallen: None, span });
    }

    pub(crate) fn group(&mut self, plates: &[PlateId]) {
        for &plate in plates {
            self.set(plate, |plate| plate.hold.value = Hold::Locked);
        }
        self.breakdown.groups.push(Group { plates: plates.to_vec(), effects: vec![] });
    }

    /// `first` is waited for by `then`.
    pub(crate) fn edge(&mut self, first: Node, then: Node, text: &str) {
        let find = |work: &mut Work, node: Node| {
            let known = work.node_indices().find(|&at| work[at] == node);
            known.unwrap_or_else(|| work.add_node(node))
        };
        let span = self.span();
        let (from, to) = (find(&mut self.work, first), find(&mut self.work, then));
        self.work.add_edge(from, to, Reason { text: text.into(), span: Some(span), shoot_only: false });
    }

    pub(crate) fn desk(&mut self, name: &str, does: &[&str], hours: f64) -> DeskId {
        let named = self.named(name);
        let does = does.iter().map(|&department| self.said(department.to_owned())).collect();
        self.model.desks.push(Desk {
            named,
            does,
            hours: Hours(hours),
            away: vec![],
            off: vec![Weekday::Saturday, Weekday::Sunday],
        })
    }

    pub(crate) fn pass(
        &mut self,
        path: &str,
        department: &str,
        hours: f64,
        inputs: &[PlateId],
        waits: &[PassId],
    ) -> PassId {
        let span = self.span();
        let id = self.breakdown.passes.push(Pass {
            path: path.into(),
            stage: path.into(),
            title: path.into(),
            department: department.into(),
            or: vec![],
            effort: Hours(hours),
            effort_from: String::new(),
            after: After::default(),
            priority: None,
            owner: Owner::Sequence,
            inputs: inputs.to_vec(),
            waits: waits.iter().map(|&on| (on, "as the recipe says".into())).collect(),
            notes: vec![],
            span,
            lock: false,
        });
        for &plate in inputs {
            self.edge(Node::Plate(plate), Node::Pass(id), "footage");
        }
        for &on in waits {
            self.edge(Node::Pass(on), Node::Pass(id), "order");
        }
        id
    }

    pub(crate) fn join(&mut self, from: PlateId, to: PlateId) -> JoinId {
        let (named, span) = (self.named("join"), self.span());
        self.model.joins.push(Join {
            named,
            from,
            to,
            kind: JoinKind::Stitch,
            overlap: TimeSpan::Frames(8.0),
            overlap_span: None,
            mark: None,
            allow: None,
            efforts: vec![],
            span,
        })
    }

    /// The plan with the reasons that the planner met, which is all that most tests look at.
    pub(crate) fn bare_plan(&self) -> crate::order::Plan {
        let (within, without) = Default::default();
        let wishes = Wishes { effort: Effort::default(), within: &within, without: &without };
        plan_within(&self.model, &self.breakdown, &self.work, &wishes)
    }

    pub(crate) fn plan(&self) -> crate::order::Plan {
        crate::order::plan(&self.model, &self.breakdown, &self.work)
    }
}

fn empty() -> Model {
    let span = Span { file: FileId(0), start: 0, end: 0 };
    let named =
        Named { path: "s".into(), title: None, span, notes: vec![], cautions: vec![], waivers: vec![] };
    Model::empty(Sequence {
        named,
        picture: FrameSize { width: 1920, height: 1080 },
        rate: FrameRate { num: 25, den: 1 },
        zone: "Europe/Lisbon".into(),
        mains: None,
        handles: Seconds(0.5),
        budgets: Budgets::default(),
        weights: Weights::default(),
        severities: BTreeMap::new(),
    })
}
