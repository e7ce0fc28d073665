//! How a comparison reaches people: printed in one of four forms, or as a folder.

use super::super::{Trouble, console, folder};
use clap::ValueEnum;
use seamster::Compiled;
use seamster::diagnostic::nearest::nearest;
use seamster::diagnostic::text::plain;
use seamster::packet::RenderError;
use seamster::packet::views::Head;
use seamster::revise::{self, Comparison, Page};
use std::path::{Path, PathBuf};

/// How, for whom and where to.
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Telling {
    /// How it is told
    #[arg(long, value_enum, default_value = "text")]
    pub(in crate::cli) format: Form,
    /// Only what is different for one person, by path or name
    #[arg(long = "for", value_name = "PERSON")]
    whom: Option<String>,
    /// Write it into a folder instead: a page of everything, and one for each person
    #[arg(long, value_name = "DIR", conflicts_with_all = ["format", "whom"])]
    out: Option<PathBuf>,
}

/// How a comparison is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(in crate::cli) enum Form {
    /// For people, on a terminal.
    Text,
    /// For people, to be sent on.
    Markdown,
    /// One page for the phone and for paper.
    Html,
    /// One object, for other programs.
    Json,
}

/// What the pages are laid out with.
pub(in crate::cli) struct Paper<'a> {
    /// Head of the new packet.
    pub(in crate::cli) head: &'a Head,
    /// The project's own templates.
    pub(in crate::cli) templates: &'a [(String, String)],
    /// The folder that the sequence lies in.
    pub(in crate::cli) folder: &'a Path,
    /// The new version.
    pub(in crate::cli) of: &'a Compiled,
}

impl Telling {
    /// Prints the comparison, or writes its folder.
    pub(in crate::cli) fn tell(&self, comparison: &Comparison, paper: &Paper<'_>) -> Result<(), Trouble> {
        match &self.out {
            Some(out) => write(out, comparison, paper),
            None => console::print(&self.told(comparison, paper)?),
        }
    }

    /// The page of whoever was asked for; `None` where nobody was.
    fn page(&self, comparison: &Comparison) -> Result<Option<Page>, Trouble> {
        let Some(whom) = &self.whom else { return Ok(None) };
        comparison.page(whom).map(Some).ok_or_else(|| {
            let touched = comparison.people.iter().map(|page| page.name.as_str());
            let names: Vec<&str> =
                touched.chain(comparison.untouched.iter().map(|one| one.name.as_str())).collect();
            let trouble = Trouble::new(format!("nobody is called '{whom}'"));
            trouble.help(match nearest(whom, names.iter().copied()) {
                Some(near) => format!("did you mean '{near}'?"),
                None => format!("there are: {}", names.join("; ")),
            })
        })
    }

    fn told(&self, comparison: &Comparison, paper: &Paper<'_>) -> Result<String, Trouble> {
        let page = self.page(comparison)?;
        let page = page.as_ref();
        let ending = match self.format {
            Form::Text => return Ok(plain(&revise::text(comparison, page)).into_owned()),
            Form::Json => {
                return Ok(page.map_or_else(|| revise::json(comparison), revise::json));
            }
            Form::Markdown => "md",
            Form::Html => "html",
        };
        let documents =
            revise::alone(comparison, page, paper.head, paper.templates).map_err(wrong_template)?;
        let found = documents.into_iter().find(|document| document.path.ends_with(ending));
        let text = found.and_then(|document| String::from_utf8(document.bytes).ok());
        text.ok_or_else(|| Trouble::new("no page was made"))
    }
}

fn wrong_template(error: RenderError) -> Trouble {
    Trouble::new(error.to_string()).help("mend or remove the file in 'templates/' beside the new version")
}

fn write(out: &Path, comparison: &Comparison, paper: &Paper<'_>) -> Result<(), Trouble> {
    let documents = revise::documents(comparison, paper.head, paper.templates).map_err(wrong_template)?;
    let label =
        folder::Label { sequence: paper.of.model.sequence.named.path.clone(), text: paper.of.text_hash() };
    folder::write(out, paper.folder, &label, &documents)?;
    let (count, out) = (documents.len(), console::shown(out));
    console::print(&format!("wrote the comparison into '{out}': {count} documents; open index.html\n"))
}
