//! Binding the words of an effect block to the roles and quantities of its recipe.

use super::{Bound, Expansion};
use crate::diagnostic::nearest::nearest;
use crate::diagnostic::{Diagnostic, codes};
use crate::model::{Binding, Effect, EffectId, PlateId};
use crate::quantity::unit::{Dimension, UNITS};
use crate::quantity::{Seconds, show};
use crate::recipe::expression::Values;
use crate::recipe::schema::{EffectWord, Kind, Recipe};
use crate::source::Span;

/// Words that every effect block knows.
const ALWAYS: &[&str] = &["seconds", "effort", "needs", "note", "caution", "accept"];

impl<'a> Expansion<'a> {
    /// Finds the recipe of each effect and binds its block.
    pub(super) fn bind_effects(&mut self) {
        for (id, effect) in self.model.effects.iter() {
            let name = effect.recipe.value.as_str();
            let Some(recipe) = self.library.find_kind(name, Kind::Effect) else {
                self.report_unknown(effect);
                self.out.methods.push(name.to_owned());
                continue;
            };
            self.out.methods.push(recipe.title.clone());
            let bound = self.bind(id, effect, recipe);
            self.bound.push(bound);
        }
    }

    fn report_unknown(&mut self, effect: &Effect) {
        let name = effect.recipe.value.as_str();
        let span = effect.recipe.span;
        let diagnostic = match self.library.find(name) {
            Some(other) => Diagnostic::new(
                codes::RECIPE,
                span,
                format!("'{name}' is a recipe for {}, not for effects", other.kind.word()),
            )
            .help("'seamster recipes' lists the recipes for effects"),
            None => {
                let diagnostic =
                    Diagnostic::new(codes::RECIPE, span, format!("no recipe is called '{name}'"));
                match self.library.nearest(name) {
                    Some(near) => diagnostic.help(format!("did you mean '{near}'?")).patch(span, near),
                    None => diagnostic
                        .help("'seamster recipes' lists all; your own go in 'recipes/' beside the sequence"),
                }
            }
        };
        self.diagnostics.push(diagnostic);
    }

