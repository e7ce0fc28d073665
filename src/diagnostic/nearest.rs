//! The nearest known word to a misspelt one.

/// The candidate that a slip of the keys most likely meant, if one is near:
/// at most one edit for short words, a third of the letters for long ones.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let limit = (word.chars().count() / 3).clamp(1, 3);
    candidates
        .into_iter()
        .map(|candidate| (strsim::osa_distance(word, candidate), candidate))
        .filter(|(distance, _)| *distance <= limit)
        .min()
        .map(|(_, candidate)| candidate)
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn swapped_letters_are_one_slip() {
        assert_eq!(nearest("hieght", ["heading", "height", "hours"]), Some("height"));
        assert_eq!(nearest("rig", ["place", "camera"]), None);
    }
}
