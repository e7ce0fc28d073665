//! The drawings on cards: hand-overs and screens.

use super::{Picture, hand_over, id, screen};
use crate::model::JoinId;
use crate::packet::index::Index;
use crate::packet::views::screen_card;
use crate::rule::plates::staged;

/// Under which document and which name a picture is found.
type Named = ((String, String), Picture);

/// Every drawing of a card.
pub(super) fn all(index: &Index<'_>) -> Vec<Named> {
    let mut all: Vec<Named> = index.model.joins.ids().flat_map(|join| hand_over_at(index, join)).collect();
    let staged = staged(&index.subject());
    for (plate, file) in screen_card::files(index) {
        let Some(staged) = staged.get(&plate) else { continue };
        let drawing = screen::of(index, plate, staged);
        all.push(named(&file, "plan", |id| drawing.plan(id).finish()));
        if drawing.lens.is_some() {
            all.extend(drawing.side(&id(&file, "side", "")).map(|canvas| {
                ((file.clone(), "side".to_owned()), Picture { wide: canvas.finish(), narrow: None })
            }));
        }
    }
    all
}

fn hand_over_at(index: &Index<'_>, join: JoinId) -> Vec<Named> {
    let Some(drawing) = hand_over::of(index, join) else { return Vec::new() };
    let file = index.join_file(join);
    vec![
        named(&file, "plan", |id| drawing.plan(id).finish()),
        named(&file, "side", |id| drawing.side(id).finish()),
    ]
}

fn named(file: &str, name: &str, draw: impl Fn(&str) -> super::Svg) -> Named {
    let wide = draw(&id(file, name, ""));
    ((file.to_owned(), name.to_owned()), Picture { wide, narrow: None })
}
