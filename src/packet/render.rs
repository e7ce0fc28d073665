//! From views to documents, through templates.
//!
//! In: [`Packet`], and templates of the project that replace built-in ones.
//! Out: every document as bytes, in a stable order, or the first template that
//! is wrong, with its line. Undefined names are errors, a template cannot run
//! for ever, and everything that comes from the sequence is escaped for the
//! kind of document it stands in.

use super::escape;
use super::exchange::{calendar, dot, json, timeline};
use super::pages::{Card, CardSet, IngestList, Page, PassList, PhoneCard, PhonePage, RuleText};
use super::paper;
use super::pictures::{Picture, Pictures, graph};
use super::templates::TEMPLATES;
use super::views::plate_card::PlateCard;
use super::views::{Bundle, Head, Packet, footage, passes};
use crate::diagnostic::nearest::nearest;
use minijinja::syntax::SyntaxConfig;
use minijinja::value::{Serde, ValueKind};
use minijinja::{
    AutoEscape, Environment, Error, ErrorKind, Output, State, UndefinedBehavior, Value, context,
};
use serde::Serialize;
use std::collections::BTreeMap;
use std::fmt;

/// One file of a packet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Document {
    /// Its name in the packet's folder: `plates/leap-swoop.html`; ASCII, `/` on every system.
    pub path: String,
    /// What is in it.
    pub bytes: Vec<u8>,
}

/// A template that is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RenderError {
    /// The template's name.
    pub template: String,
    /// Whether it is one of the project's; else a built-in one, which another
    /// template of the project leaves without something that it uses.
    pub own: bool,
    /// The line in it, from 1, where known.
    pub line: Option<usize>,
    /// What is wrong, one sentence.
    pub message: String,
    /// How to mend it, where known.
    pub help: Option<String>,
}

impl fmt::Display for RenderError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.own, self.line) {
            (true, Some(line)) => write!(f, "templates/{}:{line}: {}", self.template, self.message),
            (true, None) => write!(f, "templates/{}: {}", self.template, self.message),
            (false, Some(line)) => {
                write!(f, "the built-in template '{}', line {line}: {}", self.template, self.message)
            }
            (false, None) => write!(f, "the built-in template '{}': {}", self.template, self.message),
        }
    }
}

impl std::error::Error for RenderError {}

/// Steps that one document may take: some thousands of cards, far more than
/// anyone prints.
const FUEL: u64 = 20_000_000;

/// Every document of a packet, sorted by path. `overrides` are the project's
/// own templates by name.
///
/// # Errors
/// When a template of the project has a name that no built-in one has, does
/// not parse, uses an undefined name or a value that is none, or does not end.
pub fn render(packet: &Packet, overrides: &[(String, String)]) -> Result<Vec<Document>, RenderError> {
    // Before the pages, since while it is made it takes more room than any of them.
    let json = json::write(packet).into_bytes();
    let mut press = Press::new(&packet.head, overrides)?;
    press.hang(&packet.pictures);
    press.single("cover", "index", "Cover", &packet.cover)?;
    for sheet in &packet.call_sheets {
        press.single("call_sheet", &sheet.file, &format!("Call sheet, day {}", sheet.day), sheet)?;
    }
    for card in &packet.plates {
        press.single("plate", &card.file, &format!("Plate card: {}", card.title), card)?;
    }
    for card in &packet.hand_overs {
        press.single("hand_over", &card.file, &format!("Hand-over card: {}", card.title), card)?;
    }
    for card in &packet.screens {
        press.single("screen", &card.file, &format!("Screen card: {}", card.title), card)?;
    }
    press.bundles(packet)?;
    for log in &packet.logs {
        press.single("day_log", &log.file, &format!("Log sheet, day {}", log.day), log)?;
    }
    press.phones(packet)?;
    let (totals, aside) = (&packet.ingest_totals, &packet.ingest_aside);
    let list = IngestList { clips: &packet.ingest, totals, aside };
    press.single("ingest", "ingest", "Ingest list", list)?;
    press.single("passes", "passes", "Pass list", PassList { rows: &packet.passes })?;
    for note in &packet.handoffs {
        press.single("handoff", &note.file, &format!("Handoff note: {}", note.title), note)?;
    }
    press.single("desk_plan", "desk-plan", "Desk plan", &packet.desk)?;
    press.single("dependencies", graph::FILE, "What waits for what", &packet.dependencies)?;
    for page in &packet.rules {
        press.single(
            "rule",
            &page.file,
            &format!("Rule {}: {}", page.code, page.name),
            RuleText { severity: &page.severity, html: &page.html, markdown: body(&page.markdown) },
        )?;
    }
    press.put("assembly.otio", timeline::otio::write(packet));
    for (name, list) in timeline::decisions::write(packet) {
        press.put(name, list);
    }
    for (name, graph) in dot::write(packet) {
        press.put(name, graph);
    }
    for dates in &packet.calendars {
        press.put(format!("{}.ics", dates.file), calendar::write(packet, dates));
    }
    press.put("ingest.csv", footage::clip_table(&packet.ingest).write());
    press.put("passes.csv", passes::pass_table(&packet.passes).write());
    press.put("packet.json", json);
    press.put("packet.schema.json", json::write_schema().into_bytes());
    Ok(press.finish())
}

