//! Published orders with a known best, put in order by the shoot's own core.
//!
//! The readers are those of the benchmark, which runs larger sets: `tests/bench/published`.
//! Every order is priced again from the numbers below, by nothing of the core's.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test may fail by any of these")]

#[allow(dead_code, reason = "the benchmark reads more sets than stand here")]
#[path = "bench/published/mod.rs"]
mod published;

use published::{Instance, sop, talent};
use seamster::order::shoot::solve;

fn reaches(instance: &Instance) {
    let answer = solve(&instance.problem);
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

/// ESC11: N. Ascheuer and L. Escudero.
#[test]
fn esc11_is_as_short_as_can_be() {
    let matrix = "
13
  0   0   0   0   0   0   0   0   0   0   0   0 1000000
 -1   0 387 440 682 657 584 688 708 362 357 927   0
 -1  -1   0  10 935 439 127 769 498 836 341 956   0
 -1  -1  -1   0 596 865  70 513 512 373 824 220   0
 -1 319 277 439   0 428 212 412 771 620 651 605   0
 -1  -1  -1  60 988   0 326 279 687 295 738 270   0
 -1 312 158 704 881 696   0 277 413 396 268 156   0
 -1 512 939 784 271 432 771   0 279 436  31 444   0
 -1 875 927 364 629 419 788 923   0 858 761 139   0
 -1 365  43 766 924 845 437 395 991   0 980 359   0
 -1 978 839 918 822 885 276  96 537 211   0 608   0
 -1 864 168 211 455 543 904 412 535 954 971   0   0
 -1  -1  -1  -1  -1  -1  -1  -1  -1  -1  -1  -1   0";
    sequential("ESC11", matrix, 2075);
}

/// ESC12: N. Ascheuer and L. Escudero.
#[test]
fn esc12_is_as_short_as_can_be() {
    let matrix = "
14
  0   0   0   0   0   0   0   0   0   0   0   0   0 1000000
 -1   0 364 354 287 229 289  68 137 239 135 373 162   0
 -1 364   0 276 352 143  88 395 222 457 332 202 217   0
 -1 354 276   0 527 135 201 412 391 583 481 279 207   0
 -1 287 352 527   0 377 407 285 138 310 200 525 325   0
 -1 229 143 135 377   0  68 287 241 458 356 144  82   0
 -1  -1  -1  -1  -1  68   0 347 277 512 387 132 142   0
 -1  68 395 412 285 287 347   0 167 179 120 431 220   0
 -1 137 222 391 138 241 277 167   0 229 104 395 187   0
 -1 239 457 583 310 458 512 179 229   0 121 630 391   0
 -1 135 332 481 200 356 387 120 104 121   0 505 289   0
 -1 373 202 279 525 144 132 431 395 630 505   0 226   0
 -1  -1  -1  -1  -1  82  -1  -1  -1 391 289 226   0   0
 -1  -1  -1  -1  -1  -1  -1  -1  -1  -1  -1  -1  -1   0";
    sequential("ESC12", matrix, 1675);
}

/// br17.10: br17 with precedences drawn by N. Ascheuer.
#[test]
fn br17_10_is_as_short_as_can_be() {
    let matrix = "
18
 0  3  5 48 48  8  8  5  5  3  3  0  3  5  8  8  5 1000000
-1  0  3 48 -1 -1  8  5  5  0  0  3  0  3  8 -1  5  3
-1  3  0 72 -1 48 48 24 24  3  3  5  3  0 48 -1 24  5
-1 48 74  0  0  6  6 12 -1 48 48 48 48 74  6  6 12 48
-1 48 74  0  0  6  6 12 12 48 48 48 48 74  6  6 12 48
-1  8 50  6  6  0  0  8  8  8  8  8  8 50  0  0  8  8
-1  8 50  6  6  0  0  8  8  8  8  8  8 50  0  0  8  8
-1  5 26 12 12 -1  8  0  0  5  5  5 -1 26  8  8  0  5
-1  5 26 12 12  8  8  0  0  5  5  5  5 26  8  8  0  5
-1  0  3 48 -1  8  8  5  5  0  0  3  0  3  8  8  5  3
-1  0  3 48 48  8  8  5  5  0  0  3  0  3  8  8  5  3
-1  3  5 48 48  8  8  5  5  3  3  0  3  5  8  8  5  0
-1  0  3 48 48 -1  8  5  5  0  0  3  0  3  8  8  5  3
-1  3  0 72 -1 48 48 24 24  3  3  5  3  0 48 48 24  5
-1  8 50  6  6 -1  0 -1  8  8  8  8 -1 50  0  0  8  8
-1  8 50  6 -1  0  0  8  8  8  8  8  8 50  0  0  8  8
-1  5 26 12 12  8  8  0  0  5  5  5  5 26  8  8  0  5
-1 -1 -1 -1 -1 -1 -1 -1 -1 -1 -1 -1 -1 -1 -1 -1 -1  0";
    sequential("br17.10", matrix, 55);
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
    assert!(solve(&rehearsal.problem).proven, "nine pieces are few enough for a proof");
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
