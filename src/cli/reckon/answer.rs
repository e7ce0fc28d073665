//! An answer: told in one order, as text or as one JSON object.

use super::Trouble;
use seamster::packet::cautions;
use serde::Serialize;
use std::fmt::Display;

/// The answer to a question.
#[derive(Debug, Default, Serialize)]
pub(super) struct Answer {
    /// The answer itself, most important sentence first.
    answer: Vec<String>,
    /// What else would do, best first.
    ways: Vec<String>,
    formula: Vec<String>,
    inputs: Vec<Input>,
    source: Vec<String>,
    cautions: Vec<String>,
    /// The numbers in the answer, unrounded.
    values: Vec<Value>,
}

#[derive(Debug, Serialize)]
struct Input {
    name: &'static str,
    value: String,
}

#[derive(Debug, Serialize)]
struct Value {
    name: &'static str,
    value: f64,
    unit: &'static str,
}

/// The one object; every key is always there.
#[derive(Serialize)]
struct Object<'a> {
    question: &'a str,
    #[serde(flatten)]
    answer: &'a Answer,
    trouble: Option<&'a str>,
}

impl Answer {
    /// An answer that begins with a sentence.
    pub(super) fn new(says: impl Into<String>) -> Self {
        Self::default().says(says)
    }

    /// A further sentence.
    pub(super) fn says(mut self, text: impl Into<String>) -> Self {
        self.answer.push(text.into());
        self
    }

    /// Something else that would do.
    pub(super) fn or(mut self, way: impl Into<String>) -> Self {
        self.ways.push(way.into());
        self
    }

    /// Several of them.
    pub(super) fn or_any(mut self, ways: impl IntoIterator<Item = String>) -> Self {
        self.ways.extend(ways);
        self
    }

    pub(super) fn formula(mut self, text: impl Into<String>) -> Self {
        self.formula.push(text.into());
        self
    }

    pub(super) fn input(mut self, name: &'static str, value: impl Display) -> Self {
        self.inputs.push(Input { name, value: value.to_string() });
        self
    }

    /// An input that may not have been given.
    pub(super) fn input_if(self, name: &'static str, value: Option<impl Display>) -> Self {
        match value {
            Some(value) => self.input(name, value),
            None => self,
        }
    }

    pub(super) fn source(mut self, text: impl Into<String>) -> Self {
        self.source.push(text.into());
        self
    }

    /// The usual cautions for a hazard.
    pub(super) fn caution(mut self, hazard: &str) -> Self {
        self.cautions.extend(cautions::usual(hazard).says.iter().map(|&says| says.to_owned()));
        self.cautions.push(cautions::DEFERENCE.to_owned());
        self
    }

    /// A number of the answer, for other programs.
    pub(super) fn value(mut self, name: &'static str, value: f64, unit: &'static str) -> Self {
        self.values.push(Value { name, value, unit });
        self
    }

    /// For people: the answer, what else would do, then where it comes from.
    pub(super) fn text(&self) -> String {
        let mut text = String::new();
        for line in &self.answer {
            text.push_str(&format!("{line}\n"));
        }
        for way in &self.ways {
            text.push_str(&format!("  or: {way}\n"));
        }
        text.push('\n');
        let wide = self.inputs.iter().map(|input| input.name.chars().count()).max().unwrap_or(0);
        let inputs: Vec<String> =
            self.inputs.iter().map(|input| format!("{:<wide$}  {}", input.name, input.value)).collect();
        for (head, lines) in [
            ("formula", &self.formula),
            ("inputs", &inputs),
            ("source", &self.source),
            ("caution", &self.cautions),
        ] {
            for (index, line) in lines.iter().enumerate() {
                let head = if index == 0 { head } else { "" };
                text.push_str(&format!("{head:<8} {line}\n"));
            }
        }
        text
    }

    /// For other programs.
    pub(super) fn json(&self, question: &str) -> String {
        lines(&Object { question, answer: self, trouble: None })
    }
}

/// What kept a question from its answer, for other programs.
pub(super) fn refused(question: &str, trouble: &Trouble) -> String {
    lines(&Object { question, answer: &Answer::default(), trouble: Some(&trouble.message) })
}

fn lines(object: &Object<'_>) -> String {
    let mut text = serde_json::to_string_pretty(object).unwrap_or_default();
    text.push('\n');
    text
}
