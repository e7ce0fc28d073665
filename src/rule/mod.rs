//! The rules: what is checked, and what is computed for it.
//!
//! In: model, breakdown, graph, and for some rules the plan. Out: [`Findings`]:
//! diagnostics, waivers that held, and instructions for the packet. A rule is
//! one file with its page beside it; it registers itself in its family's list.

use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::graph::Work;
use crate::model::{
    AssetId, BeatId, CameraId, DeskId, EffectId, JoinId, LookId, MarkId, Model, PersonId, PlaceId, PlateId,
    PropId, RigId, ScreenId, Waiver,
};
use crate::order::Plan;
use crate::recipe::{Breakdown, PassId};

mod advice;
pub mod care;
pub mod day;
pub mod desk;
pub mod joins;
pub mod kit;
pub mod log;
pub mod plan_file;
pub mod plates;
pub mod story;
pub mod text;
mod waivers;

/// Goes with every number and order that stands on what practitioners do and on
/// nothing printed; in code, on the page and in the packet.
pub(crate) const PRACTICE: &str = "common practice, no source";

/// Which family a rule belongs to; the letter of its code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Family {
    /// `T`: what is written.
    Text,
    /// `J`: where two plates meet.
    Joins,
    /// `P`: what is captured.
    Plates,
    /// `S`: states along the story.
    Story,
    /// `K`: batteries, cards, packs.
    Kit,
    /// `D`: the shoot day.
    Day,
    /// `W`: work at the desk.
    Desk,
    /// `C`: people's safety.
    Care,
    /// `L`: what was captured.
    Log,
    /// `F`: the plan file.
    Plan,
}

/// One rule.
#[derive(Clone, Copy)]
pub struct Rule {
    /// Its identity and usual severity.
    pub code: Code,
    /// Its family.
    pub family: Family,
    /// Its page, Markdown.
    pub page: &'static str,
    /// How it is checked.
    pub check: Check,
}

/// How a rule is checked.
#[derive(Clone, Copy)]
pub enum Check {
    /// By the stage that reads the text; nothing to run here.
    Reading,
    /// From the work alone, before anything is planned.
    Work(fn(&Subject<'_>, &mut Report)),
    /// From the work and the plan.
    Plan(fn(&Subject<'_>, &Plan, &mut Report)),
}

/// What rules look at.
#[derive(Clone, Copy)]
pub struct Subject<'a> {
    /// The sequence.
    pub model: &'a Model,
    /// Its work.
    pub breakdown: &'a Breakdown,
    /// Its dependencies.
    pub work: &'a Work,
}

/// What a finding or an instruction is about; waivers in its block and in the
/// blocks around it apply.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum About {
    /// A plate; then its beat, then the sequence.
    Plate(PlateId),
    /// A join; then the beats of both sides.
    Join(JoinId),
    /// An effect; then its beat.
    Effect(EffectId),
    /// A beat.
    Beat(BeatId),
    /// An asset.
    Asset(AssetId),
    /// A place.
    Place(PlaceId),
    /// A mark.
    Mark(MarkId),
    /// A camera.
    Camera(CameraId),
    /// A rig.
    Rig(RigId),
    /// A screen.
    Screen(ScreenId),
    /// A person.
    Person(PersonId),
    /// A desk.
    Desk(DeskId),
    /// A prop.
    Prop(PropId),
    /// A look.
    Look(LookId),
    /// A pass; then its owner.
    Pass(PassId),
    /// A planned day (index into the shoot plan's days); then the `days` block.
    Day(usize),
    /// The `finish` statement.
    Finish,
    /// Everything.
    Sequence,
}

/// A number or condition that the packet prints as something to set or watch.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Instruction {
    /// Whose card it belongs on.
    pub about: About,
    /// The rule that computed it.
    pub rule: &'static str,
    /// What it sets: `lens height`, `turn`, `shutter`, `distance to screen`.
    pub topic: String,
    /// What to do: `168 cm ± 4 cm`.
    pub text: String,
    /// How the number came about, with its inputs.
    pub how: String,
}

/// What one rule reports into.
#[derive(Debug, Default)]
pub struct Report {
    /// Findings before waivers.
    pub found: Vec<(About, Diagnostic)>,
    /// Instructions.
    pub instructions: Vec<Instruction>,
}

impl Report {
    /// Reports a finding.
    pub fn find(&mut self, about: About, diagnostic: Diagnostic) {
        self.found.push((about, diagnostic));
    }

