//! A smallest set that cannot hold together.
//!
//! In: elements, and a test that says whether what is left of them can hold.
//! Out: a set of which each is needed: without any one of them the rest holds.
//! Deletion filtering (Chinneck and Dravnieks 1991, "Locating minimal infeasible
//! constraint sets in linear programs"), with runs of elements tried at once
//! while that pays.

/// Keeps what is needed. `holds` is asked with the elements that still stand,
/// by their places; it says `None` when it may not be asked any more.
pub(crate) fn smallest(many: usize, holds: &mut dyn FnMut(&[usize]) -> Option<bool>) -> Option<Vec<usize>> {
    let mut kept: Vec<usize> = (0..many).collect();
    let mut run = (many / 4).max(1);
    loop {
        let mut at = 0;
        while at < kept.len() {
            let end = (at + run).min(kept.len());
            let without: Vec<usize> = kept
                .iter()
                .enumerate()
                .filter(|(place, _)| *place < at || *place >= end)
                .map(|(_, one)| *one)
                .collect();
            if holds(&without)? {
                at = end;
            } else {
                kept = without;
            }
        }
        if run == 1 {
            return Some(kept);
        }
        run = (run / 2).max(1);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Holds unless one of the sets stands whole.
    fn against(sets: &[Vec<usize>], left: &[usize]) -> bool {
        !sets.iter().any(|set| set.iter().all(|one| left.contains(one)))
    }

    proptest! {
        #[test]
        fn each_of_what_is_kept_is_needed(
            sets in proptest::collection::vec(proptest::collection::vec(0usize..30, 1..6), 1..5),
        ) {
            let kept = smallest(30, &mut |left| Some(against(&sets, left))).unwrap();
            prop_assert!(!against(&sets, &kept));
            for one in &kept {
                let rest: Vec<usize> = kept.iter().copied().filter(|other| other != one).collect();
                prop_assert!(against(&sets, &rest));
            }
        }
    }

    #[test]
    fn what_may_not_be_asked_gives_nothing() {
        let mut asked = 0;
        let found = smallest(100, &mut |_| {
            asked += 1;
            (asked < 4).then_some(false)
        });
        assert_eq!(found, None);
    }
}
