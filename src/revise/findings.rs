//! What is wrong now that was not, and what is wrong no more.
//!
//! In: both versions. Out: [`Found`]; errors and warnings only. A finding is the same
//! where its code and its sentence are: where it stands in the text says nothing.

use super::{Found, How};
use crate::Compiled;
use crate::diagnostic::{Diagnostic, Severity};
use crate::packet::Spoken;

/// Findings of one version alone; new ones first, errors before warnings.
pub(super) fn found(old: &Compiled, new: &Compiled) -> Vec<Found> {
    let (before, after) = (counted(old), counted(new));
    let said = |compiled: &Compiled| Spoken::new(&compiled.model, &compiled.breakdown);
    let (then, now) = (said(old), said(new));
    let fresh = left_over(&after, &before).into_iter().map(|one| told(one, How::New, &now));
    let gone = left_over(&before, &after).into_iter().map(|one| told(one, How::Gone, &then));
    let mut found: Vec<Found> = fresh.chain(gone).collect();
    found.sort_by_key(|one| (one.how, std::cmp::Reverse(one.severity)));
    found
}

fn counted(compiled: &Compiled) -> Vec<&Diagnostic> {
    compiled.diagnostics.iter().filter(|one| one.severity > Severity::Note).collect()
}

/// What is in the first list and not in the second, each as often as it is more.
fn left_over<'a>(these: &[&'a Diagnostic], those: &[&Diagnostic]) -> Vec<&'a Diagnostic> {
    let mut rest = those.to_vec();
    let mut left = Vec::new();
    for one in these {
        let same = |other: &&Diagnostic| (other.code, &other.message) == (one.code, &one.message);
        match rest.iter().position(same) {
            Some(at) => {
                rest.remove(at);
            }
            None => left.push(*one),
        }
    }
    left
}

fn told(one: &Diagnostic, how: How, spoken: &Spoken) -> Found {
    let message = spoken.say(&one.message);
    Found { how, severity: one.severity, code: one.code.name.to_owned(), message }
}
