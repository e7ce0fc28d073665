//! Views: what each document says, as plain data for templates.
//!
//! In: the stages' values, looked up through an index. Out: [`Packet`]. All
//! computing, wording of quantities and rounding happens here; templates only
//! lay out. Every view serialises as it stands into `packet.json`.

use super::Input;
use super::exchange::json::SCHEMA;
use super::index::Index;
use crate::model::PlateId;
use crate::packet::pictures::{self, Pictures};
use crate::source::Span;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

pub mod assembly;
pub mod beat;
pub mod call_sheet;
mod captured;
mod care;
pub mod cover;
pub mod dates;
pub(crate) mod day_hours;
pub mod day_step;
pub mod dependencies;
pub mod desk;
pub mod footage;
pub mod hand_out;
pub mod hand_over;
pub mod handoff;
pub mod kit;
pub mod passes;
pub mod plate_card;
pub(crate) mod plate_facts;
pub mod power;
pub mod price;
pub mod rule_page;
pub mod screen_card;
pub mod shape;
pub mod weather;
pub mod work;

use assembly::Assembly;
use call_sheet::CallSheet;
use cover::{Cover, Shelf};
use dates::Calendar;
use dependencies::Dependencies;
use desk::DeskView;
use footage::{Clip, DayLog};
use hand_over::HandOver;
use handoff::Handoff;
use passes::{PassRow, Passes};
use plate_card::PlateCard;
use rule_page::RulePage;
use screen_card::ScreenCard;
use shape::{Fact, LeftOut, Link};
use work::Graph;

/// What stands at the head of every document.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Head {
    /// `night_parcel`.
    pub path: String,
    /// `Night Parcel`.
    pub title: String,
    /// Ten hexadecimal digits of the text's hash.
    pub version: String,
    /// What people call this revision; empty where nobody said.
    pub label: String,
    /// IANA name of the zone in which all times are.
    pub zone: String,
    /// Whether the sequence has errors.
    pub draft: bool,
}

/// All views of one packet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Packet {
    /// Version of this shape.
    pub schema: String,
    /// Sequence and version.
    pub head: Head,
    /// The cover.
    pub cover: Cover,
    /// One for each planned day.
    pub call_sheets: Vec<CallSheet>,
    /// One for each plate and reference.
    pub plates: Vec<PlateCard>,
    /// One for each join.
    pub hand_overs: Vec<HandOver>,
    /// One for each plate in front of a screen.
    pub screens: Vec<ScreenCard>,
    /// Which cards are carried on which day.
    pub bundles: Vec<Bundle>,
    /// One for each planned day.
    pub logs: Vec<DayLog>,
    /// Every clip to bring in.
    pub ingest: Vec<Clip>,
    /// What the clips come to.
    pub ingest_totals: String,
    /// What logs say and could not be used, with why and `file:line`.
    pub ingest_aside: Vec<String>,
    /// Every pass at the desk.
    pub passes: Vec<PassRow>,
    /// One for each person and department at the desk.
    pub handoffs: Vec<Handoff>,
    /// The plan of the desk.
    pub desk: DeskView,
    /// What waits for what.
    pub graph: Graph,
    /// The picture, cut.
    pub assembly: Assembly,
    /// Shoot days, calls and due dates: of everybody, then of each person.
    pub calendars: Vec<Calendar>,
    /// Pages of the rules that the packet speaks of.
    pub rules: Vec<RulePage>,
    /// The graph as a document: what `graph` says, laid out.
    #[serde(skip)]
    pub dependencies: Dependencies,
    /// Drawn from what the other views say in words and numbers; pages only.
    #[serde(skip)]
    pub pictures: Pictures,
}

/// The cards of one day, or of what is in no plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Bundle {
    /// Name of the document without ending.
    pub file: String,
    /// `Cards of day 1`.
    pub title: String,
    /// Names of the cards in order: plates, then hand-overs, then screens.
    pub cards: Vec<String>,
    /// Where the day has a cover: names of cards with when that plate is shot under it.
    pub under_cover: Vec<Fact>,
}

