//! Critical paths of textbooks: earliest and latest times and floats.
//!
//! Everybody has one task only, so that logic alone binds.

use super::{always, hand, plan, problem, task};
use crate::model::arena::Id;

/// (duration, predecessors, earliest start, earliest finish, latest start, latest finish, total float)
type Row = (i64, &'static [usize], i64, i64, i64, i64, i64);

fn agrees(rows: &[Row], length: i64, path: &[usize]) {
    let tasks: Vec<(i64, &[usize])> = rows.iter().map(|row| (row.0, row.1)).collect();
    let mut problem = problem(&tasks, 0);
    for at in 0..rows.len() {
        problem.hands.push(always());
        problem.tasks[task(at)].able = vec![hand(at)];
    }
    let answer = plan(&problem);
    assert_eq!((answer.finish, answer.bound, answer.proven), (Some(length), length, true));
    for ((id, done), row) in answer.tasks.iter().zip(rows) {
        let done = done.unwrap();
        let found = (done.start, done.end, done.start + done.float, done.end + done.float, done.float);
        assert_eq!(found, (row.2, row.3, row.4, row.5, row.6), "{id:?}");
    }
    let critical = answer.tasks.iter().filter(|(_, done)| done.unwrap().critical);
    assert_eq!(critical.map(|(id, _)| id.index()).collect::<Vec<_>>(), path);
}

/// Heizer and Render, "Operations Management", chapter on project management,
/// "Milwaukee Paper Manufacturing": published table.
#[test]
fn the_paper_mill() {
    agrees(
        &[
            (2, &[], 0, 2, 0, 2, 0),
            (3, &[], 0, 3, 1, 4, 1),
            (2, &[0], 2, 4, 2, 4, 0),
            (4, &[0, 1], 3, 7, 4, 8, 1),
            (4, &[2], 4, 8, 4, 8, 0),
            (3, &[2], 4, 7, 10, 13, 6),
            (5, &[3, 4], 8, 13, 8, 13, 0),
            (2, &[5, 6], 13, 15, 13, 15, 0),
        ],
        15,
        &[0, 2, 4, 6, 7],
    );
}

/// A lecture's worked example, tables 1 and 2 (studylib.net/doc/8378728): published table.
#[test]
fn an_assembly_in_hours() {
    agrees(
        &[
            (6, &[], 0, 6, 0, 6, 0),
            (2, &[0], 6, 8, 6, 8, 0),
            (2, &[0], 6, 8, 7, 9, 1),
            (3, &[1], 8, 11, 8, 11, 0),
            (4, &[3, 5], 11, 15, 11, 15, 0),
            (2, &[2], 8, 10, 9, 11, 1),
            (1, &[4], 15, 16, 15, 16, 0),
        ],
        16,
        &[0, 1, 3, 4, 6],
    );
}

/// B. W. Taylor, "Introduction to Management Science", chapter 8, a solved problem
/// with activities on arrows: published table.
#[test]
fn seven_arrows() {
    agrees(
        &[
            (7, &[], 0, 7, 2, 9, 2),
            (10, &[], 0, 10, 0, 10, 0),
            (6, &[0], 7, 13, 9, 15, 2),
            (5, &[1], 10, 15, 10, 15, 0),
            (4, &[1], 10, 14, 14, 18, 4),
            (3, &[2, 3], 15, 18, 15, 18, 0),
            (2, &[4, 5], 18, 20, 18, 20, 0),
        ],
        20,
        &[1, 3, 5, 6],
    );
}

/// B. W. Taylor, "Introduction to Management Science", chapter 8, a solved problem
/// with a dummy of no duration: published table.
#[test]
fn thirteen_arrows_and_a_dummy() {
    agrees(
        &[
            (8, &[], 0, 8, 1, 9, 1),
            (10, &[], 0, 10, 0, 10, 0),
            (9, &[], 0, 9, 6, 15, 6),
            (6, &[0], 8, 14, 9, 15, 1),
            (4, &[0], 8, 12, 16, 20, 8),
            (5, &[1], 10, 15, 10, 15, 0),
            (0, &[2], 9, 9, 15, 15, 6),
            (7, &[2], 9, 16, 20, 27, 11),
            (12, &[3, 5, 6], 15, 27, 15, 27, 0),
            (15, &[3, 5, 6], 15, 30, 16, 31, 1),
            (18, &[4], 12, 30, 20, 38, 8),
            (4, &[7, 8], 27, 31, 27, 31, 0),
            (7, &[9, 11], 31, 38, 31, 38, 0),
        ],
        38,
        &[1, 5, 8, 11, 12],
    );
}

/// H. A. Taha, "Operations Research: An Introduction", examples 6.5-2 and 6.5-4:
/// network and critical path as published; floats by definition, as in the book from memory.
#[test]
fn a_dummy_is_a_moment_on_the_critical_path() {
    agrees(
        &[
            (5, &[], 0, 5, 0, 5, 0),
            (6, &[], 0, 6, 5, 11, 5),
            (3, &[0], 5, 8, 8, 11, 3),
            (8, &[0], 5, 13, 5, 13, 0),
            (2, &[1, 2], 8, 10, 11, 13, 3),
            (11, &[1, 2], 8, 19, 14, 25, 6),
            (0, &[3], 13, 13, 13, 13, 0),
            (1, &[3], 13, 14, 24, 25, 11),
            (12, &[4, 6], 13, 25, 13, 25, 0),
        ],
        25,
        &[0, 3, 6, 8],
    );
}
