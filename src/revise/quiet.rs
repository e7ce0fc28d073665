//! Words that every edit moves, and that say nothing to whoever carries a paper.
//!
//! In: versions, labels and names of files. Out: texts without the versions and
//! labels, and without the numbers of lines behind the names.

/// What is left out of texts.
#[derive(Debug, Clone, Default)]
pub(super) struct Quiet {
    /// Longest first.
    words: Vec<String>,
    files: Vec<String>,
}

impl Quiet {
    pub(super) fn new(words: &[String], files: &[String]) -> Self {
        let sorted = |all: &[String]| {
            let mut all: Vec<String> = all.iter().filter(|one| !one.is_empty()).cloned().collect();
            all.sort_by(|a, b| b.len().cmp(&a.len()).then_with(|| a.cmp(b)));
            all.dedup();
            all
        };
        Self { words: sorted(words), files: sorted(files) }
    }

    /// The text without them.
    pub(super) fn text(&self, text: &str) -> String {
        let text = self.words.iter().fold(text.to_owned(), |text, word| text.replace(word.as_str(), ""));
        self.files.iter().fold(text, |text, file| without_lines(&text, file))
    }
}

/// Takes `name:12` out, wherever it stands.
fn without_lines(text: &str, name: &str) -> String {
    let place = format!("{name}:");
    let mut parts = text.split(place.as_str());
    let mut out = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let rest = part.trim_start_matches(|letter: char| letter.is_ascii_digit());
        if rest.len() == part.len() {
            out.push_str(&place);
        }
        out.push_str(rest);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_places_are_taken_out() {
        assert_eq!(without_lines("see a.seam:12, and a.seam: no", "a.seam"), "see , and a.seam: no");
        assert_eq!(without_lines("nothing", "a.seam"), "nothing");
    }

    #[test]
    fn longer_words_go_first() {
        let quiet = Quiet::new(&["ab".to_owned(), "abcd".to_owned(), String::new()], &[]);
        assert_eq!(quiet.text("x abcd ab"), "x  ");
    }
}