/// Makes every view.
pub(crate) fn assemble(input: &Input<'_>) -> Packet {
    let index = Index::new(input);
    let desk = Passes::new(&index);
    let notes = handoff::links(&index);
    let named = &input.model.sequence.named;
    let graph = work::graph(&index);
    let drawn = pictures::graph::draw(&graph);
    let dependencies = dependencies::page(&graph, &drawn, &dependencies::cards(&index));
    let assembly = assembly::assembly(&index);
    let mut packet = Packet {
        schema: SCHEMA.to_owned(),
        head: Head {
            path: named.path.clone(),
            title: named.label().to_owned(),
            version: input.text_hash.chars().take(10).collect(),
            label: String::new(),
            zone: input.model.sequence.zone.clone(),
            draft: input.draft,
        },
        cover: cover::cover(&index, &notes),
        call_sheets: index
            .days()
            .iter()
            .enumerate()
            .map(|(at, day)| call_sheet::sheet(&index, at, day))
            .collect(),
        plates: input.breakdown.plates.ids().map(|id| plate_card::card(&index, id)).collect(),
        hand_overs: input.model.joins.ids().map(|id| hand_over::card(&index, id)).collect(),
        screens: screen_card::cards(&index),
        bundles: Vec::new(),
        logs: index.days().iter().map(|day| footage::log(&index, day)).collect(),
        ingest: footage::clips(&index),
        ingest_totals: footage::totals(&index),
        ingest_aside: footage::aside(&index),
        passes: passes::order(&index).into_iter().map(|id| desk.row(id)).collect(),
        handoffs: handoff::notes(&index, &desk, &notes, &assembly),
        desk: desk::plan(&index, &desk, &notes),
        graph,
        assembly,
        calendars: dates::calendars(&index),
        rules: Vec::new(),
        dependencies,
        pictures: pictures::all(&index, drawn.pictures),
    };
    packet.bundles = bundles(&index, &packet.screens);
    packet.rules = rule_page::pages(&mentioned(&index));
    packet.cover.documents = shelves(&packet);
    packet
}

/// Each day's cards: plates in shooting order, two to a sheet of paper where
/// they fit, then the larger hand-over and screen cards. A hand-over comes on
/// each day that shoots one of its sides. What is in no plan has a bundle of
/// its own.
fn bundles(index: &Index<'_>, screens: &[ScreenCard]) -> Vec<Bundle> {
    let screens: BTreeMap<&str, &str> =
        screens.iter().map(|card| (card.plate.file.as_str(), card.file.as_str())).collect();
    let cards = |plates: &[PlateId]| {
        let mut files: Vec<String> = plates.iter().map(|id| index.plate_file(*id)).collect();
        let mut seen = BTreeSet::new();
        let joins = plates.iter().flat_map(|id| index.joins(*id)).filter(|join| seen.insert(**join));
        let joins: Vec<String> = joins.map(|join| index.join_file(*join)).collect();
        let set = files.iter().filter_map(|file| screens.get(file.as_str()));
        let set: Vec<String> = set.map(|file| (*file).to_owned()).collect();
        files.extend(joins);
        files.extend(set);
        files
    };
    let mut bundles: Vec<Bundle> = Vec::new();
    for (at, day) in index.days().iter().enumerate() {
        // What is shot under cover only lies behind the day's own cards.
        let plates = [kit::shot(day), weather::extra(index, at, day)].concat();
        bundles.push(Bundle {
            file: format!("cards-{}", day.number),
            title: format!("Cards of day {}", day.number),
            cards: cards(&plates),
            under_cover: weather::times(index, at, day),
        });
    }
    let captured: Vec<PlateId> = index.model.record.taken.iter().copied().collect();
    if !captured.is_empty() {
        bundles.push(Bundle {
            file: "cards-captured".to_owned(),
            title: "Cards of what is captured".to_owned(),
            cards: cards(&captured),
            under_cover: Vec::new(),
        });
    }
    let rest: Vec<PlateId> = index.input.breakdown.plates.ids().filter(|id| !index.there(*id)).collect();
    if !rest.is_empty() {
        bundles.push(Bundle {
            file: "cards-unplanned".to_owned(),
            title: "Cards of what is in no plan".to_owned(),
            cards: cards(&rest),
            under_cover: Vec::new(),
        });
    }
    bundles
}

