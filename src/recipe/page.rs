//! A recipe as a page that people read, and the schema of recipe files.

use super::schema::{Derive, Kind, Recipe, Role, SetUpRule, When};
use crate::model::Pace;
use crate::quantity::show;
use std::fmt::Write;

/// How a recipe file is written, Markdown; its example is a whole recipe.
pub const SCHEMA_PAGE: &str = include_str!("schema.md");

/// Everything that a recipe says, Markdown. Ends with a line break.
pub fn page(recipe: &Recipe) -> String {
    let mut page = format!("# {}: {}\n\n{}\n", recipe.recipe, recipe.title, recipe.summary.trim());
    let called = match recipe.kind {
        Kind::Effect => format!("`effect NAME by {} {{ … }}`", recipe.recipe),
        Kind::Join => format!("`join A -> B by {} {{ … }}`", recipe.recipe),
        Kind::EveryPlate => "for every clip".into(),
        Kind::Sequence => "once for the whole sequence".into(),
    };
    line(&mut page, format_args!("\nCalled {called}.\n"));
    section(&mut page, "Plates and references", recipe.roles.iter().map(role));
    let words = recipe.words.iter().map(|word| {
        let needed = if word.needed { " (needed)" } else { "" };
        format!("- `{}`{needed}: {}\n", word.word.word(), word.doc)
    });
    let quantities = recipe.quantities.iter().map(|quantity| {
        let default = match quantity.default {
            Some(value) => format!("{} unless written", show::number(value, 3)),
            None => format!("needed, such as `{}`", quantity.dimension.example()),
        };
        format!("- `{}`, {} ({default}): {}\n", quantity.quantity, quantity.dimension.word(), quantity.doc)
    });
    section(&mut page, "Other words", words.chain(quantities));
    section(
        &mut page,
        "At the desk",
        recipe.passes.iter().map(|pass| {
            let or = if pass.or.is_empty() { String::new() } else { format!(" or {}", pass.or.join(" or ")) };
            let mut text = format!(
                "- `{}` {} ({}{or}), hours: `{}`",
                pass.pass,
                pass.title,
                pass.department,
                pass.effort.text()
            );
            for (word, sum) in [("render", &pass.render), ("review", &pass.review)] {
                if let Some(sum) = sum {
                    line(&mut text, format_args!("; then {word}, hours: `{}`", sum.text()));
                }
            }
            if pass.review_in == Some(Pace::Elapsed) {
                text.push_str(" by the clock");
            }
            for wait in &pass.waits {
                line(&mut text, format_args!("; after `{}`: {}", wait.pass, wait.because));
            }
            text + when(pass.when) + "\n"
        }),
    );
    section(&mut page, "Notes", recipe.notes.iter().map(|note| format!("- {note}\n")));
    section(&mut page, "Cautions", recipe.cautions.iter().map(|caution| format!("- {caution}\n")));
    section(&mut page, "Sounds to think of", recipe.cues.iter().map(|cue| format!("- {cue}\n")));
    page
}

fn section(page: &mut String, title: &str, lines: impl Iterator<Item = String>) {
    let lines: String = lines.collect();
    if !lines.is_empty() {
        line(page, format_args!("\n## {title}\n\n{lines}"));
    }
}

fn role(role: &Role) -> String {
    let many = role.at_least.map(|least| format!(", {least} or more")).unwrap_or_default();
    let supplied = role.derive.as_ref().map(supplied).unwrap_or_default();
    let optional = if role.optional { ", may be left out" } else { "" };
    let mut text = format!("- `{}`: {}{many}{optional}{supplied}\n", role.role, role.title);
    for demand in &role.demands {
        line(&mut text, format_args!("  - {}{}\n", demand.text, when(demand.when)));
    }
    text
}

fn supplied(derive: &Derive) -> String {
    let how = match derive.set_up {
        SetUpRule::Same => "in the same set-up",
        SetUpRule::Screen => "before the screen, as seen",
    };
    format!("; owed as {} {how} as `{}` when left out", derive.kind.word(), derive.from)
}

fn when(when: Option<When>) -> &'static str {
    match when {
        None => "",
        Some(When::Locked) => " (only where the camera is locked)",
        Some(When::Moving) => " (only where the camera moves)",
    }
}

/// Writing to a string cannot fail.
fn line(page: &mut String, words: std::fmt::Arguments<'_>) {
    let _ = page.write_fmt(words);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recipe::Library;
    use crate::source::Sources;

    #[test]
    fn every_recipe_has_a_page_that_names_its_parts() {
        for entry in Library::builtin().entries() {
            let (recipe, page) = (&entry.recipe, page(&entry.recipe));
            let roles = recipe.roles.iter().map(|role| &role.role);
            for name in roles.chain(recipe.passes.iter().map(|pass| &pass.pass)) {
                assert!(page.contains(&format!("`{name}`")), "{name} in {page}");
            }
            assert!(page.ends_with('\n') && !page.contains("\n\n\n"), "{page}");
        }
    }

    #[test]
    fn the_example_of_the_schema_page_is_a_whole_recipe() {
        let example =
            SCHEMA_PAGE.split("```yaml\n").nth(1).and_then(|rest| rest.split("```").next()).unwrap();
        let mut sources = Sources::default();
        let file = sources.add("recipes/smoke_trail.yaml", example);
        let (library, diagnostics) = Library::with_project(&sources, &[file]);
        assert!(diagnostics.is_empty(), "{diagnostics:#?}");
        assert!(library.find("smoke_trail").is_some());
    }
}