    /// Adds an instruction.
    pub fn instruct(
        &mut self,
        about: About,
        rule: &'static str,
        topic: impl Into<String>,
        text: impl Into<String>,
        how: impl Into<String>,
    ) {
        self.instructions.push(Instruction {
            about,
            rule,
            topic: topic.into(),
            text: text.into(),
            how: how.into(),
        });
    }
}

/// A waiver that held, with what it waived.
#[derive(Debug, Clone, PartialEq)]
pub struct Waived {
    /// The waiver.
    pub waiver: Waiver,
    /// The finding that it silenced.
    pub diagnostic: Diagnostic,
    /// What it was about.
    pub about: About,
}

/// Everything the rules say.
#[derive(Debug, Clone, Default)]
pub struct Findings {
    /// What stands, with what it is about.
    pub standing: Vec<(About, Diagnostic)>,
    /// What was waived.
    pub waived: Vec<Waived>,
    /// What to print on cards.
    pub instructions: Vec<Instruction>,
}

impl Findings {
    /// Instructions for one card, in a stable order.
    pub fn instructions_for(&self, about: About) -> impl Iterator<Item = &Instruction> {
        self.instructions.iter().filter(move |instruction| instruction.about == about)
    }
}

/// Every rule there is, by code.
pub fn all() -> Vec<Rule> {
    let mut rules: Vec<Rule> = [
        text::RULES,
        joins::RULES,
        plates::RULES,
        story::RULES,
        kit::RULES,
        day::RULES,
        desk::RULES,
        care::RULES,
        log::RULES,
        plan_file::RULES,
    ]
    .concat();
    rules.sort_by_key(|rule| rule.code.id);
    rules
}

/// The name of every rule, for `accept` and `treat`.
pub fn names() -> Vec<&'static str> {
    all().iter().map(|rule| rule.code.name).collect()
}

/// The rule of that kebab-case name or code.
pub fn find(word: &str) -> Option<Rule> {
    all().into_iter().find(|rule| rule.code.name == word || rule.code.id.eq_ignore_ascii_case(word))
}

/// Runs every rule, applies the sequence's severities and its waivers, and
/// reports waivers that waived nothing.
pub fn check(subject: &Subject<'_>, plan: &Plan) -> Findings {
    let mut report = Report::default();
    for rule in all() {
        match rule.check {
            Check::Reading => {}
            Check::Work(run) => run(subject, &mut report),
            Check::Plan(run) => run(subject, plan, &mut report),
        }
    }
    settle(subject, report)
}

fn settle(subject: &Subject<'_>, report: Report) -> Findings {
    let mut findings = Findings { instructions: report.instructions, ..Findings::default() };
    findings.instructions.sort();
    findings.instructions.dedup();
    let mut used: Vec<&Waiver> = Vec::new();
    for (about, mut diagnostic) in report.found {
        match subject.model.sequence.severities.get(diagnostic.code.name) {
            Some(None) => continue,
            Some(Some(severity)) => diagnostic.severity = *severity,
            None => {}
        }
        let waiver = waivers::blocks(subject, about)
            .into_iter()
            .flat_map(|named| &named.waivers)
            .find(|waiver| waiver.rule == diagnostic.code.name);
        match waiver {
            Some(waiver) => {
                used.push(waiver);
                findings.waived.push(Waived { waiver: waiver.clone(), diagnostic, about });
            }
            None => findings.standing.push((about, diagnostic)),
        }
    }
    for waiver in waivers::idle(subject, &used) {
        findings.standing.push((About::Sequence, waiver));
    }
    findings
}

/// Whether any finding is an error.
pub fn has_errors(diagnostics: &[Diagnostic]) -> bool {
    diagnostics.iter().any(|diagnostic| diagnostic.severity == Severity::Error)
}
