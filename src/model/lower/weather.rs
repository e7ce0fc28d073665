//! What a day says of the weather.
//!
//! In: the block of a day, and what the days before it in the text said. Out:
//! [`Weather`], with every name resolved; what is not said is taken over.

use super::{Lower, args};
use crate::diagnostic::nearest::nearest;
use crate::diagnostic::{Diagnostic, codes};
use crate::model::{Covered, Decision, Weather, WeatherNeed};
use crate::schema::{Arg, Fact};
use crate::source::{Span, Spanned};
use jiff::civil::Time;

impl Lower<'_> {
    /// The weather of a day; `call` is the earliest one.
    pub(super) fn weather(&mut self, fact: &Fact, start: Option<Weather>, call: Time) -> Option<Weather> {
        let mut weather = start;
        if let Some(line) = fact.get("weather") {
            let mut needs: Vec<WeatherNeed> = Vec::new();
            for word in args::list_names(line, 0) {
                let Some(need) = WeatherNeed::of(&word.value) else { continue };
                if needs.contains(&need) {
                    let message = format!("'{}' is said twice", word.value);
                    self.wrong(Diagnostic::new(codes::DUPLICATE, word.span, message).label("said again"));
                } else {
                    needs.push(need);
                }
            }
            let empty = Weather {
                needs: Vec::new(),
                span: line.span,
                cover: Vec::new(),
                cover_span: None,
                base: None,
                decide: None,
            };
            weather = Some(Weather { needs, span: line.span, ..weather.unwrap_or(empty) });
        }
        for word in ["cover", "cover_base", "decide"] {
            if let (Some(line), None) = (fact.get(word), &weather) {
                self.without_weather(word, line.span);
            }
        }
        let mut weather = weather?;
        if let Some(line) = fact.get("cover") {
            weather.cover = self.covered(line);
            weather.cover_span = Some(line.span);
        }
        if let Some(name) = fact.get("cover_base").and_then(|line| args::name(line, 0)) {
            weather.base = self.names.find("place", name, self.diagnostics);
        }
        if let Some(line) = fact.get("decide") {
            weather.decide = self.decision(line);
        }
        if let Some(decide) = weather.decide.filter(|decide| !decide.day_before && decide.at >= call) {
            let (at, call) = (decide.at.strftime("%H:%M"), call.strftime("%H:%M"));
            let message = format!("the weather is decided at {at}, when the day is called at {call} already");
            self.wrong(
                Diagnostic::new(codes::RANGE, decide.span, message)
                    .label("people are on their way by then")
                    .help(format!("write a clock before {call}, or 'decide 18:00 the day before'")),
            );
            weather.decide = None;
        }
        Some(weather)
    }

    fn without_weather(&mut self, word: &str, span: Span) {
        let message = format!("'{word}' is said of a day that does not depend on the weather");
        self.wrong(
            Diagnostic::new(codes::MISSING, span, message)
                .label("for want of which weather?")
                .help("add what the day needs: 'weather dry', 'weather clear', 'weather calm', or several"),
        );
    }

    fn decision(&mut self, line: &Fact) -> Option<Decision> {
        let Some(Arg::Clock(clock)) = line.args.first() else { return None };
        let day_before = matches!(line.args.get(1), Some(Arg::Group(_)));
        Some(Decision { at: clock.value, day_before, span: line.span })
    }

    fn covered(&mut self, line: &Fact) -> Vec<Spanned<Covered>> {
        let mut all: Vec<Spanned<Covered>> = Vec::new();
        for name in args::list_names(line, 0) {
            let Some(one) = self.covers(&name) else { continue };
            if all.iter().any(|known| known.value == one) {
                let message = format!("'{}' is named twice", name.value);
                self.wrong(Diagnostic::new(codes::DUPLICATE, name.span, message).label("named again"));
            } else {
                all.push(Spanned::new(one, name.span));
            }
        }
        all
    }

    /// What a name of a cover means: a beat, a place, or a plate by its path or by its last word.
    fn covers(&mut self, name: &Spanned<String>) -> Option<Covered> {
        let beat = self.names.has("beat", &name.value);
        let place = self.names.has("place", &name.value);
        if beat && place {
            let message = format!("'{}' is a beat as well as a place", name.value);
            self.wrong(
                Diagnostic::new(codes::DUPLICATE, name.span, message)
                    .label("which of them?")
                    .help("name the plates that are meant, or give the beat or the place another name"),
            );
            return None;
        }
        if beat {
            return self.names.find("beat", name, self.diagnostics).map(Covered::Beat);
        }
        if place {
            return self.names.find("place", name, self.diagnostics).map(Covered::Place);
        }
        if let Some(path) = self.names.path_in("plate", None, &name.value) {
            let full = Spanned::new(path, name.span);
            return self.names.find("plate", &full, self.diagnostics).map(Covered::Plate);
        }
        let known: Vec<&str> =
            ["beat", "place", "plate"].iter().flat_map(|kind| self.names.of(kind)).collect();
        let message = format!("no beat, plate or place is called '{}'", name.value);
        let wrong =
            Diagnostic::new(codes::UNKNOWN_NAME, name.span, message).label("nothing that can be shot");
        let wrong = match nearest(&name.value, known.iter().copied()) {
            Some(near) => wrong.help(format!("did you mean '{near}'?")).patch(name.span, near),
            None => wrong
                .help(format!("known: {}", known.iter().take(12).copied().collect::<Vec<_>>().join(", "))),
        };
        self.wrong(wrong);
        None
    }
}
