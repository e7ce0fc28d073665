//! `explain`: a rule, a statement or a recipe, on one page.

use super::{Exit, Trouble, console, pdf};
use seamster::diagnostic::nearest::nearest;
use seamster::diagnostic::text::plain;
use seamster::kept;
use seamster::packet;
use seamster::recipe::{self, Library};
use seamster::record;
use seamster::rule::{self, Rule};
use seamster::schema;

/// Explain a rule, a statement of the language or a recipe
///
/// Without a word, every rule is listed with what it finds.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// A rule (`join-offset` or `J01`), a statement (`plate`) or a recipe (`keyed_hands`)
    word: Option<String>,
    /// The whole language on one page, Markdown
    #[arg(long, conflicts_with = "word")]
    language: bool,
    /// How the recipes of a project are written, Markdown
    #[arg(long, conflicts_with_all = ["word", "language"])]
    recipe_files: bool,
    /// How day logs are written, Markdown
    #[arg(long, conflicts_with_all = ["word", "language", "recipe_files"])]
    log_files: bool,
    /// How templates of a project are written, and the data that each gets, Markdown
    #[arg(long, conflicts_with_all = ["word", "language", "recipe_files"])]
    templates: bool,
    /// A built-in template as it stands: `plate.html`
    #[arg(long, value_name = "NAME", conflicts_with_all = ["word", "language", "recipe_files", "templates"])]
    template: Option<String>,
    /// What `packet.json` holds, as JSON Schema (draft 2020-12)
    #[arg(long, conflicts_with_all = ["word", "language", "recipe_files", "templates", "template"])]
    packet_schema: bool,
    /// How the plan file is written, and how to pin something in it, Markdown
    #[arg(long, conflicts_with_all = ["word", "language", "recipe_files", "log_files", "templates", "template", "packet_schema"])]
    plan_file: bool,
}

/// Explains.
pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let text = match &args.word {
        _ if args.language => schema::page(),
        _ if args.recipe_files => recipe::SCHEMA_PAGE.to_owned(),
        _ if args.log_files => record::FORMAT_PAGE.to_owned(),
        _ if args.plan_file => kept::FORMAT_PAGE.to_owned(),
        _ if args.templates => packet::template_page(),
        _ if args.packet_schema => packet::schema(),
        None => match &args.template {
            Some(name) => template(name)?,
            None => every_rule(),
        },
        Some(word) if ["pdf", "pdf1", "pdf2", "pdf3"].contains(&word.to_lowercase().as_str()) => {
            pdf::PAGE.to_owned()
        }
        Some(word) => page(word)?,
    };
    console::print(&text)?;
    Ok(Exit::Clean)
}

/// A built-in template.
fn template(name: &str) -> Result<String, Trouble> {
    let found = packet::template(name).map(str::to_owned);
    found.ok_or_else(|| {
        let trouble = Trouble::new(format!("no template is called '{}'", plain(name)));
        trouble.help(match nearest(name, packet::template_names()) {
            Some(near) => format!("did you mean '{near}'?"),
            None => "`seamster explain --templates` lists them all".into(),
        })
    })
}

/// Everything of that name: a word may be a statement and a recipe at once.
fn page(word: &str) -> Result<String, Trouble> {
    let library = Library::builtin();
    let rule = rule::find(word).map(|rule| rule_page(&rule));
    let statement = schema::words(word);
    let recipe = library.find(word).map(recipe::page);
    let pages: Vec<String> = [rule, statement, recipe].into_iter().flatten().collect();
    if pages.is_empty() {
        return Err(unknown(word, &library));
    }
    let mut text = pages.iter().map(|page| page.trim_end()).collect::<Vec<_>>().join("\n\n");
    text.push('\n');
    Ok(text)
}

fn rule_page(rule: &Rule) -> String {
    let code = rule.code;
    let head = format!("{} {}, usually {}", code.id, code.name, article(code.severity.word()));
    format!("{head}\n\n{}", rule.page)
}

fn article(word: &str) -> String {
    if word.starts_with('e') { format!("an {word}") } else { format!("a {word}") }
}

fn unknown(word: &str, library: &Library) -> Trouble {
    let rules = rule::names();
    let recipes = library.entries().iter().map(|entry| entry.recipe.recipe.as_str());
    let names = rules.iter().copied().chain(schema::every_word()).chain(recipes);
    let trouble = Trouble::new(format!("no rule, statement or recipe is called '{}'", plain(word)));
    trouble.help(match nearest(word, names) {
        Some(near) => format!("did you mean '{near}'?"),
        None => "`seamster explain` lists every rule, `seamster explain --language` every statement, \
                 `seamster recipes` every recipe"
            .into(),
    })
}

/// Every rule with the first sentence of its page.
fn every_rule() -> String {
    let mut text = String::new();
    for rule in rule::all() {
        let code = rule.code;
        let gist = rule.page.lines().map(str::trim).find(|line| !line.is_empty() && !line.starts_with('#'));
        text.push_str(&format!(
            "{:<4} {:<18} {:<8} {}\n",
            code.id,
            code.name,
            code.severity.word(),
            gist.unwrap_or_default()
        ));
    }
    text.push_str(
        "\n`seamster explain WORD` explains one of these, a statement of the language, or a recipe.\n",
    );
    text
}
