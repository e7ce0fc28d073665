//! Matches the values of a statement against the parts that its spec asks for.

use super::date::{read_clock, read_date};
use super::{Arg, Measure, Part};
use crate::diagnostic::nearest::nearest;
use crate::diagnostic::{Code, Diagnostic, codes};
use crate::model::{Light, LightEdge, SunEvent};
use crate::quantity::unit::{Dimension, FRAME_WORDS, UNITS, find};
use crate::quantity::{FrameSize, Seconds, show};
use crate::source::{Span, Spanned};
use crate::syntax::Value;

/// Walks over the values of one statement.
pub(super) struct Cursor<'a> {
    values: &'a [Spanned<Value>],
    at: usize,
    /// The end of what has been read, for "something is missing here".
    end: Span,
}

type Taken<T> = Result<T, Box<Diagnostic>>;

impl<'a> Cursor<'a> {
    pub(super) fn new(values: &'a [Spanned<Value>], word: Span) -> Self {
        Self { values, at: 0, end: word }
    }

    pub(super) fn peek(&self) -> Option<&'a Spanned<Value>> {
        self.values.get(self.at)
    }

    pub(super) fn next(&mut self) -> Option<&'a Spanned<Value>> {
        let value = self.values.get(self.at)?;
        self.at += 1;
        self.end = value.span;
        Some(value)
    }

    /// Takes every part in turn.
    pub(super) fn take_all(&mut self, parts: &[Part]) -> Taken<Vec<Arg>> {
        let mut args = Vec::new();
        for part in parts {
            args.extend(self.take(part)?);
        }
        Ok(args)
    }

    fn wrong(&self, code: Code, expected: &str) -> Box<Diagnostic> {
        Box::new(match self.peek() {
            Some(value) => Diagnostic::new(code, value.span, format!("expected {expected}"))
                .label(format!("this is {}", describe(&value.value))),
            None => {
                let after = Span { start: self.end.end, ..self.end };
                Diagnostic::new(code, after, format!("expected {expected}")).label("missing here")
            }
        })
    }

    /// Whether the next value could begin this part.
    fn fits(&self, part: &Part) -> bool {
        let Some(value) = self.peek().map(|value| &value.value) else { return false };
        match part {
            Part::Word(word) => matches!(value, Value::Name(name) if name == word),
            Part::Choice(words) => matches!(value, Value::Name(name) if words.contains(&name.as_str())),
            Part::Name(_) | Part::Light => matches!(value, Value::Name(_)),
            Part::Quantity(..) | Part::Count(..) | Part::Position | Part::Shutter => {
                matches!(value, Value::Number { .. })
            }
            Part::Text => matches!(value, Value::Text(_)),
            Part::Date => matches!(value, Value::Date(_)),
            Part::Clock => matches!(value, Value::Clock(_)),
            Part::Size => matches!(value, Value::Size(..)),
            Part::Arrow => *value == Value::Arrow,
            Part::Comma => matches!(value, Value::Comma(_)),
            Part::Maybe(parts) | Part::List(parts) => parts.first().is_some_and(|first| self.fits(first)),
            Part::Range(part, _) => self.fits(part),
        }
    }

    fn take(&mut self, part: &Part) -> Taken<Option<Arg>> {
        Ok(Some(match part {
            Part::Word(word) => {
                if !self.fits(part) {
                    return Err(self.wrong(codes::VALUE, &format!("the word '{word}'")));
                }
                self.next();
                return Ok(None);
            }
            Part::Arrow => {
                if !self.fits(part) {
                    return Err(self.wrong(codes::VALUE, "'->'"));
                }
                self.next();
                return Ok(None);
            }
            Part::Comma => {
                if !self.fits(part) {
                    return Err(self.wrong(codes::VALUE, "','"));
                }
                self.next();
                return Ok(None);
            }
            Part::Maybe(parts) => {
                if self.fits(&Part::Maybe(parts)) {
                    Arg::Group(self.take_all(parts)?)
                } else {
                    Arg::Absent
                }
            }
            Part::List(parts) => Arg::List(self.list(parts)?),
            Part::Range(part, alone) => self.range(part, *alone)?,
            Part::Name(kind) => Arg::Name(self.name(kind)?),
            Part::Choice(words) => Arg::Name(self.choice(words)?),
            Part::Quantity(dimension, least, most) => Arg::Number(self.quantity(*dimension, *least, *most)?),
            Part::Count(least, most) => Arg::Number(self.count(*least, *most)?),
            Part::Text => match self.peek() {
                Some(Spanned { value: Value::Text(text), span }) => {
                    self.next();
                    Arg::Text(Spanned::new(text.clone(), *span))
                }
                _ => return Err(self.wrong(codes::VALUE, "a text in quotes")),
            },
            Part::Date => match self.peek() {
                Some(Spanned { value: Value::Date(text), span }) => {
                    self.next();
                    Arg::Date(Spanned::new(read_date(text, *span)?, *span))
                }
                _ => return Err(self.wrong(codes::VALUE, "a date such as 2027-05-14")),
            },
            Part::Clock => match self.peek() {
                Some(Spanned { value: Value::Clock(text), span }) => {
                    self.next();
                    Arg::Clock(Spanned::new(read_clock(text, *span)?, *span))
                }
                _ => return Err(self.wrong(codes::VALUE, "a clock such as 05:30")),
            },
            Part::Size => self.size()?,
            Part::Position => self.position()?,
            Part::Light => self.light()?,
            Part::Shutter => match self.peek() {
                Some(Spanned { value: Value::Number { unit: Some(unit), .. }, .. })
                    if unit.value == "deg" =>
                {
                    Arg::Number(self.quantity(Dimension::Angle, 0.1, 360.0)?)
                }
                _ => Arg::Number(self.quantity(Dimension::Time, 0.000_01, 10.0)?),
            },
        }))
    }

    fn list(&mut self, parts: &[Part]) -> Taken<Vec<Vec<Arg>>> {
        let mut entries = vec![self.take_all(parts)?];
        while matches!(self.peek(), Some(Spanned { value: Value::Comma(_), .. })) {
            self.next();
            entries.push(self.take_all(parts)?);
        }
        Ok(entries)
    }

    fn range(&mut self, part: &Part, alone: bool) -> Taken<Arg> {
        // `20..30 min`: the first end takes the unit of the second.
        let borrowed = match (self.peek(), self.values.get(self.at + 1), self.values.get(self.at + 2)) {
            (
                Some(Spanned { value: Value::Number { value, unit: None }, span }),
                Some(Spanned { value: Value::Dots, .. }),
                Some(Spanned { value: Value::Number { unit: Some(unit), .. }, .. }),
            ) => Some(Spanned::new(Value::Number { value: *value, unit: Some(unit.clone()) }, *span)),
            _ => None,
        };
        let from = match borrowed {
            Some(value) => {
                let values = [value];
                let mut first = Cursor { values: &values, at: 0, end: self.end };
                let from = first.take(part)?;
                self.next();
                from
            }
            None => self.take(part)?,
        };
        let Some(from) = from else { return Ok(Arg::Absent) };
        if matches!(self.peek(), Some(Spanned { value: Value::Dots, .. })) {
            self.next();
            let to = self.take(part)?.unwrap_or(Arg::Absent);
            return Ok(Arg::Range(Box::new(from), Box::new(to)));
        }
        if alone {
            return Ok(Arg::Range(Box::new(from.clone()), Box::new(from)));
        }
        Err(self.wrong(codes::VALUE, "'..' and the other end of the range"))
    }

    fn name(&mut self, kind: &str) -> Taken<Spanned<String>> {
        match self.peek() {
            Some(Spanned { value: Value::Name(name), span }) => {
                self.next();
                Ok(Spanned::new(name.clone(), *span))
            }
            _ => Err(self.wrong(codes::VALUE, &format!("the name of a {kind}"))),
        }
    }

    fn choice(&mut self, words: &[&'static str]) -> Taken<Spanned<String>> {
        match self.peek() {
            Some(Spanned { value: Value::Name(name), span }) if words.contains(&name.as_str()) => {
                self.next();
                Ok(Spanned::new(name.clone(), *span))
            }
            Some(Spanned { value: Value::Name(name), span }) => {
                let mut wrong = self.wrong(codes::VALUE, &one_of(words));
                wrong.message = format!("'{name}' is not one of {}", words.join(", "));
                if let Some(near) = nearest(name, words.iter().copied()) {
                    *wrong = wrong.help(format!("did you mean '{near}'?")).patch(*span, near);
                }
                Err(wrong)
            }
            _ => Err(self.wrong(codes::VALUE, &one_of(words))),
        }
    }

    fn count(&mut self, least: u32, most: u32) -> Taken<Spanned<Measure>> {
        let Some(Spanned { value: Value::Number { value, unit }, span }) = self.peek() else {
            return Err(self.wrong(codes::VALUE, "a whole number"));
        };
        if let Some(unit) = unit {
            return Err(Box::new(
                Diagnostic::new(codes::UNIT, unit.span, "a plain count takes no unit")
                    .label(format!("'{}' has no place here", unit.value)),
            ));
        }
        if value.fract() != 0.0 || *value < f64::from(least) || *value > f64::from(most) {
            return Err(Box::new(
                Diagnostic::new(
                    codes::RANGE,
                    *span,
                    format!("expected a whole number from {least} to {most}"),
                )
                .label("outside what is possible"),
            ));
        }
        self.next();
        Ok(Spanned::new(Measure { value: *value, dimension: Dimension::Number, frames: false }, *span))
    }

    fn quantity(&mut self, dimension: Dimension, least: f64, most: f64) -> Taken<Spanned<Measure>> {
        let expected = format!("{} such as {}", dimension.word(), dimension.example());
        let Some(Spanned { value: Value::Number { value, unit }, span }) = self.peek() else {
            return Err(self.wrong(codes::VALUE, &expected));
        };
        let measure = measure(*value, unit.as_ref(), dimension, *span)?;
        if !measure.value.is_finite() || measure.value < least || measure.value > most {
            let written = unit.as_ref().map(|unit| unit.value.as_str());
            return Err(Box::new(out_of_range(*span, dimension, written, (least, most))));
        }
        self.next();
        Ok(Spanned::new(measure, *span))
    }

    fn size(&mut self) -> Taken<Arg> {
        let Some(Spanned { value: Value::Size(width, height), span }) = self.peek() else {
            return Err(self.wrong(codes::VALUE, "a picture size such as 1920x1080"));
        };
        let read = |text: &str| text.parse::<u32>().ok().filter(|size| (16..=32_768).contains(size));
        match (read(width), read(height)) {
            (Some(width), Some(height)) => {
                self.next();
                Ok(Arg::Size(Spanned::new(FrameSize { width, height }, *span)))
            }
            _ => Err(Box::new(
                Diagnostic::new(codes::RANGE, *span, "a picture is from 16 to 32,768 pixels each way")
                    .label("outside what is possible"),
            )),
        }
    }

    fn position(&mut self) -> Taken<Arg> {
        let latitude = self.degrees("latitude", 90.0)?;
        match self.peek() {
            Some(Spanned { value: Value::Comma(_), .. }) => self.next(),
            _ => return Err(self.wrong(codes::VALUE, "',' and the longitude")),
        };
        let longitude = self.degrees("longitude", 180.0)?;
        Ok(Arg::List(vec![vec![Arg::Number(latitude)], vec![Arg::Number(longitude)]]))
    }

    fn degrees(&mut self, what: &str, most: f64) -> Taken<Spanned<Measure>> {
        match self.peek() {
            Some(Spanned { value: Value::Number { value, unit: None }, span }) => {
                if value.abs() > most || !value.is_finite() {
                    return Err(Box::new(
                        Diagnostic::new(
                            codes::RANGE,
                            *span,
                            format!("a {what} lies between -{most} and {most}"),
                        )
                        .label("outside what is possible"),
                    ));
                }
                self.next();
                Ok(Spanned::new(
                    Measure { value: *value, dimension: Dimension::Number, frames: false },
                    *span,
                ))
            }
            _ => {
                Err(self.wrong(codes::VALUE, &format!("a {what} in degrees without a unit, such as 38.7056")))
            }
        }
    }

    fn light(&mut self) -> Taken<Arg> {
        const LIGHTS: &[&str] = &["sun", "sky", "lamp", "golden", "dusk", "night"];
        let start = self.peek().map_or(self.end, |value| value.span);
        let word = match self.peek() {
            Some(Spanned { value: Value::Name(name), .. }) => name.as_str(),
            _ => "",
        };
        let light = match word {
            "sun" => Light::Sun,
            "sky" => Light::Sky,
            "lamp" => Light::Lamp,
            "dusk" => Light::Dusk,
            "night" => Light::Night,
            "golden" => {
                self.next();
                let half = self.choice(&["morning", "evening"])?;
                let light = if half.value == "morning" { Light::GoldenMorning } else { Light::GoldenEvening };
                return Ok(Arg::Light(Spanned::new(light, start.to(self.end))));
            }
            _ => {
                let Some(from) = self.edge()? else {
                    let mut words = LIGHTS.to_vec();
                    words.extend(EVENTS.iter().map(|(word, _)| *word));
                    // Not one of them, so this always says what is wrong and what is near.
                    self.choice(&words)?;
                    return Ok(Arg::Absent);
                };
                match self.peek() {
                    Some(Spanned { value: Value::Dots, .. }) => self.next(),
                    _ => {
                        return Err(self.wrong(
                            codes::VALUE,
                            "'..' and the end of the light, such as 'sunrise .. sunrise + 40 min'",
                        ));
                    }
                };
                let Some(to) = self.edge()? else {
                    return Err(self.wrong(codes::VALUE, "an event of the sun such as 'sunset - 1 h'"));
                };
                return Ok(Arg::Light(Spanned::new(Light::Between(from, to), start.to(self.end))));
            }
        };
        self.next();
        Ok(Arg::Light(Spanned::new(light, start)))
    }

    fn edge(&mut self) -> Taken<Option<LightEdge>> {
        let Some(Spanned { value: Value::Name(name), .. }) = self.peek() else { return Ok(None) };
        let Some((_, event)) = EVENTS.iter().find(|(word, _)| word == name) else { return Ok(None) };
        self.next();
        let sign = match self.peek().map(|value| &value.value) {
            Some(Value::Plus) => {
                self.next();
                1.0
            }
            Some(Value::Minus) => {
                self.next();
                -1.0
            }
            Some(Value::Number { .. }) => 1.0,
            _ => return Ok(Some(LightEdge { event: *event, offset: Seconds(0.0) })),
        };
        let offset = self.quantity(Dimension::Time, -43_200.0, 43_200.0)?;
        Ok(Some(LightEdge { event: *event, offset: Seconds(sign * offset.value.value) }))
    }
}

