//! Small shapes that many views share. All are plain text, rounded already.

use crate::diagnostic::Diagnostic;
use schemars::JsonSchema;
use serde::Serialize;

/// A label and what stands beside it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Fact {
    /// What it is: `shutter`.
    pub label: String,
    /// The value: `1/50 s`.
    pub value: String,
}

/// Adds a fact.
pub(crate) fn fact(label: &str, value: impl Into<String>) -> Fact {
    Fact { label: label.to_owned(), value: value.into() }
}

/// A document of the packet, by name.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
pub struct Link {
    /// What to call it.
    pub text: String,
    /// Its name in the packet without ending: `plates/leap-swoop`.
    pub file: String,
}

/// Something to set or watch, computed by a rule.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Told {
    /// What it sets: `lens height`.
    pub topic: String,
    /// What to do: `168 cm ± 4 cm`.
    pub text: String,
    /// How the number came about.
    pub how: String,
    /// The rule's page.
    pub rule: Link,
}

/// A finding that stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Found {
    /// `error`, `warning`, `note`.
    pub severity: String,
    /// `J01`.
    pub code: String,
    /// The rule's page.
    pub rule: Link,
    /// What is wrong.
    pub message: String,
    /// `file:line`; empty where it has no place.
    pub at: String,
    /// How to mend it; empty where nothing is known.
    pub help: String,
    /// Computed facts.
    pub notes: Vec<String>,
}

/// A waived finding with the writer's reason.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct WaivedView {
    /// `J01`.
    pub code: String,
    /// The rule's page.
    pub rule: Link,
    /// What was found.
    pub message: String,
    /// Why it is accepted, in the writer's words.
    pub reason: String,
    /// `file:line` of the waiver.
    pub at: String,
}

/// Cautions about one hazard.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Caution {
    /// What people call the hazard.
    pub title: String,
    /// What brings it: places, rigs, plates.
    pub because: Vec<String>,
    /// The usual sentences.
    pub says: Vec<String>,
    /// Where the numbers come from; empty for common practice.
    pub source: String,
}

/// All cautions of one document.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Cautions {
    /// The usual ones, by hazard.
    pub usual: Vec<Caution>,
    /// The writer's own lines and those of recipes: words under what they belong to.
    pub own: Vec<Fact>,
    /// Those that rules computed.
    pub told: Vec<Told>,
    /// The sentence that goes with every caution.
    pub deference: String,
}

impl Told {
    /// Whether it is a number that has done its work once the day is planned.
    pub(crate) fn is_for_planning(&self) -> bool {
        ["access", "carry", "light-window"].contains(&self.rule.text.as_str())
    }

    /// Whether only the desk can use it.
    pub(crate) fn is_for_desk(&self) -> bool {
        self.rule.text == "headroom"
    }
}

/// Something left out of a plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct LeftOut {
    /// What.
    pub what: Link,
    /// Reasons, each with the line behind it where there is one.
    pub reasons: Vec<String>,
}

/// The name of a rule's page, without ending.
pub(crate) fn rule_file(id: &str, name: &str) -> String {
    format!("rules/{id}-{name}")
}

impl Found {
    /// From a diagnostic whose place and rule's page were looked up.
    pub(crate) fn new(diagnostic: &Diagnostic, rule: Link, at: String) -> Self {
        let code = diagnostic.code;
        Self {
            severity: diagnostic.severity.word().to_owned(),
            code: code.id.to_owned(),
            rule,
            message: diagnostic.message.clone(),
            at,
            help: diagnostic.help.clone().unwrap_or_default(),
            notes: diagnostic.notes.clone(),
        }
    }
}

/// `1 plate`, `3 plates`.
pub(crate) fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// `a`, `a and b`, `a, b and c`.
pub(crate) fn and(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [before @ .., last] => format!("{} and {last}", before.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_read_as_spoken() {
        let words = |words: &[&str]| and(&words.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>());
        assert_eq!(words(&[]), "");
        assert_eq!(words(&["a"]), "a");
        assert_eq!(words(&["a", "b", "c"]), "a, b and c");
        assert_eq!(count(1, "plate", "plates"), "1 plate");
    }
}
