//! Comparisons in words, for every format.
//!
//! In: [`Comparison`], or the [`Page`] of one person. Out: [`Sheet`]: a title,
//! what it is about, and sections of lines. Text, Markdown and HTML only lay it out.

use super::derived::{PASS, WORK};
use super::{Again, Call, Change, Comparison, Cost, Difference, Found, How, Moved, Page, Papers, Void, Work};
use crate::packet::{Line, Section, Sheet};

/// Changes of a void paper that are told among all papers.
const FEW: usize = 2;
/// Changes of a void paper that are told to whoever carries it.
const MANY: usize = 4;
/// With more changes than that, a paper is another one, and a count of them helps nobody.
const ANEW: usize = 12;
/// Papers on which each change is told; on all others the same stands again, as a sum of
/// these or as dates that are told above.
const TELLING: [&str; 4] = ["call-sheet-", "plates/", "joins/", "screens/"];

/// Everything: what is different first, then what that does, then whom it concerns;
/// `linked` where the page of each person lies beside it.
pub(super) fn whole(comparison: &Comparison, linked: bool) -> Sheet {
    let mut lead = vec![format!("{}: text {} → {}", comparison.title, comparison.old, comparison.new)];
    if comparison.nothing {
        let told = if comparison.supposed.is_empty() { "nothing changed" } else { "nothing would change" };
        lead.push(told.to_owned());
        if comparison.old != comparison.new && comparison.supposed.is_empty() {
            lead.push("the texts differ in their layout or their comments alone".to_owned());
        }
    }
    lead.extend(comparison.supposed.iter().map(|one| format!("supposed: {one}")));
    let days = comparison.days.iter().map(|one| Line::from(difference(one)));
    Sheet {
        title: if comparison.supposed.is_empty() { "What is different" } else { "What would be different" }
            .to_owned(),
        lead,
        sections: sections([
            ("Written", comparison.written.iter().map(change).collect()),
            ("What the recipes make of it", derived(&comparison.derived)),
            ("Shoot", days.chain(moved(&comparison.moved)).collect()),
            ("Calls", comparison.calls.iter().map(|one| call(one, true).into()).collect()),
            ("Passes that start over", again(&comparison.again, &comparison.again_hours)),
            ("Passes that wait for more", waiting(&comparison.waiting)),
            ("Found", comparison.found.iter().map(|one| found(one).into()).collect()),
            ("Papers", papers(&comparison.papers, FEW)),
            ("Finish and cost", costs(comparison)),
            ("Whom it concerns", concerned(comparison, linked)),
        ]),
    }
}

/// What one person needs to know.
pub(super) fn person(comparison: &Comparison, page: &Page) -> Sheet {
    let mut sheet = Sheet {
        title: format!("What is different for {}", page.name),
        lead: vec![format!("{}: text {} → {}", comparison.title, comparison.old, comparison.new)],
        sections: sections([
            ("Your days", page.calls.iter().map(|one| call(one, false).into()).collect()),
            ("Your plates, when", moved(&page.moved)),
            ("Your plates, how", page.plates.iter().map(change).collect()),
            ("Your passes that start over", again(&page.again, "")),
            ("Your passes that wait for more", waiting(&page.waiting)),
            ("Your passes in the plan", desk(&page.desk, &page.path)),
            ("Your papers", papers(&page.papers, MANY)),
            ("Written about you", page.written.iter().map(change).collect()),
        ]),
    };
    if sheet.sections.is_empty() {
        sheet.lead.push("nothing changed for you".to_owned());
    }
    sheet
}

/// `new warning join-light: the shadows turn by 9°`.
fn found(one: &Found) -> String {
    let (severity, code, message) = (one.severity.word(), &one.code, &one.message);
    match one.how {
        How::Gone => format!("no more {severity} {code}: {message}"),
        _ => format!("new {severity} {code}: {message}"),
    }
}

fn sections<const N: usize>(all: [(&str, Vec<Line>); N]) -> Vec<Section> {
    let held = all.into_iter().filter(|(_, lines)| !lines.is_empty());
    held.map(|(title, lines)| Section { title: title.to_owned(), lines }).collect()
}