/// Events of the sun, as written.
const EVENTS: &[(&str, SunEvent)] = &[
    ("first_light", SunEvent::FirstLight),
    ("sunrise", SunEvent::Sunrise),
    ("noon", SunEvent::Noon),
    ("sunset", SunEvent::Sunset),
    ("last_light", SunEvent::LastLight),
];

fn one_of(words: &[&str]) -> String {
    match words {
        [only] => format!("'{only}'"),
        _ => format!("one of {}", words.join(", ")),
    }
}

/// A number with its unit as a quantity of the dimension asked for.
pub(super) fn measure(
    value: f64,
    unit: Option<&Spanned<String>>,
    dimension: Dimension,
    span: Span,
) -> Taken<Measure> {
    let Some(written) = unit else {
        if dimension == Dimension::Number {
            return Ok(Measure { value, dimension, frames: false });
        }
        return Err(Box::new(
            Diagnostic::new(codes::UNIT, span, format!("expected {} with its unit", dimension.word()))
                .label("no unit")
                .help(format!("write it as in '{}'", dimension.example())),
        ));
    };
    if dimension == Dimension::Time && FRAME_WORDS.contains(&written.value.as_str()) {
        return Ok(Measure { value, dimension, frames: true });
    }
    match find(&written.value) {
        Some(unit) if unit.dimension == dimension => {
            Ok(Measure { value: value * unit.factor, dimension, frames: false })
        }
        Some(unit) => Err(Box::new(
            Diagnostic::new(
                codes::UNIT,
                span,
                format!("expected {} such as {}", dimension.word(), dimension.example()),
            )
            .label(format!("this is {}", unit.dimension.word())),
        )),
        None => {
            let known = UNITS.iter().filter(|unit| unit.dimension == dimension).map(|unit| unit.word);
            let mut wrong =
                Diagnostic::new(codes::UNIT, written.span, format!("no unit '{}'", written.value))
                    .label(format!("expected {} such as {}", dimension.word(), dimension.example()));
            let close = nearest(&written.value, known.clone())
                .or_else(|| known.clone().find(|word| word.eq_ignore_ascii_case(&written.value)));
            if let Some(near) = close {
                wrong = wrong.help(format!("did you mean '{near}'?")).patch(written.span, near);
            }
            Err(Box::new(wrong))
        }
    }
}

