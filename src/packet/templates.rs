//! The built-in templates, each under the name by which a project can replace it.

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
