//! Which lines of two pages are the same.
//!
//! In: the lines of both, as words. Out: the places of those of the new page that
//! the old one does not have there, and of those of the old one that are gone.
//! Lines that stand once on either side hold the rest in place; what lies between
//! two of these is laid side by side. Work grows with the length of the pages.

use std::collections::BTreeMap;

/// Between two fixed lines, this many pairs are tried; beyond, all of it counts as other.
const MOST_PAIRS: usize = 250_000;

/// Lines that are not the same.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Unlike {
    /// Places in the new page, in order.
    pub(super) fresh: Vec<usize>,
    /// Places in the old page, in order.
    pub(super) gone: Vec<usize>,
}

/// Compares two pages.
pub(super) fn align(old: &[String], new: &[String]) -> Unlike {
    let mut unlike = Unlike::default();
    let mut from = (0, 0);
    let ends = (old.len(), new.len());
    for fixed in fixed(old, new).into_iter().chain([ends]) {
        between((old, from.0, fixed.0), (new, from.1, fixed.1), &mut unlike);
        from = (fixed.0 + 1, fixed.1 + 1);
    }
    unlike
}

/// Lines that stand once on either page, as many as come in the same order.
fn fixed(old: &[String], new: &[String]) -> Vec<(usize, usize)> {
    let (before, after) = (once(old), once(new));
    let pairs: Vec<(usize, usize)> = old
        .iter()
        .filter_map(|line| Some((*before.get(line.as_str())?, *after.get(line.as_str())?)))
        .collect();
    // The longest run of rising places: `tops` holds, for each length, the pair that ends lowest.
    let mut tops: Vec<usize> = Vec::new();
    let mut back: Vec<Option<usize>> = Vec::with_capacity(pairs.len());
    for (at, (_, place)) in pairs.iter().enumerate() {
        let length = tops.partition_point(|top| pairs.get(*top).is_some_and(|(_, there)| there < place));
        back.push(length.checked_sub(1).and_then(|shorter| tops.get(shorter).copied()));
        tops.truncate(length.max(tops.len()));
        match tops.get_mut(length) {
            Some(top) => *top = at,
            None => tops.push(at),
        }
    }
    let mut run = Vec::new();
    let mut at = tops.last().copied();
    while let Some(here) = at {
        run.extend(pairs.get(here).copied());
        at = back.get(here).copied().flatten();
    }
    run.reverse();
    run
}

fn once(lines: &[String]) -> BTreeMap<&str, usize> {
    let mut places: BTreeMap<&str, Option<usize>> = BTreeMap::new();
    for (at, line) in lines.iter().enumerate() {
        places.entry(line).and_modify(|place| *place = None).or_insert(Some(at));
    }
    places.into_iter().filter_map(|(line, place)| Some((line, place?))).collect()
}

/// What lies between two fixed lines: a page, and from where to where.
fn between(
    (old, mut a, mut a_end): (&[String], usize, usize),
    (new, mut b, mut b_end): (&[String], usize, usize),
    unlike: &mut Unlike,
) {
    let same = |a: usize, b: usize| old.get(a) == new.get(b);
    while a < a_end && b < b_end && same(a, b) {
        (a, b) = (a + 1, b + 1);
    }
    while a < a_end && b < b_end && same(a_end - 1, b_end - 1) {
        (a_end, b_end) = (a_end - 1, b_end - 1);
    }
    let (high, wide) = (a_end - a, b_end - b);
    if high == 0 || wide == 0 || high.saturating_mul(wide) > MOST_PAIRS {
        unlike.gone.extend(a..a_end);
        unlike.fresh.extend(b..b_end);
        return;
    }
    // How many lines the rest of both pages can share, from the end.
    let row = wide + 1;
    let mut shared = vec![0_usize; (high + 1) * row];
    let at = |shared: &[usize], i: usize, j: usize| shared.get(i * row + j).copied().unwrap_or(0);
    for i in (0..high).rev() {
        for j in (0..wide).rev() {
            let most = if same(a + i, b + j) {
                at(&shared, i + 1, j + 1) + 1
            } else {
                at(&shared, i + 1, j).max(at(&shared, i, j + 1))
            };
            if let Some(cell) = shared.get_mut(i * row + j) {
                *cell = most;
            }
        }
    }
    let (mut i, mut j) = (0, 0);
    while i < high || j < wide {
        if i < high && j < wide && same(a + i, b + j) {
            (i, j) = (i + 1, j + 1);
        } else if j == wide || i < high && at(&shared, i + 1, j) >= at(&shared, i, j + 1) {
            unlike.gone.push(a + i);
            i += 1;
        } else {
            unlike.fresh.push(b + j);
            j += 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn unlike(old: &str, new: &str) -> (Vec<usize>, Vec<usize>) {
        let lines = |text: &str| text.split(' ').map(str::to_owned).collect::<Vec<_>>();
        let Unlike { fresh, gone } = align(&lines(old), &lines(new));
        (gone, fresh)
    }

    #[test]
    fn what_is_the_same_stays() {
        assert_eq!(unlike("a b c", "a b c"), (vec![], vec![]));
        assert_eq!(unlike("a b c", "a x c"), (vec![1], vec![1]));
        assert_eq!(unlike("a b c", "a c"), (vec![1], vec![]));
        assert_eq!(unlike("a c", "a b c d"), (vec![], vec![1, 3]));
        assert_eq!(unlike("a b", "x y z"), (vec![0, 1], vec![0, 1, 2]));
    }

    #[test]
    fn what_stands_often_is_laid_side_by_side() {
        // Of five lines that stand more than once, four are shared in order.
        assert_eq!(unlike("s a s b s", "s a s s"), (vec![3], vec![]));
        assert_eq!(unlike("s s a a", "a a s s"), (vec![0, 1], vec![2, 3]));
    }

    /// The worked example of Myers, "An O(ND) difference algorithm and its variations"
    /// (Algorithmica 1, 1986): ABCABBA and CBABAC share four letters and differ in five.
    #[test]
    fn the_published_example_differs_in_five() {
        let (gone, fresh) = unlike("A B C A B B A", "C B A B A C");
        assert_eq!(gone.len() + fresh.len(), 5);
    }
}
