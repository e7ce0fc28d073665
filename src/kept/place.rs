//! From what a plan file says to a kept plan: names, days and people looked up.
//!
//! Guaranteed: a plate or pass that is gone is left out in silence, since that
//! is what a change of the sequence does; one that clearly has another name keeps
//! its place; a pin of a name that is gone is told, since somebody meant it.

use super::read::{Pin, Words, Written};
use super::renamed::Renamed;
use crate::diagnostic::nearest::nearest;
use crate::diagnostic::{Code, Diagnostic, Label, codes};
use crate::model::{Kept, KeptPass, KeptPlate, Model, Pin as Kind, Pinned, PlateId};
use crate::recipe::{Breakdown, Pass};
use crate::source::Span;
use jiff::civil::{Date, Time};
use std::collections::{BTreeMap, BTreeSet};

/// What names are looked up in.
pub(super) struct Place<'p> {
    words: Words<'p>,
    model: &'p Model,
    plates: Vec<&'p str>,
    passes: BTreeMap<&'p str, &'p Pass>,
    /// Plates that need not be shot any more.
    captured: BTreeSet<&'p str>,
    /// Plates of which some log speaks.
    logged: BTreeSet<&'p str>,
    wrong: Vec<Diagnostic>,
}

impl<'p> Place<'p> {
    pub(super) fn new(words: Words<'p>, model: &'p Model, breakdown: &'p Breakdown) -> Self {
        let plates = breakdown.plates.values().map(|plate| plate.named.path.as_str()).collect();
        let passes = breakdown.passes.values().map(|pass| (pass.path.as_str(), pass)).collect();
        let path = |id: &PlateId| breakdown.plates[*id].named.path.as_str();
        let captured = model.record.taken.iter().map(path).collect();
        let logged = model.record.plates.keys().map(path).collect();
        Self { words, model, plates, passes, captured, logged, wrong: Vec::new() }
    }

    pub(super) fn place(mut self, written: &Written, diagnostics: &mut Vec<Diagnostic>) -> Kept {
        let mut kept = Kept::default();
        for pin in written.pins.iter().flatten() {
            let Some(found) = self.pin(pin) else { continue };
            match kept.pins.iter().find(|known| same(known, &found)) {
                Some(known) => {
                    let first = known.span;
                    let twice =
                        self.tell(codes::PIN_UNFIT, found.span, "this is pinned twice", "the second pin");
                    twice.others.push(Label { span: first, text: "the first pin".into() });
                    twice.help = Some("keep the one that is meant".into());
                }
                None => kept.pins.push(found),
            }
        }
        let renamed = self.renamed(written);
        self.shoot(written, &renamed, &mut kept);
        self.desk(written, &renamed, &mut kept);
        diagnostics.append(&mut self.wrong);
        kept
    }

    fn renamed(&self, written: &Written) -> Renamed {
        let kept = written.shoot.iter().flat_map(|day| &day.plates).map(String::as_str);
        let kept = kept.filter(|name| !self.captured.contains(name)).collect();
        let there = self.plates.iter().copied().filter(|name| !self.captured.contains(name)).collect();
        Renamed::find(&kept, &there)
    }

    fn shoot(&mut self, written: &Written, renamed: &Renamed, kept: &mut Kept) {
        let mut days: BTreeMap<Date, Span> = BTreeMap::new();
        let mut spans: BTreeMap<&str, Span> = BTreeMap::new();
        for day in &written.shoot {
            let at = self.words.next("shoot", &day.day);
            let Some(date) = self.date(&day.day, at) else { continue };
            if let Some(first) = days.insert(date, at) {
                self.twice(&format!("the day {date}"), at, first);
            }
            self.gone_day(date, at);
            self.short(date, &day.plates, renamed);
            for plate in &day.plates {
                if !self.is_first("shoot", plate, &mut spans) {
                    continue;
                }
                let place = kept.plates.len();
                kept.plates.insert(renamed.plate(plate), KeptPlate { date, place });
            }
        }
    }

    fn desk(&mut self, written: &Written, renamed: &Renamed, kept: &mut Kept) {
        let mut people: BTreeMap<&str, Span> = BTreeMap::new();
        let mut spans: BTreeMap<&str, Span> = BTreeMap::new();
        for person in &written.desk {
            let at = self.words.next("desk", &person.person);
            if let Some(first) = people.insert(&person.person, at) {
                self.twice(&format!("the list of '{}'", person.person), at, first);
            }
            self.gone_person(&person.person, at);
            for pass in &person.passes {
                if !self.is_first("desk", pass, &mut spans) {
                    continue;
                }
                let place = kept.passes.len();
                kept.passes.insert(renamed.pass(pass), KeptPass { who: person.person.clone(), place });
            }
        }
    }

