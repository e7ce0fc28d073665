//! Suppositions as typed → suppositions that make sense for the sequence.
//!
//! In: lines. Out: [`Suppositions`], or findings. Lines are read by the
//! language's own parser and checker; names and dates are looked up in the
//! sequence with the suppositions before them already in it.

use super::words::WORDS;
use super::{NAME, Supposition, Suppositions, What, Wrong};
use crate::Compiled;
use crate::diagnostic::nearest::nearest;
use crate::diagnostic::{Diagnostic, codes};
use crate::model::{DayPlan, Named};
use crate::quantity::Range;
use crate::schema::{self, Arg, Fact};
use crate::source::Spanned;
use crate::syntax;
use jiff::civil::Date;

pub(super) fn read(compiled: &Compiled, lines: &[String]) -> Result<Suppositions, Wrong> {
    let mut sources = compiled.sources.clone();
    let file = sources.add(NAME, lines.join("\n"));
    let mut diagnostics = Vec::new();
    let tree = syntax::parse(&sources, file, &mut diagnostics);
    let facts = schema::check(tree.statements(), WORDS, &mut diagnostics);
    let days = compiled.model.days.as_ref().map(|days| days.each.clone()).unwrap_or_default();
    let mut reading = Reading { compiled, days, diagnostics };
    let mut each = Vec::new();
    for fact in &facts {
        let Some((what, words)) = reading.what(fact) else { continue };
        let one = Supposition { what, words, span: fact.span };
        one.days(&mut reading.days);
        each.push(one);
    }
    let mut diagnostics = reading.diagnostics;
    if each.is_empty() && diagnostics.is_empty() {
        let wrong = Diagnostic::new(codes::MISSING, None, "nothing is supposed");
        diagnostics.push(wrong.help("write a supposition, such as 'lose 2027-05-14'"));
    }
    if diagnostics.is_empty() {
        return Ok(Suppositions { sources, each });
    }
    crate::diagnostic::sort(&mut diagnostics);
    Err(Wrong { sources, diagnostics })
}

struct Reading<'a> {
    compiled: &'a Compiled,
    /// The allowed days with what is supposed so far.
    days: Vec<DayPlan>,
    diagnostics: Vec<Diagnostic>,
}

