//! What two readings of a page say otherwise.
//!
//! In: the lines of both. Out: [`Apart`]: which lines of the new page are other
//! ones, and what changed, in words. A line that only stands elsewhere is an other
//! one where it stands now, but says nothing new. Of a row or an entry that is new
//! or gone, only its head counts.

use super::Difference;
use super::align::align;
use super::reading::Line;
use std::collections::{BTreeMap, BTreeSet};

/// What is different between two pages.
#[derive(Debug, Default)]
pub(super) struct Apart {
    /// Places of the lines of the new page that are not there in the old one.
    pub(super) fresh: Vec<usize>,
    /// What changed, as values before and after; what is gone comes last.
    pub(super) changes: Vec<Difference>,
}

/// Lays two pages side by side.
pub(super) fn apart(old: &[Line], new: &[Line]) -> Apart {
    let keys = |lines: &[Line]| lines.iter().map(Line::key).collect::<Vec<_>>();
    let unlike = align(&keys(old), &keys(new));
    let whole = titles(unlike.fresh.iter().filter_map(|at| new.get(*at)));
    let marked = |at: &usize| new.get(*at).is_some_and(|line| !belongs(line, &whole, false));
    let marked = unlike.fresh.iter().copied().filter(marked).collect();
    let gone: Vec<&Line> = unlike.gone.iter().filter_map(|at| old.get(*at)).collect();
    let fresh: Vec<&Line> = unlike.fresh.iter().filter_map(|at| new.get(*at)).collect();
    let (gone, fresh) = (without(&gone, &fresh), without(&fresh, &gone));
    let deck = cards(old) > 1 || cards(new) > 1;
    Apart { fresh: marked, changes: changes(&gone, &fresh, deck) }
}

/// Values before and after, by what they are values of. Heads of rows, entries and cards
/// are no values: another one is new, and the one that was there is gone.
fn changes(gone: &[&Line], fresh: &[&Line], deck: bool) -> Vec<Difference> {
    let mut before: BTreeMap<String, Vec<&Line>> = BTreeMap::new();
    for line in gone.iter().rev().filter(|line| !line.title) {
        before.entry(named(line, deck)).or_default().push(line);
    }
    let mut changes = Vec::new();
    let whole = titles(fresh.iter().copied());
    for line in fresh.iter().filter(|line| !belongs(line, &whole, deck)) {
        let what = named(line, deck);
        let old = before.get_mut(&what).filter(|_| !line.title).and_then(Vec::pop);
        changes.push(Difference {
            what,
            old: old.map(|line| line.text.clone()),
            new: Some(line.text.clone()),
        });
    }
    let mut left: Vec<&Line> = before.into_values().flatten().collect();
    left.extend(gone.iter().filter(|line| line.title));
    left.sort_by_key(|line| line.at);
    let whole = titles(left.iter().copied());
    let left = left.iter().filter(|line| !belongs(line, &whole, deck));
    changes.extend(left.map(|line| Difference {
        what: named(line, deck),
        old: Some(line.text.clone()),
        new: None,
    }));
    changes
}

/// Lines of one side without those that the other side has somewhere else.
fn without<'a>(lines: &[&'a Line], others: &[&Line]) -> Vec<&'a Line> {
    let mut there: BTreeMap<String, usize> = BTreeMap::new();
    for other in others {
        *there.entry(other.key()).or_default() += 1;
    }
    let stays = |line: &&&Line| match there.get_mut(&line.key()).filter(|many| **many > 0) {
        Some(many) => {
            *many -= 1;
            false
        }
        None => true,
    };
    let mut stays = stays;
    lines.iter().filter(|line| stays(line)).copied().collect()
}

fn titles<'a>(lines: impl Iterator<Item = &'a Line>) -> BTreeSet<&'a str> {
    lines.filter(|line| line.title).map(|line| line.text.as_str()).collect()
}

/// Whether a line is about a row or an entry that is told as a whole, or stands on a card
/// that is.
fn belongs(line: &Line, whole: &BTreeSet<&str>, deck: bool) -> bool {
    let on_card = deck && line.text != line.card && whole.contains(line.card.as_str());
    on_card || !line.title && whole.contains(line.about.as_str())
}

fn cards(lines: &[Line]) -> usize {
    lines.iter().map(|line| line.card.as_str()).filter(|card| !card.is_empty()).collect::<BTreeSet<_>>().len()
}

/// `Down from the gantry: Tilt` on a page of many cards, `People and calls: Mei, call` on any other.
fn named(line: &Line, deck: bool) -> String {
    // A head that names its own section says itself what it is.
    let what = if line.title && line.what() == line.text { String::new() } else { line.what() };
    let place = match (line.card.is_empty(), deck) {
        (true, _) => line.under.as_str(),
        (false, true) => line.card.as_str(),
        (false, false) => "",
    };
    let place = if place == line.text { "" } else { place };
    match (place.is_empty() || place == what, what.is_empty()) {
        (true, _) => what,
        (false, true) => place.to_owned(),
        (false, false) => format!("{place}: {what}"),
    }
}

#[cfg(test)]
mod tests {
    use super::super::reading::lines;
    use super::*;

    fn told(old: &str, new: &str) -> Vec<String> {
        let page = |text: &str| lines(&format!("<main>{text}</main>"));
        let told = |value: &Option<String>| value.clone().unwrap_or_else(|| "-".to_owned());
        let apart = apart(&page(old), &page(new));
        apart
            .changes
            .iter()
            .map(|one| format!("{}: {} → {}", one.what, told(&one.old), told(&one.new)))
            .collect()
    }

    #[test]
    fn a_value_is_told_before_and_after() {
        let facts = |tilt: &str| format!("<h3>Camera</h3><dl><div><dt>Tilt</dt><dd>{tilt}</dd></div></dl>");
        assert_eq!(told(&facts("5°"), &facts("9°")), ["Camera: Tilt: 5° → 9°"]);
        assert!(told(&facts("5°"), &facts("5°")).is_empty());
    }

    #[test]
    fn of_a_row_that_is_new_only_its_head_counts() {
        let row = |who: &str, call: &str| {
            format!("<tr><th scope=\"row\">{who}</th><td data-label=\"Call\">{call}</td></tr>")
        };
        let (one, two) = (row("Mei", "06:00"), row("Ilse", "07:00"));
        assert_eq!(told(&one, &format!("{one}{two}")), [": - → Ilse"]);
        assert_eq!(told(&format!("{one}{two}"), &one), [": Ilse → -"]);
        // One that only stands elsewhere says nothing new.
        assert!(told(&format!("{one}{two}"), &format!("{two}{one}")).is_empty());
    }
}