    /// A day that is none any more, or never was.
    fn gone_day(&mut self, date: Date, at: Span) {
        let days = self.model.days.iter().flat_map(|days| &days.each);
        let dates: Vec<String> = days.map(|day| day.date.to_string()).collect();
        if dates.is_empty() || dates.contains(&date.to_string()) {
            return;
        }
        let message = format!("the plan file has {date}, which is no shoot day");
        let help = format!(
            "what stands there finds its place anew on one of {}; `build --keep` writes the file anew",
            dates.join(", ")
        );
        self.tell(codes::PLAN_GONE, at, message, "no shoot day").help = Some(help);
    }

    /// Somebody who does not work at the desk any more, or never did.
    fn gone_person(&mut self, name: &str, at: Span) {
        let desks = self.model.desks.values().map(|desk| desk.named.path.as_str());
        let names: Vec<&str> = desks.collect();
        if names.contains(&name) {
            return;
        }
        let message = format!("the plan file has '{name}', whom the desk does not have");
        let near = nearest(name, names.iter().copied());
        let help = match near {
            Some(near) => {
                format!("write '{near}' if that is meant; else `build --keep` writes the file anew")
            }
            None => "their passes are given out anew; `build --keep` writes the file anew".to_owned(),
        };
        self.tell(codes::PLAN_GONE, at, message, "not at the desk").help = Some(help);
    }

    /// A day that has wrapped, and plates kept for it of which no log speaks: told
    /// once, until the plan is kept anew.
    fn short(&mut self, date: Date, plates: &[String], renamed: &Renamed) {
        let Some(logged) = self.model.record.day(date).filter(|day| day.wrapped.is_some()) else { return };
        let there = plates
            .iter()
            .map(|plate| renamed.plate(plate))
            .filter(|plate| self.plates.contains(&plate.as_str()) && !self.logged.contains(plate.as_str()));
        let missing: Vec<String> = there.map(|plate| format!("'{plate}'")).collect();
        if missing.is_empty() {
            return;
        }
        let message = format!(
            "{date} has wrapped, and no log speaks of {} of the {} plates kept for it",
            missing.len(),
            plates.len()
        );
        let help = "if they were captured, log their takes: part of the log may be missing; else they are \
                    planned anew";
        let found = self.tell(codes::DAY_SHORT, logged.span, message, "wrapped");
        found.notes.push(format!("not logged: {}", missing.join(", ")));
        found.help = Some(help.into());
    }