/// `lasts: 7 s → 9 s`.
fn difference(one: &Difference) -> String {
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

/// `changed plate roofs.cloud “A sky to lend”`, with what of it.
fn change(change: &Change) -> Line {
    Line {
        text: format!("{} {}", change.how.word(), head(change)),
        file: String::new(),
        inside: change.words.iter().map(difference).collect(),
    }
}

/// Plates one by one; passes in sums, since there are many of them.
fn derived(changes: &[Change]) -> Vec<Line> {
    let (passes, plates): (Vec<&Change>, Vec<&Change>) = changes.iter().partition(|one| one.kind == PASS);
    let mut lines: Vec<Line> = plates.into_iter().map(change).collect();
    for how in [How::Gone, How::New] {
        let inside: Vec<String> = passes.iter().filter(|one| one.how == how).map(|one| sum(one)).collect();
        if !inside.is_empty() {
            let text = format!("{} {}", how.word(), count(inside.len(), "pass", "passes"));
            lines.push(Line { text, file: String::new(), inside });
        }
    }
    let changed = passes.iter().filter(|one| one.how == How::Changed);
    let (work, other): (Vec<&&Change>, Vec<&&Change>) =
        changed.partition(|one| matches!(one.words.as_slice(), [word] if word.what == WORK));
    if !work.is_empty() {
        let inside = work.iter().filter_map(|one| Some(hours(&one.title, one.words.first()?)));
        let text = format!("changed work of {}", count(work.len(), "pass", "passes"));
        lines.push(Line { text, file: String::new(), inside: inside.collect() });
    }
    lines.extend(other.into_iter().map(|one| change(one)));
    lines
}

/// `Mix: 2.8 h → 2.7 h`.
fn hours(title: &str, work: &Difference) -> String {
    difference(&Difference { what: title.to_owned(), ..work.clone() })
}

/// `Cut the masks, sorting.trio (3 h)`.
fn sum(pass: &Change) -> String {
    let work = pass
        .words
        .iter()
        .find(|word| word.what == WORK)
        .and_then(|word| word.new.as_ref().or(word.old.as_ref()));
    let title = if pass.title.is_empty() { &pass.path } else { &pass.title };
    work.map_or_else(|| title.clone(), |work| format!("{title} ({work})"))
}

fn count(number: usize, one: &str, many: &str) -> String {
    crate::packet::count(number, one, many)
}

/// What is captured stands on one line for each day, then what is shot at another time.
fn moved(moved: &[Moved]) -> Vec<Line> {
    let mut days: Vec<(&str, Vec<String>)> = Vec::new();
    for one in moved {
        let Some(day) = one.captured.as_deref() else { continue };
        match days.iter_mut().find(|(known, _)| *known == day) {
            Some((_, plates)) => plates.push(titled(one)),
            None => days.push((day, vec![titled(one)])),
        }
    }
    let captured = days.into_iter().map(|(day, plates)| Line {
        text: format!(
            "captured {day}, as the log says: {}",
            count(plates.len(), "plate or reference", "plates and references")
        ),
        file: String::new(),
        inside: plates,
    });
    let left = moved.iter().filter(|one| one.captured.is_none());
    captured.chain(left.filter_map(other_time).map(Line::from)).collect()
}

fn other_time(one: &Moved) -> Option<String> {
    let day = if one.other_day { "on another day" } else { "at another time" };
    let title = titled(one);
    Some(match (&one.old, &one.new) {
        (Some(old), Some(new)) if one.again_with.is_some() => {
            let other = one.again_with.as_deref().unwrap_or_default();
            format!("{title} is shot again with '{other}', to which it is bound: {old} → {new}")
        }
        (Some(old), Some(new)) if one.again => {
            format!("{title} has no take that can be used and is shot again: {old} → {new}")
        }
        (Some(old), Some(new)) => format!("{title} is shot {day}: {old} → {new}"),
        (Some(old), None) => format!("{title} is shot no more: it was {old}"),
        (None, Some(new)) => format!("{title} is shot as well: {new}"),
        (None, None) => return None,
    })
}

/// `Down from the gantry (leap.swoop)`.
fn titled(one: &Moved) -> String {
    if one.title == one.path { one.path.clone() } else { format!("{} ({})", one.title, one.path) }
}

fn call(call: &Call, named: bool) -> String {
    let name = if named { format!("{}, ", call.name) } else { String::new() };
    match (&call.old, &call.new) {
        (Some(old), Some(new)) => format!("{name}{}: {old} → {new}", call.day),
        (None, Some(new)) => format!("{name}{}: called now, {new}", call.day),
        (Some(old), None) => format!("{name}{}: not called any more, was {old}", call.day),
        (None, None) => format!("{name}{}", call.day),
    }
}

/// Passes in the plan, told to one person: what changes days or hands one by one.
fn desk(passes: &[Work], whose: &str) -> Vec<Line> {
    let (hours, other): (Vec<&Work>, Vec<&Work>) = passes.iter().partition(|one| one.same_days);
    let mut lines: Vec<Line> = other.into_iter().map(|one| work(one, whose).into()).collect();
    if !hours.is_empty() {
        let text = format!("{} on the same days, at another hour", count(hours.len(), "pass", "passes"));
        lines.push(text.into());
    }
    lines
}

/// A pass in the plan, told to one person.
fn work(work: &Work, whose: &str) -> String {
    let theirs = |who: &Option<String>| who.as_deref() == Some(whose);
    let (old, new) =
        (work.old.as_deref().unwrap_or("in no plan"), work.new.as_deref().unwrap_or("in no plan"));
    match (theirs(&work.old_who), theirs(&work.new_who)) {
        (true, true) => format!("{}: {old} → {new}", work.title),
        (false, true) => format!("{}: yours now, {new}", work.title),
        _ => format!("{}: yours no more, was {old}", work.title),
    }
}

fn again(passes: &[Again], hours: &str) -> Vec<Line> {
    let total =
        format!("{}, {hours} of work where it was done already", count(passes.len(), "pass", "passes"));
    let total = (!passes.is_empty() && !hours.is_empty()).then(|| Line::from(total));
    let each = passes.iter().map(|one| Line::from(format!("{} ({}): {}", one.title, one.hours, one.because)));
    total.into_iter().chain(each).collect()
}

fn waiting(passes: &[Again]) -> Vec<Line> {
    let stands = "what is done of them stands; they are finished when the rest is there";
    let head = (!passes.is_empty()).then(|| Line::from(stands.to_owned()));
    head.into_iter()
        .chain(passes.iter().map(|one| Line::from(format!("{}: {}", one.title, one.because))))
        .collect()
}

/// Papers, and as many changes of each void one as that.
fn papers(papers: &Papers, most: usize) -> Vec<Line> {
    let void = Line {
        text: "void, to be handed out anew".to_owned(),
        file: String::new(),
        inside: void_papers(&papers.void, most),
    };
    let rest = [
        ("void, made no more", &papers.gone),
        ("done with: what they are of is shot", &papers.done),
        ("new", &papers.new),
        ("good still, though reasons or pictures on them differ", &papers.good),
    ];
    let rest = rest.into_iter().filter(|(_, names)| !names.is_empty()).map(|(what, names)| Line {
        text: what.to_owned(),
        file: String::new(),
        inside: vec![names.join(", ")],
    });
    (!papers.void.is_empty()).then_some(void).into_iter().chain(rest).collect()
}

/// Those that tell what changed, then the names of all others.
fn void_papers(papers: &[Void], most: usize) -> Vec<String> {
    let tells = |paper: &&Void| TELLING.iter().any(|start| paper.name.starts_with(start));
    let (telling, others): (Vec<&Void>, Vec<&Void>) = papers.iter().partition(tells);
    let mut lines: Vec<String> = telling.into_iter().map(|one| void(one, most)).collect();
    if !others.is_empty() {
        lines.push(others.iter().map(|one| one.name.as_str()).collect::<Vec<_>>().join(", "));
    }
    lines
}

/// `plates/bench-hands: Tilt: 30° down → 26° down; and 2 more`.
fn void(paper: &Void, most: usize) -> String {
    let all = paper.changes.len();
    // One more is told as shortly as counted.
    let most = if all == most + 1 { all } else { most };
    let mut told: Vec<String> = paper.changes.iter().take(most).map(changed).collect();
    if all > ANEW {
        told.push("and so much more that the new one is read from the top".to_owned());
    } else if all > most {
        told.push(format!("and {} more", all - most));
    }
    if told.is_empty() { paper.name.clone() } else { format!("{}: {}", paper.name, told.join("; ")) }
}

/// A difference of a paper; not everything on one has a name.
fn changed(one: &Difference) -> String {
    match (&one.old, &one.new) {
        (None, Some(new)) => format!("new: {}", within(&one.what, new)),
        (Some(old), None) => format!("gone: {}", within(&one.what, old)),
        _ if one.what.is_empty() => difference(one).trim_start_matches(": ").to_owned(),
        _ => difference(one),
    }
}

fn within(what: &str, value: &str) -> String {
    if what.is_empty() { value.to_owned() } else { format!("{what}: {value}") }
}

fn costs(comparison: &Comparison) -> Vec<Line> {
    let cost = |cost: &Cost| format!("{}: {} → {}, {}", cost.what, cost.old, cost.new, cost.by);
    comparison
        .finish
        .iter()
        .map(difference)
        .chain(comparison.costs.iter().map(cost))
        .map(Line::from)
        .collect()
}

fn concerned(comparison: &Comparison, linked: bool) -> Vec<Line> {
    let each = comparison.people.iter().map(|page| Line {
        text: in_short(page),
        file: if linked { page.file.clone() } else { String::new() },
        inside: Vec::new(),
    });
    let mut lines: Vec<Line> = each.collect();
    if !comparison.untouched.is_empty() && !comparison.nothing {
        let names: Vec<&str> = comparison.untouched.iter().map(|one| one.name.as_str()).collect();
        lines.push(format!("nothing changes for {}", names.join(", ")).into());
    }
    lines
}

/// `Mei: 1 call, 4 plates, 12 passes, 3 papers void`.
fn in_short(page: &Page) -> String {
    let void = page.papers.void.len() + page.papers.gone.len();
    let captured = page.moved.iter().filter(|one| one.captured.is_some()).count();
    let counts = [
        (page.written.len(), "change of what is written about them", "changes of what is written about them"),
        (page.calls.len(), "call", "calls"),
        (captured, "plate captured", "plates captured"),
        (page.moved.len() - captured, "plate at another time", "plates at another time"),
        (page.plates.len(), "plate that is different", "plates that are different"),
        (page.desk.len(), "pass planned otherwise", "passes planned otherwise"),
        (page.again.len(), "pass that starts over", "passes that start over"),
        (page.waiting.len(), "pass that waits for more", "passes that wait for more"),
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
