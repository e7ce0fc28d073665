//! One plate.

use super::{Lower, args, kit};
use crate::diagnostic::{Diagnostic, codes};
use crate::model::{
    BeatId, Hands, Hold, MarkId, MarkUse, ModeId, Model, Origin, PersonId, PlaceId, Plate, PlateKind, RigId,
    ScreenId, StateOf, Turn,
};
use crate::quantity::{Angle, Length, Seconds, Share, Speed, TurnRate};
use crate::schema::Fact;
use crate::source::Spanned;

impl Lower<'_> {
    /// A plate without what refers to other plates; `None` when it is not whole.
    pub(super) fn plate(&mut self, fact: &Fact, path: &str, beat: BeatId, model: &Model) -> Option<Plate> {
        let rate = model.sequence.rate;
        let named = self.named(fact, path);
        let place: Option<PlaceId> = self.one("place", fact, "place");
        let rig: Option<RigId> = self.one("rig", fact, "rig");
        let mode: Option<ModeId> = self.one("camera mode", fact, "camera");
        let people = self.people(fact, "person");
        let spotters = self.people(fact, "spotter");
        let enters = self.mark_use(fact, "enters");
        let leaves = self.mark_use(fact, "leaves");
        let mark: Option<MarkId> = self.one("mark", fact, "mark");
        let screen: Option<ScreenId> = self.one("screen", fact, "screen");
        let shows = self.shows(fact, model);
        let turns = self.turns(fact, model);
        let lasts = args::seconds(fact, "lasts", rate)?;
        let place = place?;
        for one in [&enters, &leaves].into_iter().flatten() {
            self.same_place(one.mark, one.span, place, model);
        }
        if let (Some(mark), Some(line)) = (mark, fact.get("mark")) {
            self.same_place(mark, line.span, place, model);
        }
        let word = |line: &str| fact.get(line).and_then(|line| args::name(line, 0)).cloned();
        let hold = match word("hold") {
            Some(word) => {
                Spanned::new(if word.value == "locked" { Hold::Locked } else { Hold::Free }, word.span)
            }
            None => Spanned::new(Hold::Free, named.span),
        };
        let hands = match word("hands") {
            Some(word) => {
                let hands = match word.value.as_str() {
                    "in" => Hands::In,
                    "behind" => Hands::Behind,
                    _ => Hands::Out,
                };
                Spanned::new(hands, word.span)
            }
            None => Spanned::new(Hands::Out, named.span),
        };
        self.near_before_far(args::length(fact, "near"), args::length(fact, "far"));
        let light = kit::light(fact);
        let takes = args::count(fact, "takes").unwrap_or(3);
        // Where nobody says how long, bringing things back is a part of it.
        let usual = Seconds::minutes(2.0);
        let back = model.reset_between(&turns, takes).map_or(usual, |back| back.max(usual));
        Some(Plate {
            beat,
            kind: PlateKind::Picture,
            origin: Origin::Written,
            place,
            rig: rig?,
            mode: mode?,
            people,
            spotters,
            light: light.map_or(model.places[place].light, |light| light.value),
            light_span: light.map(|light| light.span),
            lasts,
            uses: args::seconds(fact, "uses", rate),
            in_picture: Seconds(0.0),
            hold,
            takes,
            between: args::seconds(fact, "between", rate).map_or(back, |span| span.value),
            turns_camera: args::of(fact, "turns_camera")
                .map(|number| Spanned::new(TurnRate(number.value), number.span)),
            rolls: args::angle(fact, "rolls"),
            moves: args::of(fact, "moves").map(|number| Spanned::new(Speed(number.value), number.span)),
            enters,
            leaves,
            mark,
            height: args::length(fact, "height"),
            heading: args::angle(fact, "heading"),
            tilt: args::angle(fact, "tilt"),
            near: args::length(fact, "near"),
            far: args::length(fact, "far"),
            screen,
            gap: args::length(fact, "gap"),
            sweep: args::pair(fact, "sweep").map(|pair| (Angle(pair.value.0), Angle(pair.value.1))),
            hands,
            reframe: args::share(fact, "reframe").unwrap_or(Share(1.0)),
            hazards: args::names(fact, "hazard"),
            shows,
            turns,
            must: args::texts(fact, "must"),
            avoid: args::texts(fact, "avoid"),
            needs: Vec::new(),
            after: Vec::new(),
            rolls_with: None,
            beside: Vec::new(),
            sound: args::yes(fact, "sound").unwrap_or(true),
            named,
        })
    }

    /// Reports a nearest thing that is farther than the farthest.
    pub(super) fn near_before_far(&mut self, near: Option<Spanned<Length>>, far: Option<Spanned<Length>>) {
        if let (Some(near), Some(far)) = (near, far)
            && near.value.0 > far.value.0
        {
            self.wrong(
                Diagnostic::new(codes::RANGE, near.span, "the nearest thing is farther than the farthest")
                    .label(format!("at most {}, as 'far' says", far.value))
                    .other(far.span, "the farthest thing"),
            );
        }
    }

    /// What the name in a statement of a block means.
    pub(super) fn one<I: crate::model::arena::Id>(
        &mut self,
        kind: &'static str,
        fact: &Fact,
        word: &str,
    ) -> Option<I> {
        let name = args::name(fact.get(word)?, 0)?;
        self.names.find(kind, name, self.diagnostics)
    }

    fn people(&mut self, fact: &Fact, word: &str) -> Vec<PersonId> {
        args::names(fact, word)
            .iter()
            .filter_map(|name| self.names.find("person", name, self.diagnostics))
            .collect()
    }

    fn mark_use(&mut self, fact: &Fact, word: &str) -> Option<MarkUse> {
        let line = fact.get(word)?;
        let mark = self.names.find("mark", args::name(line, 0)?, self.diagnostics)?;
        Some(MarkUse {
            mark,
            speed: args::group_number(line, 1).map(|number| Speed(number.value)),
            heading: args::group_number(line, 2).map(|number| Angle(number.value)),
            span: line.span,
        })
    }

    fn same_place(&mut self, mark: MarkId, span: crate::source::Span, place: PlaceId, model: &Model) {
        let there = model.marks[mark].place;
        if there != place {
            self.wrong(
                Diagnostic::new(
                    codes::VALUE,
                    span,
                    format!(
                        "the mark '{}' is at {}, this plate is shot at {}",
                        model.marks[mark].named.path,
                        model.places[there].named.path,
                        model.places[place].named.path
                    ),
                )
                .label("another place")
                .other(model.marks[mark].named.span, "the mark is declared here"),
            );
        }
    }

    fn shows(&mut self, fact: &Fact, model: &Model) -> Vec<(StateOf, String, crate::source::Span)> {
        let mut shows = Vec::new();
        for line in fact.all("shows") {
            let (Some(name), Some(state)) = (args::name(line, 0), args::name(line, 1)) else { continue };
            if let Some(of) = self.state_owner(name)
                && self.has_state(of, state, model)
            {
                shows.push((of, state.value.clone(), line.span));
            }
        }
        for line in fact.all("wears") {
            let (Some(person), Some(look), Some(state)) =
                (args::name(line, 0), args::name(line, 1), args::name(line, 2))
            else {
                continue;
            };
            let _: Option<PersonId> = self.names.find("person", person, self.diagnostics);
            let Some(look) = self.names.find("look", look, self.diagnostics) else { continue };
            let of = StateOf::Look(look);
            if self.has_state(of, state, model) {
                shows.push((of, state.value.clone(), line.span));
            }
        }
        shows
    }

    /// State changes of a beat or plate.
    pub(super) fn turns(&mut self, fact: &Fact, model: &Model) -> Vec<Turn> {
        let mut turns = Vec::new();
        for line in fact.all("turns") {
            let (Some(name), Some(from), Some(to)) =
                (args::name(line, 0), args::name(line, 1), args::name(line, 2))
            else {
                continue;
            };
            let Some(of) = self.state_owner(name) else { continue };
            if self.has_state(of, from, model) & self.has_state(of, to, model) {
                turns.push(Turn { of, from: from.value.clone(), to: to.value.clone(), span: line.span });
            }
        }
        turns
    }

    /// The prop or look of that name.
    fn state_owner(&mut self, name: &Spanned<String>) -> Option<StateOf> {
        if self.names.has("look", &name.value) {
            return self.names.find("look", name, self.diagnostics).map(StateOf::Look);
        }
        self.names.find("prop", name, self.diagnostics).map(StateOf::Prop)
    }

    fn has_state(&mut self, of: StateOf, state: &Spanned<String>, model: &Model) -> bool {
        let states = match of {
            StateOf::Prop(id) => &model.props[id].states,
            StateOf::Look(id) => &model.looks[id].states,
        };
        self.state_of(states, state)
    }
}