    /// Whether a name stands in its part for the first time; told where not.
    fn is_first<'w>(&mut self, part: &str, name: &'w str, spans: &mut BTreeMap<&'w str, Span>) -> bool {
        let at = self.words.next(part, name);
        if let Some(first) = spans.get(name).copied() {
            self.twice(&format!("'{name}'"), at, first);
            return false;
        }
        spans.insert(name, at);
        true
    }

    fn pin(&mut self, pin: &Pin) -> Option<Kind> {
        match (&pin.plate, &pin.pass) {
            (Some(plate), None) => self.pin_of_plate(plate, pin),
            (None, Some(pass)) => self.pin_of_pass(pass, pin),
            (one, other) => {
                let name = one.as_ref().or(other.as_ref()).map_or("pins", String::as_str);
                let at = self.words.next("pins", name);
                self.tell(codes::PIN_UNFIT, at, "a pin is of one plate or of one pass", "of this pin").help =
                    Some("write '- plate: PATH' with 'on: DATE', or '- pass: PATH' with 'by: NAME'".into());
                None
            }
        }
    }

    fn pin_of_plate(&mut self, plate: &str, pin: &Pin) -> Option<Kind> {
        let span = self.words.next("pins", plate);
        if !self.plates.contains(&plate) {
            let near = nearest(plate, self.plates.iter().copied()).map(str::to_owned);
            self.unknown("plate", plate, span, near);
            return None;
        }
        if pin.by.is_some() || pin.from.is_some() {
            self.tell(codes::PIN_UNFIT, span, format!("'{plate}' is pinned like a pass"), "a plate").help =
                Some("a plate is pinned with 'on: DATE' and, if need be, 'at: CLOCK'".into());
            return None;
        }
        let Some(on) = &pin.on else {
            self.tell(codes::PIN_UNFIT, span, format!("'{plate}' is pinned to no day"), "without a day")
                .help = Some("add a line 'on: DATE', such as 'on: 2027-05-14'".into());
            return None;
        };
        let at = self.words.next("pins", on);
        let on = self.date(on, at)?;
        let days = self.model.days.iter().flat_map(|days| &days.each);
        let dates: Vec<String> = days.map(|day| day.date.to_string()).collect();
        if !dates.contains(&on.to_string()) {
            self.tell(
                codes::PIN_UNFIT,
                at,
                format!("'{plate}' is pinned to {on}, which is no shoot day"),
                "not allowed",
            )
            .help = Some(format!("choose one of {}, or add the date to 'days'", dates.join(", ")));
            return None;
        }
        let at = match &pin.at {
            Some(clock) => Some(self.clock(clock)?),
            None => None,
        };
        Some(Kind { what: Pinned::Plate { plate: plate.to_owned(), at }, on: Some(on), span })
    }

    fn pin_of_pass(&mut self, pass: &str, pin: &Pin) -> Option<Kind> {
        let span = self.words.next("pins", pass);
        let Some(own) = self.passes.get(pass).copied() else {
            let near = nearest(pass, self.passes.keys().copied()).map(str::to_owned);
            self.unknown("pass", pass, span, near);
            return None;
        };
        if pin.on.is_some() || pin.at.is_some() || (pin.by.is_none() && pin.from.is_none()) {
            let label = "expected 'by' or 'from'";
            self.tell(
                codes::PIN_UNFIT,
                span,
                format!("'{pass}' is pinned like a plate, or to nothing"),
                label,
            )
            .help = Some("a pass is pinned with 'by: NAME', with 'from: DATE', or with both".into());
            return None;
        }
        if let Some(by) = &pin.by {
            let at = self.words.next("pins", by);
            self.able(own, by, at)?;
        }
        let from = match &pin.from {
            Some(from) => {
                let at = self.words.next("pins", from);
                Some(self.date(from, at)?)
            }
            None => None,
        };
        Some(Kind { what: Pinned::Pass { pass: pass.to_owned(), by: pin.by.clone() }, on: from, span })
    }

    /// Whether somebody does such passes; told where not.
    fn able(&mut self, pass: &Pass, by: &str, at: Span) -> Option<()> {
        let desks = &self.model.desks;
        let Some(desk) = desks.values().find(|desk| desk.named.path == by) else {
            let near = nearest(by, desks.values().map(|desk| desk.named.path.as_str())).map(str::to_owned);
            self.unknown("person at the desk", by, at, near);
            return None;
        };
        if !pass.is_for(desk) {
            let could = desks.values().filter(|desk| pass.is_for(desk));
            let could: Vec<&str> = could.map(|desk| desk.named.path.as_str()).collect();
            let help = format!(
                "choose one of {}, or add '{}' to what '{by}' does",
                could.join(", "),
                pass.department
            );
            let message = format!("'{}' is pinned to '{by}', who does no {}", pass.path, pass.department);
            self.tell(codes::PIN_UNFIT, at, message, "cannot do it").help = Some(help);
            return None;
        }
        Some(())
    }

    fn date(&mut self, written: &str, at: Span) -> Option<Date> {
        let date = written.parse().ok().filter(|date: &Date| date.to_string() == written);
        if date.is_none() {
            self.tell(codes::PLAN_FILE, at, format!("'{written}' is no date"), "expected a date").help =
                Some("write year, month and day, such as 2027-05-14".into());
        }
        date
    }

    fn clock(&mut self, written: &str) -> Option<Time> {
        let at = self.words.next("pins", written);
        let time = written.split_once(':').and_then(|(hour, minute)| {
            let two = |part: &str| part.len() == 2 && part.bytes().all(|byte| byte.is_ascii_digit());
            if !two(hour) || !two(minute) {
                return None;
            }
            Time::new(hour.parse().ok()?, minute.parse().ok()?, 0, 0).ok()
        });
        if time.is_none() {
            self.tell(codes::PLAN_FILE, at, format!("'{written}' is no clock"), "expected a clock").help =
                Some("write hours and minutes, such as 05:30".into());
        }
        time
    }

    fn unknown(&mut self, kind: &str, name: &str, at: Span, near: Option<String>) {
        self.tell(codes::PIN_NAME, at, format!("no {kind} is called '{name}'"), "a pin of nothing").help =
            Some(match near {
                Some(near) => format!("did you mean '{near}'? Otherwise remove the pin"),
                None => "correct the name, or remove the pin".into(),
            });
    }

    fn twice(&mut self, what: &str, at: Span, first: Span) {
        let message = format!("{what} stands twice in the plan file");
        let found = self.tell(codes::PLAN_TWICE, at, message, "the second");
        if first != at {
            found.others.push(Label { span: first, text: "the first, which counts".into() });
        }
        found.help = Some("remove one of them; a merge may have kept both".into());
    }

    /// Tells something; what would mend it is added by the caller.
    fn tell(&mut self, code: Code, at: Span, message: impl Into<String>, label: &str) -> &mut Diagnostic {
        self.wrong.push(Diagnostic::new(code, at, message).label(label));
        self.wrong.last_mut().expect("it was just pushed")
    }
}

/// Whether two pins are of the same thing.
fn same(one: &Kind, other: &Kind) -> bool {
    match (&one.what, &other.what) {
        (Pinned::Plate { plate: one, .. }, Pinned::Plate { plate: other, .. }) => one == other,
        (Pinned::Pass { pass: one, .. }, Pinned::Pass { pass: other, .. }) => one == other,
        _ => false,
    }
}