    fn bind(&mut self, id: EffectId, effect: &'a Effect, recipe: &'a Recipe) -> Bound<'a> {
        let mut roles: Vec<Vec<(PlateId, Span)>> = vec![Vec::new(); recipe.roles.len()];
        let mut values = Values::new();
        for quantity in &recipe.quantities {
            values.extend(quantity.default.map(|value| (quantity.quantity.clone(), value)));
        }
        for binding in &effect.bindings {
            let word = binding.word.value.as_str();
            if let Some(at) = recipe.roles.iter().position(|role| role.role == word) {
                if binding.plates.is_empty() {
                    self.report_role(
                        binding,
                        format!("'{word}' of {} takes the name of a plate", recipe.recipe),
                    );
                }
                if let Some(role) = roles.get_mut(at) {
                    role.extend(binding.plates.iter().map(|plate| (plate.value, plate.span)));
                }
            } else if recipe.quantity(word).is_some() {
                self.bind_quantity(binding, recipe, &mut values);
            } else {
                self.report_word(binding, recipe);
            }
        }
        self.check_words(effect, recipe);
        self.check_roles(effect, recipe, &mut roles);
        for quantity in &recipe.quantities {
            if !values.contains_key(&quantity.quantity) {
                let (name, word) = (&quantity.quantity, quantity.dimension.word());
                let message =
                    format!("'{}' by {} needs {word} for '{name}'", effect.named.path, recipe.recipe);
                let help = format!("write '{name} {}': {}", quantity.dimension.example(), quantity.doc);
                self.diagnostics.push(Diagnostic::new(codes::ROLE, effect.named.span, message).help(help));
                // Said once is enough: sums that use it still get a number, and nothing is built with errors.
                values.insert(name.clone(), 1.0);
            }
        }
        self.known_values(effect, &roles, &mut values);
        Bound { effect: id, recipe, roles, values }
    }

    fn report_role(&mut self, binding: &Binding, message: String) {
        self.diagnostics.push(Diagnostic::new(codes::ROLE, binding.span, message));
    }

    fn bind_quantity(&mut self, binding: &Binding, recipe: &Recipe, values: &mut Values) {
        let word = binding.word.value.as_str();
        let Some(quantity) = recipe.quantity(word) else { return };
        let expected =
            format!("write {} such as '{}'", quantity.dimension.word(), quantity.dimension.example());
        match &binding.amount {
            Some(amount) if amount.value.dimension == quantity.dimension => {
                let value = amount.value.value;
                if !(quantity.least..=quantity.most).contains(&value) {
                    let shown = |value: f64| amount_words(value, quantity.dimension);
                    let (least, most) = (shown(quantity.least), shown(quantity.most));
                    let message = format!("'{word}' of {} lies from {least} to {most}", recipe.recipe);
                    self.diagnostics.push(
                        Diagnostic::new(codes::RANGE, amount.span, message)
                            .label("outside what is possible")
                            .help(quantity.doc.clone()),
                    );
                }
                values.insert(quantity.quantity.clone(), value.clamp(quantity.least, quantity.most));
            }
            Some(amount) => {
                let (found, wanted) = (amount.value.dimension.word(), quantity.dimension.word());
                let message = format!("'{word}' of {} is {wanted}, not {found}", recipe.recipe);
                self.diagnostics.push(Diagnostic::new(codes::UNIT, amount.span, message).help(expected));
                values.insert(quantity.quantity.clone(), quantity.default.unwrap_or(1.0));
            }
            None => {
                let message = format!("'{word}' of {} takes {}", recipe.recipe, quantity.dimension.word());
                self.diagnostics.push(Diagnostic::new(codes::ROLE, binding.span, message).help(expected));
                values.insert(quantity.quantity.clone(), quantity.default.unwrap_or(1.0));
            }
        }
    }

    fn report_word(&mut self, binding: &Binding, recipe: &Recipe) {
        let word = binding.word.value.as_str();
        let known: Vec<&str> = (recipe.roles.iter().map(|role| role.role.as_str()))
            .chain(recipe.quantities.iter().map(|quantity| quantity.quantity.as_str()))
            .chain(recipe.words.iter().map(|word| word.word.word()))
            .chain(ALWAYS.iter().copied())
            .collect();
        let message = format!("{} has no role or quantity '{word}'", recipe.recipe);
        let diagnostic = Diagnostic::new(codes::ROLE, binding.word.span, message);
        self.diagnostics.push(match nearest(word, known.iter().copied()) {
            Some(near) => diagnostic.help(format!("did you mean '{near}'?")).patch(binding.word.span, near),
            None => diagnostic.help(format!("it knows {}", known.join(", "))),
        });
    }

    /// Reports words that the recipe does not read, and missing ones that it needs.
    fn check_words(&mut self, effect: &Effect, recipe: &Recipe) {
        let written = [
            (EffectWord::Objects, effect.objects.first().map(|object| object.span)),
            (EffectWord::Speed, effect.speed_span),
            (EffectWord::Sweep, effect.sweep.map(|sweep| sweep.span)),
            (EffectWord::Screen, effect.screen.map(|screen| screen.span)),
            (EffectWord::Gap, effect.gap.map(|gap| gap.span)),
            (EffectWord::Asset, effect.assets.first().map(|asset| asset.span)),
        ];
        for (word, span) in written {
            if let Some(span) = span.filter(|_| !recipe.reads(word)) {
                let message = format!("{} does not use '{}'", recipe.recipe, word.word());
                let help = "remove it, or choose the recipe that does";
                self.diagnostics.push(Diagnostic::new(codes::ROLE, span, message).help(help));
            }
            let rule = recipe.words.iter().find(|rule| rule.word == word && rule.needed);
            if let Some(rule) = rule.filter(|_| span.is_none()) {
                let name = word.word();
                let message = format!("'{}' by {} needs '{name}'", effect.named.path, recipe.recipe);
                let help = format!("write a line '{name} …': {}", rule.doc);
                self.diagnostics.push(Diagnostic::new(codes::ROLE, effect.named.span, message).help(help));
            }
        }
    }

    /// Reports roles with too few or too many plates; keeps what fits.
    fn check_roles(&mut self, effect: &Effect, recipe: &Recipe, roles: &mut [Vec<(PlateId, Span)>]) {
        for (role, plates) in recipe.roles.iter().zip(roles) {
            let least = role.at_least.unwrap_or(1) as usize;
            let name = &role.role;
            if let Some(&(_, span)) = plates.get(1).filter(|_| role.at_least.is_none()) {
                let message = format!("'{name}' of {} takes one plate", recipe.recipe);
                self.diagnostics.push(Diagnostic::new(codes::ROLE, span, message).label("one too many"));
                plates.truncate(1);
            }
            if plates.len() >= least || ((role.optional || role.derive.is_some()) && plates.is_empty()) {
                continue;
            }
            let many = if least > 1 { format!("{least} plates or more") } else { "a plate".into() };
            let message = format!("'{}' by {} needs {many} for '{name}'", effect.named.path, recipe.recipe);
            let help = format!("write '{name} PLATE': {}", role.title);
            self.diagnostics.push(Diagnostic::new(codes::ROLE, effect.named.span, message).help(help));
        }
    }

    /// The names that every sum of an effect knows.
    fn known_values(&self, effect: &Effect, roles: &[Vec<(PlateId, Span)>], values: &mut Values) {
        let on: Vec<PlateId> = roles.first().into_iter().flatten().map(|(plate, _)| *plate).collect();
        let longest =
            |length: &dyn Fn(PlateId) -> Seconds| on.iter().map(|&plate| length(plate).0).fold(0.0, f64::max);
        let seconds = effect.seconds.map_or_else(
            || longest(&|plate| self.picture_length(&self.model.plates[plate])),
            |seconds| seconds.value.0,
        );
        let lasts = longest(&|plate| self.model.plates[plate].lasts.value);
        let joins = self.model.joins.values().filter(|join| on.contains(&join.from) || on.contains(&join.to));
        let speeds = effect.speed.iter().map(|point| point.speed.0);
        let known = [
            ("seconds", seconds),
            ("frames", seconds * self.model.sequence.rate.per_second()),
            ("lasts", lasts),
            ("objects", effect.objects.len().max(1) as f64),
            ("assets", effect.assets.len() as f64),
            ("plates", on.len() as f64),
            ("joins", joins.count() as f64),
            ("points", effect.speed.len() as f64),
            ("slowest", speeds.clone().reduce(f64::min).unwrap_or(1.0)),
            ("fastest", speeds.reduce(f64::max).unwrap_or(1.0)),
        ];
        values.extend(known.map(|(name, value)| (name.to_owned(), value)));
    }
}

/// `0.1 m`: a value of a dimension in the unit that its examples use.
fn amount_words(value: f64, dimension: Dimension) -> String {
    match UNITS.iter().find(|unit| unit.dimension == dimension) {
        Some(unit) => format!("{} {}", show::number(value / unit.factor, 3), unit.word),
        None => show::number(value, 3),
    }
}
