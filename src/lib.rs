//! Seamster compiles an effects-heavy film sequence, written as text, into what
//! must be captured, in which order, and what the desk then does.
//!
//! This page is the whole way through the house. Data flows down it; no stage
//! reaches back, and only [`load`] and the caller touch files.
//!
//! ```text
//! text → syntax → model → recipes → record → graph → order → rules → packet
//! ```

pub mod craft;
pub mod diagnostic;
mod giving_way;
pub mod graph;
pub mod kept;
pub mod load;
pub mod model;
pub mod order;
pub mod packet;
pub mod quantity;
pub mod recipe;
pub mod record;
pub mod revise;
pub mod rule;
pub mod schema;
pub mod source;
pub mod suppose;
pub mod syntax;
mod yaml;

pub use load::{Loaded, Reader, load};

use diagnostic::Diagnostic;
use graph::Work;
use model::Model;
use order::{Effort, Plan};
use recipe::{Breakdown, Library};
use rule::{Findings, Subject};
use schema::Fact;
use source::{FileId, Sources};
use suppose::Suppositions;
use syntax::Tree;

/// A sequence, compiled.
#[derive(Debug)]
pub struct Compiled {
    /// The texts.
    pub sources: Sources,
    /// Which of them is the plan file, where there is one.
    pub plan_file: Option<FileId>,
    /// Whether the plan is kept beside the sequence, or will be.
    pub keeps: bool,
    /// Their statements, checked.
    pub facts: Vec<Fact>,
    /// The day logs beside it.
    pub logs: Vec<Tree>,
    /// What they mean.
    pub model: Model,
    /// The recipes that were used.
    pub library: Library,
    /// What must be captured and done.
    pub breakdown: Breakdown,
    /// What waits for what.
    pub work: Work,
    /// When all of it happens.
    pub plan: Plan,
    /// What the rules say.
    pub findings: Findings,
    /// Everything that stands, of every stage, sorted by place.
    pub diagnostics: Vec<Diagnostic>,
    /// How hard the planners tried.
    effort: Effort,
}

