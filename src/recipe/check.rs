//! Whether a recipe that has the right shape also makes sense.
//!
//! In: a [`Recipe`] and the text it was read from. Out: what is wrong, each
//! problem with its place. A recipe without problems can be expanded without
//! further questions: every name it uses exists, and its passes form no circle.

use super::expression::Expression;
use super::read::{Problem, locate};
use super::schema::{Kind, PassRule, Recipe, Role};
use crate::diagnostic::nearest::nearest;

/// Names that a recipe of each calling kind may have, where these are fixed.
const JOINS: &[&str] = &["stitch", "match", "wipe", "whip", "dissolve"];
/// The one recipe that every plate passes through.
pub(super) const INGEST: &str = "ingest";
/// Recipes of the whole sequence.
pub(super) const SEQUENCE: &[&str] = &["assembly", "sound", "grade", "delivery"];
/// Most hours that one pass may take.
pub(super) const MOST_HOURS: f64 = 10_000.0;
/// Most hours that may lie between a pass and what waits for it, for each reason.
pub(super) const MOST_AFTER: f64 = 1_000.0;

struct Checker<'a> {
    recipe: &'a Recipe,
    text: &'a str,
    problems: Vec<Problem>,
}

/// Everything that is wrong with a recipe, in order of discovery.
pub(super) fn check(recipe: &Recipe, text: &str) -> Vec<Problem> {
    let mut checker = Checker { recipe, text, problems: Vec::new() };
    checker.head();
    checker.names();
    for role in &recipe.roles {
        checker.role(role);
    }
    for pass in &recipe.passes {
        checker.pass(pass);
    }
    checker.quantities();
    checker.circle();
    checker.problems
}

