//! The built-in templates, each under the name by which a project can replace it.

mod page;

pub(crate) use page::page;

/// What is made from each pair of templates, HTML and Markdown. Their data is
/// described in [`page`].
pub(crate) const DOCUMENTS: &[(&str, &str)] = &[
    ("call_sheet", "a call sheet, one a day"),
    ("cards", "the cards of a day, to print at once"),
    ("comparison", "what is different between two packets: for all, and one a person"),
    ("cover", "the cover, `index`"),
    ("day_log", "a log sheet, one a day"),
    ("desk_plan", "the desk plan"),
    ("hand_over", "a hand-over card, one a join"),
    ("handoff", "a handoff note, one a department and one a person"),
    ("ingest", "the ingest list"),
    ("passes", "the pass list"),
    ("phone", "a day for a phone, one a day, HTML only"),
    ("plate", "a plate card, one a plate and reference"),
    ("rule", "the page of a rule that the packet speaks of"),
    ("screen", "a screen card, one a plate before a screen"),
];

/// What the other templates are for.
pub(crate) const PIECES: &[(&str, &str)] = &[
    ("card_pieces.html", "the inside of cards, for single ones and for those of a day"),
    ("card_pieces.md", "the same for Markdown"),
    ("frame.html", "the frame of every page: head, foot, style"),
    ("frame.md", "the frame of every Markdown document"),
    ("phone.css", "the style sheet of a day for a phone"),
    ("pictures.css", "the style sheet of pictures, inside every page that can have one"),
    ("phone.js", "what keeps ticks and writes the day log on a day for a phone"),
    ("pieces.html", "pieces that several pages use: links, facts, notes"),
    ("pieces.md", "the same for Markdown"),
    ("style.css", "the style sheet inside every page"),
];

/// The text of a built-in template.
pub(crate) fn find(name: &str) -> Option<&'static str> {
    TEMPLATES.iter().find(|(known, _)| *known == name).map(|(_, text)| *text)
}

/// The names of all built-in templates.
pub(crate) fn names() -> impl Iterator<Item = &'static str> {
    TEMPLATES.iter().map(|(name, _)| *name)
}

macro_rules! templates {
    ($($name:literal),* $(,)?) => {
        /// Name and text of every built-in template.
        pub(crate) const TEMPLATES: &[(&str, &str)] =
            &[$(($name, include_str!(concat!("../../templates/", $name)))),*];
    };
}

templates! {
    "call_sheet.html",
    "call_sheet.md",
    "card_pieces.html",
    "card_pieces.md",
    "cards.html",
    "cards.md",
    "comparison.html",
    "comparison.md",
    "cover.html",
    "cover.md",
    "day_log.html",
    "day_log.md",
    "desk_plan.html",
    "desk_plan.md",
    "frame.html",
    "frame.md",
    "hand_over.html",
    "hand_over.md",
    "handoff.html",
    "handoff.md",
    "ingest.html",
    "ingest.md",
    "passes.html",
    "passes.md",
    "phone.css",
    "phone.html",
    "phone.js",
    "pictures.css",
    "pieces.html",
    "pieces.md",
    "plate.html",
    "plate.md",
    "rule.html",
    "rule.md",
    "screen.html",
    "screen.md",
    "style.css",
}
