//! What if: a sequence with something supposed, without touching its files.
//!
//! In: a compiled sequence, and suppositions as lines of text: `lose 2027-05-14`.
//! Out: [`Suppositions`], checked against the sequence, or what is wrong with
//! them; from these, the statements and the model with the suppositions in them.
//! What was written is never changed: both are new values. Findings that a
//! supposition causes point at its own line, in a text called `supposed`.

mod cut;
mod read;
mod words;

use crate::Compiled;
use crate::diagnostic::Diagnostic;
use crate::model::{DayPlan, Model};
use crate::quantity::Range;
use crate::schema::Fact;
use crate::source::{Sources, Span, Spanned};
use jiff::civil::{Date, Time};

pub use words::page;

/// What the text of the suppositions is called.
pub const NAME: &str = "supposed";

/// Suppositions that make sense for one sequence.
#[derive(Debug, Clone)]
pub struct Suppositions {
    /// Texts of the sequence, and that of the suppositions.
    pub(crate) sources: Sources,
    each: Vec<Supposition>,
}

/// Why suppositions cannot be taken up.
#[derive(Debug, Clone)]
pub struct Wrong {
    /// Texts of the sequence, and that of the suppositions.
    pub sources: Sources,
    /// What is wrong.
    pub diagnostics: Vec<Diagnostic>,
}

/// One supposition.
#[derive(Debug, Clone)]
struct Supposition {
    what: What,
    /// `Fri 14 May is lost`.
    words: String,
    span: Span,
}

/// What is supposed; names are full paths.
#[derive(Debug, Clone)]
enum What {
    /// Nothing is shot on these dates.
    Lose(Range<Date>),
    /// The day's weather fails.
    Weather(Date),
    /// One more day, with the settings of another.
    Add(Box<DayPlan>),
    /// Somebody, on location or at a desk, is away.
    Away(String, Vec<Range<Date>>),
    /// A rig cannot be used.
    Broken(String, Vec<Range<Date>>),
    /// The day is called at another time.
    Call(Date, Time),
    /// The beat is not in the picture.
    Cut(String),
}

impl Suppositions {
    /// Reads suppositions, one a line.
    ///
    /// # Errors
    /// When one cannot be read, or names what the sequence does not have.
    pub fn read(compiled: &Compiled, lines: &[String]) -> Result<Self, Wrong> {
        read::read(compiled, lines)
    }

    /// Each in words: `Fri 14 May is lost`.
    pub fn words(&self) -> Vec<String> {
        self.each.iter().map(|one| one.words.clone()).collect()
    }

    /// The statements without those of beats that are cut, and without what refers to them.
    pub(crate) fn statements(&self, compiled: &Compiled) -> Vec<Fact> {
        let beats = self.each.iter().filter_map(|one| match &one.what {
            What::Cut(beat) => Some(beat.as_str()),
            _ => None,
        });
        cut::without(&compiled.facts, &beats.collect::<Vec<_>>(), compiled)
    }

    /// Days whose weather fails, in order, each with its line.
    pub(crate) fn failing(&self) -> Vec<(Date, Span)> {
        let mut failing: Vec<(Date, Span)> = self
            .each
            .iter()
            .filter_map(|one| match one.what {
                What::Weather(date) => Some((date, one.span)),
                _ => None,
            })
            .collect();
        failing.sort_by_key(|(date, _)| *date);
        failing
    }

    /// Whether anything is supposed besides days whose weather fails.
    pub(crate) fn only_weather(&self) -> bool {
        self.each.iter().all(|one| matches!(one.what, What::Weather(_)))
    }

    /// Puts everything else into the model of those statements.
    pub(crate) fn apply(&self, model: &mut Model) {
        self.each.iter().for_each(|one| one.apply(model));
    }
}

impl Supposition {
    fn apply(&self, model: &mut Model) {
        let spanned = |dates: &[Range<Date>]| -> Vec<Spanned<Range<Date>>> {
            dates.iter().map(|&range| Spanned::new(range, self.span)).collect()
        };
        match &self.what {
            What::Lose(_) | What::Add(_) | What::Call(..) => {
                if let Some(days) = &mut model.days {
                    self.days(&mut days.each);
                }
            }
            What::Away(who, dates) => {
                if let Some(id) = model.people.ids().find(|id| model.people[*id].named.path == *who) {
                    model.people[id].away.extend(spanned(dates));
                }
                if let Some(id) = model.desks.ids().find(|id| model.desks[*id].named.path == *who) {
                    model.desks[id].away.extend(spanned(dates));
                }
            }
            What::Broken(rig, dates) => {
                if let Some(id) = model.rigs.ids().find(|id| model.rigs[*id].named.path == *rig) {
                    model.rigs[id].away.extend(spanned(dates));
                }
            }
            // What is shot then is known only once everything else is supposed and planned.
            What::Cut(_) | What::Weather(_) => {}
        }
    }

    /// What becomes of the allowed days.
    fn days(&self, each: &mut Vec<DayPlan>) {
        match &self.what {
            What::Lose(dates) => each.retain(|day| !(dates.from..=dates.to).contains(&day.date)),
            What::Add(day) => {
                each.push(DayPlan { span: self.span, ..day.as_ref().clone() });
                each.sort_by_key(|day| day.date);
            }
            What::Call(date, clock) => {
                for day in each.iter_mut().filter(|day| day.date == *date) {
                    (day.call, day.call_span) = (*clock, self.span);
                }
            }
            _ => {}
        }
    }
}