/// The limits in the unit that was written, so that they can be compared at a glance.
fn out_of_range(
    span: Span,
    dimension: Dimension,
    written: Option<&str>,
    (least, most): (f64, f64),
) -> Diagnostic {
    let own = written.and_then(find).filter(|unit| unit.dimension == dimension);
    let unit = own.or_else(|| UNITS.iter().find(|unit| unit.dimension == dimension).copied());
    // A limit just above nothing must not read as nothing.
    let number = |value: f64| show::number(value, if value.abs() < 0.001 { 6 } else { 3 });
    let show = |value: f64| match unit {
        Some(unit) => format!("{} {}", number(value / unit.factor), unit.word),
        None => number(value),
    };
    Diagnostic::new(
        codes::RANGE,
        span,
        format!("expected {} from {} to {}", dimension.word(), show(least), show(most)),
    )
    .label("outside what is possible")
}

/// What a value is, for people.
pub(super) fn describe(value: &Value) -> &'static str {
    match value {
        Value::Text(_) => "a text",
        Value::Name(_) => "a word",
        Value::Number { unit: None, .. } => "a bare number",
        Value::Number { unit: Some(unit), .. } => {
            if FRAME_WORDS.contains(&unit.value.as_str()) {
                return "a number of frames";
            }
            find(&unit.value).map_or("a number with an unknown unit", |unit| unit.dimension.word())
        }
        Value::Size(..) => "a picture size",
        Value::Date(_) => "a date",
        Value::Clock(_) => "a clock",
        Value::Comma(_) => "a comma",
        Value::Arrow => "an arrow",
        Value::Dots => "a range",
        Value::Plus | Value::Minus => "a sign",
    }
}