fn environment(overrides: &[(String, String)]) -> Result<Environment<'_>, RenderError> {
    let mut env = Environment::new();
    env.set_undefined_behavior(UndefinedBehavior::Strict);
    env.set_fuel(Some(FUEL));
    env.set_auto_escape_callback(|name| match name.rsplit('.').next() {
        Some("html") => AutoEscape::Html,
        Some("md") => AutoEscape::Custom("markdown".into()),
        _ => AutoEscape::None,
    });
    env.set_formatter(format);
    let syntax =
        SyntaxConfig::builder().trim_blocks(true).lstrip_blocks(true).keep_trailing_newline(true).build();
    env.set_syntax(syntax.expect("the usual delimiters are valid"));
    for (name, _) in overrides {
        if !TEMPLATES.iter().any(|(known, _)| known == name) {
            let near = nearest(name, TEMPLATES.iter().map(|(known, _)| *known));
            return Err(RenderError {
                template: name.clone(),
                own: true,
                line: None,
                message: "no document is made from a template of this name".to_owned(),
                help: near.map(|near| format!("did you mean '{near}'?")),
            });
        }
    }
    for (name, text) in TEMPLATES {
        let text = overrides.iter().find(|(own, _)| own == name).map_or(*text, |(_, text)| text);
        env.add_template(name, text).map_err(|error| explain(&error, name, overrides))?;
    }
    Ok(env)
}

/// A view as a template sees it.
fn value(view: impl Serialize) -> Value {
    Value::from(Serde(view))
}

/// Writes one value, escaped for the document; a value that is none is an
/// error, since it would print as a word.
fn format(out: &mut Output<'_>, state: &mut State<'_, '_>, value: &Value) -> Result<(), Error> {
    if value.is_undefined() {
        return Err(Error::from(ErrorKind::UndefinedError));
    }
    if value.is_none() {
        return Err(Error::new(ErrorKind::InvalidOperation, "a value that is none cannot be printed"));
    }
    if value.is_safe() {
        return out.write_str(value.as_str().unwrap_or_default()).map_err(Error::from);
    }
    let shown;
    let text = match (value.as_str(), value.kind()) {
        (Some(text), _) => text,
        (None, ValueKind::Seq | ValueKind::Map | ValueKind::Iterable) => {
            return Err(Error::new(ErrorKind::InvalidOperation, "a list cannot be printed as it is"));
        }
        (None, _) => {
            shown = value.to_string();
            &shown
        }
    };
    match state.auto_escape() {
        AutoEscape::Html => escape::html(text, out),
        AutoEscape::Custom(_) => escape::markdown(text, out),
        _ => out.write_str(text),
    }
    .map_err(Error::from)
}

fn explain(error: &Error, template: &str, overrides: &[(String, String)]) -> RenderError {
    let mut innermost = error;
    while let Some(source) =
        std::error::Error::source(innermost).and_then(|source| source.downcast_ref::<Error>())
    {
        innermost = source;
    }
    let kind = innermost.kind().to_string();
    let template = innermost.name().unwrap_or(template).to_owned();
    let own = overrides.iter().any(|(name, _)| *name == template);
    let help = match innermost.kind() {
        _ if !own => {
            let names: Vec<&str> = overrides.iter().map(|(name, _)| name.as_str()).collect();
            Some(format!("a template of the project no longer gives what it uses: {}", names.join(", ")))
        }
        ErrorKind::UndefinedError => {
            Some("`seamster explain --templates` lists the names that a template can use".to_owned())
        }
        ErrorKind::TemplateNotFound => Some(
            "templates bring in built-in ones and those in 'templates/' of the same names, no other files"
                .to_owned(),
        ),
        ErrorKind::OutOfFuel => {
            Some("one page may take only so many steps: look for a loop that does not end".to_owned())
        }
        _ => None,
    };
    RenderError {
        template,
        own,
        line: innermost.line(),
        message: innermost.detail().map_or(kind.clone(), |detail| format!("{kind}: {detail}")),
        help,
    }
}

/// Makes documents in the packet's frame, all with one head.
pub(crate) struct Press<'a> {
    env: Environment<'a>,
    overrides: &'a [(String, String)],
    head: &'a Head,
    documents: Vec<Document>,
}

impl<'a> Press<'a> {
    /// A press with the built-in templates and those of the project.
    pub(crate) fn new(head: &'a Head, overrides: &'a [(String, String)]) -> Result<Self, RenderError> {
        let mut press = Self { env: environment(overrides)?, overrides, head, documents: Vec::new() };
        press.hang(&Pictures::default());
        Ok(press)
    }

