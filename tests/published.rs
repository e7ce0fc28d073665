//! Published orders with a known best, put in order by the shoot's own core.
//!
//! The readers are those of the benchmark, which runs larger sets: `tests/bench/published`.
//! Every order is priced again from the numbers below, by nothing of the core's.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test may fail by any of these")]

#[allow(dead_code, reason = "the benchmark reads more sets than stand here")]
#[path = "bench/published/mod.rs"]
mod published;

use published::{Instance, sop, talent};
use seamster::order::Effort;
use seamster::order::shoot::solve;

fn reaches(instance: &Instance) {
    let answer = solve(&instance.problem, Effort::default());
    assert!(answer.left.is_empty(), "{}: {:?}", instance.name, answer.left);
    let found = instance.told(&answer.days).unwrap();
    assert_eq!((found, answer.cost), (instance.best, 100 * instance.best), "{}", instance.name);
}

/// Sequential ordering, TSPLIB 95 (G. Reinelt, "TSPLIB – a traveling salesman problem library",
/// ORSA Journal on Computing 3, 1991): matrix and best known, proven, as in its list of SOP instances.
fn sequential(name: &str, matrix: &str, best: i64) {
    reaches(&sop::read(name, &format!("EDGE_WEIGHT_SECTION\n{matrix}\nEOF"), best));
}

/// ESC07: N. Ascheuer and L. Escudero.
#[test]
fn esc07_is_as_short_as_can_be() {
    let matrix = "
9
   0    0    0    0    0    0    0    0 1000000
  -1    0  100  200   75    0  300  100    0
  -1  400    0  500  325  400  600    0    0
  -1  700  800    0  550  700  900  800    0
  -1   -1  250  225    0  275  525  250    0
  -1   -1  100  200   -1    0   -1   -1    0
  -1   -1 1100 1200 1075 1000    0 1100    0
  -1   -1    0  500  325  400  600    0    0
  -1   -1   -1   -1   -1   -1   -1   -1    0";
    sequential("ESC07", matrix, 2125);
}

/// The rehearsal problem, CSPLib prob039 (B. M. Smith, "Constraint programming in practice: scheduling a
/// rehearsal", 2003): nine pieces, five players, least waiting 17.
#[test]
fn the_rehearsal_waits_seventeen_minutes() {
    let text = "
c = [1, 1, 1, 1, 1];
d = [2, 4, 1, 3, 3, 2, 5, 7, 6];
ia = [| 1, 1, 0, 1, 0, 1, 1, 0, 1
      | 1, 1, 0, 1, 1, 1, 0, 1, 0
      | 1, 1, 0, 0, 0, 0, 1, 1, 0
      | 1, 0, 0, 0, 1, 1, 0, 0, 1
      | 0, 0, 1, 0, 1, 1, 1, 1, 0 |];";
    let rehearsal = talent::read("rehearsal", text, 17);
    reaches(&rehearsal);
}

/// The readers see what is no order: a node before the one it waits for, or missing.
#[test]
fn what_is_no_order_is_told() {
    let text = "EDGE_WEIGHT_SECTION 4  0 1 2 9  -1 0 5 1  -1 -1 0 3  -1 -1 -1 0 EOF";
    let instance = sop::read("four", text, 9);
    assert_eq!((instance.price)(&[0, 1, 2, 3]), Ok(9));
    assert!((instance.price)(&[0, 2, 1, 3]).is_err());
    assert!((instance.price)(&[0, 1, 3, 2]).is_err());
}
