//! The sequence's settings, its days and its finish.

use super::{Lower, args};
use crate::diagnostic::nearest::nearest;
use crate::diagnostic::{Diagnostic, Severity, codes};
use crate::model::{Budgets, DayPlan, Days, Finish, Model, Named, Sequence, Weights};
use crate::quantity::{
    Angle, Celsius, FrameRate, FrameSize, Frequency, Length, Pixels, Range, Seconds, Share, TimeSpan,
};
use crate::schema::{Arg, Fact};
use crate::source::{FileId, Span, Spanned};
use jiff::civil::{Date, Time};
use jiff::tz::TimeZone;

/// Handles unless said; common practice, no source.
const HANDLES: TimeSpan = TimeSpan::Frames(12.0);

/// A sequence of which nothing is known yet.
fn bare(span: Span) -> Sequence {
    let rate = FrameRate { num: 25, den: 1 };
    Sequence {
        named: Named {
            path: "untitled".into(),
            title: None,
            span,
            notes: Vec::new(),
            cautions: Vec::new(),
            waivers: Vec::new(),
        },
        picture: FrameSize { width: 1920, height: 1080 },
        rate,
        zone: "UTC".into(),
        mains: None,
        handles: HANDLES.seconds(rate),
        budgets: Budgets::default(),
        weights: Weights::default(),
        severities: Default::default(),
    }
}