/// Takes a loaded sequence through every stage. `watch` is told each stage's
/// name as it ends.
pub fn compile(loaded: Loaded, watch: &mut dyn FnMut(&'static str)) -> Compiled {
    compile_with(loaded, Effort::default(), watch)
}

/// The same with planners that try harder.
pub fn compile_with(loaded: Loaded, effort: Effort, watch: &mut dyn FnMut(&'static str)) -> Compiled {
    let Loaded { sources, trees, recipes, logs, plan: plan_file, afresh, mut diagnostics } = loaded;
    watch("syntax");

    let statements = trees.iter().flat_map(Tree::statements);
    let facts = schema::check(statements, schema::ROOT, &mut diagnostics);
    if diagnostics.len() >= diagnostic::MOST {
        let help = format!("reading stopped after {} findings; mend these first", diagnostic::MOST);
        diagnostics.push(
            Diagnostic::new(diagnostic::codes::FILE, None, "there is more wrong than is shown").help(help),
        );
    }
    watch("schema");

    let model = model::lower(&facts, &rule::names(), &mut diagnostics);
    watch("model");

    let (library, wrong) = Library::with_project(&sources, &recipes);
    diagnostics.extend(wrong);
    let meant = Meant { sources, plan_file, afresh, facts, logs, model, library, diagnostics };
    finish(meant, effort, watch)
}

/// What statements mean, before anything is made of it.
struct Meant {
    sources: Sources,
    plan_file: Option<FileId>,
    afresh: bool,
    facts: Vec<Fact>,
    logs: Vec<Tree>,
    model: Model,
    library: Library,
    diagnostics: Vec<Diagnostic>,
}

/// Every stage from the recipes on.
fn finish(meant: Meant, effort: Effort, watch: &mut dyn FnMut(&'static str)) -> Compiled {
    let Meant { sources, plan_file, afresh, facts, logs, mut model, library, mut diagnostics } = meant;
    recipe::share_out(&mut model, &library, &mut diagnostics);
    let mut breakdown = recipe::expand(&model, &library, &mut diagnostics);
    watch("recipes");

    record::record(&sources, &logs, (&mut model, &mut breakdown), &mut diagnostics);
    watch("record");

    if let Some(file) = plan_file {
        kept::kept(&sources, file, (&mut model, &breakdown), &mut diagnostics);
        if afresh {
            model.kept = model.kept.pins_alone();
        }
        watch("kept");
    }

    let work = graph::build(&model, &breakdown, &mut diagnostics);
    watch("graph");

    let plan = order::plan_with(&model, &breakdown, &work, effort);
    watch("order");

    let findings = rule::check(&Subject { model: &model, breakdown: &breakdown, work: &work }, &plan);
    let stages = giving_way::Stages {
        sources: &sources,
        model: &model,
        breakdown: &breakdown,
        work: &work,
        plan: &plan,
        effort,
    };
    stages.tell(&mut diagnostics);
    diagnostics.extend(findings.standing.iter().map(|(_, diagnostic)| diagnostic.clone()));
    diagnostic::sort(&mut diagnostics);
    watch("rules");

    let keeps = plan_file.is_some();
    Compiled {
        sources,
        plan_file,
        keeps,
        facts,
        logs,
        model,
        library,
        breakdown,
        work,
        plan,
        findings,
        diagnostics,
        effort,
    }
}

impl Compiled {
    /// Whether anything stands that cannot work as written.
    pub fn has_errors(&self) -> bool {
        rule::has_errors(&self.diagnostics)
    }

    /// Whether the text itself has errors, so that the plan is not one of what was meant.
    pub fn is_misread(&self) -> bool {
        let found = |one: &&Diagnostic| self.findings.standing.iter().any(|(_, rule)| rule == *one);
        self.diagnostics
            .iter()
            .filter(|one| one.severity == diagnostic::Severity::Error)
            .any(|one| !found(&one))
    }

    /// The same sequence with something supposed: all of it compiled again, nothing of it changed.
    /// Days whose weather fails come last, one after the other: what is shot on each hangs on
    /// the plan of all that is supposed besides and of the days before.
    pub fn supposing(&self, suppositions: &Suppositions, effort: Effort) -> Self {
        let again = |fallen: Option<model::Fallen>| {
            let mut diagnostics = Vec::new();
            let facts = suppositions.statements(self);
            let mut model = model::lower(&facts, &rule::names(), &mut diagnostics);
            suppositions.apply(&mut model);
            if let Some(days) = &mut model.days {
                days.fallen = fallen;
            }
            let (sources, library, logs) =
                (suppositions.sources.clone(), self.library.clone(), self.logs.clone());
            let (plan_file, afresh) = (self.plan_file, false);
            let meant = Meant { sources, plan_file, afresh, facts, logs, model, library, diagnostics };
            finish(meant, effort, &mut |_| {})
        };
        let mut supposed = if suppositions.only_weather() { None } else { Some(again(None)) };
        for (date, span) in suppositions.failing() {
            let before = supposed.as_ref().unwrap_or(self);
            let cover = before.plan.covers.iter().find(|cover| cover.date == date);
            let fallen = cover.map(|cover| order::fallen(&before.breakdown, &before.plan, cover, span));
            if fallen.is_some() {
                supposed = Some(again(fallen));
            }
        }
        supposed.unwrap_or_else(|| again(None))
    }

    /// The text of the plan itself, as a plan file holds it.
    pub fn plan_text(&self) -> String {
        kept::rest(&self.model, &self.breakdown, &self.plan)
    }

    /// Hash of the text. Where a plan is kept, of the plan that came of it as well, in place of the file:
    /// remarks in it change no paper.
    pub fn text_hash(&self) -> String {
        if !self.keeps {
            return packet::text_hash(&self.sources);
        }
        let mut sources = Sources::default();
        for (at, file) in self.sources.files().iter().enumerate() {
            if self.plan_file.is_none_or(|plan| usize::from(plan.0) != at) {
                sources.add(&file.name, &file.text);
            }
        }
        sources.add(kept::ENDING, self.plan_text());
        packet::text_hash(&sources)
    }

    /// Every document of the packet, in memory. `overrides` are the project's own
    /// templates by name.
    ///
    /// # Errors
    /// When a template of the project is wrong.
    pub fn documents(
        &self,
        draft: bool,
        overrides: &[(String, String)],
    ) -> Result<Vec<packet::Document>, packet::RenderError> {
        packet::render(&self.packet(draft), overrides)
    }

    /// Every view of the packet, from which its documents are made.
    pub fn packet(&self, draft: bool) -> packet::Packet {
        let text_hash = self.text_hash();
        let seconds = order::explain::seconds(&self.model, &self.breakdown, &self.work, &self.plan.shoot);
        let planned = (&self.plan, self.effort);
        let aftermaths = order::aftermaths(&self.model, &self.breakdown, &self.work, planned);
        packet::assemble(&packet::Input {
            sources: &self.sources,
            model: &self.model,
            breakdown: &self.breakdown,
            work: &self.work,
            plan: &self.plan,
            seconds: &seconds,
            findings: &self.findings,
            diagnostics: &self.diagnostics,
            aftermaths: &aftermaths,
            draft,
            text_hash: &text_hash,
        })
    }
}
