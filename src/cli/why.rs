//! `why`: the chain that fixes a time.

use super::timings::Timings;
use super::{Exit, Trouble, console, project};
use seamster::Compiled;
use seamster::diagnostic::nearest::nearest;
use seamster::diagnostic::text::{plain, summary};
use seamster::graph;
use std::path::PathBuf;
use telling::Telling;

mod telling;

/// Say why something comes when it does
///
/// Told are: when it is planned, what holds it there, the chain of things that it
/// waits for, each with the line behind it, what waits for it, and how far it can
/// slip. A name is the path of a plate (`leap.swoop`), a pass
/// (`leap.orrery.track`), an effect, a beat, an asset, a join
/// (`"leap.swoop->leap.land"`), a date or `day 1`, `lock` or `delivery`.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The file that the sequence begins with; `-` reads standard input
    file: PathBuf,
    /// What to ask about; without it every name is listed
    node: Option<String>,
    /// Everything that it waits for, at any distance
    #[arg(long)]
    all: bool,
}

/// Tells.
pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let compiled = project::compile(&args.file, &mut Timings::start(false))?.compiled;
    let telling = Telling::of(&compiled);
    let text = match &args.node {
        None => telling.every_name(),
        Some(word) => answer(&telling, &compiled, word, args.all)?,
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

fn answer(telling: &Telling<'_>, compiled: &Compiled, word: &str, all: bool) -> Result<String, Trouble> {
    if let Some(text) = telling.day(word) {
        return Ok(text);
    }
    let path: String = word.split_whitespace().collect();
    let nodes = graph::named(&path, &compiled.model, &compiled.breakdown);
    if nodes.is_empty() {
        return Err(unknown(telling, word, &path));
    }
    Ok(nodes.into_iter().map(|node| telling.node(node, all)).collect::<Vec<_>>().join("\n"))
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