impl Lower<'_> {
    pub(super) fn sequence(&mut self) -> Sequence {
        let start = Span { file: FileId(0), start: 0, end: 0 };
        let mut sequence = bare(start);
        let Some(fact) = self.top("sequence").next() else {
            self.wrong(
                Diagnostic::new(codes::MISSING, sequence.named.span, "there is no 'sequence' block")
                    .label("expected one in this file or in a file it uses")
                    .help("add 'sequence my_run { picture 1920x1080 at 25 fps; zone \"Europe/Lisbon\" }'"),
            );
            return sequence;
        };
        let name = args::name(fact, 0).map(|name| name.value.clone()).unwrap_or_default();
        sequence.named = self.named(fact, name);
        if let Some(line) = fact.get("picture") {
            if let Some(Arg::Size(size)) = line.args.first() {
                sequence.picture = size.value;
            }
            if let Some(rate) = args::number(line, 1).and_then(|number| self.frame_rate(number)) {
                sequence.rate = rate;
            }
        }
        sequence.handles = args::seconds(fact, "handles", sequence.rate)
            .map_or(HANDLES.seconds(sequence.rate), |span| span.value);
        sequence.mains = args::of(fact, "mains").map(|number| Frequency(number.value));
        if let Some(zone) = fact.get("zone").and_then(|line| args::text(line, 0)) {
            if TimeZone::get(&zone.value).is_ok() {
                sequence.zone = zone.value;
            } else {
                self.unknown_zone(&zone);
            }
        }
        if let Some(budget) = fact.get("budget") {
            sequence.budgets = budgets(budget);
        }
        for line in fact.all("treat") {
            let (Some(name), Some(how)) = (args::name(line, 0), args::name(line, 1)) else { continue };
            let severity = match how.value.as_str() {
                "error" => Some(Severity::Error),
                "warning" => Some(Severity::Warning),
                "note" => Some(Severity::Note),
                _ => None,
            };
            if let Some(rule) = self.rule(name) {
                sequence.severities.insert(rule, severity);
            }
        }
        sequence
    }

    fn unknown_zone(&mut self, zone: &Spanned<String>) {
        let names: Vec<String> = jiff::tz::db().available().map(|name| name.as_str().to_owned()).collect();
        let mut wrong = Diagnostic::new(
            codes::UNKNOWN_NAME,
            zone.span,
            format!("no time zone is called '{}'", zone.value),
        )
        .label("not in the IANA list")
        .help("write an IANA name such as \"Europe/Lisbon\"");
        if let Some(near) = nearest(&zone.value, names.iter().map(String::as_str)) {
            wrong = wrong.help(format!("did you mean \"{near}\"?")).patch(zone.span, format!("\"{near}\""));
        }
        self.wrong(wrong);
    }

    pub(super) fn days(&mut self, model: &mut Model) {
        let base = self.top("days").next();
        let mut each: Vec<DayPlan> = Vec::new();
        if let Some(fact) = base {
            each = self.run_of_days(fact, model);
        }
        let mut seen: Vec<Date> = Vec::new();
        for fact in self.top("day") {
            let Some(Arg::Date(date)) = fact.args.first() else { continue };
            if seen.contains(&date.value) {
                self.wrong(
                    Diagnostic::new(
                        codes::DUPLICATE,
                        date.span,
                        format!("the day {} is given twice", date.value),
                    )
                    .label("given again"),
                );
                continue;
            }
            seen.push(date.value);
            let before = each.iter().position(|day| day.date == date.value);
            let start = before
                .and_then(|at| each.get(at).cloned())
                .or_else(|| base.map(|_| each.first().cloned())?);
            let Some(day) = self.day(fact, date.value, start, model) else { continue };
            match before.and_then(|at| each.get_mut(at)) {
                Some(slot) => *slot = day,
                None => each.push(day),
            }
        }
        each.sort_by_key(|day| day.date);
        if let Some(span) = base.map(|fact| fact.span).or_else(|| each.first().map(|day| day.span)) {
            let named = match base {
                Some(fact) => self.named(fact, "days"),
                None => Named { path: "days".into(), span, ..bare(span).named },
            };
            model.days = Some(Days { named, each, span });
        }
        model.finish = self.top("finish").next().and_then(|fact| match fact.args.first() {
            Some(Arg::Date(date)) => {
                Some(Finish { by: date.value, span: fact.span, named: self.named(fact, "finish") })
            }
            _ => None,
        });
        if let (Some(days), Some(finish)) = (&model.days, &model.finish)
            && let Some(late) = days.each.iter().find(|day| day.date > finish.by)
        {
            self.diagnostics.push(
                Diagnostic::new(
                    codes::RANGE,
                    late.span,
                    format!("the shoot day {} lies after the finish", late.date),
                )
                .label("shot too late to be delivered")
                .other(finish.span, "all is to be delivered by then")
                .help(format!(
                    "move the day to before the finish, or leave it out, or finish later than {}",
                    late.date
                )),
            );
        }
    }

    fn run_of_days(&mut self, fact: &Fact, model: &Model) -> Vec<DayPlan> {
        let Some(Arg::Date(from)) = fact.args.first() else { return Vec::new() };
        let to = match args::group(fact, 1).and_then(<[Arg]>::first) {
            Some(Arg::Date(to)) => Some(*to),
            _ => None,
        };
        let most = args::group_number(fact, 2).map(|number| number.value as usize);
        let last = match to {
            Some(to) if to.value < from.value => {
                self.wrong(
                    Diagnostic::new(codes::RANGE, to.span, "these days end before they start")
                        .label("expected a date after the first"),
                );
                from.value
            }
            Some(to) => to.value,
            None => from.value.saturating_add(jiff::Span::new().days(most.unwrap_or(1) as i64 - 1)),
        };
        let mut each = Vec::new();
        let mut date = from.value;
        while date <= last && each.len() < most.unwrap_or(60).min(60) {
            // Only the first day complains: the others would say the same.
            let quiet = self.diagnostics.len();
            each.extend(self.day(fact, date, None, model));
            if date > from.value {
                self.diagnostics.retain({
                    let mut at = 0;
                    move |one| {
                        at += 1;
                        at <= quiet || one.code == codes::DATE
                    }
                });
            }
            let Ok(next) = date.tomorrow() else { break };
            date = next;
        }
        each
    }

    fn day(&mut self, fact: &Fact, date: Date, start: Option<DayPlan>, model: &Model) -> Option<DayPlan> {
        let rate = model.sequence.rate;
        let start = start.unwrap_or(DayPlan {
            date,
            call: Time::constant(8, 0, 0, 0),
            wrap: Time::constant(18, 0, 0, 0),
            base: None,
            meal: Seconds::minutes(30.0),
            meal_within: Seconds::minutes(360.0),
            rest: Seconds::minutes(660.0),
            long: Seconds::minutes(600.0),
            chargers: 1,
            expects: None,
            notes: Vec::new(),
            cautions: Vec::new(),
            call_span: fact.span,
            wrap_span: fact.span,
            span: fact.span,
        });
        let clock = |word: &str| match fact.get(word)?.args.first()? {
            Arg::Clock(clock) => Some(*clock),
            _ => None,
        };
        for edge in [clock("call"), clock("wrap")].into_iter().flatten() {
            self.exists(date, edge, &model.sequence.zone);
        }
        let call = clock("call").map_or(start.call, |clock| clock.value);
        let wrap = clock("wrap").map_or(start.wrap, |clock| clock.value);
        if wrap <= call {
            let span = clock("wrap").or(clock("call")).map_or(fact.span, |clock| clock.span);
            self.wrong(
                Diagnostic::new(codes::RANGE, span, "the wrap is not after the call")
                    .label("expected a later clock of the same day")
                    .help("a night that runs past midnight is written as two days"),
            );
            return None;
        }
        let base = match fact.get("base").and_then(|line| args::name(line, 0)) {
            Some(name) => self.names.find("place", name, self.diagnostics),
            None => start.base,
        };
        let minutes =
            |word: &str, before: Seconds| args::seconds(fact, word, rate).map_or(before, |span| span.value);
        let expects = fact.get("expects").and_then(|line| match line.args.first()? {
            Arg::Range(from, to) => {
                let (from, to) = (from.number()?, to.number()?);
                let (low, high) =
                    (from.value.value.min(to.value.value), from.value.value.max(to.value.value));
                Some(Spanned::new(Range { from: Celsius(low), to: Celsius(high) }, from.span.to(to.span)))
            }
            _ => None,
        });
        Some(DayPlan {
            date,
            call,
            wrap,
            base,
            meal: minutes("meal", start.meal),
            meal_within: minutes("meal_within", start.meal_within),
            rest: minutes("rest", start.rest),
            long: minutes("overtime_after", start.long),
            chargers: args::count(fact, "chargers").unwrap_or(start.chargers),
            expects: expects.or(start.expects),
            notes: [start.notes, args::texts(fact, "note")].concat(),
            cautions: [start.cautions, args::texts(fact, "caution")].concat(),
            call_span: clock("call").map_or(start.call_span, |clock| clock.span),
            wrap_span: clock("wrap").map_or(start.wrap_span, |clock| clock.span),
            span: fact.span,
        })
    }

    /// Reports a clock that daylight saving skips on that date.
    fn exists(&mut self, date: Date, clock: Spanned<Time>, zone: &str) {
        let Ok(zone_rules) = TimeZone::get(zone) else { return };
        let at = date.to_datetime(clock.value);
        if matches!(
            zone_rules.to_ambiguous_zoned_datetime(at).offset(),
            jiff::tz::AmbiguousOffset::Gap { .. }
        ) {
            self.wrong(
                Diagnostic::new(
                    codes::DATE,
                    clock.span,
                    format!(
                        "there is no {:02}:{:02} on {date} in {zone}",
                        clock.value.hour(),
                        clock.value.minute()
                    ),
                )
                .label("daylight saving skips this hour")
                .help("write a clock before or after the skipped hour"),
            );
        }
    }
}

fn budgets(fact: &Fact) -> Budgets {
    let usual = Budgets::default();
    let pixels =
        |word: &str, before: Pixels| args::of(fact, word).map_or(before, |number| Pixels(number.value));
    let angle = |word: &str, before: Angle| args::angle(fact, word).map_or(before, |angle| angle.value);
    let share = |word: &str, before: Share| args::share(fact, word).unwrap_or(before);
    Budgets {
        tracked_blur: pixels("tracked_blur", usual.tracked_blur),
        masked_blur: pixels("masked_blur", usual.masked_blur),
        skew: pixels("skew", usual.skew),
        slowest: share("slowest", usual.slowest),
        enlarge: share("enlarge", usual.enlarge),
        shadow: angle("shadow", usual.shadow),
        sun: angle("sun", usual.sun),
        gap: args::length(fact, "gap").map_or(usual.gap, |length: Spanned<Length>| length.value),
        join_width: share("join_width", usual.join_width),
    }
}