impl Checker<'_> {
    fn report(&mut self, key: &str, name: &str, words: &[&str], message: String, help: Option<String>) {
        let range = locate(self.text, key, name, words);
        self.problems.push(Problem { message, help, range });
    }

    fn head(&mut self) {
        let recipe = self.recipe;
        let name = recipe.recipe.as_str();
        if !is_name(name) {
            let message = format!("'{name}' is not a name; a name is lower-case words joined by '_'");
            self.report("recipe", name, &[], message, None);
        }
        if recipe.title.trim().is_empty() || recipe.summary.trim().is_empty() {
            let message = format!("the recipe '{name}' needs a title and a summary");
            self.report("recipe", name, &[], message, None);
        }
        if recipe.passes.is_empty() {
            let message = format!("the recipe '{name}' has no passes, so it does nothing");
            self.report("recipe", name, &[], message, None);
        }
        let fixed: &[&str] = match recipe.kind {
            Kind::Effect => &[],
            Kind::Join => JOINS,
            Kind::EveryPlate => &[INGEST],
            Kind::Sequence => SEQUENCE,
        };
        let taken = JOINS.contains(&name) || name == INGEST || SEQUENCE.contains(&name);
        if (!fixed.is_empty() && !fixed.contains(&name)) || (fixed.is_empty() && taken) {
            let message = match recipe.kind {
                Kind::Effect => {
                    format!("'{name}' cannot be an effect: the name is taken by another kind of recipe")
                }
                kind => format!(
                    "nothing calls '{name}': a recipe for {} replaces one of {}",
                    kind.word(),
                    fixed.join(", ")
                ),
            };
            self.report("recipe", name, &[], message, Some("rename it, or change its kind".into()));
        }
        let roles: Option<&[&str]> = match recipe.kind {
            Kind::Effect => None,
            Kind::Join => Some(&["from", "to"]),
            Kind::EveryPlate => Some(&["plate"]),
            Kind::Sequence => Some(&[]),
        };
        let have: Vec<&str> = recipe.roles.iter().map(|role| role.role.as_str()).collect();
        if let Some(roles) = roles.filter(|roles| *roles != have.as_slice()) {
            let message =
                format!("a recipe for {} has these roles and no others: {}", recipe.kind.word(), list(roles));
            self.report("recipe", name, &[], message, None);
        }
        if recipe.kind == Kind::Effect
            && recipe.roles.first().is_none_or(|first| first.derive.is_some() || first.optional)
        {
            let message =
                format!("the recipe '{name}' needs a first role that the writer binds: the plate it is on");
            self.report("recipe", name, &[], message, None);
        }
    }

    fn names(&mut self) {
        let recipe = self.recipe;
        let roles = recipe.roles.iter().map(|role| ("role", role.role.as_str()));
        let quantities = recipe.quantities.iter().map(|quantity| ("quantity", quantity.quantity.as_str()));
        let passes = recipe.passes.iter().map(|pass| ("pass", pass.pass.as_str()));
        let words = recipe.words.iter().map(|word| ("word", word.word.word()));
        let all: Vec<(&str, &str)> = roles.chain(quantities).chain(words).chain(passes).collect();
        for (at, &(key, name)) in all.iter().enumerate() {
            if !is_name(name) {
                let message = format!("'{name}' is not a name; a name is lower-case words joined by '_'");
                self.report(key, name, &[], message, None);
            }
            if let Some((other, _)) = all.iter().take(at).find(|(_, earlier)| *earlier == name) {
                let message = format!("the name '{name}' is given to a {other} and again to a {key}");
                // The second block of that name is the one at fault.
                self.report(other, name, &[name], message, None);
            }
            if key == "quantity" && recipe.kind.names().contains(&name) {
                let message = format!("'{name}' is always known in a sum and cannot be a quantity");
                self.report(key, name, &[], message, None);
            }
        }
    }

    fn role(&mut self, role: &Role) {
        let recipe = self.recipe;
        let name = role.role.as_str();
        let feeds = recipe.passes.iter().any(|pass| pass.inputs.contains(&role.role))
            || recipe
                .roles
                .iter()
                .any(|other| other.derive.as_ref().is_some_and(|derive| derive.from == name));
        if !feeds {
            let message = format!("nothing uses the role '{name}'");
            let help = "name it in the inputs of a pass, or remove it".to_owned();
            self.report("role", name, &[], message, Some(help));
        }
        if role.at_least == Some(0) {
            let message =
                format!("the role '{name}' takes at least 0 plates; write 'optional: true' for that");
            self.report("role", name, &["at_least"], message, None);
        }
        for demand in &role.demands {
            if demand.text.trim().is_empty() {
                let message = format!("a demand on '{name}' does not say what would spoil it");
                self.report("role", name, &["demands"], message, None);
            }
        }
        let Some(derive) = &role.derive else { return };
        self.sum("role", name, "lasts", &derive.lasts);
        if derive.takes == 0 || derive.takes > 100 {
            let message = format!("'{name}' is owed with {} takes; 1 to 100 are possible", derive.takes);
            self.report("role", name, &["takes"], message, None);
        }
        match recipe.role(&derive.from) {
            Some(source) if source.derive.is_none() && !source.optional => {}
            Some(_) => {
                let message =
                    format!("'{name}' is derived from '{}', which may itself be absent", derive.from);
                self.report("role", name, &["from", &derive.from], message, None);
            }
            None => self.unknown_role("role", name, "from", &derive.from),
        }
    }

    fn unknown_role(&mut self, key: &str, name: &str, inside: &str, word: &str) {
        let near = nearest(word, self.recipe.roles.iter().map(|role| role.role.as_str()));
        let help = near.map(|near| format!("did you mean '{near}'?"));
        self.report(
            key,
            name,
            &[inside, word],
            format!("'{name}' speaks of a role '{word}' that is not there"),
            help,
        );
    }

    fn pass(&mut self, pass: &PassRule) {
        let name = pass.pass.as_str();
        self.sum("pass", name, "effort", &pass.effort);
        for (key, sum) in [("render", &pass.render), ("review", &pass.review)] {
            if let Some(sum) = sum {
                self.sum("pass", name, key, sum);
            }
        }
        if pass.review_in.is_some() && pass.review.is_none() {
            let message = format!("the pass '{name}' says how its review is counted, and has none");
            let help = Some("add 'review:' with its hours, or remove the line".to_owned());
            self.report("pass", name, &["review_in"], message, help);
        }
        for department in std::iter::once(&pass.department).chain(&pass.or) {
            if !is_name(department) {
                let message = format!("'{department}' is not the name of a department");
                self.report("pass", name, &[department], message, None);
            }
        }
        for input in &pass.inputs {
            if self.recipe.role(input).is_none() {
                self.unknown_role("pass", name, "inputs", input);
            }
        }
        for wait in &pass.waits {
            let words = &["waits", wait.pass.as_str()];
            if wait.pass == pass.pass {
                self.report("pass", name, words, format!("the pass '{name}' waits for itself"), None);
            } else if self.recipe.pass(&wait.pass).is_none() {
                let near = nearest(&wait.pass, self.recipe.passes.iter().map(|pass| pass.pass.as_str()));
                let help = near.map(|near| format!("did you mean '{near}'?"));
                let message = format!("the pass '{name}' waits for '{}', which is not there", wait.pass);
                self.report("pass", name, words, message, help);
            }
            if wait.because.trim().is_empty() {
                let message = format!("the pass '{name}' does not say why it waits for '{}'", wait.pass);
                self.report("pass", name, words, message, None);
            }
        }
    }

    fn sum(&mut self, key: &str, name: &str, inside: &str, sum: &Expression) {
        let known: Vec<&str> = self
            .recipe
            .kind
            .names()
            .iter()
            .copied()
            .chain(self.recipe.quantities.iter().map(|quantity| quantity.quantity.as_str()))
            .collect();
        for word in sum.names() {
            if !known.contains(&word) {
                let help = match nearest(word, known.iter().copied()) {
                    Some(near) => format!("did you mean '{near}'?"),
                    None => format!("a sum here knows {}", list(&known)),
                };
                let message = format!("the sum of '{name}' uses '{word}', which is not known");
                self.report(key, name, &[inside, word], message, Some(help));
            }
        }
    }

    fn quantities(&mut self) {
        for quantity in &self.recipe.quantities {
            if quantity.default.is_some_and(|default| !default.is_finite()) {
                let message = format!("the quantity '{}' needs a finite default", quantity.quantity);
                self.report("quantity", &quantity.quantity, &[], message, None);
            }
            let (least, most) = (quantity.least, quantity.most);
            let inside = quantity.default.is_none_or(|default| (least..=most).contains(&default));
            if !(least.is_finite() && most.is_finite() && least < most && inside) {
                let message = format!(
                    "the quantity '{}' needs a least below its most, and a default between them",
                    quantity.quantity
                );
                self.report("quantity", &quantity.quantity, &[], message, None);
            }
        }
    }

    /// Takes away passes that wait for nothing that is left, until none can be
    /// taken; what stays waits for itself through others.
    fn circle(&mut self) {
        let mut left: Vec<&PassRule> = self.recipe.passes.iter().collect();
        loop {
            let names: Vec<&str> = left.iter().map(|pass| pass.pass.as_str()).collect();
            let before = left.len();
            left.retain(|pass| pass.waits.iter().any(|wait| names.contains(&wait.pass.as_str())));
            if left.len() == before {
                break;
            }
        }
        let Some(first) = left.first() else { return };
        let mut chain: Vec<&str> = vec![first.pass.as_str()];
        loop {
            let next = left.iter().find(|pass| Some(&pass.pass.as_str()) == chain.last()).and_then(|pass| {
                pass.waits.iter().find(|wait| left.iter().any(|other| other.pass == wait.pass))
            });
            let Some(next) = next.map(|wait| wait.pass.as_str()) else { return };
            if let Some(at) = chain.iter().position(|&name| name == next) {
                let mut circle = chain.split_off(at);
                circle.push(next);
                if circle.len() > 2 {
                    let message =
                        format!("passes wait for each other in a circle: {}", circle.join(" waits for "));
                    self.report("pass", next, &["waits"], message, None);
                }
                return;
            }
            chain.push(next);
        }
    }
}

fn list(words: &[&str]) -> String {
    if words.is_empty() { "none".into() } else { words.join(", ") }
}

fn is_name(word: &str) -> bool {
    word.starts_with(|first: char| first.is_ascii_lowercase())
        && word.len() <= 60
        && word.chars().all(|letter| letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == '_')
}
