//! The cheapest way to give every row a column of its own.
//!
//! In: a square of costs, none negative. Out: the sum of the cheapest assignment.
//! Shortest augmenting paths with potentials (Kuhn 1955; Jonker and Volgenant
//! 1987), in the third power of the side.

use super::ground::Square;

/// The least sum.
pub(crate) fn assign(cost: &Square) -> i64 {
    let side = cost.side();
    // Column 0 stands for none; rows and columns count from 1.
    let mut by_column = vec![0usize; side + 1];
    let (mut rows, mut columns) = (vec![0i64; side + 1], vec![0i64; side + 1]);
    for row in 1..=side {
        let mut least = vec![i64::MAX; side + 1];
        let mut before = vec![0usize; side + 1];
        let mut reached = vec![false; side + 1];
        let mut here = 0;
        set(&mut by_column, 0, row);
        loop {
            set(&mut reached, here, true);
            let from = get(&by_column, here);
            let (mut step, mut next) = (i64::MAX, 0);
            for column in 1..=side {
                if get(&reached, column) {
                    continue;
                }
                let through = cost.at(from - 1, column - 1) - get(&rows, from) - get(&columns, column);
                if through < get(&least, column) {
                    set(&mut least, column, through);
                    set(&mut before, column, here);
                }
                if get(&least, column) < step {
                    (step, next) = (get(&least, column), column);
                }
            }
            for column in 0..=side {
                if get(&reached, column) {
                    let row = get(&by_column, column);
                    add(&mut rows, row, step);
                    add(&mut columns, column, -step);
                } else if get(&least, column) < i64::MAX {
                    add(&mut least, column, -step);
                }
            }
            here = next;
            if get(&by_column, here) == 0 {
                break;
            }
        }
        while here != 0 {
            let back = get(&before, here);
            let row = get(&by_column, back);
            set(&mut by_column, here, row);
            here = back;
        }
    }
    (1..=side).map(|column| cost.at(get(&by_column, column).saturating_sub(1), column - 1)).sum()
}

fn get<T: Copy + Default>(values: &[T], at: usize) -> T {
    values.get(at).copied().unwrap_or_default()
}

fn set<T>(values: &mut [T], at: usize, value: T) {
    if let Some(place) = values.get_mut(at) {
        *place = value;
    }
}

fn add(values: &mut [i64], at: usize, more: i64) {
    if let Some(place) = values.get_mut(at) {
        *place += more;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Every assignment of the rows that are open.
    fn all(cost: &Square, row: usize, used: &mut Vec<bool>) -> i64 {
        if row == used.len() {
            return 0;
        }
        let mut best = i64::MAX;
        for column in 0..used.len() {
            if !used[column] {
                used[column] = true;
                best = best.min(cost.at(row, column) + all(cost, row + 1, used));
                used[column] = false;
            }
        }
        best
    }

    proptest! {
        #[test]
        fn nothing_is_cheaper_than_the_cheapest(side in 1usize..6, cells in proptest::collection::vec(0i64..50, 25)) {
            let cost = Square::new(side, |from, to| cells[from * 5 + to]);
            prop_assert_eq!(assign(&cost), all(&cost, 0, &mut vec![false; side]));
        }
    }
}
