//! Sentences of rules and plans, in the words that stand on paper.
//!
//! In: a sentence that calls things by their paths (`'leap.land'`) and days by the
//! language's dates (`2027-05-14`). Out: the same sentence with titles and written
//! dates. What people must type stays as it is: advice is not passed through here.

use super::index::short_date;
use crate::model::Model;
use crate::recipe::Breakdown;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// Titles by path.
pub(crate) struct Spoken {
    titles: BTreeMap<String, String>,
}

/// Letters of an ISO date.
const DATE: usize = 10;

impl Spoken {
    pub(crate) fn new(model: &Model, breakdown: &Breakdown) -> Self {
        let mut titles = BTreeMap::new();
        let effects = model.effects.iter().map(|(id, effect)| (&effect.named.path, model.effect_label(id)));
        let plates =
            breakdown.plates.values().map(|plate| (&plate.named.path, plate.named.label().to_owned()));
        for (path, title) in effects.chain(plates) {
            // A word without a dot may be any word of a sentence.
            if path.contains('.') && *path != title {
                titles.insert(path.clone(), title);
            }
        }
        Self { titles }
    }

    /// The sentence with titles for paths, and dates as they are written on paper.
    pub(crate) fn say(&self, text: &str) -> String {
        let mut said = String::with_capacity(text.len());
        let mut rest = text;
        while let Some(first) = rest.chars().next() {
            let (left, right) = rest.split_at(word(rest).unwrap_or(first.len_utf8()));
            if let Some(date) = date(rest) {
                said.push_str(&short_date(date));
                rest = &rest[DATE..];
                continue;
            }
            match self.titles.get(left) {
                Some(title) => {
                    let open = if said.ends_with('\'') { "" } else { "'" };
                    let shut = if right.starts_with('\'') { "" } else { "'" };
                    said.push_str(&[open, title, shut].concat());
                }
                None => said.push_str(left),
            }
            rest = right;
        }
        // Both sides of a join are one name.
        said.replace("' -> '", " → ")
    }
}

/// The length of the path that a text begins with; none where it begins otherwise.
/// A full stop behind it is no part of it.
fn word(text: &str) -> Option<usize> {
    let end = text.find(|letter: char| !(letter.is_ascii_alphanumeric() || "_.".contains(letter)));
    let word = text[..end.unwrap_or(text.len())].trim_end_matches('.');
    (!word.is_empty()).then_some(word.len())
}

/// The date that a text begins with.
fn date(text: &str) -> Option<Date> {
    let date = text.get(..DATE).filter(|_| !text[DATE..].starts_with(|next: char| next.is_ascii_digit()))?;
    let shape =
        |(at, byte): (usize, u8)| if [4, 7].contains(&at) { byte == b'-' } else { byte.is_ascii_digit() };
    date.bytes().enumerate().all(shape).then(|| date.parse().ok()).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn say(text: &str) -> String {
        let titles = [("leap.land", "Landing, then the run"), ("walk.on", "Alley, slow walk")];
        let titles = titles.map(|(path, title)| (path.to_owned(), title.to_owned())).into();
        Spoken { titles }.say(text)
    }

    #[test]
    fn paths_become_titles() {
        assert_eq!(say("between 06:52 for 'leap.land' and"), "between 06:52 for 'Landing, then the run' and");
        assert_eq!(
            say("locked with leap.land, walk.on."),
            "locked with 'Landing, then the run', 'Alley, slow walk'."
        );
        assert_eq!(
            say("the cameras of leap.land -> walk.on do"),
            "the cameras of 'Landing, then the run → Alley, slow walk' do"
        );
        assert_eq!(say("'leap.land -> walk.on'"), "'Landing, then the run → Alley, slow walk'");
    }

    #[test]
    fn other_words_stay() {
        for text in
            ["leap.landing", "leap", "x.leap.land", "night-parcel.seam:338", "1.2 m", "Größe → 'é'", ""]
        {
            assert_eq!(say(text), text);
        }
    }

    #[test]
    fn dates_are_written() {
        assert_eq!(say("light on 2027-05-14"), "light on Fri 14 May");
        assert_eq!(say("not on 2027-05-14, nor"), "not on Fri 14 May, nor");
        for text in ["2027-02-30", "2027-05-141", "12027-05-14", "2027-5-14"] {
            assert_eq!(say(text), text);
        }
    }
}
