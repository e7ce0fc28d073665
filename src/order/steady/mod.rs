//! Plans that start from a kept one: what still holds stays where it is.
//!
//! The cores know nothing of this. They are asked several times: for a plan in
//! which everything stays, for the best plan there is, and for plans in between.
//! Of these the one is taken for which what it costs and what is paid for each
//! thing that moved are least together. [`shoot`] does so for the shoot, [`desk`]
//! for the desk.

pub(crate) mod desk;
mod moved;
pub(crate) mod shoot;

pub use moved::{Moved, keep, moved};

/// The places of values that can stay when the order is made anew: a longest
/// run of them that rises (Fredman 1975, "On computing the length of longest
/// increasing subsequences"). All others have moved.
pub(crate) fn stay(order: &[usize]) -> Vec<usize> {
    // For each length the place at which the run ends that ends lowest.
    let mut ends: Vec<usize> = Vec::new();
    let mut former: Vec<Option<usize>> = Vec::with_capacity(order.len());
    let value = |place: &usize| order.get(*place).copied().unwrap_or(usize::MAX);
    for (place, own) in order.iter().enumerate() {
        let length = ends.partition_point(|end| value(end) < *own);
        former.push(length.checked_sub(1).and_then(|shorter| ends.get(shorter).copied()));
        match ends.get_mut(length) {
            Some(end) => *end = place,
            None => ends.push(place),
        }
    }
    let mut run: Vec<usize> =
        std::iter::successors(ends.last().copied(), |place| former.get(*place).copied().flatten()).collect();
    run.reverse();
    run
}

#[cfg(test)]
mod tests {
    use super::stay;

    #[test]
    fn the_fewest_move() {
        assert!(stay(&[]).is_empty());
        assert_eq!(stay(&[0, 1, 2]), [0, 1, 2]);
        // The last came first: it alone has moved.
        assert_eq!(stay(&[3, 0, 1, 2]), [1, 2, 3]);
        assert_eq!(stay(&[0, 8, 4, 12, 2, 10, 6, 14, 1, 9, 5, 13, 3, 11, 7, 15]).len(), 6);
    }
}