impl Reading<'_> {
    fn what(&mut self, fact: &Fact) -> Option<(What, String)> {
        let model = &self.compiled.model;
        let name = fact.args.first().and_then(Arg::name);
        match fact.word.value.as_str() {
            "lose" => {
                let dates = self.dates(fact.args.first()?)?;
                self.known_day(dates)?;
                Some((What::Lose(dates.value), format!("{} is lost", told(dates.value))))
            }
            "weather" => self.weather(fact),
            "add" => self.add(fact),
            "call" => self.call(fact),
            "away" => {
                let people = model.people.values().map(|one| &one.named);
                let all: Vec<&Named> = people.chain(model.desks.values().map(|one| &one.named)).collect();
                let found = self.find("person", &all, name?)?;
                let dates = self.list(fact.args.get(1)?)?;
                let words = format!("{} is away on {}", found.label(), listed(&dates));
                Some((What::Away(found.path.clone(), dates), words))
            }
            "broken" => {
                let all: Vec<&Named> = model.rigs.values().map(|one| &one.named).collect();
                let found = self.find("rig", &all, name?)?;
                let (dates, when) = match fact.args.get(1) {
                    Some(Arg::Group(parts)) => {
                        let dates = self.list(parts.first()?)?;
                        let when = listed(&dates);
                        (dates, format!(" on {when}"))
                    }
                    _ => (vec![Range { from: Date::MIN, to: Date::MAX }], String::new()),
                };
                Some((What::Broken(found.path.clone(), dates), format!("{} is broken{when}", found.label())))
            }
            "cut" => {
                let all: Vec<&Named> = model.beats.values().map(|one| &one.named).collect();
                let found = self.find("beat", &all, name?)?;
                Some((What::Cut(found.path.clone()), format!("the beat '{}' is cut", found.label())))
            }
            word => {
                // Words that any block of a sequence may hold; they suppose nothing.
                let known = WORDS.iter().map(|spec| spec.word).collect::<Vec<_>>().join(", ");
                let message = format!("'{word}' supposes nothing");
                let wrong = Diagnostic::new(codes::UNKNOWN_STATEMENT, fact.word.span, message);
                self.diagnostics.push(wrong.label("not a supposition").help(format!("there are: {known}")));
                None
            }
        }
    }

    fn weather(&mut self, fact: &Fact) -> Option<(What, String)> {
        let Some(Arg::Date(date)) = fact.args.first() else { return None };
        self.known_day(Spanned::new(Range { from: date.value, to: date.value }, date.span))?;
        let known = self.days.iter().find(|day| day.date == date.value)?;
        let Some(weather) = &known.weather else {
            let message = format!("{} does not depend on the weather", date.value);
            let wrong =
                Diagnostic::new(codes::VALUE, date.span, message).label("nothing is said of its weather");
            self.diagnostics.push(wrong.help(format!(
                "write what it needs into its block, such as 'weather dry', or suppose 'lose {}'",
                date.value
            )));
            return None;
        };
        let then = if weather.cover.is_empty() { "it has no cover" } else { "its cover is shot" };
        let words = format!("the weather of {} fails and {then}", day(date.value));
        Some((What::Weather(date.value), words))
    }

    fn add(&mut self, fact: &Fact) -> Option<(What, String)> {
        let Some(Arg::Date(date)) = fact.args.first() else { return None };
        if self.days.iter().any(|day| day.date == date.value) {
            let message = format!("the day {} is allowed already", date.value);
            self.diagnostics.push(Diagnostic::new(codes::DUPLICATE, date.span, message).label("given again"));
            return None;
        }
        let like = match fact.args.get(1) {
            Some(Arg::Group(parts)) => match parts.first() {
                Some(Arg::Date(like)) => Some(*like),
                _ => return None,
            },
            _ => None,
        };
        let Some(found) = self.like(date.value, like) else {
            let span = like.map_or(date.span, |like| like.span);
            let wrong = Diagnostic::new(codes::UNKNOWN_NAME, span, "there is no day that it could be like");
            self.diagnostics.push(wrong.label("no allowed day").help(self.allowed()));
            return None;
        };
        let words = format!("{} is one more day, like {}", day(date.value), day(found.date));
        let added = DayPlan { date: date.value, notes: Vec::new(), cautions: Vec::new(), ..found };
        Some((What::Add(Box::new(added)), words))
    }

    /// The day that an added one is like: that one, also where it is lost; else the one before it.
    fn like(&self, date: Date, like: Option<Spanned<Date>>) -> Option<DayPlan> {
        let written = self.compiled.model.days.iter().flat_map(|days| &days.each);
        match like {
            Some(like) => self.days.iter().chain(written).find(|day| day.date == like.value).cloned(),
            None => {
                let all = if self.days.is_empty() {
                    written.collect()
                } else {
                    self.days.iter().collect::<Vec<_>>()
                };
                all.iter().rev().find(|day| day.date < date).or(all.first()).map(|day| (*day).clone())
            }
        }
    }

    fn call(&mut self, fact: &Fact) -> Option<(What, String)> {
        let (Some(Arg::Date(date)), Some(Arg::Clock(clock))) = (fact.args.first(), fact.args.get(1)) else {
            return None;
        };
        self.known_day(Spanned::new(Range { from: date.value, to: date.value }, date.span))?;
        let known = self.days.iter().find(|day| day.date == date.value)?;
        let told = clock.value.strftime("%H:%M");
        if clock.value >= known.wrap {
            let message =
                format!("the call at {told} is not before the wrap at {}", known.wrap.strftime("%H:%M"));
            let wrong = Diagnostic::new(codes::RANGE, clock.span, message).label("expected an earlier clock");
            self.diagnostics.push(wrong);
            return None;
        }
        Some((What::Call(date.value, clock.value), format!("{} is called at {told}", day(date.value))))
    }

    /// Whether an allowed day lies within those dates.
    fn known_day(&mut self, dates: Spanned<Range<Date>>) -> Option<()> {
        let inside = |day: &DayPlan| (dates.value.from..=dates.value.to).contains(&day.date);
        if self.days.iter().any(inside) {
            return Some(());
        }
        let message = format!("nothing can be shot on {} as it is", told(dates.value));
        let wrong = Diagnostic::new(codes::UNKNOWN_NAME, dates.span, message).label("no allowed day");
        let help = self.allowed();
        self.diagnostics.push(wrong.help(help));
        None
    }

    /// Which days are allowed, with what is supposed so far.
    fn allowed(&self) -> String {
        let all: Vec<String> = self.days.iter().map(|day| day.date.to_string()).collect();
        if all.is_empty() { "no day is allowed".into() } else { format!("allowed are: {}", all.join(", ")) }
    }

    fn find<'n>(&mut self, kind: &str, all: &[&'n Named], name: &Spanned<String>) -> Option<&'n Named> {
        if let Some(found) = all.iter().find(|one| one.path == name.value) {
            return Some(found);
        }
        let mut paths: Vec<&str> = all.iter().map(|one| one.path.as_str()).collect();
        paths.sort_unstable();
        paths.dedup();
        let message = format!("no {kind} is called '{}'", name.value);
        let wrong = Diagnostic::new(codes::UNKNOWN_NAME, name.span, message).label(format!("not a {kind}"));
        self.diagnostics.push(match nearest(&name.value, paths.iter().copied()) {
            Some(near) => wrong.help(format!("did you mean '{near}'?")),
            None => wrong.help(format!("there are: {}", paths.join(", "))),
        });
        None
    }

    fn list(&mut self, arg: &Arg) -> Option<Vec<Range<Date>>> {
        let Arg::List(entries) = arg else { return None };
        entries.iter().map(|entry| self.dates(entry.first()?).map(|dates| dates.value)).collect()
    }

    /// One date, or a range of them.
    fn dates(&mut self, arg: &Arg) -> Option<Spanned<Range<Date>>> {
        let Arg::Range(from, to) = arg else { return None };
        let (Arg::Date(from), Arg::Date(to)) = (from.as_ref(), to.as_ref()) else { return None };
        let span = from.span.to(to.span);
        if from.value > to.value {
            let message = "this range of dates ends before it starts";
            let wrong = Diagnostic::new(codes::RANGE, span, message).label("expected the earlier date first");
            self.diagnostics.push(wrong);
            return None;
        }
        Some(Spanned::new(Range { from: from.value, to: to.value }, span))
    }
}

/// `Fri 14 May`.
fn day(date: Date) -> String {
    date.strftime("%a %-d %b").to_string()
}

fn told(dates: Range<Date>) -> String {
    if dates.from == dates.to { day(dates.from) } else { format!("{} to {}", day(dates.from), day(dates.to)) }
}

fn listed(dates: &[Range<Date>]) -> String {
    dates.iter().map(|&dates| told(dates)).collect::<Vec<_>>().join(", ")
}