    /// Lets templates show these pictures.
    pub(crate) fn hang(&mut self, pictures: &Pictures) {
        let pictures = pictures.clone();
        self.env.add_function("picture", move |file: &str, name: &str| {
            let figure = pictures.get(file, name).map(Picture::figure);
            Value::from_safe_string(figure.unwrap_or_default())
        });
    }

    /// Every document that was made, sorted by path.
    pub(crate) fn finish(self) -> Vec<Document> {
        let mut documents = self.documents;
        documents.sort_by(|a, b| a.path.cmp(&b.path));
        documents
    }

    /// A document as it is.
    pub(crate) fn put(&mut self, path: impl Into<String>, bytes: Vec<u8>) {
        self.documents.push(Document { path: path.into(), bytes });
    }

    /// One view as HTML and as Markdown.
    pub(crate) fn single(
        &mut self,
        template: &str,
        file: &str,
        title: &str,
        view: impl Serialize,
    ) -> Result<(), RenderError> {
        let view = value(&view);
        for ending in ["html", "md"] {
            let text = self.text(template, file, title, ending, &view)?;
            let text = if ending == "md" { tidy(&text) } else { text };
            self.put(format!("{file}.{ending}"), text.into_bytes());
        }
        Ok(())
    }

    fn text(
        &self,
        template: &str,
        file: &str,
        title: &str,
        ending: &str,
        view: &Value,
    ) -> Result<String, RenderError> {
        let name = format!("{template}.{ending}");
        let page = self.page(file, title, ending);
        let context = context! { page => value(&page), head => value(self.head), view => view.clone() };
        let rendered = self.env.get_template(&name).and_then(|template| template.render(context));
        rendered.map_err(|error| explain(&error, &name, self.overrides))
    }

    /// Each day for a phone: what is tapped, and so no Markdown.
    fn phones(&mut self, packet: &Packet) -> Result<(), RenderError> {
        let cards: BTreeMap<&str, &PlateCard> =
            packet.plates.iter().map(|card| (card.file.as_str(), card)).collect();
        for sheet in &packet.call_sheets {
            let logged = packet
                .logs
                .iter()
                .filter(|log| log.day == sheet.day)
                .flat_map(|log| &log.plates)
                .filter_map(|log| Some(PhoneCard { log, card: cards.get(log.plate.file.as_str())? }))
                .collect();
            let view = value(&PhonePage { sheet, logged });
            let (file, title) = (paper::phone(sheet.day), format!("Day {} on a phone", sheet.day));
            let text = self.text("phone", &file, &title, "html", &view)?;
            self.put(format!("{file}.html"), text.trim_start().as_bytes().to_vec());
        }
        Ok(())
    }

    fn page(&self, file: &str, title: &str, ending: &str) -> Page {
        let head = self.head;
        Page {
            title: title.to_owned(),
            file: file.to_owned(),
            root: if file.contains('/') { "../" } else { "" },
            ending: if ending == "md" { "md" } else { "html" },
            running: escape::style_string(&format!(
                "{} · {} · text {}{}",
                short(&head.title),
                short(title),
                head.version,
                if head.label.is_empty() { String::new() } else { format!(" · {}", short(&head.label)) }
            )),
        }
    }

    /// Bundles, whose cards are gathered by name.
    fn bundles(&mut self, packet: &Packet) -> Result<(), RenderError> {
        let mut cards: BTreeMap<&str, Card<'_>> = BTreeMap::new();
        cards.extend(packet.plates.iter().map(|card| (card.file.as_str(), Card::Plate { card })));
        cards.extend(packet.hand_overs.iter().map(|card| (card.file.as_str(), Card::HandOver { card })));
        cards.extend(packet.screens.iter().map(|card| (card.file.as_str(), Card::Screen { card })));
        for Bundle { file, title, cards: names, under_cover } in &packet.bundles {
            let held = names.iter().filter_map(|name| cards.get(name.as_str())).copied().collect();
            self.single("cards", file, title, CardSet { title, cards: held, under_cover })?;
        }
        Ok(())
    }
}

/// A rule's page without its first heading, since the document has its own.
fn body(markdown: &str) -> &str {
    match markdown.strip_prefix("# ") {
        Some(rest) => rest.split_once('\n').map_or("", |(_, body)| body),
        None => markdown,
    }
}

/// A title short enough for a running head.
fn short(title: &str) -> String {
    const MOST: usize = 45;
    if title.chars().count() <= MOST {
        title.to_owned()
    } else {
        title.chars().take(MOST - 1).chain(['…']).collect()
    }
}

/// Markdown without spaces at line ends, with at most one empty line in a row.
fn tidy(text: &str) -> String {
    let mut out = String::new();
    let mut empty = true;
    for line in text.lines().map(str::trim_end) {
        if !(line.is_empty() && empty) {
            out.push_str(line);
            out.push('\n');
        }
        empty = line.is_empty();
    }
    let end = out.trim_end().len();
    out.truncate(end);
    out.push('\n');
    out
}
