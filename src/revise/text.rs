//! A comparison as text for people.
//!
//! In: [`Comparison`]. Out: a text of plain lines, without colour; what comes
//! from the sequence may still hold control characters.

use super::derived::{PASS, WORK};
use super::{Change, Comparison, Cost, Difference, How, Page, Papers};

/// The comparison: what is different first, then what that does, then who it concerns.
pub fn text(comparison: &Comparison) -> String {
    let mut lines = vec![format!("{}: text {} → {}", comparison.title, comparison.old, comparison.new)];
    if comparison.nothing {
        lines.push("nothing changed".to_owned());
        if comparison.old != comparison.new {
            lines.push("the texts differ in their layout or their comments alone".to_owned());
        }
    } else {
        section(&mut lines, "What is different", written(&comparison.written));
        section(&mut lines, "What the recipes make of it", derived(&comparison.derived));
        section(&mut lines, "Shoot", shoot(comparison));
        section(&mut lines, "Calls", calls(comparison));
        section(&mut lines, "Passes that start over", again(comparison));
        section(&mut lines, "Papers", papers(&comparison.papers));
        section(&mut lines, "Finish and cost", costs(comparison));
        section(&mut lines, "Whom it concerns", concerned(comparison));
    }
    lines.push(String::new());
    lines.join("\n")
}

fn section(lines: &mut Vec<String>, title: &str, inside: Vec<String>) {
    if !inside.is_empty() {
        lines.push(String::new());
        lines.push(title.to_owned());
        lines.extend(inside.into_iter().map(|line| format!("  {line}")));
    }
}

/// `lasts: 7 s → 9 s`.
pub(super) fn difference(one: &Difference) -> String {
    let what = &one.what;
    match (&one.old, &one.new) {
        (Some(old), Some(new)) if old == new => format!("{what} has changed"),
        (Some(old), Some(new)) => format!("{what}: {old} → {new}"),
        (Some(old), None) => format!("{what}: gone: {old}"),
        (None, Some(new)) => format!("{what}: new: {new}"),
        (None, None) => format!("{what}: different"),
    }
}

/// `plate leap.swoop “Down from the gantry”`.
fn head(change: &Change) -> String {
    let title = if change.title.is_empty() { String::new() } else { format!(" “{}”", change.title) };
    match &change.was {
        Some(was) => format!("{} {was} is now {}{title}", change.kind, change.path),
        None => format!("{} {}{title}", change.kind, change.path),
    }
}

fn written(changes: &[Change]) -> Vec<String> {
    changes.iter().flat_map(change).collect()
}

fn change(change: &Change) -> Vec<String> {
    let words = change.words.iter().map(|word| format!("            {}", difference(word)));
    std::iter::once(format!("{:<8}  {}", change.how.word(), head(change))).chain(words).collect()
}

/// Plates one by one; passes in sums, since there are many of them.
fn derived(changes: &[Change]) -> Vec<String> {
    let (passes, plates): (Vec<&Change>, Vec<&Change>) = changes.iter().partition(|one| one.kind == PASS);
    let mut lines: Vec<String> = plates.into_iter().flat_map(change).collect();
    for how in [How::Gone, How::New] {
        let names: Vec<String> = passes.iter().filter(|one| one.how == how).map(|one| sum(one)).collect();
        if !names.is_empty() {
            lines.push(format!(
                "{:<8}  {}: {}",
                how.word(),
                count(names.len(), "pass", "passes"),
                names.join(", ")
            ));
        }
    }
    lines.extend(passes.iter().filter(|one| one.how == How::Changed).flat_map(|one| change(one)));
    lines
}

/// `sorting.trio.mask (3 h)`.
fn sum(pass: &Change) -> String {
    let work = pass
        .words
        .iter()
        .find(|word| word.what == WORK)
        .and_then(|word| word.new.as_ref().or(word.old.as_ref()));
    work.map_or_else(|| pass.path.clone(), |work| format!("{} ({work})", pass.path))
}

fn count(number: usize, one: &str, many: &str) -> String {
    crate::packet::count(number, one, many)
}

fn shoot(comparison: &Comparison) -> Vec<String> {
    let mut lines: Vec<String> = comparison.days.iter().map(difference).collect();
    for moved in &comparison.moved {
        let (old, new) = (moved.old.as_deref(), moved.new.as_deref());
        lines.push(match (old, new) {
            (Some(old), Some(new)) => {
                let day = if moved.other_day { "on another day" } else { "at another time" };
                format!("{} is shot {day}: {old} → {new}", moved.path)
            }
            (Some(old), None) => format!("{} is shot no more: it was {old}", moved.path),
            (None, Some(new)) => format!("{} is shot as well: {new}", moved.path),
            (None, None) => continue,
        });
    }
    lines
}

fn calls(comparison: &Comparison) -> Vec<String> {
    comparison
        .calls
        .iter()
        .map(|call| match (&call.old, &call.new) {
            (Some(old), Some(new)) => format!("{}, {}: {old} → {new}", call.name, call.day),
            (None, Some(new)) => format!("{}, {}: called, {new}", call.name, call.day),
            (Some(old), None) => format!("{}, {}: not called any more, was {old}", call.name, call.day),
            (None, None) => format!("{}, {}", call.name, call.day),
        })
        .collect()
}

fn again(comparison: &Comparison) -> Vec<String> {
    let passes = &comparison.again;
    if passes.is_empty() {
        return Vec::new();
    }
    let total = count(passes.len(), "pass", "passes");
    let mut lines = vec![format!("{total}, {} of work where it was done already", comparison.again_hours)];
    lines.extend(passes.iter().map(|one| format!("{} ({}): {}", one.pass, one.hours, one.because)));
    lines
}

fn papers(papers: &Papers) -> Vec<String> {
    [
        ("void, to be handed out anew", &papers.void),
        ("void, made no more", &papers.gone),
        ("new", &papers.new),
    ]
    .into_iter()
    .filter(|(_, names)| !names.is_empty())
    .map(|(what, names)| format!("{what}: {}", names.join(", ")))
    .collect()
}

fn costs(comparison: &Comparison) -> Vec<String> {
    let cost = |cost: &Cost| format!("{}: {} → {}, {}", cost.what, cost.old, cost.new, cost.by);
    comparison.finish.iter().map(difference).chain(comparison.costs.iter().map(cost)).collect()
}

fn concerned(comparison: &Comparison) -> Vec<String> {
    let mut lines: Vec<String> = comparison.people.iter().map(in_short).collect();
    if !comparison.untouched.is_empty() {
        lines.push(format!("nothing changes for {}", comparison.untouched.join(", ")));
    }
    lines
}

/// `Mei: 1 call, 4 plates, 12 passes, 3 papers void`.
fn in_short(page: &Page) -> String {
    let void = page.papers.void.len() + page.papers.gone.len();
    let counts = [
        (page.written.len(), "change of what is written about them", "changes of what is written about them"),
        (page.calls.len(), "call", "calls"),
        (page.moved.len(), "plate at another time", "plates at another time"),
        (page.plates.len(), "plate that is different", "plates that are different"),
        (page.desk.len(), "pass planned otherwise", "passes planned otherwise"),
        (page.again.len(), "pass that starts over", "passes that start over"),
        (void, "paper void", "papers void"),
        (page.papers.new.len(), "new paper", "new papers"),
    ];
    let told: Vec<String> = counts
        .into_iter()
        .filter(|(number, ..)| *number > 0)
        .map(|(number, one, many)| count(number, one, many))
        .collect();
    format!("{}: {}", page.name, told.join(", "))
}
