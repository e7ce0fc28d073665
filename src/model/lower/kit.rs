//! Places, kit, people and things with states.

use super::{Lower, args};
use crate::craft::optics::WIDEST_FLAT;
use crate::diagnostic::{Diagnostic, codes};
use crate::model::{
    Camera, CameraId, Desk, Light, Look, Mark, Mode, Model, Person, Place, Prop, Reset, Rig, Screen,
    Steadying, Travel,
};
use crate::quantity::{
    Angle, Data, FrameRate, GeoPosition, Hours, Length, Mass, Projection, Seconds, Share, Stream, TurnRate,
};
use crate::schema::{Arg, Fact};
use crate::source::Spanned;
use jiff::civil::Weekday;

impl Lower<'_> {
    pub(super) fn kit(&mut self, model: &mut Model) {
        for fact in self.top("place") {
            let place = self.place(fact);
            self.settle("place", fact, |part| model.places.push(part), place);
        }
        for fact in self.top("travel") {
            model.travels.extend(self.travel(fact));
        }
        for fact in self.top("mark") {
            let mark = self.mark(fact);
            self.settle("mark", fact, |part| model.marks.push(part), mark);
        }
        for fact in self.top("camera") {
            self.camera(fact, model);
        }
        for fact in self.top("rig") {
            let rig = self.rig(fact, model.sequence.rate);
            self.settle("rig", fact, |part| model.rigs.push(part), rig);
        }
        for fact in self.top("screen") {
            let screen = self.screen(fact);
            self.settle("screen", fact, |part| model.screens.push(part), screen);
        }
        for fact in self.top("person") {
            let person = self.person(fact);
            self.settle("person", fact, |part| model.people.push(part), Some(person));
        }
        for fact in self.top("desk") {
            let desk = self.desk(fact);
            self.settle("desk", fact, |part| model.desks.push(part), desk);
        }
        for fact in self.top("prop") {
            let named = self.named(fact, path(fact));
            let (states, resets) = self.states(fact);
            let spares = args::count(fact, "spares").unwrap_or(0);
            let prop = (!states.is_empty()).then_some(Prop { named, states, resets, spares });
            self.settle("prop", fact, |part| model.props.push(part), prop);
        }
        for fact in self.top("look") {
            let named = self.named(fact, path(fact));
            let (states, resets) = self.states(fact);
            let look = (!states.is_empty()).then_some(Look { named, states, resets });
            self.settle("look", fact, |part| model.looks.push(part), look);
        }
    }

    /// Declares a name and, where its part is whole and the name is new, keeps it.
    fn settle<T, I: crate::model::arena::Id>(
        &mut self,
        kind: &'static str,
        fact: &Fact,
        push: impl FnOnce(T) -> I,
        part: Option<T>,
    ) {
        let Some(name) = args::name(fact, 0) else { return };
        if !self.names.declare(kind, &name.value, name.span, self.diagnostics) {
            return;
        }
        if let Some(part) = part {
            let id = push(part);
            self.names.settle(kind, &name.value, id);
        }
    }

    fn place(&mut self, fact: &Fact) -> Option<Place> {
        let at = fact.get("at").and_then(|line| {
            let mut numbers = args::list(line, 0).iter().filter_map(|entry| entry.first()?.number());
            let (latitude, longitude) = (numbers.next()?, numbers.next()?);
            Some(Spanned::new(
                GeoPosition { latitude: latitude.value.value, longitude: longitude.value.value },
                latitude.span.to(longitude.span),
            ))
        });
        let mut open = Vec::new();
        for line in fact.all("open") {
            for entry in args::list(line, 0) {
                if let Some(range) = entry.first().and_then(args::clocks) {
                    if range.value.from >= range.value.to {
                        self.wrong(
                            Diagnostic::new(codes::RANGE, range.span, "this opens after it closes")
                                .label("expected the earlier clock first")
                                .help("for a night, write two ranges: '20:00..23:59, 00:00..04:00'"),
                        );
                    } else {
                        open.push(range);
                    }
                }
            }
        }
        let named = self.named(fact, path(fact));
        let light = light(fact).map_or(Light::Sky, |light| light.value);
        Some(Place {
            named,
            at,
            open,
            light,
            hazards: args::names(fact, "hazard"),
            hospital: args::first_text(fact, "hospital"),
            horizon: args::angle(fact, "horizon").map(|angle| angle.value),
            parking: args::first_text(fact, "parking"),
            roof: args::yes(fact, "roof").unwrap_or(light == Light::Lamp),
        })
    }

    fn travel(&mut self, fact: &Fact) -> Option<Travel> {
        let from = self.names.find("place", args::name(fact, 0)?, self.diagnostics);
        let to = self.names.find("place", args::name(fact, 1)?, self.diagnostics);
        let takes = Seconds(args::number(fact, 2)?.value);
        Some(Travel { from: from?, to: to?, takes, span: fact.span })
    }

    fn mark(&mut self, fact: &Fact) -> Option<Mark> {
        let named = self.named(fact, path(fact));
        let place = self.names.find("place", args::name(fact.get("place")?, 0)?, self.diagnostics);
        let near = args::length(fact, "near");
        let far = args::length(fact, "far");
        self.near_before_far(near, far);
        Some(Mark {
            named,
            place: place?,
            height: args::length(fact, "height"),
            heading: args::angle(fact, "heading"),
            tilt: args::angle(fact, "tilt"),
            near,
            far,
        })
    }

    fn camera(&mut self, fact: &Fact, model: &mut Model) {
        let rate = model.sequence.rate;
        let named = self.named(fact, path(fact));
        let body = named.path.clone();
        let camera = Camera {
            named,
            count: args::count(fact, "count").unwrap_or(1),
            weighs: args::of(fact, "weighs").map(|number| Mass(number.value)),
            battery: args::seconds(fact, "battery", rate),
            packs: args::count(fact, "packs").unwrap_or(1),
            recharge: args::seconds(fact, "recharge", rate).map(|span| span.value),
            card: args::of(fact, "card").map(|number| Spanned::new(Data(number.value), number.span)),
            cards: args::count(fact, "cards").unwrap_or(1),
            water: args::length(fact, "water").map(|length| length.value),
            readout: args::seconds(fact, "readout", rate).map(|span| span.value),
        };
        let Some(name) = args::name(fact, 0) else { return };
        if !self.names.declare("camera", &body, name.span, self.diagnostics) {
            return;
        }
        let id = model.cameras.push(camera);
        self.names.settle("camera", &body, id);
        for line in fact.all("mode") {
            let Some(name) = args::name(line, 0) else { continue };
            let mode_path = format!("{body}.{}", name.value);
            let mode = self.mode(line, &mode_path, id);
            if !self.names.declare("camera mode", &mode_path, name.span, self.diagnostics) {
                continue;
            }
            if let Some(mode) = mode {
                let id = model.modes.push(mode);
                self.names.settle("camera mode", &mode_path, id);
            }
        }
    }

    fn mode(&mut self, fact: &Fact, path: &str, camera: CameraId) -> Option<Mode> {
        let named = self.named(fact, path);
        let frame_line = fact.get("frame")?;
        let Some(Arg::Size(frame)) = frame_line.args.first() else { return None };
        let rate = self.frame_rate(args::number(frame_line, 1)?)?;
        let shutter = args::measure(fact.get("shutter")?, 0)?;
        let exposure = match shutter.value.dimension {
            // Exposure of a shutter angle: angle / 360 / frame rate.
            crate::quantity::unit::Dimension::Angle => shutter.value.value / 360.0 / rate.per_second(),
            _ => args::span_of(shutter.value).seconds(rate).0,
        };
        if exposure > 1.0 / rate.per_second() * (1.0 + 1e-9) {
            self.wrong(
                Diagnostic::new(codes::RANGE, shutter.span, "the shutter is open longer than a frame lasts")
                    .label(format!(
                        "at most {} at this frame rate",
                        crate::quantity::show::exposure(Seconds(1.0 / rate.per_second()))
                    ))
                    .help("choose a shorter exposure, or a lower frame rate"),
            );
            return None;
        }
        let view_line = fact.get("view")?;
        let view = args::number(view_line, 0)?;
        let equidistant = args::group(view_line, 1)
            .and_then(|parts| parts.first()?.name())
            .is_some_and(|word| word.value == "equidistant");
        if !equidistant && view.value > WIDEST_FLAT.0 {
            self.wrong(
                Diagnostic::new(
                    codes::RANGE,
                    view.span,
                    format!("a rectilinear view is at most {WIDEST_FLAT}"),
                )
                .label("too wide for straight lines to stay straight")
                .help("write 'equidistant' behind it if the lens is a fisheye"),
            );
            return None;
        }
        let steadying =
            match fact.get("steady").and_then(|line| args::name(line, 0)).map(|word| word.value.as_str()) {
                Some("level") => Steadying::Level,
                Some("free") => Steadying::Free,
                _ => Steadying::Off,
            };
        let kept = if steadying == Steadying::Off { 1.0 } else { 0.9 };
        Some(Mode {
            named,
            camera,
            frame: frame.value,
            rate,
            shutter: Spanned::new(Seconds(exposure), shutter.span),
            view: Spanned::new(Angle(view.value), view.span),
            projection: if equidistant { Projection::Equidistant } else { Projection::Rectilinear },
            stream: args::of(fact, "stream").map(|number| Stream(number.value)),
            steadying,
            kept: args::share(fact, "kept").unwrap_or(Share(kept)),
        })
    }

    /// A frame rate that can be counted exactly.
    pub(super) fn frame_rate(&mut self, number: Spanned<f64>) -> Option<FrameRate> {
        let rate = FrameRate::from_written(number.value);
        if rate.is_none() {
            self.wrong(
                Diagnostic::new(codes::RANGE, number.span, "this frame rate cannot be counted exactly")
                    .label("expected a rate such as 25, 29.97 or 50")
                    .help("write at most three decimals"),
            );
        }
        rate
    }

    fn rig(&mut self, fact: &Fact, rate: FrameRate) -> Option<Rig> {
        let named = self.named(fact, path(fact));
        let placing = fact.get("placing").and_then(|line| {
            let length = args::number(line, 0)?;
            Some((Length(length.value), Angle(args::group_number(line, 1).map_or(0.0, |angle| angle.value))))
        });
        Some(Rig {
            named,
            fixed: args::yes(fact, "fixed").unwrap_or(false),
            worn: args::yes(fact, "worn").unwrap_or(false),
            flies: args::yes(fact, "flies").unwrap_or(false),
            height: args::length(fact, "height").map(|length| length.value),
            fitting: args::seconds(fact, "fitting", rate).map_or(Seconds::minutes(5.0), |span| span.value),
            placing,
            sway: TurnRate(args::of(fact, "sway").map_or(0.0, |number| number.value)),
            carries: args::of(fact, "carries").map(|number| Mass(number.value)),
            hands: args::count(fact, "hands").unwrap_or(2),
            hazards: args::names(fact, "hazard"),
            endurance: args::seconds(fact, "endurance", rate),
            packs: args::count(fact, "packs").unwrap_or(1),
            recharge: args::seconds(fact, "recharge", rate).map(|span| span.value),
            water: args::yes(fact, "water").unwrap_or(false),
            silences: args::yes(fact, "silences").unwrap_or(false),
            away: self.away(fact),
        })
    }

    fn screen(&mut self, fact: &Fact) -> Option<Screen> {
        let named = self.named(fact, path(fact));
        let (width, height) = args::pair(fact, "size")?.value;
        let foot = args::length(fact, "foot").map_or(Length(0.0), |length| length.value);
        Some(Screen { named, width: Length(width), height: Length(height), foot })
    }

    fn person(&mut self, fact: &Fact) -> Person {
        let words = |word| args::names(fact, word).into_iter().map(|name| name.value).collect();
        Person {
            named: self.named(fact, path(fact)),
            plays: words("plays"),
            can: words("can"),
            away: self.away(fact),
            hours: fact.get("hours").and_then(|line| args::clocks(line.args.first()?)),
            eyes: args::length(fact, "eyes").map(|length| length.value),
        }
    }

    fn away(&mut self, fact: &Fact) -> Vec<Spanned<crate::quantity::Range<jiff::civil::Date>>> {
        let mut away = Vec::new();
        for range in fact
            .all("away")
            .flat_map(|line| args::list(line, 0))
            .filter_map(|entry| args::dates(entry.first()?))
        {
            if range.value.from > range.value.to {
                self.wrong(
                    Diagnostic::new(codes::RANGE, range.span, "this range of dates ends before it starts")
                        .label("expected the earlier date first"),
                );
            } else {
                away.push(range);
            }
        }
        away
    }

    fn desk(&mut self, fact: &Fact) -> Option<Desk> {
        let named = self.named(fact, path(fact));
        let does = args::names(fact, "does");
        let hours = args::number(fact.get("hours")?, 0)?;
        let off = fact
            .get("off")
            .map(|line| {
                args::list_names(line, 0).iter().filter_map(|day| weekday(&day.value)).collect::<Vec<_>>()
            })
            .unwrap_or_default();
        if does.is_empty() {
            return None;
        }
        Some(Desk { named, does, hours: Hours(hours.value / 3600.0), away: self.away(fact), off })
    }

    fn states(&mut self, fact: &Fact) -> (Vec<String>, Vec<Reset>) {
        let mut states: Vec<String> = Vec::new();
        for state in args::names(fact, "states") {
            if states.contains(&state.value) {
                self.wrong(
                    Diagnostic::new(
                        codes::DUPLICATE,
                        state.span,
                        format!("the state '{}' is listed twice", state.value),
                    )
                    .label("listed again"),
                );
            } else {
                states.push(state.value);
            }
        }
        let mut resets = Vec::new();
        for line in fact.all("reset") {
            let (Some(from), Some(to), Some(takes)) =
                (args::name(line, 0), args::name(line, 1), args::number(line, 2))
            else {
                continue;
            };
            let known = [from, to].into_iter().all(|state| self.state_of(&states, state));
            if known {
                resets.push(Reset {
                    from: from.value.clone(),
                    to: to.value.clone(),
                    takes: Seconds(takes.value),
                    span: line.span,
                });
            }
        }
        (states, resets)
    }

    /// Whether a state is one of those listed; reports one that is not.
    pub(super) fn state_of(&mut self, states: &[String], state: &Spanned<String>) -> bool {
        if states.contains(&state.value) {
            return true;
        }
        let mut wrong =
            Diagnostic::new(codes::UNKNOWN_NAME, state.span, format!("no state '{}' is listed", state.value))
                .label("not one of its states")
                .help(format!("its states are {}", states.join(", ")));
        if let Some(near) =
            crate::diagnostic::nearest::nearest(&state.value, states.iter().map(String::as_str))
        {
            wrong = wrong.help(format!("did you mean '{near}'?")).patch(state.span, near);
        }
        self.wrong(wrong);
        false
    }
}

fn path(fact: &Fact) -> String {
    args::name(fact, 0).map(|name| name.value.clone()).unwrap_or_default()
}

pub(super) fn light(fact: &Fact) -> Option<Spanned<Light>> {
    match fact.get("light")?.args.first()? {
        Arg::Light(light) => Some(*light),
        _ => None,
    }
}

fn weekday(word: &str) -> Option<Weekday> {
    Some(match word {
        "monday" => Weekday::Monday,
        "tuesday" => Weekday::Tuesday,
        "wednesday" => Weekday::Wednesday,
        "thursday" => Weekday::Thursday,
        "friday" => Weekday::Friday,
        "saturday" => Weekday::Saturday,
        "sunday" => Weekday::Sunday,
        _ => return None,
    })
}
