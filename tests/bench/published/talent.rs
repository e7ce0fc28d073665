//! Talent scheduling: scenes in an order in which actors are paid least for waiting.
//!
//! Scene → a set-up that lasts as long as the scene; all at one place. Actor → a
//! person. Daily pay → the price of a minute for which that person waits. Cost →
//! the price of people's waiting; the work itself is paid whatever the order is.

use super::{Draft, Instance, problem};
use seamster::model::PersonId;
use seamster::model::arena::Id;
use seamster::order::Weights;

pub(crate) fn read(name: &str, text: &str, best: i64) -> Instance {
    let (pay, lasts, plays) = (list(text, "c"), list(text, "d"), list(text, "ia"));
    let scenes = lasts.len();
    assert_eq!(plays.len(), pay.len() * scenes, "{name}");
    let cast: Vec<Vec<usize>> = (0..scenes)
        .map(|scene| (0..pay.len()).filter(|actor| plays[actor * scenes + scene] == 1).collect())
        .collect();
    let draft = |(&work, cast): (&i64, &Vec<usize>)| Draft {
        work,
        people: cast.iter().map(|&actor| PersonId::from_index(actor)).collect(),
        ..Draft::default()
    };
    let drafts: Vec<Draft> = lasts.iter().zip(&cast).map(draft).collect();
    let person = pay.iter().enumerate().map(|(at, pay)| (PersonId::from_index(at), pay * 100)).collect();
    let weights = Weights { person, ..Weights::nothing() };
    Instance {
        name: name.to_owned(),
        problem: problem(&drafts, &vec![vec![0; scenes]; scenes], None, weights),
        best,
        price: Box::new(move |order| Ok(price(&pay, &lasts, &cast, order))),
    }
}

/// The numbers of `NAME = [ … ];`.
fn list(text: &str, name: &str) -> Vec<i64> {
    let line = text
        .split(';')
        .map(str::trim)
        .find(|part| part.split('=').next().is_some_and(|left| left.trim() == name));
    let right = line.and_then(|part| part.split_once('=')).unwrap().1;
    let words = right.split(|sign: char| !sign.is_ascii_digit()).filter(|word| !word.is_empty());
    words.map(|word| word.parse().unwrap()).collect()
}

fn price(pay: &[i64], lasts: &[i64], cast: &[Vec<usize>], order: &[usize]) -> i64 {
    let waits = |actor: usize| -> i64 {
        let plays = |scene: &usize| cast[*scene].contains(&actor);
        let first = order.iter().position(plays);
        let last = order.iter().rposition(plays);
        let (Some(first), Some(last)) = (first, last) else { return 0 };
        order[first..=last].iter().filter(|scene| !plays(scene)).map(|&scene| lasts[scene]).sum()
    };
    (0..pay.len()).map(|actor| pay[actor] * waits(actor)).sum()
}