/// Every rule page that a view can point at: of what was found, waived and told.
fn mentioned(index: &Index<'_>) -> BTreeSet<String> {
    let findings = index.input.findings;
    let found = index.input.diagnostics.iter().chain(findings.standing.iter().map(|(_, found)| found));
    let names = found
        .map(|diagnostic| diagnostic.code.name)
        .chain(findings.waived.iter().map(|waived| waived.waiver.rule.as_str()))
        .chain(findings.instructions.iter().map(|told| told.rule));
    names.map(|name| index.rule_link(name).file).collect()
}

fn shelves(packet: &Packet) -> Vec<Shelf> {
    fn shelf(title: &str, holds: impl IntoIterator<Item = (String, String)>) -> Shelf {
        Shelf {
            title: title.to_owned(),
            holds: holds.into_iter().map(|(text, file)| Link { text, file }).collect(),
        }
    }
    let mut shelves = vec![
        shelf(
            "Call sheets",
            packet
                .call_sheets
                .iter()
                .map(|sheet| (format!("Day {}, {}", sheet.day, sheet.date), sheet.file.clone())),
        ),
        shelf("Cards to print", packet.bundles.iter().map(|cards| (cards.title.clone(), cards.file.clone()))),
        shelf(
            "Log sheets",
            packet.logs.iter().map(|log| (format!("Day {}, {}", log.day, log.date), log.file.clone())),
        ),
        shelf("Plate cards", packet.plates.iter().map(|card| (card.title.clone(), card.file.clone()))),
        shelf(
            "Hand-over cards",
            packet.hand_overs.iter().map(|card| (card.title.clone(), card.file.clone())),
        ),
        shelf("Screen cards", packet.screens.iter().map(|card| (card.title.clone(), card.file.clone()))),
        shelf(
            "Desk",
            [
                ("Desk plan", "desk-plan"),
                ("Pass list", "passes"),
                ("What waits for what", "dependencies"),
                ("Ingest list", "ingest"),
            ]
            .map(|(text, file)| (text.to_owned(), file.to_owned())),
        ),
        shelf(
            "Handoff notes",
            packet
                .handoffs
                .iter()
                .map(|note| (format!("{} ({})", note.title, note.scope), note.file.clone())),
        ),
        shelf(
            "Rules",
            packet.rules.iter().map(|page| (format!("{} {}", page.code, page.name), page.file.clone())),
        ),
    ];
    shelves.retain(|shelf| !shelf.holds.is_empty());
    shelves
}

/// A reason with the line behind it.
pub(crate) fn reason(index: &Index<'_>, (text, span): &(String, Option<Span>)) -> String {
    let at = span.map(|span| index.at(span)).unwrap_or_default();
    let text = index.spoken.say(text);
    if at.is_empty() { text } else { format!("{text} ({at})") }
}

/// Plates that are in no plan.
pub(crate) fn left_out_plates(index: &Index<'_>) -> Vec<LeftOut> {
    index
        .input
        .breakdown
        .plates
        .ids()
        .filter(|id| !index.there(*id))
        .map(|id| LeftOut { what: index.plate_link(id), reasons: plate_card::unplanned(index, id) })
        .collect()
}

/// Passes that are in no plan: those with a reason of their own, and those that
/// only wait for something that is in no plan.
pub(crate) fn left_out_passes(index: &Index<'_>) -> (Vec<LeftOut>, Vec<LeftOut>) {
    let desk = &index.input.plan.desk;
    let passes = &index.input.breakdown.passes;
    let mut behind = Vec::new();
    let mut roots = Vec::new();
    for (id, pass) in passes.iter().filter(|(id, _)| !desk.done.contains_key(id)) {
        let reasons = desk.unplanned.iter().filter(|left| left.what == id).flat_map(|left| &left.reasons);
        let mut reasons: Vec<String> = reasons.map(|one| reason(index, one)).collect();
        if reasons.is_empty() {
            reasons.push("no plan of the desk holds it".to_owned());
        }
        let text = format!("{} of {}", pass.title, index.owner_title(pass.owner));
        let left = LeftOut { what: Link { text, file: String::new() }, reasons };
        if index.waits_for_unplanned(id) { behind.push(left) } else { roots.push(left) }
    }
    (roots, behind)
}
