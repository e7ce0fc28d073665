//! What a template gets, where that is more than one view as it stands.

use super::views::call_sheet::CallSheet;
use super::views::footage::{Clip, Logged};
use super::views::hand_over::HandOver;
use super::views::passes::PassRow;
use super::views::plate_card::PlateCard;
use super::views::screen_card::ScreenCard;
use super::views::shape::Fact;
use schemars::JsonSchema;
use serde::Serialize;

/// What every document says about itself.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Page {
    /// `Call sheet, day 1`.
    pub(crate) title: String,
    /// Name without ending, for links to itself.
    pub(crate) file: String,
    /// From the document to the packet's root: empty, or `../`.
    pub(crate) root: &'static str,
    /// Ending of this kind of document, for links to others.
    pub(crate) ending: &'static str,
    /// The running head for print, as the inside of a style sheet's string.
    pub(crate) running: String,
}

/// The ingest list.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct IngestList<'a> {
    /// Every clip to bring in.
    pub(crate) clips: &'a [Clip],
    /// What the clips come to.
    pub(crate) totals: &'a str,
    /// What was logged and could not be used, and why.
    pub(crate) aside: &'a [String],
}

/// A day on a phone.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct PhonePage<'a> {
    /// The day's call sheet.
    pub(crate) sheet: &'a CallSheet,
    /// What is logged on the day, in the order of the day.
    pub(crate) logged: Vec<PhoneCard<'a>>,
}

/// A plate to log, and its card.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct PhoneCard<'a> {
    /// What the log sheet asks.
    pub(crate) log: &'a Logged,
    /// What the plate card says.
    pub(crate) card: &'a PlateCard,
}

/// The pass list.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct PassList<'a> {
    /// Every pass at the desk.
    pub(crate) rows: &'a [PassRow],
}

/// A rule's page.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct RuleText<'a> {
    /// `usually a warning`.
    pub(crate) severity: &'a str,
    /// The page as HTML, to be written with `|safe`.
    pub(crate) html: &'a str,
    /// The page as Markdown, without its first heading, to be written with `|safe`.
    pub(crate) markdown: &'a str,
}

/// Cards to print at once.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct CardSet<'a> {
    /// `Cards of day 1`.
    pub(crate) title: &'a str,
    /// In order.
    pub(crate) cards: Vec<Card<'a>>,
    /// Names of plate cards, with when they are shot should the weather fail.
    pub(crate) under_cover: &'a [Fact],
}

/// A card and what kind it is.
#[derive(Debug, Clone, Copy, Serialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub(crate) enum Card<'a> {
    /// A plate card.
    Plate {
        /// What the card says.
        card: &'a PlateCard,
    },
    /// A hand-over card.
    HandOver {
        /// What the card says.
        card: &'a HandOver,
    },
    /// A screen card.
    Screen {
        /// What the card says.
        card: &'a ScreenCard,
    },
}

/// One page of a comparison.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct Sheet {
    /// `What is different`, `What is different for Mei`.
    pub(crate) title: String,
    /// Sentences at the head.
    pub(crate) lead: Vec<String>,
    /// Sections that hold something.
    pub(crate) sections: Vec<Section>,
}

/// Lines of a comparison under one title.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct Section {
    /// `Written`, `Shoot`.
    pub(crate) title: String,
    /// At least one.
    pub(crate) lines: Vec<Line>,
}

/// A line of a comparison, and what belongs to it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct Line {
    /// One sentence, or a name.
    pub(crate) text: String,
    /// Name of the page that says more, without ending; empty where there is none.
    pub(crate) file: String,
    /// What belongs to it.
    pub(crate) inside: Vec<String>,
}

impl From<String> for Line {
    fn from(text: String) -> Self {
        Self { text, file: String::new(), inside: Vec::new() }
    }
}
