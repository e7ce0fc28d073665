//! `why`: the chain that fixes a time, and what would move it.

use super::report::{Effort, Format};
use super::timings::Timings;
use super::{Exit, Trouble, console, project};
use answer::Answer;
use seamster::Compiled;
use seamster::diagnostic::nearest::nearest;
use seamster::diagnostic::text::{plain, summary};
use seamster::graph;
use std::path::PathBuf;
use telling::Telling;

mod answer;
mod desk;
mod sentence;
mod shoot;
mod telling;

/// Say why something comes when it does, and what would move it
///
/// Told are: when it is planned; the chain that holds it there, up to something
/// that does not give, each link with the line behind it; how much room it has;
/// what another order or another day would cost; and what would move it, found by
/// planning again with one thing changed, what asks least of people first.
/// A name is the path of a plate (`leap.swoop`), a pass
/// (`leap.orrery.track`), an effect, a beat, an asset, a join
/// (`"leap.swoop->leap.land"`), a date or `day 1`, `lock` or `delivery`.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The file that the sequence begins with, or its folder; `-` reads standard input
    file: PathBuf,
    /// What to ask about; without it every name is listed
    node: Option<String>,
    /// Everything that it waits for, at any distance
    #[arg(long)]
    all: bool,
    /// How the answer is told: as text, or as one JSON object with `answers`
    #[arg(long, value_enum, default_value = "text")]
    format: Format,
    #[command(flatten)]
    effort: Effort,
}

/// The one object.
#[derive(serde::Serialize)]
struct Object {
    answers: Vec<Answer>,
}

/// Tells.
pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let mut timings = Timings::start(false);
    let compiled = project::compile(&args.file, args.effort.value(), &mut timings)?.compiled;
    let telling = Telling::of(&compiled, args.effort.value());
    let text = match &args.node {
        None => telling.every_name(),
        Some(word) => told(args, answers(&telling, &compiled, word, args.all)?),
    };
    console::print(&plain(&text))?;
    if !compiled.has_errors() {
        return Ok(Exit::Clean);
    }
    console::tell(&format!(
        "the sequence has {}; the answer holds for what could be read, and `seamster check` tells the rest\n",
        summary(&compiled.diagnostics)
    ));
    Ok(Exit::Errors)
}

fn told(args: &Args, answers: Vec<Answer>) -> String {
    match args.format {
        Format::Text => answers.iter().map(|one| one.text(args.all)).collect::<Vec<_>>().join("\n"),
        Format::Json => {
            let object = Object { answers };
            let mut text = serde_json::to_string_pretty(&object).expect("texts and numbers are always JSON");
            text.push('\n');
            text
        }
    }
}

fn answers(
    telling: &Telling<'_>,
    compiled: &Compiled,
    word: &str,
    all: bool,
) -> Result<Vec<Answer>, Trouble> {
    if let Some(day) = telling.day(word) {
        return Ok(vec![day]);
    }
    let path: String = word.split_whitespace().collect();
    let nodes = graph::named(&path, &compiled.model, &compiled.breakdown);
    if nodes.is_empty() {
        return Err(unknown(telling, word, &path));
    }
    Ok(nodes.into_iter().map(|node| telling.node(node, all)).collect())
}

fn unknown(telling: &Telling<'_>, word: &str, path: &str) -> Trouble {
    let names = telling.names();
    let inside =
        |name: &&String| name.rsplit('.').next() == Some(path) || name.starts_with(&format!("{path}."));
    let near = nearest(path, names.iter().map(String::as_str));
    let near = near.or_else(|| names.iter().find(inside).map(String::as_str));
    let trouble = Trouble::new(format!("nothing is called '{}'", plain(word)));
    trouble.help(match near {
        Some(near) => format!("did you mean '{near}'?"),
        None => "`seamster why FILE` lists every name".into(),
    })
}
